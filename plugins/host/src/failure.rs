//! What is said when a script does not give an answer.

use rhai::{EvalAltResult, ParseError, Position};
use serde::{Deserialize, Serialize};

/// A script that could not be compiled, or gave no usable answer.
///
/// It is a plain value: it can be stored with the entry that was not checked, and names the exact source.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, thiserror::Error)]
pub struct ScriptFailure {
    /// The script's name as installed.
    pub script: String,
    /// SHA-256 of the script's source, lower-case hex.
    pub digest: String,
    /// Line in the source, from 1; unset where the failure has no place in it.
    pub line: Option<u32>,
    /// Column in the source, from 1; unset where the failure has no place in it.
    pub column: Option<u32>,
    /// What went wrong, in words for the shop's owner, on one line.
    pub words: String,
}

impl std::fmt::Display for ScriptFailure {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}", self.script)?;
        if let Some(line) = self.line {
            write!(f, ", line {line}")?;
        }
        if let Some(column) = self.column {
            write!(f, ", column {column}")?;
        }
        write!(f, ": {}", self.words)
    }
}

/// What is wrong and where, before it is known which script it belongs to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SourceProblem {
    /// Line from 1, if known.
    pub line: Option<u32>,
    /// Column from 1, if known.
    pub column: Option<u32>,
    /// One line of words.
    pub words: String,
}

impl SourceProblem {
    /// A problem with no place in the source.
    pub fn nowhere(words: impl Into<String>) -> Self {
        Self { line: None, column: None, words: one_line(&words.into()) }
    }

    pub(crate) fn at(position: Position, words: &str) -> Self {
        let narrow = |n: Option<usize>| n.and_then(|n| u32::try_from(n).ok());
        Self {
            line: narrow(position.line()),
            column: narrow(position.position()),
            words: one_line(words),
        }
    }

    /// Says which script the problem belongs to.
    pub(crate) fn of(self, script: &str, digest: &str) -> ScriptFailure {
        ScriptFailure {
            script: script.to_owned(),
            digest: digest.to_owned(),
            line: self.line,
            column: self.column,
            words: self.words,
        }
    }
}

impl From<ParseError> for SourceProblem {
    fn from(error: ParseError) -> Self {
        Self::at(error.position(), &error.err_type().to_string())
    }
}

impl From<&EvalAltResult> for SourceProblem {
    fn from(error: &EvalAltResult) -> Self {
        let inner = error.unwrap_inner();
        // A native function knows no place; the call around it does.
        let place = if inner.position().is_none() { error.position() } else { inner.position() };
        let mut words = inner.to_string();
        // rhai ends its words with the place, which is kept apart.
        if let Some(shorter) = words.strip_suffix(&format!(" ({})", inner.position())) {
            words = shorter.to_owned();
        }
        Self::at(place, &words)
    }
}

/// At most this many characters of a script's or the engine's own words are kept.
const LONGEST_WORDS: usize = 400;

fn one_line(words: &str) -> String {
    words.chars().map(|c| if c.is_control() { ' ' } else { c }).take(LONGEST_WORDS).collect()
}
