//! A stretch of its own log that a bench offers to a shop that was put back from a backup.
//!
//! The shop takes its own words back, outcome, remarks and times, without having been there: so
//! only what a head covers that it signed itself, from its next position on and without a gap.

use burrline_domain::Record;
use burrline_evidence::{
    checkpoint::Checkpoint,
    merkle::{Tree, leaf_hash},
};
use burrline_proto::{Malformed, decode_record, v1::SignedEntry};
use burrline_terms::EntryName;
use thiserror::Error;

/// The most that is kept in memory of one stretch: more than a year of a shop.
const MOST_BYTES: usize = 256 * 1024 * 1024;

/// Why a record that was offered is not taken.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum Unfit {
    /// It is no record.
    #[error("record {position} of the bench's copy cannot be understood: {source}")]
    Malformed {
        /// Where it should stand.
        position: u64,
        /// Why.
        source: Malformed,
    },
    /// It belongs elsewhere.
    #[error("record {wanted} was wanted, and {got} was offered")]
    Position {
        /// The next position.
        wanted: u64,
        /// The position on the record.
        got: u64,
    },
    /// The records are not those that the head was signed over.
    #[error(
        "the log with these records is not the one of {0} records that this shop signed: either the \
         bench's copy is not the shop's, or other records took their places meanwhile"
    )]
    Root(u64),
    /// The entry is not signed by the bench that was enrolled by then.
    #[error("the signature of entry {0} is not by the key of its life")]
    Signature(EntryName),
    /// The entry does not follow the one before it.
    #[error("entry {0} does not follow the last one of its life")]
    Number(EntryName),
    /// There is too much of it.
    #[error("more than {MOST_BYTES} bytes at once: put a newer backup back")]
    TooMuch,
}

/// A record that was offered.
#[derive(Debug, Clone)]
pub struct Offered {
    /// The record.
    pub record: Record,
    /// What its bench signed.
    pub said: SignedEntry,
    /// Its exact bytes.
    pub bytes: Vec<u8>,
}

/// What was offered so far, from the end of the log on.
#[derive(Debug)]
pub struct Stretch {
    tree: Tree,
    heads: Vec<Checkpoint>,
    offered: Vec<Offered>,
    vouched: usize,
    bytes: usize,
}

impl Stretch {
    /// Begins after a log with this tree; `heads` were signed by the shop itself.
    pub const fn after(tree: Tree, heads: Vec<Checkpoint>) -> Self {
        Self { tree, heads, offered: Vec::new(), vouched: 0, bytes: 0 }
    }

    /// Where the next record belongs.
    pub fn next(&self) -> u64 {
        self.tree.size()
    }

    /// Takes the next record in.
    ///
    /// # Errors
    /// [`Unfit`] if it is none, stands elsewhere, or leads to another root than that of a head.
    pub fn offer(&mut self, bytes: Vec<u8>) -> Result<(), Unfit> {
        let wanted = self.next();
        self.bytes = self.bytes.saturating_add(bytes.len());
        if self.bytes > MOST_BYTES {
            return Err(Unfit::TooMuch);
        }
        let wrong = |source| Unfit::Malformed { position: wanted, source };
        let (record, said) = decode_record(&bytes).map_err(wrong)?;
        // Another bench has given it meanwhile.
        if record.position < wanted && self.offered.is_empty() {
            return Ok(());
        }
        if record.position != wanted {
            return Err(Unfit::Position { wanted, got: record.position });
        }
        self.tree.append(leaf_hash(&bytes));
        self.offered.push(Offered { record, said, bytes });
        let size = self.tree.size();
        let mut heads = self.heads.iter().filter(|head| head.size == size).peekable();
        if heads.peek().is_some() {
            if !heads.any(|head| head.root == self.tree.root()) {
                return Err(Unfit::Root(size));
            }
            self.vouched = self.offered.len();
        }
        Ok(())
    }

    /// The records up to the last head that covers them; what came after it is let go.
    pub fn vouched(mut self) -> Vec<Offered> {
        self.offered.truncate(self.vouched);
        self.offered
    }
}
