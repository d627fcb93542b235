//! What values a setting takes, and how they are checked.

use std::fmt;

use burrline_terms::{
    Length, Mass, Temperature,
    field::{BadWord, Typed},
    measure::{Altitude, Power, Pressure},
    money::Money,
    time::Day,
    units::Span,
};
use rust_decimal::Decimal;

use crate::{
    house::{lawdates::Row, uses::Uses},
    verb::{self, Class, On},
};

/// How a value of a form of its own is checked: the setting and the value, to what is wrong.
pub type Check = fn(&str, &str) -> Result<(), BadWord>;

/// What values a setting takes. Bounds are written as they would be typed, and are within.
#[derive(Debug, Clone, Copy)]
pub enum Takes {
    /// Any words.
    Text,
    /// A whole number of something, from one to another.
    Whole(&'static str, u32, u32),
    /// A number of something, from one to another.
    Number(&'static str, &'static str, &'static str),
    /// A time, from one to another.
    Span(&'static str, &'static str),
    /// One of these words.
    OneOf(&'static [&'static str]),
    /// A form of its own: what it is called, and its check.
    Form(&'static str, Check),
}

impl fmt::Display for Takes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Text => f.write_str("any words"),
            Self::Whole("", low, high) => write!(f, "a whole number from {low} to {high}"),
            Self::Whole(of, low, high) => {
                write!(f, "a whole number of {of} from {low} to {high}")
            }
            Self::Number(of, low, high) => write!(f, "a number of {of} from {low} to {high}"),
            Self::Span(low, high) => write!(f, "a time from {low} to {high}"),
            Self::OneOf(words) => f.write_str(&words.join(" or ")),
            Self::Form(what, _) => f.write_str(what),
        }
    }
}

impl Takes {
    /// Whether a value is one of these; else what is wrong, where the form itself can tell that.
    pub(super) fn check(&self, setting: &str, value: &str) -> Result<(), Option<String>> {
        let fits = match *self {
            Self::Text => true,
            Self::Whole(_, low, high) => number(value).is_some_and(|number| {
                number.is_integer() && (low.into()..=high.into()).contains(&number)
            }),
            Self::Number(_, low, high) => {
                number(value).is_some_and(|n| within(n, number(low), number(high)))
            }
            Self::Span(low, high) => {
                minutes(value).is_some_and(|m| within(m, minutes(low), minutes(high)))
            }
            Self::OneOf(words) => words.contains(&self.bare(value).as_str()),
            Self::Form(_, check) => {
                return check(setting, value).map_err(|bad| Some(format!("{setting}: {bad}")));
            }
        };
        if fits { Ok(()) } else { Err(None) }
    }

    /// A value as its type reads it: a number without its sign for per cent and without a fraction of
    /// nothing, a word without capitals.
    pub(super) fn bare(&self, value: &str) -> String {
        match self {
            Self::Whole(..) | Self::Number(..) => number(value)
                .map_or_else(|| value.to_owned(), |number| number.normalize().to_string()),
            Self::OneOf(_) => value.trim().to_lowercase(),
            Self::Text | Self::Span(..) | Self::Form(..) => value.to_owned(),
        }
    }
}

fn within(value: Decimal, low: Option<Decimal>, high: Option<Decimal>) -> bool {
    low.is_some_and(|low| low <= value) && high.is_some_and(|high| value <= high)
}

fn number(value: &str) -> Option<Decimal> {
    Decimal::read(value.trim().trim_end_matches('%').trim()).ok()
}

fn minutes(value: &str) -> Option<Decimal> {
    Some(Span::read(value).ok()?.minutes())
}

/// A check that the type itself makes.
pub(super) fn typed<T: Typed>(_: &str, value: &str) -> Result<(), BadWord> {
    T::read(value).map(drop)
}

/// What one of some work uses; that work is a line about a skull.
pub(super) fn used_by(setting: &str, value: &str) -> Result<(), BadWord> {
    let word = setting.split_once('.').map_or(setting, |(_, word)| word);
    let spec = verb::spec(word).filter(|spec| spec.on == On::Skull && spec.class == Class::Fact);
    if spec.is_none() {
        return Err(BadWord::new(
            word,
            "a line about a skull, such as mount, coat, wrap or take-in",
        ));
    }
    Uses::read(value).map(drop)
}

