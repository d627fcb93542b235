//! The words of a said time, before anybody knows what day it is.

use jiff::{
    Timestamp,
    civil::{Date, DateTime, Time, Weekday},
};

use crate::calendar;

/// A time of the clock as it was said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Clock {
    /// As a clock of 24 hours would say it; of an open one, before noon.
    pub(super) time: Time,
    /// Nobody said `am` or `pm`, and it can be either: `4:10`, but not `04:10`.
    pub(super) open: bool,
    /// `am` or `pm` was said.
    pub(super) halved: bool,
}

/// A part of a day. When each begins and ends is common practice, no source.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Part {
    /// 05:00 to 12:00.
    Morning,
    /// 12:00 to 17:00.
    Afternoon,
    /// 17:00 to 22:00.
    Evening,
    /// 17:00 to 05:00 of the next day: whoever says "last night" may mean the evening.
    Night,
}

/// Which day was said.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum DaySaid {
    Unsaid,
    Today,
    Yesterday,
    /// The last one; not today's if `last` was said.
    Weekday {
        day: Weekday,
        last: bool,
    },
    /// With its year; two where nobody knows whether the day or the month comes first.
    Dates(Vec<Date>),
    /// Month and day, the last time that there was one; two where nobody knows which comes first.
    InYear(Vec<(i8, i8)>),
}

/// One end of an exact time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum End {
    /// With its offset.
    Stamp(Timestamp),
    /// As the shop's clocks show it.
    Local(DateTime),
}

/// What was said beside the day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum What {
    /// `10:40`, `4 pm`, `9 in the morning`.
    Clock(Clock, Option<Part>),
    /// `about 9`.
    About(Clock, Option<Part>),
    /// `09:00..10:30`.
    Range(Clock, Clock),
    /// `this morning`.
    Part(Part),
    /// `yesterday`, and no more.
    Day,
    /// `20 min ago`, in milliseconds, and whether `about` was said.
    Ago(i64, bool),
    /// `2026-11-24T17:00`; with another end, an interval.
    Exact(End, Option<End>),
}

/// A said time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Phrase {
    pub(super) day: DaySaid,
    pub(super) what: What,
}

/// Words that say that a time is not meant to the minute.
const ABOUT: &[&str] = &["about", "around", "ca", "ca.", "circa"];

/// Reads a said time off the front of some words, and says how many of them belong to it; none if they
/// begin with something else.
pub(super) fn phrase(words: &[&str]) -> Option<(usize, Phrase)> {
    let mut cursor = Cursor { words, taken: 0 };
    let about = cursor.one_of(ABOUT);
    let phrase = cursor.phrase(about)?;
    Some((cursor.taken, phrase))
}

struct Cursor<'a> {
    words: &'a [&'a str],
    taken: usize,
}

impl<'a> Cursor<'a> {
    fn phrase(&mut self, about: bool) -> Option<Phrase> {
        if let Some(ms) = self.tried(Self::ago) {
            return Some(Phrase { day: DaySaid::Unsaid, what: What::Ago(ms, about) });
        }
        if let Some(exact) = self.tried(Self::exact) {
            return (!about).then_some(Phrase { day: DaySaid::Unsaid, what: exact });
        }
        let day = self.tried(Self::day);
        // "yesterday at 16:00", "yesterday about 9".
        self.tried(|c| c.one_of(&["at"]).then(|| c.peek_clock()).flatten());
        let about = about || self.one_of(ABOUT);
        if let Some((day, part)) = self.tried(|c| c.part(day.as_ref())) {
            return (!about).then_some(Phrase { day, what: What::Part(part) });
        }
        let Some((from, until)) = self.tried(Self::range) else {
            let day = day.filter(|_| !about)?;
            return Some(Phrase { day, what: What::Day });
        };
        if let Some(until) = until {
            let day = day.or_else(|| self.tried(Self::day)).unwrap_or(DaySaid::Unsaid);
            return (!about).then_some(Phrase { day, what: What::Range(from, until) });
        }
        // "9 this morning", "9 in the morning", "10:40 yesterday".
        let part = self.tried(|c| c.part(day.as_ref()));
        let (day, part) = match (day, part) {
            (Some(day), part) => (day, part.map(|(_, part)| part)),
            (None, Some((day, part))) => (day, Some(part)),
            (None, None) => (self.tried(Self::day).unwrap_or(DaySaid::Unsaid), None),
        };
        let what = if about { What::About(from, part) } else { What::Clock(from, part) };
        Some(Phrase { day, what })
    }

    /// Tries something that takes words, and takes none if it comes to nothing.
    fn tried<T>(&mut self, what: impl FnOnce(&mut Self) -> Option<T>) -> Option<T> {
        let before = self.taken;
        let found = what(self);
        if found.is_none() {
            self.taken = before;
        }
        found
    }

