//! The bench's copy of the shop's log: for every position the record's exact bytes, or only its
//! 32-byte leaf hash.
//!
//! `Follow` with `for_copy` fills it: for a moment beside every command that reaches the shop,
//! and to the end at `burrline sync`. Each stretch of positions ends with a mark. The mark
//! holds the peaks of the Merkle tree, the shop's clock and the bench's. The shop says its root
//! with `CaughtUp`; the bench has computed its own root, and the two must be equal.
//!
//! The form knows leaf hashes, for jobs that ended long ago, but the shop does not send any
//! yet.
//!
//! In here nothing touches a disk: what goes into the file is made and read here, and the tree
//! over it grows here. [`file`](mod@file) keeps it, and `scan` goes through it without keeping it in memory.

pub mod file;
pub(crate) mod scan;
#[cfg(test)]
mod tests;

use burrline_domain::BenchClock;
use burrline_evidence::merkle::{Hash, Tree, leaf_hash};
use burrline_terms::Moment;

/// One position of the log, as the copy has it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Item {
    /// The record's exact bytes.
    Record(Vec<u8>),
    /// Its leaf hash alone.
    Leaf(Hash),
}

/// What the copy last heard of the shop.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mark {
    /// How many records the shop had; more than the copy if it was cut short.
    pub records: u64,
    /// The shop's clock.
    pub shop_now: Moment,
    /// The bench's clocks at the same time.
    pub clock: BenchClock,
}

/// Whether the copy is the shop's log.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// All of it, with the same root.
    Same,
    /// The shop has fewer records than the copy: it was put back from a backup.
    ShopLost,
    /// As many, and not the same.
    Differs,
}

/// What an item or mark looks like in its frame.
const RECORD: u8 = 1;
const LEAF: u8 = 2;
const MARK: u8 = 3;

/// The growing end of a copy: how far it goes, the tree over it, and what was last heard.
#[derive(Debug, Clone, Default)]
pub struct Edge {
    tree: Tree,
    mark: Option<Mark>,
}

impl Edge {
    /// How many positions the copy has.
    pub fn size(&self) -> u64 {
        self.tree.size()
    }

    /// The RFC 6962 root over them, computed here.
    pub fn root(&self) -> Hash {
        self.tree.root()
    }

    /// What was last heard of the shop; none before the first mark.
    pub const fn mark(&self) -> Option<&Mark> {
        self.mark.as_ref()
    }

    /// Takes the next position in.
    pub fn take(&mut self, item: &Item) {
        self.tree.append(match item {
            Item::Record(bytes) => leaf_hash(bytes),
            Item::Leaf(hash) => *hash,
        });
    }

    /// Takes a mark in.
    pub fn hear(&mut self, mark: Mark) {
        self.mark = Some(mark);
    }

    /// Holds the copy against what the shop says of itself; an empty root is not compared.
    pub fn compare(&self, records: u64, root: &[u8]) -> Verdict {
        if records < self.size() {
            Verdict::ShopLost
        } else if root.is_empty() || records > self.size() || root == self.root().0 {
            Verdict::Same
        } else {
            Verdict::Differs
        }
    }

    /// The mark with the tree's peaks, as bytes; none before the first mark.
    fn marked(&self) -> Option<Vec<u8>> {
        let mark = self.mark.as_ref()?;
        let mut out = vec![MARK];
        out.extend(mark.records.to_le_bytes());
        out.extend(mark.shop_now.0.to_le_bytes());
        out.extend(mark.clock.wall.0.to_le_bytes());
        out.extend(mark.clock.boot);
        out.extend(mark.clock.uptime_ms.to_le_bytes());
        self.tree.peaks().iter().for_each(|peak| out.extend(peak.0));
        Some(out)
    }
}

/// What a frame of the file holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Piece {
    /// A position.
    Item(Item),
    /// A mark, with the peaks of the tree so far.
    Mark(Mark, Vec<Hash>),
}

impl Item {
    /// The item as the bytes of its frame.
    fn framed(&self) -> Vec<u8> {
        let (kind, bytes): (u8, &[u8]) = match self {
            Self::Record(bytes) => (RECORD, bytes),
            Self::Leaf(hash) => (LEAF, &hash.0),
        };
        std::iter::once(kind).chain(bytes.iter().copied()).collect()
    }
}

/// Reads the bytes of a frame; none if no version of the program ever wrote that.
pub(super) fn piece(bytes: &[u8]) -> Option<Piece> {
    let (kind, rest) = bytes.split_first()?;
    match *kind {
        RECORD => Some(Piece::Item(Item::Record(rest.to_vec()))),
        LEAF => Some(Piece::Item(Item::Leaf(Hash(rest.try_into().ok()?)))),
        MARK => {
            let (records, rest) = rest.split_first_chunk::<8>()?;
            let (shop_now, rest) = rest.split_first_chunk::<8>()?;
            let (wall, rest) = rest.split_first_chunk::<8>()?;
            let (boot, rest) = rest.split_first_chunk::<16>()?;
            let (uptime, rest) = rest.split_first_chunk::<8>()?;
            let clock = BenchClock {
                wall: Moment(i64::from_le_bytes(*wall)),
                boot: *boot,
                uptime_ms: u64::from_le_bytes(*uptime),
            };
            let mark = Mark {
                records: u64::from_le_bytes(*records),
                shop_now: Moment(i64::from_le_bytes(*shop_now)),
                clock,
            };
            let peaks = rest.chunks(32).map(|peak| Some(Hash(peak.try_into().ok()?)));
            Some(Piece::Mark(mark, peaks.collect::<Option<_>>()?))
        }
        _ => None,
    }
}

impl Mark {
    /// The shop's time when the bench's clocks show this. Within one start of the machine it is
    /// measured; else the wall clock is taken to be off by as much as it was.
    pub fn shop_time(&self, clock: &BenchClock) -> Moment {
        let since = if clock.boot == self.clock.boot {
            let now = i64::try_from(clock.uptime_ms).unwrap_or(i64::MAX);
            now.saturating_sub(i64::try_from(self.clock.uptime_ms).unwrap_or(i64::MAX))
        } else {
            clock.wall.since(self.clock.wall)
        };
        self.shop_now.plus(since)
    }
}