/// A check by a question about the words.
fn asked(value: &str, right: bool, wanted: &str) -> Result<(), BadWord> {
    if right { Ok(()) } else { Err(BadWord::new(value, wanted)) }
}

pub(super) fn zone(_: &str, value: &str) -> Result<(), BadWord> {
    asked(value, jiff::tz::TimeZone::get(value).is_ok(), "a time zone by its name")
}

pub(super) fn two_letters(_: &str, value: &str) -> Result<(), BadWord> {
    let right = value.len() == 2 && value.chars().all(|c| c.is_ascii_alphabetic());
    asked(value, right, "two letters")
}

pub(super) fn coin(_: &str, value: &str) -> Result<(), BadWord> {
    asked(value, Money::read(value)? > Money::ZERO, "a coin")
}

pub(super) fn law_row(setting: &str, value: &str) -> Result<(), BadWord> {
    Row::of_setting(setting, value).map(drop)
}

/// The lowest dry land is the shore of the Dead Sea; the top of the troposphere is the highest that
/// the pressure of the air is known for.
pub(super) fn altitude(_: &str, value: &str) -> Result<(), BadWord> {
    let metres = Altitude::read(value)?.metres();
    let right = (Decimal::from(-440)..=Decimal::from(11_000)).contains(&metres);
    asked(value, right, "where anybody boils skulls: from -440m, the Dead Sea, to 11000m")
}

pub(super) fn barometer(_: &str, value: &str) -> Result<(), BadWord> {
    let pascals = Pressure::read(value)?.pascals();
    let right = (Decimal::from(22_600)..=Decimal::from(110_000)).contains(&pascals);
    asked(value, right, "what a barometer on the ground shows: from 226hPa to 1100hPa")
}

/// A difference, which knows no zero: in degrees Fahrenheit nine fifths as many.
pub(super) fn margin(_: &str, value: &str) -> Result<(), BadWord> {
    let margin = Temperature::read(value)?;
    let (low, high) = if margin.fahrenheit { (18, 1080) } else { (10, 600) };
    let right = (Decimal::new(low, 1)..=Decimal::new(high, 1)).contains(&margin.number);
    asked(value, right, "from 1 to 60 degrees Celsius below the boil")
}

pub(super) fn scale_step(_: &str, value: &str) -> Result<(), BadWord> {
    let grams = Mass::read(value)?.grams();
    let right = (Decimal::new(1, 2)..=Decimal::from(500)).contains(&grams);
    asked(value, right, "what a scale for skulls is graduated in: from 0.01 g to 500 g")
}

pub(super) fn power(_: &str, value: &str) -> Result<(), BadWord> {
    asked(value, Power::read(value)?.watts() > Decimal::ZERO, "more than nothing")
}

pub(super) fn width(_: &str, value: &str) -> Result<(), BadWord> {
    asked(value, Length::read(value)?.millimetres() > Decimal::ZERO, "more than nothing")
}

/// A month and a day of any year.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MonthDay {
    month: i8,
    day: i8,
}

impl MonthDay {
    /// The day of a year; the last of February stands for a 29th that the year does not have.
    pub fn of(self, year: i16) -> Option<Day> {
        let day = if (self.month, self.day) == (2, 29) { 28 } else { self.day };
        jiff::civil::Date::new(year, self.month, day).ok().map(Day)
    }
}

impl Typed for MonthDay {
    const HINT: &'static str = "MONTH-DAY";

    fn read(word: &str) -> Result<Self, BadWord> {
        /// A year that has no 29 February.
        const COMMON_YEAR: i16 = 2025;
        let read = |(month, day): (&str, &str)| {
            let read = Self { month: month.parse().ok()?, day: day.parse().ok()? };
            read.of(COMMON_YEAR).map(|_| read)
        };
        let parts = word.trim().split_once('-');
        parts.and_then(read).ok_or_else(|| BadWord::new(word, "a month and a day, such as 07-01"))
    }

    fn show(&self) -> String {
        format!("{:02}-{:02}", self.month, self.day)
    }
}
