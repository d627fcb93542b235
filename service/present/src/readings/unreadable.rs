//! Why there is no answer to a reading.

use burrline_proto::{Malformed, v1::Reason};
use thiserror::Error;

/// Why there is no answer: the reason for programs, and words for a person.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{words}")]
pub struct Unreadable {
    /// The reason.
    pub reason: Reason,
    /// What to tell.
    pub words: String,
}

impl Unreadable {
    /// A reason in words.
    pub fn new(reason: Reason, words: impl Into<String>) -> Self {
        Self { reason, words: words.into() }
    }

    /// What was asked is not what it claims to be.
    pub fn malformed(words: impl Into<String>) -> Self {
        Self::new(Reason::Malformed, words)
    }

    /// The answer to another question came.
    pub fn other() -> Self {
        Self::new(Reason::Unspecified, "the answer is one to another question")
    }
}

impl From<Malformed> for Unreadable {
    fn from(malformed: Malformed) -> Self {
        Self::malformed(malformed.to_string())
    }
}
