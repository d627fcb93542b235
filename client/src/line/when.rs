//! "At 10:40": a time as a hand says it, in the shop's zone.

use burrline_domain::{Day, Moment};
use jiff::{Timestamp, ToSpan as _, ZonedDateTime, civil, tz::TimeZone};

use crate::Error;

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

/// Reads a said time: `10:40` is today or, if that is still to come, yesterday; a day may be said
/// too, as in `2026-11-24T17:00`.
///
/// # Errors
/// [`Error::Usage`] if it is no time, or is still to come.
pub fn said(word: &str, now: Moment, zone: &TimeZone) -> Result<Moment, Error> {
    let wrong = || {
        Error::usage(format!(
            "\u{201c}{word}\u{201d} is no time; say it like 10:40 or 2026-11-24T17:00"
        ))
    };
    let here = local(now, zone);
    let moment = if let Some(time) = clock_time(word) {
        let today =
            here.date().to_datetime(time).to_zoned_datetime(zone.clone()).map_err(|_| wrong())?;
        if today.timestamp() <= here.timestamp() {
            today.timestamp()
        } else {
            let yesterday = here.date().checked_sub(1.day()).map_err(|_| wrong())?;
            let then = yesterday.to_datetime(time).to_zoned_datetime(zone.clone());
            then.map_err(|_| wrong())?.timestamp()
        }
    } else if let Ok(stamp) = word.parse::<Timestamp>() {
        stamp
    } else {
        let civil: civil::DateTime = word.parse().map_err(|_| wrong())?;
        civil.to_zoned_datetime(zone.clone()).map_err(|_| wrong())?.timestamp()
    };
    if moment > here.timestamp() {
        return Err(Error::usage(format!("{word} is still to come; say when it happened")));
    }
    Ok(Moment(moment.as_millisecond()))
}

/// `7:05` or `17:00`.
fn clock_time(word: &str) -> Option<civil::Time> {
    let (hour, minute) = word.split_once(':')?;
    let digits =
        |text: &str| (1..=2).contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit());
    if !digits(hour) || !digits(minute) || minute.len() != 2 {
        return None;
    }
    civil::Time::new(hour.parse().ok()?, minute.parse().ok()?, 0, 0).ok()
}

#[cfg(test)]
mod tests {
    use burrline_domain::Typed as _;

    use super::*;

    fn at(word: &str) -> Result<String, Error> {
        let zone = TimeZone::fixed(jiff::tz::offset(-7));
        let now = Moment::read("2026-11-25T18:02:00Z").unwrap();
        said(word, now, &zone).map(|moment| moment.show())
    }

    #[test]
    fn a_clock_time_is_today_or_else_yesterday() {
        assert_eq!(at("10:40").unwrap(), "2026-11-25T17:40:00Z");
        assert_eq!(at("17:00").unwrap(), "2026-11-25T00:00:00Z");
        assert_eq!(at("2026-11-20T08:00").unwrap(), "2026-11-20T15:00:00Z");
    }

    #[test]
    fn what_is_no_time_or_still_to_come_is_told() {
        for word in ["25:00", "10:4", "noon", "2026-11-26T08:00", ""] {
            assert!(at(word).is_err(), "{word}");
        }
    }
}
