//! The copy, gone through once: where each position lies in the file, with every frame checked, and
//! none of it kept in memory.
//!
//! Whoever stays goes on where the last scan ended, as long as it is the same file.

use std::{
    fs::File,
    os::unix::fs::{FileExt as _, MetadataExt as _},
};

use burrline_evidence::merkle::{Hash, Tree};

use super::{Item, Mark, Piece, piece};
use crate::frame::{FRAME_MOST, whole_at};

/// How much of the file is read at once.
const AT_ONCE: usize = 1024 * 1024;
/// What a frame has before its bytes.
const BEFORE: u64 = 16;

/// Where the bytes of a frame lie.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Place {
    from: u64,
    length: u32,
}

/// What a scan found.
#[derive(Debug, Default)]
pub(crate) struct Scan {
    /// Which file it was; none before one was opened.
    file: Option<(u64, u64)>,
    places: Vec<Place>,
    end: u64,
    mark: Option<Mark>,
    /// How many positions there were at the last mark, and the root over them.
    marked: Option<(u64, Hash)>,
    /// The root at the mark that was asked for.
    wanted: Option<(u64, Option<Hash>)>,
    /// The last bytes before the end, to know the file by.
    last: Vec<u8>,
}

impl Scan {
    /// A scan that looks for the root over so many positions, too.
    pub(crate) fn wanting(size: Option<u64>) -> Self {
        Self { wanted: size.map(|size| (size, None)), ..Self::default() }
    }

    /// Goes through what is new in the file. False if that is not whole, or it is another file.
    pub(crate) fn go_on(&mut self, file: &File) -> std::io::Result<bool> {
        let is = file.metadata()?;
        let this = (is.dev(), is.ino());
        if *self.file.get_or_insert(this) != this || is.len() < self.end || !self.goes_on(file)? {
            return Ok(false);
        }
        let mut bytes = Vec::new();
        // Where in the file the bytes begin, and how far in them the whole frames go.
        let (mut start, mut at) = (self.end, 0_usize);
        while self.end < is.len() {
            if let Some((n, body, end)) = whole_at(&bytes, at) {
                let from = start.saturating_add(u64::try_from(at).unwrap_or(u64::MAX));
                if !self.take(n, body, from) {
                    return Ok(false);
                }
                at = end;
                self.end = start.saturating_add(u64::try_from(end).unwrap_or(u64::MAX));
                continue;
            }
            let left = bytes.len().saturating_sub(at);
            let more = is.len().saturating_sub(self.end) > u64::try_from(left).unwrap_or(u64::MAX);
            if !more || left > FRAME_MOST {
                return Ok(false);
            }
            bytes.drain(..at);
            (start, at) = (self.end, 0);
            let from = start.saturating_add(u64::try_from(left).unwrap_or(u64::MAX));
            let mut next = vec![0; AT_ONCE];
            let read = file.read_at(&mut next, from)?;
            if read == 0 {
                return Ok(false);
            }
            bytes.extend(next.get(..read).unwrap_or_default());
        }
        self.remember(file)?;
        Ok(true)
    }

    fn take(&mut self, n: u64, body: &[u8], from: u64) -> bool {
        let size = self.size();
        if n != size {
            return false;
        }
        // Only a mark is read; what a position holds is read when somebody looks.
        if is_mark(body) {
            let Some(Piece::Mark(mark, peaks)) = piece(body) else { return false };
            let Some(tree) = Tree::of_parts(size, peaks) else { return false };
            if let Some((wanted, root)) = self.wanted.as_mut().filter(|(wanted, _)| *wanted == n) {
                (*wanted, *root) = (n, Some(tree.root()));
            }
            self.marked = Some((size, tree.root()));
            self.mark = Some(mark);
        } else if is_item(body) {
            let Ok(length) = u32::try_from(body.len()) else { return false };
            self.places.push(Place { from: from.saturating_add(BEFORE), length });
        } else {
            return false;
        }
        true
    }

    /// How many positions there are.
    pub(crate) fn size(&self) -> u64 {
        u64::try_from(self.places.len()).unwrap_or(u64::MAX)
    }

    /// What was last heard of the shop.
    pub(crate) const fn mark(&self) -> Option<&Mark> {
        self.mark.as_ref()
    }

    /// The root over all positions, if a mark behind the last of them says it.
    pub(crate) fn root(&self) -> Option<Hash> {
        self.marked.filter(|(size, _)| *size == self.size()).map(|(_, root)| root)
    }

    /// The root that was asked for, if a mark says it.
    pub(crate) fn wanted(&self) -> Option<Hash> {
        self.wanted?.1
    }

    /// Reads a position; none if it is not what it was, or there is no such position.
    pub(crate) fn item(&self, file: &File, position: u64) -> Option<Item> {
        let place = self.places.get(usize::try_from(position).ok()?)?;
        item_at(file, position, *place)
    }

    /// All positions so far, to be read from this file later on.
    pub(crate) fn places(&self, file: File) -> Places {
        Places { file, places: self.places.clone() }
    }

    fn remember(&mut self, file: &File) -> std::io::Result<()> {
        self.last = last_before(file, self.end)?;
        Ok(())
    }

    fn goes_on(&self, file: &File) -> std::io::Result<bool> {
        Ok(self.end == 0 || last_before(file, self.end)? == self.last)
    }
}

/// Positions of a copy in the file that has them.
#[derive(Debug)]
pub(crate) struct Places {
    file: File,
    places: Vec<Place>,
}

impl Places {
    /// Reads a position; none if it is not what it was, or there is no such position.
    pub(crate) fn item(&self, position: u64) -> Option<Item> {
        let place = self.places.get(usize::try_from(position).ok()?)?;
        item_at(&self.file, position, *place)
    }
}

fn item_at(file: &File, position: u64, place: Place) -> Option<Item> {
    let frame = u64::from(place.length).saturating_add(BEFORE).saturating_add(4);
    let mut bytes = vec![0; usize::try_from(frame).ok()?];
    file.read_exact_at(&mut bytes, place.from.checked_sub(BEFORE)?).ok()?;
    let (n, body, _) = whole_at(&bytes, 0)?;
    match piece(body)? {
        Piece::Item(item) if n == position => Some(item),
        Piece::Item(_) | Piece::Mark(..) => None,
    }
}

/// The end of the file as it was: whoever cut it and wrote it anew wrote other bytes.
fn last_before(file: &File, end: u64) -> std::io::Result<Vec<u8>> {
    const ENOUGH: u64 = 64;
    let from = end.saturating_sub(ENOUGH);
    let mut bytes = vec![0; usize::try_from(end.saturating_sub(from)).unwrap_or(0)];
    file.read_exact_at(&mut bytes, from)?;
    Ok(bytes)
}

fn is_mark(body: &[u8]) -> bool {
    body.first() == Some(&super::MARK)
}

fn is_item(body: &[u8]) -> bool {
    match body.split_first() {
        Some((&super::RECORD, _)) => true,
        Some((&super::LEAF, rest)) => rest.len() == 32,
        Some(_) | None => false,
    }
}
