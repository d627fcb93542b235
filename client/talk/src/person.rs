//! Whoever says lines, at a terminal or on a page: is told things, and is asked.

use burrline_bench::{Answerer, Error, answer::Said};
use burrline_terms::words::WaterLook;
use jiff::tz::TimeZone;

/// A hand that the shop does not know.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnknownHand {
    /// What was typed.
    pub typed: String,
    /// Who is known.
    pub known: Vec<String>,
    /// The one who may be meant.
    pub meant: Option<String>,
}

/// A person who says lines. An answer that is none leaves the line off.
pub trait Person: Answerer + Send {
    /// Tells a line of talk.
    fn tell(&mut self, words: &str);

    /// Shows what became of lines.
    fn said(&mut self, said: &Said, zone: &TimeZone);

    /// Whether somebody is there to be asked.
    fn is_there(&self) -> bool;

    /// How the old water of a place looked; none within for one that nobody saw.
    ///
    /// # Errors
    /// If the answer cannot be read.
    fn old_water(&mut self, place: &str) -> Result<Option<Option<WaterLook>>, Error>;

    /// An answer in a word or two.
    ///
    /// # Errors
    /// If the answer cannot be read.
    fn words(&mut self, question: &str) -> Result<Option<String>, Error>;

    /// Which of several is meant, counted from 0.
    fn which(&mut self, question: &str, choices: &[String]) -> Option<usize>;

    /// Who is meant by a name that the shop does not know: one that it knows, or the name as it is.
    ///
    /// # Errors
    /// If the answer cannot be read.
    fn hand(&mut self, unknown: &UnknownHand) -> Result<Option<String>, Error>;
}