    fn peek(&self) -> Option<&'a str> {
        self.words.get(self.taken).copied()
    }

    fn next(&mut self) -> Option<String> {
        let word = self.peek()?;
        self.taken = self.taken.saturating_add(1);
        Some(word.trim_end_matches(',').to_lowercase())
    }

    fn one_of(&mut self, words: &[&str]) -> bool {
        let is_one = |c: &mut Self| c.next().filter(|word| words.contains(&word.as_str()));
        self.tried(is_one).is_some()
    }

    fn peek_clock(&mut self) -> Option<()> {
        let before = self.taken;
        let clock = self.clock();
        self.taken = before;
        clock.map(|_| ())
    }

    /// `20 min ago`, `half an hour ago`.
    fn ago(&mut self) -> Option<i64> {
        let first = self.next()?;
        let (number, unit) = match first.as_str() {
            "half" if self.one_of(&["an", "a"]) && self.one_of(&["hour"]) => {
                return self.one_of(&["ago"]).then_some(30 * 60_000);
            }
            "an" | "a" => ("1".to_owned(), self.next()?),
            word => match word.find(|c: char| !c.is_ascii_digit()) {
                Some(end) => {
                    let (number, unit) = word.split_at_checked(end)?;
                    (number.to_owned(), unit.to_owned())
                }
                None => (first.clone(), self.next()?),
            },
        };
        let ms: i64 = match unit.as_str() {
            "m" | "min" | "mins" | "minute" | "minutes" => 60_000,
            "h" | "hr" | "hrs" | "hour" | "hours" => 3_600_000,
            _ => return None,
        };
        let number: i64 = number.parse().ok()?;
        self.one_of(&["ago"]).then(|| number.checked_mul(ms)).flatten()
    }

    /// `2026-11-24T17:00`, with its offset or without, and to another such time.
    fn exact(&mut self) -> Option<What> {
        let word = self.peek()?;
        self.next()?;
        if let Some((from, until)) = word.split_once("..") {
            return Some(What::Exact(end(from)?, Some(end(until)?)));
        }
        Some(What::Exact(end(word)?, None))
    }

    fn day(&mut self) -> Option<DaySaid> {
        let last = self.one_of(&["last"]);
        let word = self.next()?;
        if let Some(day) = calendar::weekday(&word) {
            return Some(DaySaid::Weekday { day, last });
        }
        if last {
            return None;
        }
        match word.as_str() {
            "today" => return Some(DaySaid::Today),
            "yesterday" => return Some(DaySaid::Yesterday),
            _ => {}
        }
        if word.len() == 10
            && let Ok(date) = word.parse::<Date>()
        {
            return Some(DaySaid::Dates(vec![date]));
        }
        if let Some(month) = month(&word) {
            let day = self.next()?;
            return Some(DaySaid::InYear(vec![(month, day_of_month(&day)?)]));
        }
        if let Some(day) = day_of_month(&word)
            && let Some(month) = self.tried(|c| month(&c.next()?))
        {
            return Some(DaySaid::InYear(vec![(month, day)]));
        }
        numbers(&word)
    }

    /// `this morning`, `yesterday evening`, `fri morning`, `last night`, `in the morning`.
    fn part(&mut self, day: Option<&DaySaid>) -> Option<(DaySaid, Part)> {
        if day.is_none() && self.one_of(&["tonight"]) {
            return Some((DaySaid::Today, Part::Night));
        }
        if day.is_none() && self.one_of(&["last"]) {
            return self.one_of(&["night"]).then_some((DaySaid::Yesterday, Part::Night));
        }
        let told = if self.one_of(&["this"]) {
            Some(DaySaid::Today)
        } else if self.one_of(&["in"]) {
            self.one_of(&["the"]).then_some(())?;
            None
        } else if day.is_none() {
            self.tried(Self::day)
        } else {
            None
        };
        let part = match self.next()?.as_str() {
            "morning" => Part::Morning,
            "afternoon" => Part::Afternoon,
            "evening" => Part::Evening,
            "night" => Part::Night,
            _ => return None,
        };
        let day = told.or_else(|| day.cloned()).unwrap_or(DaySaid::Unsaid);
        Some((day, part))
    }

    /// A time of the clock, and another one if it is an interval.
    fn range(&mut self) -> Option<(Clock, Option<Clock>)> {
        if self.one_of(&["between"]) {
            let from = self.clock()?;
            self.one_of(&["and"]).then_some(())?;
            return Some((from, Some(self.clock()?)));
        }
        self.one_of(&["from"]);
        if let Some(both) = self.tried(Self::range_in_one_word) {
            return Some(both);
        }
        let from = self.clock()?;
        let until = self.tried(|c| {
            c.one_of(&["..", "-", "\u{2013}", "to", "till", "until"]).then_some(())?;
            c.clock()
        });
        Some((from, until))
    }

    /// `09:00..10:30`, `9-10:30 am`.
    fn range_in_one_word(&mut self) -> Option<(Clock, Option<Clock>)> {
        let word = self.next()?;
        let (from, until) = ["..", "\u{2013}", "-"].iter().find_map(|by| word.split_once(by))?;
        let from = clock(from, None)?;
        let half = self.half();
        Some((from, Some(clock(until, half)?)))
    }

    fn clock(&mut self) -> Option<Clock> {
        let word = self.next()?;
        let half = self.half();
        clock(&word, half)
    }

    /// `am` or `pm` as a word of its own: whether it is the afternoon.
    fn half(&mut self) -> Option<bool> {
        self.tried(|c| match c.next()?.as_str() {
            "am" | "a.m." | "a.m" => Some(false),
            "pm" | "p.m." | "p.m" => Some(true),
            _ => None,
        })
    }
}

