//! What may have been meant by a job number whose check digit is wrong.

use burrline_bench::{Error, alone::Then, clock::SystemClock};
use burrline_present::{named, readings::Find};
use burrline_terms::{BadWord, EntryName, Phrase, Typed as _};
use clap::ArgMatches;

/// The error as it is, or, for a job number with a wrong check digit, with the jobs of this bench's
/// copy that are one slip away.
pub fn explained(error: Error, matches: &ArgMatches) -> Error {
    let Error::Word(bad) = error else { return error };
    let first = bad.word.split('/').next().unwrap_or_default();
    if !EntryName::looks_like(first) {
        return Error::Word(bad);
    }
    let here = here(&EntryName::near(first), matches);
    if here.is_empty() {
        return Error::Word(bad);
    }
    let wanted = format!(
        "a job number: its check digit is wrong, read it again; one typing mistake away is {}",
        here.join(", or ")
    );
    Error::Word(BadWord { wanted, ..bad })
}

/// Those of the jobs that the copy knows, with what they are. A bench without a copy knows none.
fn here(near: &[EntryName], matches: &ArgMatches) -> Vec<String> {
    let alone = super::open(matches).and_then(|bench| bench.alone(&SystemClock, Then::default()));
    let Ok(Some(alone)) = alone else { return Vec::new() };
    let known = near.iter().filter_map(|job| {
        let number = job.job_number();
        let words = Phrase::read(&number).ok()?;
        let line = alone.read(Find { words }, 0).ok()?.skulls.into_iter().next()?;
        Some(format!("{number}, {}", named::skull_and_place(&line)))
    });
    known.collect()
}
