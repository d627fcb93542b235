//! Why a question was not answered.

use burrline_reckon::{
    Absurd,
    shown::{Shown, in_units},
};
use burrline_terms::BadWord;
use thiserror::Error as ThisError;

/// Why a question was not answered.
#[derive(Debug, ThisError)]
pub enum Error {
    /// It is typed wrong, or it cannot be; the words say what to type instead.
    #[error("{0}")]
    Usage(String),
    /// Its words cannot be read.
    #[error(transparent)]
    Line(#[from] burrline_line::Error),
}

impl Error {
    /// The same, with its figures in these units.
    pub(crate) fn in_units(self, shown: Shown) -> Self {
        match self {
            Self::Usage(words) => Self::Usage(in_units(&words, shown)),
            Self::Line(error) => Self::Line(error),
        }
    }

    /// What would be right.
    pub(crate) fn usage(text: impl Into<String>) -> Self {
        Self::Usage(text.into())
    }
}

impl From<Absurd> for Error {
    fn from(absurd: Absurd) -> Self {
        Self::Usage(absurd.to_string())
    }
}

impl From<BadWord> for Error {
    fn from(word: BadWord) -> Self {
        Self::Line(word.into())
    }
}
