//! What does not fit within one job.

use std::fmt;

use burrline_terms::{
    canon::{Canon, Canonical},
    name::{EntryName, Name, Tag},
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
        ended: String,
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
        what: String,
        /// How the job had ended.
        ended: String,
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

impl fmt::Display for JobClash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NeverOut { place, piece, then, .. } => {
                write!(
                    f,
                    "{piece} was in {place}, never said out; it had left by \u{201c}{then}\u{201d}"
                )
            }
            Self::InAgain { place, piece, .. } => write!(
                f,
                "{piece} put in {place} again, and was in there already; it counts as one stay: \
                 say when it was out, or strike one of the two"
            ),
            Self::OutNotIn { piece, left: None, .. } => {
                write!(
                    f,
                    "{piece} said out, but it was in no place; say where it was, or strike it"
                )
            }
            Self::OutNotIn { piece, left: Some(place), .. } => write!(
                f,
                "{piece} said out again; it had left {place} already: say where it was in \
                 between, or strike one of the two"
            ),
            Self::LeftBehind { place, piece, ended, .. } => write!(
                f,
                "{piece} is still in {place} after the job had ended ({ended}); say it out, or \
                 bring it to the customer"
            ),
            Self::SwappedTwice { tag, first, second, .. } => write!(
                f,
                "{tag} was swapped twice, for {first} and for {second}; both find it: swap away \
                 the one that is not on it"
            ),
            Self::TagNeverOn { tag, .. } => write!(
                f,
                "{tag} was taken off, but nobody said that it was on; clip-tag it at its time, or \
                 amend this line"
            ),
            Self::AfterEnd { what, ended, .. } => write!(
                f,
                "\u{201c}{what}\u{201d} after the job had ended ({ended}); it counts, and the job \
                 stays ended: bring it back, or strike the line"
            ),
        }
    }
}

impl Canonical for JobClash {
    fn canon(&self, out: &mut Canon) {
        // The words name all that is kept of it beside its entry and moment.
        out.add(&self.entry());
        out.add(&self.at());
        out.add(self.to_string().as_str());
    }
}
