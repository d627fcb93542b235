//! Why a line was not read.

use burrline_terms::BadWord;
use thiserror::Error as ThisError;

use crate::Unclear;

/// Why a line was not read.
#[derive(Debug, ThisError)]
pub enum Error {
    /// The line cannot be read; the words say what would be right.
    #[error("{0}")]
    Usage(String),
    /// A word of the line is wrong.
    #[error(transparent)]
    Word(#[from] BadWord),
    /// The line could be meant in more than one way; the hand is asked.
    #[error("{0}")]
    Unclear(Unclear),
    /// A fault of the program.
    #[error("this is a fault of the program, please report it: {0}")]
    Bug(String),
}

impl Error {
    /// What would be right.
    pub fn usage(text: impl Into<String>) -> Self {
        Self::Usage(text.into())
    }
}
