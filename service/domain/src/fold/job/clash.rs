//! What does not fit within one job.

use burrline_terms::{
    canon::{Canon, Canonical},
    name::{EntryName, Name, Tag},
    time::Moment,
    words::Piece,
};

use crate::verb::Ending;

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
        then: &'static str,
    },
    /// It was said in where it already was; it counts as one stay since the first.
    InAgain {
        /// The entry.
        entry: EntryName,
        /// When.
        at: Moment,
        /// Where.
        place: Name,
        /// Which piece.
        piece: Piece,
    },
    /// It was said out while in no place; nothing moves.
    OutNotIn {
        /// The entry.
        entry: EntryName,
        /// When.
        at: Moment,
        /// Which piece.
        piece: Piece,
        /// The place that it had left before, if it was in one.
        left: Option<Name>,
    },
    /// The job ended while a piece was in a place; the piece is still there.
    LeftBehind {
        /// The entry that put it there.
        entry: EntryName,
        /// When the job ended.
        at: Moment,
        /// Where it is.
        place: Name,
        /// Which piece.
        piece: Piece,
        /// How the job ended.
        ended: Ending,
    },
    /// One tag was swapped at two benches; both new tags find the job.
    SwappedTwice {
        /// The entry that came later.
        entry: EntryName,
        /// When.
        at: Moment,
        /// The tag that came off.
        tag: Tag,
        /// The tag that went on first.
        first: Tag,
        /// The tag that went on later.
        second: Tag,
    },
    /// A tag was said to come off that was never said to go on; the new tag is on it.
    TagNeverOn {
        /// The entry.
        entry: EntryName,
        /// When.
        at: Moment,
        /// The tag that came off.
        tag: Tag,
    },
    /// Work on a job that had ended; the work counts, the job stays ended.
    AfterEnd {
        /// The entry.
        entry: EntryName,
        /// When.
        at: Moment,
        /// What was done.
        what: &'static str,
        /// How the job had ended.
        ended: Ending,
    },
}

impl JobClash {
    /// The entry that does not fit.
    pub const fn entry(&self) -> EntryName {
        self.point().0
    }

    /// When that happened.
    pub const fn at(&self) -> Moment {
        self.point().1
    }

    const fn point(&self) -> (EntryName, Moment) {
        match self {
            Self::NeverOut { entry, at, .. }
            | Self::InAgain { entry, at, .. }
            | Self::OutNotIn { entry, at, .. }
            | Self::LeftBehind { entry, at, .. }
            | Self::SwappedTwice { entry, at, .. }
            | Self::TagNeverOn { entry, at, .. }
            | Self::AfterEnd { entry, at, .. } => (*entry, *at),
        }
    }
}

impl Canonical for JobClash {
    fn canon(&self, out: &mut Canon) {
        out.add(&self.entry());
        out.add(&self.at());
        match self {
            Self::NeverOut { place, piece, then, .. } => {
                out.add("never-out");
                out.add(&(place, piece, *then));
            }
            Self::InAgain { place, piece, .. } => {
                out.add("in-again");
                out.add(&(place, piece));
            }
            Self::OutNotIn { piece, left, .. } => {
                out.add("out-not-in");
                out.add(&(piece, left));
            }
            Self::LeftBehind { place, piece, ended, .. } => {
                out.add("left-behind");
                out.add(&(place, piece, ended));
            }
            Self::SwappedTwice { tag, first, second, .. } => {
                out.add("swapped-twice");
                out.add(&(tag, first, second));
            }
            Self::TagNeverOn { tag, .. } => {
                out.add("tag-never-on");
                out.add(tag);
            }
            Self::AfterEnd { what, ended, .. } => {
                out.add("after-end");
                out.add(&(*what, ended));
            }
        }
    }
}
