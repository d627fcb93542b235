//! JPEG: segments are passed through one by one if they are needed to show the picture, and left
//! out otherwise. Libraries for this leave whatever follows the first scan as it is, other pictures
//! with their positions included; so the walk goes to the end (markers: ITU-T T.81, table B.1).

use crate::{NoCopy, icc, orientation};

const SOI: u8 = 0xD8;
const EOI: u8 = 0xD9;
const SOS: u8 = 0xDA;
const APP0: u8 = 0xE0;
const APP1: u8 = 0xE1;
const APP2: u8 = 0xE2;
const APP14: u8 = 0xEE;

const EXIF: &[u8] = b"Exif\0\0";
const JFIF: &[u8] = b"JFIF\0";
const ICC: &[u8] = b"ICC_PROFILE\0";

/// What is kept, by where it goes.
#[derive(Default)]
struct Copy {
    jfif: Option<Vec<u8>>,
    turn: Option<u8>,
    profile: Vec<u8>,
    profile_segments: Vec<Vec<u8>>,
    picture: Vec<u8>,
}

pub(crate) fn strip(photo: &[u8]) -> Result<Vec<u8>, NoCopy> {
    let mut rest = photo.get(2..).unwrap_or_default();
    let mut copy = Copy::default();
    let mut scans = 0_u32;
    loop {
        let (marker, after) = marker(rest)?;
        rest = after;
        match marker {
            EOI if scans == 0 => return Err(damaged("it has no picture")),
            EOI => return Ok(copy.written()),
            SOI => return Err(damaged("a picture begins within another")),
            // Markers that stand alone, and belong into a scan.
            0x01 | 0xD0..=0xD7 => {}
            SOS => {
                let (contents, after) = segment(rest)?;
                put(&mut copy.picture, SOS, contents);
                let end = scan_end(after).ok_or(NoCopy::CutOff)?;
                let (scan, after) = after.split_at_checked(end).ok_or(NoCopy::CutOff)?;
                copy.picture.extend_from_slice(scan);
                scans = scans.saturating_add(1);
                rest = after;
            }
            _ => {
                let (contents, after) = segment(rest)?;
                copy.segment(marker, contents)?;
                rest = after;
            }
        }
    }
}

impl Copy {
    fn segment(&mut self, marker: u8, contents: &[u8]) -> Result<(), NoCopy> {
        match marker {
            // Frames, tables, the number of lines, the restart interval.
            0xC0..=0xC7 | 0xC9..=0xCF | 0xDB..=0xDD => put(&mut self.picture, marker, contents),
            // Pictures of several frames, which nobody's camera makes.
            0xDE | 0xDF => return Err(damaged("it has several frames")),
            APP0 if contents.starts_with(JFIF) && self.jfif.is_none() => {
                // Up to the density; the small picture that may follow is left out.
                let head = contents.get(..12).ok_or_else(|| damaged("its first part is short"))?;
                self.jfif = Some([head, &[0, 0]].concat());
            }
            APP1 if contents.starts_with(EXIF) && self.turn.is_none() => {
                self.turn = contents.get(EXIF.len()..).map(orientation::of);
            }
            APP2 if contents.starts_with(ICC) => {
                // Two bytes say which part of how many it is.
                let from = ICC.len().saturating_add(2);
                self.profile.extend_from_slice(contents.get(from..).unwrap_or_default());
                self.profile_segments.push(contents.to_vec());
            }
            // How the colours are coded; twelve bytes of it are in use.
            APP14 if contents.starts_with(b"Adobe") => {
                if let Some(head) = contents.get(..12) {
                    put(&mut self.picture, marker, head);
                }
            }
            _ => {}
        }
        Ok(())
    }

    fn written(self) -> Vec<u8> {
        let mut out = vec![0xFF, SOI];
        if let Some(jfif) = &self.jfif {
            put(&mut out, APP0, jfif);
        }
        if let Some(turn) = self.turn.filter(|turn| *turn != 1) {
            put(&mut out, APP1, &[EXIF, &orientation::only(turn)].concat());
        }
        if icc::is_harmless(&self.profile) {
            self.profile_segments.iter().for_each(|part| put(&mut out, APP2, part));
        }
        out.extend_from_slice(&self.picture);
        out.extend([0xFF, EOI]);
        out
    }
}

/// The next marker, and what follows it. Bytes before it that belong to nothing are passed over.
fn marker(bytes: &[u8]) -> Result<(u8, &[u8]), NoCopy> {
    let mut rest = bytes;
    let mut marked = false;
    while let [byte, after @ ..] = rest {
        rest = after;
        match (*byte, marked) {
            (0xFF, _) => marked = true,
            (0, true) | (_, false) => marked = false,
            (marker, true) => return Ok((marker, rest)),
        }
    }
    Err(NoCopy::CutOff)
}

/// A segment's contents after its length, and what follows.
fn segment(bytes: &[u8]) -> Result<(&[u8], &[u8]), NoCopy> {
    let [high, low, rest @ ..] = bytes else { return Err(NoCopy::CutOff) };
    let length = usize::from(u16::from_be_bytes([*high, *low]));
    let length = length.checked_sub(2).ok_or_else(|| damaged("a part has no length"))?;
    rest.split_at_checked(length).ok_or(NoCopy::CutOff)
}

/// Where the compressed data of a scan ends: at a marker that is neither a stuffed zero nor a
/// restart.
fn scan_end(bytes: &[u8]) -> Option<usize> {
    let ends = |pair: &[u8]| matches!(pair, [0xFF, 0x01..=0xCF | 0xD8..=0xFE]);
    bytes.windows(2).position(ends)
}

fn put(out: &mut Vec<u8>, marker: u8, contents: &[u8]) {
    // It came out of a segment, or is shorter, so that its length fits.
    let length = u16::try_from(contents.len().saturating_add(2)).unwrap_or(u16::MAX);
    out.extend([0xFF, marker]);
    out.extend(length.to_be_bytes());
    out.extend_from_slice(contents);
}

fn damaged(why: &str) -> NoCopy {
    NoCopy::Damaged(why.to_owned())
}
