//! An outbox that was damaged on its disk: what is whole is saved, what is lost keeps its
//! number.
//!
//! The damaged outbox is mended under its lock, into a new file. A process that waited for the
//! lock of the old file looks whether that file still has the name.
//!
//! Bytes in, pieces out. Whole frames that follow one another need no second look. Where a
//! frame is damaged, the next whole one is searched byte by byte. A line whose own bytes are
//! whole is saved even inside a damaged frame, as this bench's signature under its number
//! proves it. A number that is lost for good gets a placeholder and never another line. Numbers
//! must not shift, or later lines would go to the shop under names that may be used already.

use burrline_evidence::sign::{PublicKey, Signature};
use burrline_line::typed;
use burrline_proto::{decode_entry, v1};
use prost::Message as _;

use super::frame::{Frame, MAX, push_frame, whole_at};

/// What a placeholder begins with; no signed entry does.
const LOST: u8 = 0;
/// The length of a frame without its bytes.
const AROUND: usize = 20;

/// Whose lines are in the outbox.
#[derive(Debug, Clone)]
pub(super) struct Own {
    /// The bench's key.
    pub(super) key: PublicKey,
    /// Its life.
    pub(super) life: u32,
}

/// What is left of an outbox.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Mended {
    /// A frame for every number from 1 on, in order; some of them placeholders.
    pub(super) frames: Vec<Frame>,
    /// Where the whole frames end, if nothing before that was touched and what follows is the half of
    /// a write that was never confirmed.
    pub(super) torn_from: Option<usize>,
    /// The numbers that are lost since the outbox was last whole.
    pub(super) lost: Vec<u64>,
    /// The numbers of lines whose own bytes are whole although their frames were damaged.
    pub(super) saved: Vec<u64>,
}

impl Frame {
    /// What the line may have been, if this is a placeholder for one that is lost; empty if nothing
    /// of it could be read.
    pub fn lost(&self) -> Option<&str> {
        let (first, words) = self.bytes.split_first()?;
        (*first == LOST).then(|| std::str::from_utf8(words).unwrap_or_default())
    }
}

/// Reads what is left. `confirmed` is the highest number that the shop is known to hold.
pub(super) fn mend(bytes: &[u8], own: Option<&Own>, confirmed: u64) -> Mended {
    let mut left = Left { bytes, own, frames: Vec::new(), lost: Vec::new(), saved: Vec::new() };
    let mut at = 0_usize;
    let mut torn_from = None;
    while at < bytes.len() {
        if let Some((n, body, end)) = whole_at(bytes, at)
            && n == left.next()
        {
            left.frames.push(Frame { n, bytes: body.to_vec() });
            at = end;
        } else if let Some(next) = left.search(at) {
            left.gap(at, next);
            at = next;
        } else if let Some(end) = left.end_of(at, bytes.len()) {
            left.one(at, end);
            at = end;
        } else {
            torn_from = Some(at);
            break;
        }
    }
    // The shop has lines that nothing is left of here.
    while left.next() <= confirmed {
        left.lose("");
    }
    if !left.lost.is_empty() || !left.saved.is_empty() {
        torn_from = None;
    }
    Mended { frames: left.frames, torn_from, lost: left.lost, saved: left.saved }
}

/// The frames as the bytes of a file.
pub(super) fn file_of(frames: &[Frame]) -> Vec<u8> {
    let mut out = Vec::new();
    for frame in frames {
        // Every body came out of a frame, or is shorter than one may be.
        let _ = push_frame(&mut out, frame.n, &frame.bytes);
    }
    out
}

struct Left<'a> {
    bytes: &'a [u8],
    own: Option<&'a Own>,
    frames: Vec<Frame>,
    lost: Vec<u64>,
    saved: Vec<u64>,
}

impl Left<'_> {
    /// The number that comes next.
    fn next(&self) -> u64 {
        self.frames.last().map_or(0, |frame| frame.n).saturating_add(1)
    }

    /// Where the next whole frame begins, from a byte on.
    fn search(&self, from: usize) -> Option<usize> {
        (from..self.bytes.len()).find(|at| match whole_at(self.bytes, *at) {
            Some((n, body, _)) => {
                let known = self.own.is_none() || body.first() == Some(&LOST);
                n >= self.next() && (known || self.is_own(n, body))
            }
            None => false,
        })
    }

    /// Fills the numbers between the last whole frame and the one that begins at `to`.
    fn gap(&mut self, from: usize, to: usize) {
        let Some((n, _, _)) = whole_at(self.bytes, to) else { return };
        let mut at = from;
        while self.next() < n {
            let is_last = self.next().saturating_add(1) == n;
            let end = if is_last { Some(to) } else { self.end_of(at, to) };
            match end {
                Some(end) => {
                    self.one(at, end);
                    at = end;
                }
                None => self.lose(""),
            }
        }
    }

    /// Where a damaged frame ends that begins at a byte, if both of its lengths say so, or one of them
    /// and the end of what there is; the other may be what is damaged.
    fn end_of(&self, at: usize, to: usize) -> Option<usize> {
        let whole = |length: u32| usize::try_from(length).ok()?.checked_add(AROUND);
        let plausible = |length: &u32| *length > 0 && *length <= MAX;
        let first = self.length(at).filter(plausible);
        let end = first.and_then(whole).and_then(|whole| at.checked_add(whole));
        let end = end.filter(|end| *end <= to);
        if let Some(end) = end
            && (end == to || end.checked_sub(4).and_then(|at| self.length(at)) == first)
        {
            return Some(end);
        }
        let last = to.checked_sub(4).and_then(|at| self.length(at)).filter(plausible);
        let start = last.and_then(whole).and_then(|whole| to.checked_sub(whole));
        start.is_some_and(|start| start == at).then_some(to)
    }

    /// The line of the next number, which stands between two bytes in a frame that is damaged.
    fn one(&mut self, from: usize, to: usize) {
        let n = self.next();
        let body = from.checked_add(16).zip(to.checked_sub(4));
        let body = body.and_then(|(from, to)| self.bytes.get(from..to)).unwrap_or_default();
        if self.is_own(n, body) {
            self.saved.push(n);
            self.frames.push(Frame { n, bytes: body.to_vec() });
        } else {
            self.lose(&perhaps(body));
        }
    }

    fn lose(&mut self, words: &str) {
        let n = self.next();
        let bytes = std::iter::once(LOST).chain(words.bytes()).collect();
        self.lost.push(n);
        self.frames.push(Frame { n, bytes });
    }

    /// Whether these bytes are a line that this bench signed under this number.
    fn is_own(&self, n: u64, body: &[u8]) -> bool {
        let Some(own) = self.own else { return false };
        let Ok(signed) = v1::SignedEntry::decode(body) else { return false };
        let Ok(signature) = signed.signature.as_slice().try_into() else { return false };
        own.key.check_entry(&signed.entry, &Signature(signature)).is_ok()
            && decode_entry(&signed.entry)
                .is_ok_and(|entry| (entry.name.life, entry.name.n) == (own.life, n))
    }

    fn length(&self, at: usize) -> Option<u32> {
        let bytes = self.bytes.get(at..at.checked_add(4)?)?;
        Some(u32::from_le_bytes(bytes.try_into().ok()?))
    }
}

/// What a damaged line may have been: as it reads, though its signature says that it was altered.
fn perhaps(body: &[u8]) -> String {
    let signed = v1::SignedEntry::decode(body).ok();
    let entry = signed.and_then(|signed| decode_entry(&signed.entry).ok());
    let words = entry.map(|entry| typed::typed(&entry.verb)).unwrap_or_default();
    words.chars().take(500).collect()
}
