//! On which days the shop is open: days of the week, and single days on which it is closed.

use burrline_terms::{
    field::{BadWord, Typed},
    time::Day,
};
use jiff::civil::Weekday;

const DAYS: [(&str, Weekday); 7] = [
    ("mon", Weekday::Monday),
    ("tue", Weekday::Tuesday),
    ("wed", Weekday::Wednesday),
    ("thu", Weekday::Thursday),
    ("fri", Weekday::Friday),
    ("sat", Weekday::Saturday),
    ("sun", Weekday::Sunday),
];

/// The days of the week on which the shop is open, such as `mon-sat` or `tue,thu,sat`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OpenDays(Vec<Weekday>);

impl Typed for OpenDays {
    const HINT: &'static str = "DAYS";

    /// Days and runs of days, with commas between them.
    fn read(text: &str) -> Result<Self, BadWord> {
        let wrong = || BadWord::new(text, "days of the week such as mon-sat or tue,thu,sat");
        let mut open = Vec::new();
        for part in text.split(',').map(str::trim) {
            let (first, last) = part.split_once('-').unwrap_or((part, part));
            let first = weekday(first).ok_or_else(wrong)?;
            let last = weekday(last).ok_or_else(wrong)?;
            // A run may pass the end of the week: sat-tue.
            open.extend(first.cycle_forward().take(7).take_while(|day| *day != last));
            open.push(last);
        }
        Ok(Self(open))
    }

    fn show(&self) -> String {
        let name =
            |day: &Weekday| DAYS.iter().find(|(_, other)| other == day).map(|(name, _)| *name);
        self.0.iter().filter_map(name).collect::<Vec<_>>().join(",")
    }
}

impl OpenDays {
    /// Whether the shop is open on a day of the week.
    pub fn has(&self, day: Day) -> bool {
        self.0.contains(&day.0.weekday())
    }
}

/// Single days on which the shop is closed: `2026-12-25`, or `12-25` for every year; two of a kind
/// with `..` between them are a run of days.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClosedDays(Vec<(Date, Date)>);

/// A day of one year, or of every year.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Date {
    Once(Day),
    Yearly(i8, i8),
}

impl Typed for ClosedDays {
    const HINT: &'static str = "DAYS";

    /// Days and runs of days, with commas between them; a run does not end before it begins.
    fn read(text: &str) -> Result<Self, BadWord> {
        let wrong =
            || BadWord::new(text, "days such as 2026-11-26, or 12-25 for every year, 12-24..12-26");
        let mut closed = Vec::new();
        for part in text.split(',').map(str::trim) {
            let (first, last) = part.split_once("..").unwrap_or((part, part));
            let first = Date::read(first.trim()).ok_or_else(wrong)?;
            let last = Date::read(last.trim()).ok_or_else(wrong)?;
            let in_order = match (first, last) {
                (Date::Once(first), Date::Once(last)) => first <= last,
                // The days between the years are a run too: 12-24..01-02.
                (Date::Yearly(..), Date::Yearly(..)) => true,
                (_, _) => false,
            };
            if !in_order {
                return Err(wrong());
            }
            closed.push((first, last));
        }
        Ok(Self(closed))
    }

    fn show(&self) -> String {
        let run = |(first, last): &(Date, Date)| {
            if first == last { first.show() } else { format!("{}..{}", first.show(), last.show()) }
        };
        self.0.iter().map(run).collect::<Vec<_>>().join(", ")
    }
}

impl ClosedDays {
    /// Whether the shop is closed on a day.
    pub fn has(&self, day: Day) -> bool {
        let this = (day.0.month(), day.0.day());
        self.0.iter().any(|run| match *run {
            (Date::Once(first), Date::Once(last)) => first <= day && day <= last,
            (Date::Yearly(m, d), Date::Yearly(to_m, to_d)) => {
                let (first, last) = ((m, d), (to_m, to_d));
                if first <= last {
                    first <= this && this <= last
                } else {
                    this >= first || this <= last
                }
            }
            (_, _) => false,
        })
    }
}

impl Date {
    fn show(self) -> String {
        match self {
            Self::Once(day) => day.show(),
            Self::Yearly(month, day) => format!("{month:02}-{day:02}"),
        }
    }

    fn read(text: &str) -> Option<Self> {
        if let Ok(day) = Day::read(text) {
            return Some(Self::Once(day));
        }
        let (month, day) = text.split_once('-')?;
        let (month, day): (i8, i8) = (month.parse().ok()?, day.parse().ok()?);
        // A leap year, so that 29 February is a day.
        jiff::civil::Date::new(2024, month, day).ok().map(|_| Self::Yearly(month, day))
    }
}

/// A day of the week in words: "Sunday".
pub fn name(day: Day) -> &'static str {
    word_of(day.0.weekday())
}

const fn word_of(day: Weekday) -> &'static str {
    match day {
        Weekday::Monday => "Monday",
        Weekday::Tuesday => "Tuesday",
        Weekday::Wednesday => "Wednesday",
        Weekday::Thursday => "Thursday",
        Weekday::Friday => "Friday",
        Weekday::Saturday => "Saturday",
        Weekday::Sunday => "Sunday",
    }
}

fn weekday(word: &str) -> Option<Weekday> {
    let word = word.trim().to_lowercase();
    let whole = |day: Weekday| word_of(day).to_lowercase() == word;
    DAYS.iter().find(|(short, day)| *short == word || whole(*day)).map(|(_, day)| *day)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> Day {
        Day::read(text).unwrap()
    }

    #[test]
    fn open_days_are_runs_and_single_days() {
        // Source: 2026-11-29 is a Sunday, by the proleptic Gregorian calendar.
        let week = OpenDays::read("mon-sat").unwrap();
        assert!(!week.has(day("2026-11-29")) && week.has(day("2026-11-30")));
        let some = OpenDays::read("Tue, Thursday,sat-sun").unwrap();
        let open: Vec<bool> = (29..=30).map(|d| some.has(day(&format!("2026-11-{d}")))).collect();
        assert_eq!(open, [true, false]);
        let round = OpenDays::read("sat-tue").unwrap();
        assert!(round.has(day("2026-12-01")) && !round.has(day("2026-12-02")));
        for word in ["", "mon-", "mon..sat", "moon", "mon sat"] {
            assert!(OpenDays::read(word).is_err(), "{word}");
        }
    }

    #[test]
    fn closed_days_are_of_one_year_or_of_every_year() {
        let closed = ClosedDays::read("2026-11-26, 12-24..01-01").unwrap();
        for (text, is) in [
            ("2026-11-26", true),
            ("2027-11-26", false),
            ("2026-12-23", false),
            ("2026-12-24", true),
            ("2030-01-01", true),
            ("2030-01-02", false),
        ] {
            assert_eq!(closed.has(day(text)), is, "{text}");
        }
        for word in ["", "christmas", "13-01", "2026-12-26..2026-12-24", "2026-12-24..12-26"] {
            assert!(ClosedDays::read(word).is_err(), "{word}");
        }
    }
}
