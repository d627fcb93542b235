//! What somebody asks the shop, in the words of the bench's command line.

use burrline_bench::{Bench, Error};
use burrline_cli::reading;
use burrline_line as line;
use burrline_screen::Look;

/// Whether a line asks something rather than saying it.
pub(super) fn is_one(words: &str) -> bool {
    reading::is_one(words.split(' ').next().unwrap_or_default())
}

/// Asks, and gives the lines that a person reads.
///
/// # Errors
/// If the words cannot be read or the shop does not answer.
pub(super) async fn read(bench: &Bench, words: &str, look: &Look) -> Result<Vec<String>, Error> {
    reading::lines(bench, &line::split(words)?, look).await
}
