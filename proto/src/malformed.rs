//! Why bytes or messages cannot be what they claim to be.

use burrline_terms::{BadWord, field::echo};
use thiserror::Error;

/// A message that is not well formed, and where in it.
#[derive(Debug, Clone, PartialEq, Error)]
#[error("malformed{at}: {why}", at = self.shown())]
pub struct Malformed {
    /// The field, from the outside in, such as `verb.in.skull.tag`; empty for the whole message.
    pub field: String,
    /// What is wrong with it.
    pub why: Wrong,
}

/// What is wrong with a field.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum Wrong {
    /// It has to be set and is not.
    #[error("it is missing")]
    Missing,
    /// The number stands for no word of its closed list.
    #[error("{0} stands for nothing in its list; a newer version may know it, so upgrade")]
    UnknownNumber(i32),
    /// The verb's number in the schema is not known here.
    #[error("no verb, or one that only a newer version knows, so upgrade")]
    UnknownVerb,
    /// The value is not one that could have been typed.
    #[error("\u{201c}{}\u{201d} is not {}", echo(&.0.word), .0.wanted)]
    Value(BadWord),
    /// Bytes of a fixed length have another one.
    #[error("it has {got} bytes and not {want}")]
    Length {
        /// The length that it has, in bytes.
        got: usize,
        /// The length that it must have, in bytes.
        want: usize,
    },
    /// There are more bytes than an entry may have.
    #[error("it has {got} bytes and at most {most} are taken")]
    TooLong {
        /// The length that it has, in bytes.
        got: usize,
        /// The most that is taken, in bytes.
        most: usize,
    },
    /// An amendment amends with an amendment.
    #[error("an amendment of an amendment; amend the first line again instead")]
    NestedAmend,
    /// The bounds of a happening are out of order.
    #[error("its bounds are out of order")]
    Bounds,
    /// The bytes are no message of this kind.
    #[error("{0}")]
    Undecodable(#[from] prost::DecodeError),
}

impl Malformed {
    /// Says that a whole message is wrong.
    pub const fn new(why: Wrong) -> Self {
        Self { field: String::new(), why }
    }

    /// Says that a field of a message is wrong.
    pub fn field(field: &str, why: Wrong) -> Self {
        Self { field: field.to_owned(), why }
    }

    /// The same, seen from the message around it, in which this one is `field`.
    #[must_use]
    pub fn within(mut self, field: &str) -> Self {
        if !self.field.is_empty() {
            self.field.insert(0, '.');
        }
        self.field.insert_str(0, field);
        self
    }

    fn shown(&self) -> String {
        if self.field.is_empty() { String::new() } else { format!(" {}", self.field) }
    }
}

impl From<Wrong> for Malformed {
    fn from(why: Wrong) -> Self {
        Self::new(why)
    }
}

impl From<BadWord> for Malformed {
    fn from(bad: BadWord) -> Self {
        Self::new(Wrong::Value(bad))
    }
}

impl From<prost::DecodeError> for Malformed {
    fn from(error: prost::DecodeError) -> Self {
        Self::new(Wrong::Undecodable(error))
    }
}
