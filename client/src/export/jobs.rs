//! CSV (RFC 4180): a row a job, open and ended. Names of people are not in it.

use burrline_domain::State;
use burrline_present::view;

use super::stamp;
use crate::Error;

/// The columns.
const HEAD: [&str; 13] = [
    "job", "ticket", "tag", "species", "taken_in", "promised", "place", "stage", "held", "ended",
    "charged", "paid", "owed",
];

/// A table of every job, in the order of their take-in.
///
/// # Errors
/// [`Error::Bug`] if a row cannot be written.
pub fn jobs(state: &State) -> Result<String, Error> {
    let bug = |error: &dyn std::fmt::Display| Error::Bug(error.to_string());
    let mut out = csv::Writer::from_writer(Vec::new());
    out.write_record(HEAD).map_err(|e| bug(&e))?;
    let mut jobs: Vec<_> = state.jobs().values().collect();
    jobs.sort_by_key(|job| (job.taken_in.map(|taken| taken.at), job.id));
    for job in jobs {
        let line = view::skull_line(state, job);
        let share = state.share(job.id);
        let ended = job.ended.as_ref();
        out.write_record([
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
            share.paid.to_string(),
            share.owed().to_string(),
        ])
        .map_err(|e| bug(&e))?;
    }
    let bytes = out.into_inner().map_err(|e| bug(&e))?;
    String::from_utf8(bytes).map_err(|e| bug(&e))
}
