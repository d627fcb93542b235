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
            "\u{201c}{word}\u{201d} is no time; say it like 10:40, 4:10pm or 2026-11-24T17:00"
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

/// What is told of a clock time that was taken as yesterday's: nobody said the day.
pub fn not_today(word: &str, moment: Moment, now: Moment, zone: &TimeZone) -> Option<String> {
    clock_time(word)?;
    let (said, here) = (local(moment, zone), local(now, zone));
    (said.date() != here.date()).then(|| {
        format!(
            "at {word} is still to come today, so it is taken as yesterday's, {}",
            said.strftime("%Y-%m-%d %H:%M")
        )
    })
}

/// `7:05`, `17:00`, `4:10pm` or `4pm`.
fn clock_time(word: &str) -> Option<civil::Time> {
    let lower = word.to_lowercase();
    let half = |ending: &str| lower.strip_suffix(ending);
    let (clock, afternoon) = match (half("am"), half("pm")) {
        (Some(clock), _) => (clock, Some(false)),
        (None, Some(clock)) => (clock, Some(true)),
        (None, None) => (lower.as_str(), None),
    };
    let (hour, minute) = match (clock.split_once(':'), afternoon) {
        (Some((hour, minute)), _) => (hour, minute),
        (None, Some(_)) => (clock, "00"),
        (None, None) => return None,
    };
    let digits =
        |text: &str| (1..=2).contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit());
    if !digits(hour) || !digits(minute) || minute.len() != 2 {
        return None;
    }
    let hour: i8 = hour.parse().ok()?;
    let hour = match afternoon {
        None => hour,
        Some(_) if !(1..=12).contains(&hour) => return None,
        Some(false) => hour.checked_rem(12)?,
        Some(true) => hour.checked_rem(12)?.checked_add(12)?,
    };
    civil::Time::new(hour, minute.parse().ok()?, 0, 0).ok()
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
        assert_eq!(at("10:40am").unwrap(), at("10:40").unwrap());
        assert_eq!(at("5PM").unwrap(), at("17:00").unwrap());
        assert_eq!(at("12:10am").unwrap(), at("0:10").unwrap());
    }

    #[test]
    fn a_clock_time_that_is_yesterday_s_is_told() {
        let zone = TimeZone::fixed(jiff::tz::offset(-7));
        let now = Moment::read("2026-11-25T18:02:00Z").unwrap();
        let told = |word: &str| not_today(word, said(word, now, &zone).unwrap(), now, &zone);
        assert_eq!(told("10:40"), None);
        assert_eq!(told("2026-11-20T08:00"), None);
        assert_eq!(
            told("17:00").unwrap(),
            "at 17:00 is still to come today, so it is taken as yesterday's, 2026-11-24 17:00"
        );
    }

    #[test]
    fn what_is_no_time_or_still_to_come_is_told() {
        for word in ["25:00", "10:4", "noon", "13pm", "0am", "4", "pm", "2026-11-26T08:00", ""] {
            assert!(at(word).is_err(), "{word}");
        }
    }
}
