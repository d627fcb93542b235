//! Days as people write them. Nobody guesses: 3/4/2026 is asked about.

use burrline_terms::{Day, Typed as _};

/// What comes first in a day that is all numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Order {
    /// 4/3/2026 is the fourth of March.
    DayFirst,
    /// 3/4/2026 is the fourth of March.
    MonthFirst,
}

/// Reads a day: 2026-11-24, 24.11.2026, Nov 24 2026, 24 November 2026, 11/24/2026.
///
/// # Errors
/// The words to tell: what was expected, or which two days it could be.
pub fn read(text: &str, order: Option<Order>) -> Result<Day, String> {
    let text = text.trim();
    // A time of day after it says nothing here.
    let text =
        text.split_once('T').filter(|(day, _)| Day::read(day).is_ok()).map_or(text, |(day, _)| day);
    let text = without_time(text);
    if let Ok(day) = Day::read(text) {
        return Ok(day);
    }
    if let Some(day) = counted(text) {
        return Err(format!(
            "{text} is how a spreadsheet counts days ({day}, if it counts from 1900): have it write the \
             column as days, like 2026-11-24"
        ));
    }
    let parts: Vec<&str> =
        text.split(['/', '.', '-', ' ', ',']).filter(|part| !part.is_empty()).collect();
    let [a, b, c] = parts.as_slice() else { return Err(no_day(text)) };
    match (number(a), number(b), number(c)) {
        (Some(year), Some(month), Some(day)) if a.len() == 4 => made(year, month, day, text),
        (Some(first), Some(second), Some(year)) if c.len() == 4 => {
            let order = if text.contains('.') { Some(Order::DayFirst) } else { order };
            numbers(first, second, year, order, text)
        }
        (Some(day), None, Some(year)) if c.len() == 4 => made(year, month(b, text)?, day, text),
        (None, Some(day), Some(year)) if c.len() == 4 => made(year, month(a, text)?, day, text),
        (_, _, Some(_)) if c.len() == 2 => {
            Err(format!("{text}: which century? Write the year with four digits"))
        }
        _ => Err(no_day(text)),
    }
}

/// The text without a time of day at its end: `11/24/2026 0:00`, `2026-11-24 05:30 PM`.
fn without_time(text: &str) -> &str {
    let half = |word: &str| matches!(word.to_lowercase().as_str(), "am" | "pm");
    let bare = text.rsplit_once(' ').filter(|(_, last)| half(last)).map_or(text, |(rest, _)| rest);
    let time = |word: &str| {
        word.contains(':') && word.chars().all(|c| c.is_ascii_digit() || ":.".contains(c))
    };
    bare.trim().rsplit_once(' ').filter(|(_, last)| time(last)).map_or(text, |(day, _)| day.trim())
}

/// The day that a spreadsheet means by a bare number, from 1990 to 2100. Source: OOXML, ISO/IEC 29500-1,
/// 18.17.4.1, the 1900 date system, in which 2 is 1 January 1900 counted as 1; from memory.
fn counted(text: &str) -> Option<Day> {
    let whole = text.split_once('.').map_or(text, |(whole, _)| whole);
    let days: i64 = whole.parse().ok().filter(|days| (32_874..73_051).contains(days))?;
    let begin = jiff::civil::Date::constant(1899, 12, 30);
    begin.checked_add(jiff::Span::new().days(days)).ok().map(Day)
}

fn numbers(
    first: i16,
    second: i16,
    year: i16,
    order: Option<Order>,
    text: &str,
) -> Result<Day, String> {
    let day_first = made(year, second, first, text);
    let month_first = made(year, first, second, text);
    match (order, day_first, month_first) {
        (Some(Order::DayFirst), day, _) | (Some(Order::MonthFirst), _, day) => day,
        (None, Ok(one), Ok(other)) if one != other => Err(format!(
            "{text} could be {one} or {other}: say --dates day-first or --dates month-first"
        )),
        (None, Ok(day), _) | (None, Err(_), Ok(day)) => Ok(day),
        (None, Err(words), Err(_)) => Err(words),
    }
}

fn made(year: i16, month: i16, day: i16, text: &str) -> Result<Day, String> {
    let date = i8::try_from(month).ok().zip(i8::try_from(day).ok());
    let date = date.and_then(|(month, day)| jiff::civil::Date::new(year, month, day).ok());
    date.map(Day).ok_or_else(|| no_day(text))
}

/// A month by its name, or at least the first three letters of it.
fn month(word: &str, text: &str) -> Result<i16, String> {
    let word = word.to_lowercase();
    let found = burrline_line::calendar::month(&word);
    found.map(i16::from).ok_or_else(|| no_day(text))
}

fn number(part: &str) -> Option<i16> {
    let digits = !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    if digits { part.parse().ok() } else { None }
}

fn no_day(text: &str) -> String {
    format!("\u{201c}{text}\u{201d} is no day; write it like 2026-11-24")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> Result<String, String> {
        read(text, None).map(|day| day.to_string())
    }

    #[test]
    fn a_day_is_read_in_many_spellings() {
        for text in [
            "2026-11-24",
            "2026/11/24",
            "24.11.2026",
            "11/24/2026",
            "24/11/2026",
            "Nov 24 2026",
            "Nov 24, 2026",
            "24 nov 2026",
            "24-Nov-2026",
            "November 24 2026",
            " 2026-11-24T17:00 ",
            "2026-11-24 00:00:00",
            "11/24/2026 0:00",
            "11/24/2026 5:30 PM",
        ] {
            assert_eq!(day(text).as_deref(), Ok("2026-11-24"), "{text}");
        }
        assert_eq!(day("3/3/2026").as_deref(), Ok("2026-03-03"));
    }

    #[test]
    fn what_could_be_two_days_is_asked_about() {
        assert_eq!(
            day("3/4/2026").unwrap_err(),
            "3/4/2026 could be 2026-04-03 or 2026-03-04: say --dates day-first or --dates month-first"
        );
        assert_eq!(read("3/4/2026", Some(Order::DayFirst)).unwrap().to_string(), "2026-04-03");
        assert_eq!(read("3/4/2026", Some(Order::MonthFirst)).unwrap().to_string(), "2026-03-04");
        assert!(read("24/11/2026", Some(Order::MonthFirst)).is_err());
        // 45,000 is 15 March 2023 in every spreadsheet that counts from 1900.
        assert!(day("45000").unwrap_err().contains("(2023-03-15, if it counts from 1900)"));
        assert!(day("3/4/26").unwrap_err().contains("four digits"));
        for text in ["", "soon", "31/2/2026", "2026-13-01", "Ma 3 2026", "1/2", "-1/2/2026"] {
            assert!(day(text).is_err(), "{text}");
        }
    }
}
