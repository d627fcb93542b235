//! iCalendar (RFC 5545): the days that were promised, and what is due.

use std::collections::BTreeMap;

use burrline_domain::State;
use burrline_present::view;
use burrline_terms::Moment;
use ics::{
    Event, ICalendar, escape_text, parameters,
    properties::{CalScale, DtStart, Name, Summary},
};
use jiff::Timestamp;

/// How far ahead what is due is put into the calendar: 60 days.
const AHEAD_MS: i64 = 60 * 24 * 60 * 60 * 1000;

/// A calendar of the open jobs as of `now`; names of people are not in it.
pub fn calendar(state: &State, now: Moment) -> String {
    let mut calendar = ICalendar::new("2.0", "-//Burrline//Burrline//EN");
    let stamp = utc(now.0).unwrap_or_default();
    calendar.push(CalScale::new("GREGORIAN"));
    calendar.push(Name::new(escape_text(state.settings().shop_name().unwrap_or("shop"))));
    for job in state.jobs().values().filter(|job| job.ended.is_none()) {
        let Some(day) = job.promise else { continue };
        let line = burrline_present::named::skull(&view::skull_line(state, job));
        let uid = format!("promise-{}@burrline", job.id.job_number());
        let mut whole_day = DtStart::new(day.0.strftime("%Y%m%d").to_string());
        whole_day.append(parameters!("VALUE" => "DATE"));
        calendar.add_event(event(uid, &stamp, whole_day, &format!("promised: {line}")));
    }
    // What is due goes by what and where it is, not by its time, so that a calendar that is read again
    // moves it. Where that is not enough, as for two looks at one water, a count tells them apart.
    let mut seen = BTreeMap::new();
    for line in view::due(state, now.plus(AHEAD_MS)) {
        let of = line.skull.as_ref().map(|skull| skull.number.clone()).unwrap_or_default();
        let name = [line.what.as_str(), &of, &line.place].join("-").replace(' ', "-");
        let nth: &mut u32 = seen.entry(name.clone()).or_default();
        *nth = nth.saturating_add(1);
        let what = line.skull.as_ref().map(burrline_present::named::skull).unwrap_or_default();
        let Some(at) = utc(line.at_ms) else { continue };
        let summary = format!("{} {what} {}", line.what, line.place);
        let uid = format!("due-{name}-{nth}@burrline");
        calendar.add_event(event(uid, &stamp, DtStart::new(at), summary.trim()));
    }
    calendar.to_string()
}

fn event<'a>(uid: String, stamp: &str, start: DtStart<'a>, summary: &str) -> Event<'a> {
    let mut event = Event::new(uid, stamp.to_owned());
    event.push(start);
    event.push(Summary::new(escape_text(summary.to_owned())));
    event
}

/// A moment in the calendar's own form.
fn utc(ms: i64) -> Option<String> {
    let at = Timestamp::from_millisecond(ms).ok()?;
    Some(at.strftime("%Y%m%dT%H%M%SZ").to_string())
}
