//! The season that a job belongs to, and how many heads there are in it.

use burrline_domain::{State, fold::Job};
use burrline_host::Season;

use crate::view::Zone;

/// The year in which the season began that a job came in.
pub(super) fn season_year(state: &State, job: &Job) -> i64 {
    let day = job.taken_in.and_then(|taken| Zone::of(state).day(taken.at));
    day.map_or(1970, |day| i64::from(state.settings().season_of(day)))
}

/// The moment at which the season of a year began.
fn season_begin(state: &State, year: i64) -> Option<i64> {
    let year = i16::try_from(year).ok()?;
    let begins = state.settings().season_begins().and_then(|begins| begins.of(year));
    let day = begins.map_or_else(|| jiff::civil::Date::new(year, 1, 1).ok(), |day| Some(day.0))?;
    Some(day.to_zoned_datetime(Zone::of(state).0).ok()?.timestamp().as_millisecond())
}

/// Jobs of the same season up to this one, and those that are in the shop.
pub(super) fn season_load(season: &mut Season, state: &State, job: &Job) {
    let taken = job.taken_in.map(|taken| taken.at);
    let until = taken.map_or(i64::MIN, |taken| taken.0);
    let from = season_begin(state, season.year);
    let (mut so_far, mut open) = (0_i64, 0_i64);
    for other in state.jobs().values() {
        let here = other.taken_in.map(|taken| taken.at.0);
        let in_season = here.is_some_and(|at| from.is_none_or(|from| from <= at) && at <= until);
        // One that was only proposed has no day, and is of the season of those without one.
        so_far = so_far.saturating_add(i64::from(in_season || (here.is_none() && taken.is_none())));
        open = open.saturating_add(i64::from(other.ended.is_none()));
    }
    (season.jobs_so_far, season.open_jobs) = (so_far, open);
}
