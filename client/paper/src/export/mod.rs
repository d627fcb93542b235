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

use burrline_domain::{State, fold::TrailItem};
use burrline_present::view::Zone;
use burrline_terms::{EntryName, Moment};

/// What was not refused, in order of happening, with what was amended and what was crossed out.
fn told(state: &State) -> Vec<TrailItem<'_>> {
    let facts = state.facts().filter(|fact| !fact.refused());
    let mut items: Vec<TrailItem<'_>> =
        facts.filter_map(|fact| state.trail_item(fact.record.entry.name)).collect();
    items.sort_by_key(|item| item.fact.key);
    items
}

/// When a correction was typed, for people.
fn typed(state: &State, correction: EntryName) -> String {
    let fact = state.fact(correction);
    fact.map(|fact| Zone::of(state).time(fact.record.happened.typed, None)).unwrap_or_default()
}

/// A moment in universal time, as RFC 3339 has it.
fn stamp(at: Moment) -> String {
    jiff::Timestamp::from_millisecond(at.0).map(|at| at.to_string()).unwrap_or_default()
}
