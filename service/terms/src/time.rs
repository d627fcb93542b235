//! Moments, intervals in which something happened, and civil days.
//!
//! A [`Moment`] is milliseconds in UTC. Nobody knows to the millisecond when most things
//! happened, so [`Happened`] is an interval. `at` puts facts in order. `not_before` and
//! `not_after` bound the moment. `typed` is when the line was typed.
//!
//! A rule with a minimum counts from `not_after`, and a rule with a maximum counts from
//! `not_before`. So doubt never shortens a drying time and never hides a long simmer.
//!
//! A hand may state an interval, such as `at 09:00..10:30`. [`SaidTime::happened`] keeps its
//! bounds, cuts it at the time of typing, and puts `at` half way.

use std::fmt;

use crate::field::{BadWord, Kind, Typed, plain_fields};

/// A moment: milliseconds since 1970-01-01 00:00 UTC.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Moment(pub i64);

impl Moment {
    /// The milliseconds from `earlier` to this, negative if it is later.
    pub const fn since(self, earlier: Self) -> i64 {
        self.0.saturating_sub(earlier.0)
    }

    /// This moment moved by `ms` milliseconds.
    #[must_use]
    pub const fn plus(self, ms: i64) -> Self {
        Self(self.0.saturating_add(ms))
    }
}

impl Typed for Moment {
    const HINT: &'static str = "TIME";
    const KIND: Kind = Kind::Moment;

    fn read(word: &str) -> Result<Self, BadWord> {
        word.trim()
            .parse::<jiff::Timestamp>()
            .map(|t| Self(t.as_millisecond()))
            .map_err(|_| BadWord::new(word, "a time such as 2026-11-25T10:40:00Z"))
    }

    fn show(&self) -> String {
        jiff::Timestamp::from_millisecond(self.0)
            .map_or_else(|_| self.0.to_string(), |t| t.to_string())
    }
}

/// When something happened, as well as the shop can know it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Happened {
    /// The moment that is used to put things in order: the said time, else the measured one.
    pub at: Moment,
    /// It cannot have happened before this; rules with a maximum count from here.
    pub not_before: Moment,
    /// It cannot have happened after this; rules with a minimum count from here.
    pub not_after: Moment,
    /// When it was typed, by the measured clock; never runs backwards within one bench.
    pub typed: Moment,
    /// Whether a hand said the time, so that it is shown as "10:40 said, typed 18:02".
    pub said: bool,
}

impl Happened {
    /// Known to the millisecond: typed when it happened, at a bench whose clock was measured.
    pub const fn exactly(at: Moment) -> Self {
        Self { at, not_before: at, not_after: at, typed: at, said: false }
    }
}

/// When something happened as a hand said it: from a moment until another, both included. A plain
/// time of the clock has the two alike.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct SaidTime {
    /// Not before this.
    pub from: Moment,
    /// Not after this; never before `from`.
    pub until: Moment,
}

impl SaidTime {
    /// One moment.
    pub const fn at(moment: Moment) -> Self {
        Self { from: moment, until: moment }
    }

    /// From one moment until another; in whichever order they are given.
    pub fn between(one: Moment, other: Moment) -> Self {
        Self { from: one.min(other), until: one.max(other) }
    }

    /// Whether it is one moment.
    pub fn is_point(self) -> bool {
        self.from == self.until
    }

    /// The moment that stands for it where one is needed: half way. Nobody said a better one, and
    /// facts are put in order by it.
    pub const fn middle(self) -> Moment {
        let half = match self.until.since(self.from).checked_div(2) {
            Some(half) => half,
            None => 0,
        };
        self.from.plus(half)
    }

    /// The interval of what was said so and was typed at `typed`. Nothing happens after it was typed,
    /// whatever was said; `latest` is the last moment at which it can have been typed.
    pub fn happened(self, typed: Moment, latest: Moment) -> Happened {
        let cut = Self { from: self.from.min(latest), until: self.until.min(latest) };
        let at = cut.middle();
        Happened { at, not_before: cut.from, not_after: cut.until, typed, said: true }
    }
}

impl From<Moment> for SaidTime {
    fn from(moment: Moment) -> Self {
        Self::at(moment)
    }
}

impl From<Moment> for Happened {
    fn from(at: Moment) -> Self {
        Self::exactly(at)
    }
}

/// A civil day in the shop's calendar.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Day(pub jiff::civil::Date);

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl Typed for Day {
    const HINT: &'static str = "DAY";
    const KIND: Kind = Kind::Day;

    fn read(word: &str) -> Result<Self, BadWord> {
        word.trim().parse().map(Self).map_err(|_| BadWord::new(word, "a day such as 2026-12-18"))
    }

    fn show(&self) -> String {
        self.to_string()
    }
}

plain_fields!(Moment, Day);
