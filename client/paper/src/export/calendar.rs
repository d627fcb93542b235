//! iCalendar (RFC 5545): the days that were promised, and what is due.
//!
//! A day that was amended says what was said first; one that was crossed out is a cancelled event under the
//! same name, so that a calendar which has it takes it off.

use std::collections::BTreeMap;

use burrline_domain::{State, Verb, fold::Job};
use burrline_present::view;
use burrline_terms::{Day, Moment};
use ics::{
    Event, ICalendar, escape_text, parameters,
    properties::{CalScale, Description, DtStart, Name, Status, Summary},
};
use jiff::Timestamp;

use super::typed;

/// How far ahead what is due is put into the calendar: 60 days.
const AHEAD_MS: i64 = 60 * 24 * 60 * 60 * 1000;

/// A calendar of the open jobs as of `now`; names of people are not in it.
pub fn calendar(state: &State, now: Moment) -> String {
    let mut calendar = ICalendar::new("2.0", "-//Burrline//Burrline//EN");
    let stamp = utc(now.0).unwrap_or_default();
    calendar.push(CalScale::new("GREGORIAN"));
    calendar.push(Name::new(escape_text(state.settings().shop_name().unwrap_or("shop"))));
    for job in state.jobs().open() {
        let Some(promised) = promised(state, job) else { continue };
        let line = burrline_present::named::skull(&view::skull_line(state, job));
        let uid = format!("promise-{}@burrline", job.id.job_number());
        let mut whole_day = DtStart::new(promised.day.0.strftime("%Y%m%d").to_string());
        whole_day.append(parameters!("VALUE" => "DATE"));
        let mut event = event(uid, &stamp, whole_day, &format!("promised: {line}"));
        if !promised.changed.is_empty() {
            event.push(Description::new(escape_text(promised.changed)));
        }
        if promised.is_off {
            event.push(Status::cancelled());
        }
        calendar.add_event(event);
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

/// A day that was promised, with what became of the words.
struct Promised {
    day: Day,
    changed: String,
    /// Crossed out, with no other day in its place.
    is_off: bool,
}

/// The day that stands, or else the last that was crossed out.
fn promised(state: &State, job: &Job) -> Option<Promised> {
    let day = |verb: &Verb| if let Verb::Promise(promise) = verb { Some(promise.by) } else { None };
    let trail = state.trail(job.id);
    let last = |stands: bool| {
        let mut items = trail.iter().filter(|item| item.struck_by.is_none() == stands);
        items.rfind(|item| day(item.verb).is_some())
    };
    let item = last(true).or_else(|| last(false))?;
    let first = day(&item.fact.record.entry.verb);
    let amended = item.amended_by.map(|by| {
        let first = first.map_or_else(|| "another line".to_owned(), |day| day.to_string());
        format!("amended {}; first said: {first}", typed(state, by))
    });
    let crossed_out = item.struck_by.map(|by| format!("crossed out {}", typed(state, by)));
    let changed: Vec<String> = amended.into_iter().chain(crossed_out).collect();
    let is_off = item.struck_by.is_some();
    Some(Promised { day: day(item.verb)?, changed: changed.join("; "), is_off })
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
