//! iCalendar (RFC 5545): the days that were promised, and what is due.

use std::collections::BTreeMap;

use burrline_domain::State;
use burrline_present::view;
use burrline_terms::Moment;
use chrono::{DateTime, NaiveDate, Utc};
use icalendar::{Calendar, Component as _, Event, EventLike as _};

/// How far ahead what is due is put into the calendar: 60 days.
const AHEAD_MS: i64 = 60 * 24 * 60 * 60 * 1000;

/// A calendar of the open jobs as of `now`; names of people are not in it.
pub fn calendar(state: &State, now: Moment) -> String {
    let mut calendar = Calendar::new();
    calendar.name(state.settings().shop_name().unwrap_or("shop"));
    for job in state.jobs().values().filter(|job| job.ended.is_none()) {
        let Some(day) = job.promise else { continue };
        let line = crate::render::skull(&view::skull_line(state, job));
        let Some(date) = date(day.0) else { continue };
        calendar.push(
            Event::new()
                .uid(&format!("promise-{}@burrline", job.id.job_number()))
                .all_day(date)
                .summary(&format!("promised: {line}"))
                .done(),
        );
    }
    // What is due goes by what and where it is, not by its time, so that a calendar that is read again
    // moves it. Where that is not enough, as for two looks at one water, a count tells them apart.
    let mut seen = BTreeMap::new();
    for line in view::due(state, now.plus(AHEAD_MS)) {
        let of = line.skull.as_ref().map(|skull| skull.number.clone()).unwrap_or_default();
        let name = [line.what.as_str(), &of, &line.place].join("-").replace(' ', "-");
        let nth: &mut u32 = seen.entry(name.clone()).or_default();
        *nth = nth.saturating_add(1);
        let what = line.skull.as_ref().map(crate::render::skull).unwrap_or_default();
        let Some(at) = moment(line.at_ms) else { continue };
        let summary = format!("{} {what} {}", line.what, line.place);
        calendar.push(
            Event::new()
                .uid(&format!("due-{name}-{nth}@burrline"))
                .starts(at)
                .summary(summary.trim())
                .done(),
        );
    }
    calendar.to_string()
}

fn date(day: jiff::civil::Date) -> Option<NaiveDate> {
    let (year, month, day) = (day.year(), day.month(), day.day());
    NaiveDate::from_ymd_opt(i32::from(year), u32::try_from(month).ok()?, u32::try_from(day).ok()?)
}

fn moment(ms: i64) -> Option<DateTime<Utc>> {
    DateTime::from_timestamp_millis(ms)
}
