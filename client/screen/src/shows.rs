//! Where an answer goes: a terminal, or whatever else can show one.

use burrline_bench::{Bench, Error};
use jiff::tz::TimeZone;

use super::{Look, Page};

/// Shows what a command found, and opens the bench that it asks.
pub trait Shows {
    /// Shows a result.
    fn page(&self, page: &Page);
    /// Tells something besides the result.
    fn tell(&self, words: &str);
    /// How things look here, in a shop of this zone.
    fn look(&self, zone: TimeZone) -> Look;
    /// Whether somebody watches, who is shown how far something has come.
    fn is_watched(&self) -> bool;
    /// The bench that is asked.
    ///
    /// # Errors
    /// If there is none, or its folder cannot be used.
    fn bench(&self) -> Result<Bench, Error>;
}
