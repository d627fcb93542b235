//! Lines that are on no job, and whose each can be.

use burrline_domain::{State, fold::Job};
use burrline_proto::v1;
use burrline_terms::{EntryName, Moment, Skull, Tag};

use super::{near, skull_line};
use crate::misfits;

/// A line that is on no job.
#[derive(Debug, Clone, PartialEq)]
pub struct Unplaced {
    /// The entry.
    pub entry: EntryName,
    /// When it happened.
    pub at: Moment,
    /// As typed.
    pub line: String,
    /// Why it is on none.
    pub why: String,
    /// The jobs that it can belong to, the likeliest first.
    pub could_be: Vec<v1::SkullLine>,
}

/// Every one of them, in order of happening.
pub fn unplaced(state: &State) -> Vec<Unplaced> {
    let clashes = state.clashes();
    state
        .unplaced()
        .map(|(entry, verb)| {
            let clash = clashes.iter().find(|clash| clash.entry == entry);
            Unplaced {
                entry,
                at: clash.map_or(Moment(0), |clash| clash.at),
                line: verb.line(),
                why: clash.map(|clash| misfits::why(state, clash)).unwrap_or_default(),
                could_be: verb.skull().map(|skull| could_be(state, skull)).unwrap_or_default(),
            }
        })
        .collect()
}

/// The job that was meant, those that ever wore the tag, the open ones first, then near tags.
fn could_be(state: &State, skull: &Skull) -> Vec<v1::SkullLine> {
    let worn = skull.tag.as_ref().map(|tag| state.ever_wore(tag)).unwrap_or_default();
    let mut jobs: Vec<&Job> =
        skull.job.into_iter().chain(worn).filter_map(|job| state.job(job)).collect();
    jobs.sort_by_key(|job| job.ended.is_some());
    let mut lines: Vec<v1::SkullLine> =
        jobs.into_iter().map(|job| skull_line(state, job)).collect();
    lines.extend(skull.tag.iter().flat_map(|tag: &Tag| near(state, tag)));
    let mut seen = Vec::new();
    lines.retain(|line| {
        let new = !seen.contains(&line.number);
        seen.push(line.number.clone());
        new
    });
    lines.truncate(5);
    lines
}
