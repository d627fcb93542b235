//! "At 10:40": a time as a hand says it, in the shop's zone.
//!
//! * `phrase`: the words of a time
//! * `readings`: what they can mean now
//!
//! A time has one meaning, or the hand is asked. With nobody to ask, the line fails and lists
//! the words that have one meaning. These have two: a time that is still to come today (it may
//! be yesterday's), `4:10` without its half of the day, `3/4` (March or April), and an hour
//! that the clocks showed twice. A time that the clocks skipped is refused.
//!
//! Common practice, no source: "about" is half an hour either side. Morning is 05:00 to 12:00,
//! afternoon lasts until 17:00, evening until 22:00, and night is 17:00 to 05:00.

mod phrase;
mod readings;
#[cfg(test)]
mod tests;

use burrline_terms::{Day, Moment, SaidTime};
use jiff::{Timestamp, ZonedDateTime, tz::TimeZone};

use crate::Error;

/// What a time looks like, for whoever typed something else.
const SUCH_AS: &str = "10:40, 4:10 pm, 09:00..10:30, about 9, this morning, yesterday 16:00, fri \
                       10:40, 20 min ago or 2026-11-24T17:00";

/// What is meant by the words of a time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Meant {
    /// One time.
    Sure(SaidTime),
    /// It is not sure, and a hand is asked.
    Asked {
        /// Why.
        why: String,
        /// What it can be; at least one.
        readings: Vec<Reading>,
    },
}

/// One of the times that words can mean.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reading {
    /// The time.
    pub time: SaidTime,
    /// As it is shown: "yesterday, Tue 2026-11-24 17:00".
    pub shown: String,
    /// The words that mean this one and no other.
    pub say: String,
}

/// The shop's zone by its name; UTC if this machine does not know it.
pub fn zone(name: &str) -> TimeZone {
    TimeZone::get(name).unwrap_or(TimeZone::UTC)
}

/// A moment in a zone; the zone's earliest time if it is out of all range.
pub fn local(moment: Moment, zone: &TimeZone) -> ZonedDateTime {
    let stamp = Timestamp::from_millisecond(moment.0).unwrap_or(Timestamp::UNIX_EPOCH);
    stamp.to_zoned_datetime(zone.clone())
}

/// The day that it is in a zone.
pub fn day(moment: Moment, zone: &TimeZone) -> Day {
    Day(local(moment, zone).date())
}

/// How many of the words after `at` belong to the time, and the time as typed. Whatever follows is what
/// was done.
///
/// # Errors
/// [`Error::Usage`] if they begin with something else.
pub fn at_front(words: &[String]) -> Result<(usize, String), Error> {
    let parts: Vec<&str> = words.iter().flat_map(|word| word.split_whitespace()).collect();
    let wrong = || no_time(words.first().map_or("", String::as_str));
    let (mut left, _) = phrase::phrase(&parts).ok_or_else(wrong)?;
    let mut taken = Vec::new();
    for word in words {
        if left == 0 {
            break;
        }
        // What was quoted is one word, and all of it is the time or none.
        left = left.checked_sub(word.split_whitespace().count()).ok_or_else(|| no_time(word))?;
        taken.push(word.as_str());
    }
    Ok((taken.len(), taken.join(" ")))
}

/// What is meant by the words of a time that are typed now.
///
/// # Errors
/// [`Error::Usage`] if it is no time, is still to come, or never was.
pub fn meant(words: &str, now: Moment, zone: &TimeZone) -> Result<Meant, Error> {
    let parts: Vec<&str> = words.split_whitespace().collect();
    match phrase::phrase(&parts) {
        Some((taken, phrase)) if taken == parts.len() => {
            readings::meant(words.trim(), &phrase, &local(now, zone))
        }
        Some(_) | None => Err(no_time(words)),
    }
}

/// The time that is meant, where nobody is there to be asked.
///
/// # Errors
/// As for [`meant`]; and where it is not sure which, with what to type instead.
pub fn said_time(words: &str, now: Moment, zone: &TimeZone) -> Result<SaidTime, Error> {
    match meant(words, now, zone)? {
        Meant::Sure(time) => Ok(time),
        Meant::Asked { why, readings } => {
            let all = readings.iter().map(|one| format!("{} for {}", one.say, one.shown));
            let all: Vec<String> = all.collect();
            Err(Error::usage(format!("{why}; say {}", all.join(", or "))))
        }
    }
}

/// The one moment that is meant.
///
/// # Errors
/// As for [`said_time`]; and if it is an interval.
pub fn said(words: &str, now: Moment, zone: &TimeZone) -> Result<Moment, Error> {
    let time = said_time(words, now, zone)?;
    if !time.is_point() {
        return Err(Error::usage(format!(
            "\u{201c}{words}\u{201d} is no one moment, and one is wanted here, such as 10:40"
        )));
    }
    Ok(time.from)
}

fn no_time(words: &str) -> Error {
    Error::usage(format!("\u{201c}{words}\u{201d} is no time; say it like {SUCH_AS}"))
}
