//! A line that was typed, read until it is clear: what is not is asked about.

use burrline_bench::{Bench, Error, clock::SystemClock};
use burrline_domain::VerbSpec;
use burrline_line as line;
use burrline_line::{Utterance, command};
use clap::ArgMatches;

use super::terminal::Terminal;

/// Reads the verb that was matched. Options that hold for the whole line stay as they were typed,
/// however a word of it is made clear.
///
/// # Errors
/// As [`Bench::clear`].
pub async fn utterance(
    bench: &Bench,
    spec: &'static VerbSpec,
    matches: &ArgMatches,
    terminal: &Terminal,
) -> Result<Utterance, Error> {
    let (words, _, details) = command::taken(spec, matches);
    let common = command::common_of(matches);
    let typed = std::iter::once(spec.word.to_owned()).chain(words).collect();
    let reading = |lexicon: &_| line::from_matches(spec, matches, lexicon);
    let read = bench.clear(&SystemClock, &mut terminal.hand(), typed, reading).await?;
    Ok(Utterance { common: common.or(read.common), details: details.or(read.details), ..read })
}
