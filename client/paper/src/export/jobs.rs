//! CSV (RFC 4180): a row a job, open and ended. Names of people are not in it.

use burrline_domain::{
    State,
    fold::{Job, TrailItem},
};
use burrline_present::view;

use super::stamp;
use crate::{Error, csv::csv};

/// The columns. The last two count lines of the job that were amended or crossed out. Charged, less what is let off, less what was paid and not given back, is owed.
const HEAD: [&str; 16] = [
    "job",
    "ticket",
    "tag",
    "species",
    "taken_in",
    "promised",
    "place",
    "stage",
    "held",
    "ended",
    "charged",
    "paid",
    "owed",
    "let_off",
    "amended",
    "crossed_out",
];

/// A table of every job, in the order of their take-in.
///
/// # Errors
/// [`Error::Bug`] if a row cannot be written.
pub fn jobs(state: &State) -> Result<String, Error> {
    let mut jobs: Vec<_> = state.jobs().values().collect();
    jobs.sort_by_key(|job| (job.taken_in.map(|taken| taken.at), job.id));
    let row = |job: &Job| {
        let line = view::skull_line(state, job);
        let share = state.share(job.id);
        let ended = job.ended.as_ref();
        let trail = state.trail(job.id);
        let changed = |is: fn(&TrailItem<'_>) -> bool| {
            trail.iter().filter(|item| is(item)).count().to_string()
        };
        vec![
            line.number,
            line.ticket,
            line.tag,
            line.species,
            job.taken_in.map(|taken| stamp(taken.at)).unwrap_or_default(),
            line.promised,
            line.place,
            line.stage,
            line.hold,
            ended.map(|(at, how)| format!("{} {how}", stamp(at.at))).unwrap_or_default(),
            share.charged.to_string(),
            share.net().to_string(),
            share.owed().to_string(),
            share.let_off().to_string(),
            changed(|item| item.amended_by.is_some()),
            changed(|item| item.struck_by.is_some()),
        ]
    };
    csv(HEAD.map(str::to_owned), jobs.into_iter().map(row))
}
