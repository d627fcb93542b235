//! Frames: how the bench's two append-only files are cut into pieces.
//!
//! A frame is: length (4 bytes, little endian), number n (8), CRC-32C of number and bytes (4), the
//! bytes, and the length once more (4), so that the last frame is found from the end.

use std::{
    fs::File,
    io::{Read as _, Seek as _, SeekFrom},
};

const BEFORE: u64 = 16;
const AFTER: u64 = 4;
pub(super) const MAX: u32 = 64 * 1024;
/// The longest frame, as a number of bytes in memory.
pub(super) const FRAME_MOST: usize = 64 * 1024 + 20;
/// How much of a file is read at once on the way back.
const BLOCK: u64 = 256 * 1024;

/// One piece: its number and its bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Frame {
    /// Its number.
    pub n: u64,
    /// The bytes.
    pub bytes: Vec<u8>,
}

/// Appends a frame to bytes that are about to be written; none if it is too long for one.
pub(super) fn push_frame(out: &mut Vec<u8>, n: u64, bytes: &[u8]) -> Option<()> {
    let length = u32::try_from(bytes.len()).ok().filter(|length| *length <= MAX)?;
    out.extend(length.to_le_bytes());
    out.extend(n.to_le_bytes());
    out.extend(checksum(n, bytes).to_le_bytes());
    out.extend(bytes);
    out.extend(length.to_le_bytes());
    Some(())
}

fn checksum(n: u64, bytes: &[u8]) -> u32 {
    crc32c::crc32c_append(crc32c::crc32c(&n.to_le_bytes()), bytes)
}

/// The frame that ends at a byte, and where it starts; none if no whole frame ends there.
pub(super) fn frame_before(file: &mut File, end: u64) -> std::io::Result<Option<(u64, Frame)>> {
    let Some(at) = end.checked_sub(AFTER) else { return Ok(None) };
    file.seek(SeekFrom::Start(at))?;
    let length = read_u32(file)?;
    let whole = u64::from(length).saturating_add(BEFORE).saturating_add(AFTER);
    let Some(start) = end.checked_sub(whole) else { return Ok(None) };
    Ok(frame_at(file, start)?.filter(|(found, _)| *found == end).map(|(_, frame)| (start, frame)))
}

/// The frame that starts at a byte, and where it ends; none if it is torn or damaged.
fn frame_at(file: &mut File, start: u64) -> std::io::Result<Option<(u64, Frame)>> {
    let size = file.metadata()?.len();
    if start.saturating_add(BEFORE) > size {
        return Ok(None);
    }
    file.seek(SeekFrom::Start(start))?;
    let length = read_u32(file)?;
    let end = start.saturating_add(BEFORE).saturating_add(u64::from(length)).saturating_add(AFTER);
    if length > MAX || end > size {
        return Ok(None);
    }
    let mut n = [0; 8];
    file.read_exact(&mut n)?;
    let n = u64::from_le_bytes(n);
    let sum = read_u32(file)?;
    let mut bytes = vec![0; usize::try_from(length).unwrap_or(0)];
    file.read_exact(&mut bytes)?;
    let again = read_u32(file)?;
    let good = again == length && sum == checksum(n, &bytes);
    Ok(good.then_some((end, Frame { n, bytes })))
}

/// A file that is read from its end to its start, a block at a time.
#[derive(Debug, Default)]
pub(super) struct Backwards {
    start: u64,
    bytes: Vec<u8>,
}

impl Backwards {
    /// The frame that ends at a byte, and where it starts; none if no whole frame ends there.
    pub(super) fn frame_before(
        &mut self,
        file: &mut File,
        end: u64,
    ) -> std::io::Result<Option<(u64, Frame)>> {
        let Some(at) = end.checked_sub(AFTER) else { return Ok(None) };
        let length = self.part(file, at, end)?.try_into().map(u32::from_le_bytes);
        let Ok(length) = length else { return Ok(None) };
        let whole = u64::from(length).saturating_add(BEFORE).saturating_add(AFTER);
        let Some(start) = end.checked_sub(whole).filter(|_| length <= MAX) else { return Ok(None) };
        let bytes = self.part(file, start, end)?;
        let frame = whole_at(bytes, 0).filter(|(_, _, end)| *end == bytes.len());
        Ok(frame.map(|(n, body, _)| (start, Frame { n, bytes: body.to_vec() })))
    }

    /// The bytes between two places; none if the file does not reach that far.
    fn part(&mut self, file: &mut File, from: u64, to: u64) -> std::io::Result<&[u8]> {
        let place = |at: u64| at.checked_sub(self.start).and_then(|at| usize::try_from(at).ok());
        let inside = |to: usize| to <= self.bytes.len();
        if let (Some(from), Some(to)) = (place(from), place(to).filter(|to| inside(*to))) {
            return Ok(self.bytes.get(from..to).unwrap_or_default());
        }
        let start = from.min(to.saturating_sub(BLOCK));
        let length = usize::try_from(to.saturating_sub(start)).unwrap_or_default();
        self.bytes.resize(length, 0);
        self.start = start;
        file.seek(SeekFrom::Start(start))?;
        file.read_exact(&mut self.bytes)?;
        let from = usize::try_from(from.saturating_sub(start)).unwrap_or_default();
        Ok(self.bytes.get(from..).unwrap_or_default())
    }
}

/// The whole frames of bytes that were read at once, each with where it ends.
pub(super) fn frames(bytes: &[u8]) -> impl Iterator<Item = (usize, u64, &[u8])> {
    let mut at = 0_usize;
    std::iter::from_fn(move || {
        let (n, body, end) = whole_at(bytes, at)?;
        at = end;
        Some((end, n, body))
    })
}

/// The whole frame that begins at a byte: its number, its bytes, and where it ends.
pub(super) fn whole_at(bytes: &[u8], at: usize) -> Option<(u64, &[u8], usize)> {
    let field = |from: usize, length: usize| {
        let from = at.checked_add(from)?;
        bytes.get(from..from.checked_add(length)?)
    };
    let length = u32::from_le_bytes(field(0, 4)?.try_into().ok()?);
    if length > MAX {
        return None;
    }
    let body_length = usize::try_from(length).ok()?;
    let n = u64::from_le_bytes(field(4, 8)?.try_into().ok()?);
    let sum = u32::from_le_bytes(field(12, 4)?.try_into().ok()?);
    let body = field(16, body_length)?;
    let after = body_length.checked_add(16)?;
    let again = u32::from_le_bytes(field(after, 4)?.try_into().ok()?);
    let good = again == length && sum == checksum(n, body);
    good.then_some((n, body, at.checked_add(after)?.checked_add(4)?))
}

fn read_u32(file: &mut File) -> std::io::Result<u32> {
    let mut bytes = [0; 4];
    file.read_exact(&mut bytes)?;
    Ok(u32::from_le_bytes(bytes))
}
