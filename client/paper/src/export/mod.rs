//! The shop's story in open forms, for other people's tools; made from the bench's own copy.
//!
//! * [`ocel`]: OCEL 2.0 JSON, an object-centric event log, for process mining
//! * [`lines`]: JSON lines, one record each, as `trail --json` has them
//! * [`calendar`]: iCalendar: promised days and what is due
//! * [`jobs`]: CSV: a row a job
//! * [`mod@journal`]: the books, as a plain-text accounting journal and as CSV with a row a posting
//!
//! Details of people are sealed and are in none of them.

pub mod calendar;
pub mod jobs;
pub mod journal;
pub mod lines;
pub mod ocel;

use burrline_domain::{State, fold::Fact};
use burrline_terms::Moment;

/// The facts that count, in order of happening: neither struck nor refused.
fn counting(state: &State) -> Vec<&Fact> {
    let mut facts: Vec<&Fact> = state
        .facts()
        .filter(|fact| !fact.refused() && state.meaning(fact.record.entry.name).is_some())
        .collect();
    facts.sort_by_key(|fact| fact.key);
    facts
}

/// A moment in universal time, as RFC 3339 has it.
fn stamp(at: Moment) -> String {
    jiff::Timestamp::from_millisecond(at.0).map(|at| at.to_string()).unwrap_or_default()
}
