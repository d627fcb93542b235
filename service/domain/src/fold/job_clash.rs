//! What does not fit within one job.

use std::fmt;

use crate::{
    canon::{Canon, Canonical},
    name::{EntryName, Name},
    time::Moment,
    words::Piece,
};

/// Something on one job that the story so far cannot make fit, and the rule that stands meanwhile.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum JobClash {
    /// It was in a place and never said out; it left by then, unsaid.
    NeverOut {
        /// The entry by whose time it had left.
        entry: EntryName,
        /// When that was.
        at: Moment,
        /// Where it was.
        place: Name,
        /// Which piece.
        piece: Piece,
        /// What was done then.
        then: String,
    },
    /// It was said out while in no place; nothing moves.
    OutNotIn {
        /// The entry.
        entry: EntryName,
        /// When.
        at: Moment,
        /// Which piece.
        piece: Piece,
    },
    /// Work on a job that had ended; the work counts, the job stays ended.
    AfterEnd {
        /// The entry.
        entry: EntryName,
        /// When.
        at: Moment,
        /// What was done.
        what: String,
        /// How the job had ended.
        ended: String,
    },
}

impl JobClash {
    /// The entry that does not fit.
    pub const fn entry(&self) -> EntryName {
        match self {
            Self::NeverOut { entry, .. }
            | Self::OutNotIn { entry, .. }
            | Self::AfterEnd { entry, .. } => *entry,
        }
    }

    /// When that happened.
    pub const fn at(&self) -> Moment {
        match self {
            Self::NeverOut { at, .. } | Self::OutNotIn { at, .. } | Self::AfterEnd { at, .. } => {
                *at
            }
        }
    }
}

impl fmt::Display for JobClash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NeverOut { place, piece, then, .. } => {
                write!(
                    f,
                    "{piece} was in {place}, never said out; it had left by \u{201c}{then}\u{201d}"
                )
            }
            Self::OutNotIn { piece, .. } => write!(f, "{piece} said out, but it was in no place"),
            Self::AfterEnd { what, ended, .. } => {
                write!(f, "\u{201c}{what}\u{201d} after the job had ended ({ended})")
            }
        }
    }
}

impl Canonical for JobClash {
    fn canon(&self, out: &mut Canon) {
        out.add(&self.entry());
        out.add(&self.at());
        out.add(self.to_string().as_str());
    }
}
