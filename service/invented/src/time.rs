//! Days and minutes of the invented season, on the wall clock of its shop.

use burrline_terms::Moment;
use jiff::{ToSpan as _, civil::Date, tz::TimeZone};

/// The shop's zone.
pub const ZONE: &str = "America/Denver";

/// The day from which days are counted, a Sunday.
const FIRST: Date = Date::constant(2025, 8, 31);

/// A day of the season, counted from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct DayNo(pub i64);

/// A minute of the season, on the shop's wall clock.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Minute(pub i64);

impl DayNo {
    /// Whitetail season opens.
    pub const OPENING: Self = Self(69);
    /// The last day that is told.
    pub const LAST: Self = Self(212);

    /// So many days later.
    #[must_use]
    pub const fn plus(self, days: i64) -> Self {
        Self(self.0.saturating_add(days))
    }

    /// The minute at a time of this day, with minutes beyond 59 counted on.
    pub const fn at(self, hour: i64, minute: i64) -> Minute {
        let hours = self.0.saturating_mul(24).saturating_add(hour);
        Minute(hours.saturating_mul(60).saturating_add(minute))
    }

    /// 0 is Sunday, 6 Saturday.
    pub const fn of_week(self) -> i64 {
        self.0.rem_euclid(7)
    }

    /// The date.
    pub fn date(self) -> Date {
        FIRST.checked_add(self.0.days()).unwrap_or(FIRST)
    }
}

impl Minute {
    /// So many minutes later.
    #[must_use]
    pub const fn plus(self, minutes: i64) -> Self {
        Self(self.0.saturating_add(minutes))
    }

    /// The day.
    pub const fn day(self) -> DayNo {
        DayNo(self.0.div_euclid(1440))
    }

    /// The time of the day, such as `09:40`.
    pub fn clock(self) -> String {
        let minutes = self.0.rem_euclid(1440);
        format!("{:02}:{:02}", minutes.div_euclid(60), minutes.rem_euclid(60))
    }

    /// The moment that the shop's wall clock shows this.
    pub fn moment(self, zone: &TimeZone) -> Moment {
        let midnight = self.day().date().at(0, 0, 0, 0);
        let local = midnight.checked_add(self.0.rem_euclid(1440).minutes()).unwrap_or(midnight);
        let zoned = zone.to_ambiguous_zoned_datetime(local).compatible();
        Moment(zoned.map_or(0, |zoned| zoned.timestamp().as_millisecond()))
    }
}

/// The zone itself.
pub fn zone() -> TimeZone {
    TimeZone::get(ZONE).unwrap_or(TimeZone::UTC)
}

#[cfg(test)]
mod tests {
    use burrline_terms::Typed as _;

    use super::*;

    #[test]
    fn the_opening_is_a_saturday_in_november() {
        assert_eq!(DayNo::OPENING.date().to_string(), "2025-11-08");
        assert_eq!(DayNo::OPENING.of_week(), 6);
        assert_eq!(DayNo::LAST.date().to_string(), "2026-03-31");
        let minute = DayNo::OPENING.at(9, 70);
        assert_eq!(minute.clock(), "10:10");
        assert_eq!(minute.moment(&zone()).show(), "2025-11-08T17:10:00Z");
    }
}
