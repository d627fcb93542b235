//! How a job ends.

use std::fmt;

use burrline_terms::canon::{Canon, Canonical};

/// How a job ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Ending {
    /// The customer has it.
    HandOver,
    /// It was sent.
    Ship,
    /// It went back unworked.
    GiveBack,
    /// An officer took it.
    OfficerTakes,
    /// It was lost, ruined or never collected.
    WriteOff,
    /// The shop sold it, as its own.
    Sell,
    /// The line that began it was crossed out.
    TakeInStruck,
}

impl Ending {
    /// The word of the verb that ends a job so, or of what ended it without one.
    pub const fn word(self) -> &'static str {
        match self {
            Self::HandOver => "hand-over",
            Self::Ship => "ship",
            Self::GiveBack => "give-back",
            Self::OfficerTakes => "officer-takes",
            Self::WriteOff => "write-off",
            Self::Sell => "sell",
            Self::TakeInStruck => "take-in struck",
        }
    }
}

impl fmt::Display for Ending {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

impl Canonical for Ending {
    fn canon(&self, out: &mut Canon) {
        out.add(self.word());
    }
}