fn end(word: &str) -> Option<End> {
    if !word.contains(['T', 't']) {
        return None;
    }
    if let Ok(stamp) = word.parse::<Timestamp>() {
        return Some(End::Stamp(stamp));
    }
    word.parse::<DateTime>().ok().map(End::Local)
}

/// `7:05`, `17:00`, `4:10pm`, `4pm`, `9`, `noon`; `afternoon` if `am` or `pm` was a word of its own.
fn clock(word: &str, afternoon: Option<bool>) -> Option<Clock> {
    if word == "noon" && afternoon.is_none() {
        return Some(Clock { time: Time::new(12, 0, 0, 0).ok()?, open: false, halved: true });
    }
    let (digits, own) = match (word.strip_suffix("am"), word.strip_suffix("pm")) {
        (Some(digits), _) => (digits, Some(false)),
        (None, Some(digits)) => (digits, Some(true)),
        (None, None) => (word, None),
    };
    let half = match (own, afternoon) {
        (Some(_), Some(_)) => return None,
        (own, afternoon) => own.or(afternoon),
    };
    let (hour, minute) = digits.split_once(':').unwrap_or((digits, "00"));
    let is_number =
        |text: &str| (1..=2).contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit());
    if !is_number(hour) || !is_number(minute) || minute.len() != 2 {
        return None;
    }
    // A bare hour is how people talk, and they talk of eleven at night too.
    let to = if digits.contains(':') { 9 } else { 11 };
    let number: i8 = hour.parse().ok()?;
    let open = half.is_none() && !hour.starts_with('0') && (1..=to).contains(&number);
    let hour = match half {
        None => number,
        Some(_) if !(1..=12).contains(&number) => return None,
        Some(false) => number.checked_rem(12)?,
        Some(true) => number.checked_rem(12)?.checked_add(12)?,
    };
    let time = Time::new(hour, minute.parse().ok()?, 0, 0).ok()?;
    Some(Clock { time, open, halved: half.is_some() })
}

fn month(word: &str) -> Option<i8> {
    calendar::month(word.trim_end_matches('.'))
}

/// `24`, `24th`.
fn day_of_month(word: &str) -> Option<i8> {
    let digits = ["st", "nd", "rd", "th"].iter().find_map(|end| word.strip_suffix(end));
    let digits = digits.unwrap_or(word);
    if !(1..=2).contains(&digits.len()) || !digits.bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    digits.parse().ok().filter(|day| (1..=31).contains(day))
}

/// `11/24`, `11/24/2026`: as month and day, as day and month, or as both where both can be.
fn numbers(word: &str) -> Option<DaySaid> {
    let mut parts = word.split('/');
    let (one, other) = (day_of_month(parts.next()?)?, day_of_month(parts.next()?)?);
    let year = parts.next();
    if parts.next().is_some() {
        return None;
    }
    let mut orders = vec![(one, other), (other, one)];
    orders.retain(|(month, _)| *month <= 12);
    orders.dedup();
    let Some(year) = year else {
        return (!orders.is_empty()).then_some(DaySaid::InYear(orders));
    };
    let year: i16 = match year.len() {
        2 => year.parse::<i16>().ok()?.checked_add(2000)?,
        4 => year.parse().ok()?,
        _ => return None,
    };
    let dates: Vec<Date> =
        orders.iter().filter_map(|(month, day)| Date::new(year, *month, *day).ok()).collect();
    (!dates.is_empty()).then_some(DaySaid::Dates(dates))
}
