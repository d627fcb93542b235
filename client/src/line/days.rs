//! Days as they are spoken: `fri`, `tomorrow`, `dec 18`, `12/18`, `2026-12-18`.

use burrline_terms::Day;
use jiff::{ToSpan as _, civil};

use crate::calendar;

/// Which way a day without its year or date lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Towards {
    /// It is still to come, as a promise.
    Ahead,
    /// It has been, as the day of a kill.
    Back,
}

/// What words at the front say of a day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Said {
    /// Nothing.
    No,
    /// One day, and how many words it took.
    Is(Day, usize),
    /// Two days, such as `fri` said on a Friday or `3/4`.
    Either(Day, Day, usize),
}

/// Reads a day. Month and day in figures, `12/18`, go by which of them can be a month.
pub(super) fn day(words: &[&str], today: Option<Day>, towards: Towards) -> Said {
    let Some(first) = words.first().map(|word| word.to_lowercase()) else { return Said::No };
    let first = first.trim_end_matches('.');
    if let Ok(date) = first.parse::<civil::Date>() {
        return Said::Is(Day(date), 1);
    }
    let Some(today) = today.map(|day| day.0) else { return Said::No };
    let after =
        |days: i32| today.checked_add(days.days()).map_or(Said::No, |d| Said::Is(Day(d), 1));
    match first {
        "today" => return Said::Is(Day(today), 1),
        "tomorrow" => return after(1),
        "yesterday" => return after(-1),
        _ => {}
    }
    if let Some(weekday) = calendar::weekday(first) {
        return of_week(weekday, today, towards);
    }
    let second = words.get(1).map(|word| word.to_lowercase()).unwrap_or_default();
    let second = second.trim_end_matches(['.', ',']);
    match (calendar::month(first), number(second), number(first), calendar::month(second)) {
        (Some(month), Some(day), _, _) | (_, _, Some(day), Some(month)) => {
            let Some(date) = dated(month, day, today, towards) else { return Said::No };
            match nearer(today, date) {
                Some(nearer) => Said::Either(Day(date), Day(nearer), 2),
                None => Said::Is(Day(date), 2),
            }
        }
        _ => in_figures(first, today, towards),
    }
}

fn of_week(weekday: civil::Weekday, today: civil::Date, towards: Towards) -> Said {
    let ahead = (1..=7).find_map(|n: i32| {
        let days = if towards == Towards::Ahead { n } else { n.checked_neg()? };
        today.checked_add(days.days()).ok().filter(|date| date.weekday() == weekday)
    });
    match ahead {
        Some(date) if today.weekday() == weekday => Said::Either(Day(today), Day(date), 1),
        Some(date) => Said::Is(Day(date), 1),
        None => Said::No,
    }
}

fn number(word: &str) -> Option<i8> {
    let digits = word.trim_end_matches(|c: char| c.is_ascii_alphabetic());
    let ending = word.get(digits.len()..)?;
    let fits = matches!(ending, "" | "st" | "nd" | "rd" | "th");
    digits.parse().ok().filter(|day| fits && (1..=31).contains(day))
}

/// The date of that month and day that lies nearest in that direction.
fn dated(month: i8, day: i8, today: civil::Date, towards: Towards) -> Option<civil::Date> {
    let years = [-1_i16, 0, 1].into_iter().filter_map(|n| today.year().checked_add(n));
    let mut dates = years.filter_map(|year| civil::Date::new(year, month, day).ok());
    match towards {
        Towards::Ahead => dates.find(|date| *date >= today),
        Towards::Back => dates.rfind(|date| *date <= today),
    }
}

/// The same day of the year next to it, where that is nearer to today than the one that was taken for
/// its direction: `nov 7`, promised two weeks later.
fn nearer(today: civil::Date, taken: civil::Date) -> Option<civil::Date> {
    let away = |date: civil::Date| today.duration_until(date).abs();
    let years = [-1_i16, 1].into_iter().filter_map(|n| taken.year().checked_add(n));
    let dates = years.filter_map(|year| civil::Date::new(year, taken.month(), taken.day()).ok());
    dates.min_by_key(|date| away(*date)).filter(|date| away(*date) < away(taken))
}

/// `12/18` or `12/18/2026`. Where both figures can be a month, both days are given.
fn in_figures(word: &str, today: civil::Date, towards: Towards) -> Said {
    let parts: Vec<&str> = word.split('/').collect();
    let (one, two, year) = match parts.as_slice() {
        [one, two] => (one, two, None),
        [one, two, year] if year.len() == 4 => (one, two, year.parse::<i16>().ok()),
        _ => return Said::No,
    };
    let (Some(one), Some(two)) = (number(one), number(two)) else { return Said::No };
    let date = |month: i8, day: i8| match year {
        Some(year) => civil::Date::new(year, month, day).ok(),
        None => dated(month, day, today, towards),
    };
    match (date(one, two), date(two, one)) {
        (Some(first), Some(second)) if first != second => Said::Either(Day(first), Day(second), 1),
        (Some(date), _) | (None, Some(date)) => {
            let nearer = nearer(today, date).filter(|_| year.is_none());
            nearer.map_or(Said::Is(Day(date), 1), |nearer| Said::Either(Day(date), Day(nearer), 1))
        }
        (None, None) => Said::No,
    }
}

#[cfg(test)]
mod tests {
    use burrline_terms::Typed as _;

    use super::*;

    fn read(line: &str, towards: Towards) -> String {
        // A Tuesday.
        let today = Day::read("2026-11-24").ok();
        let words: Vec<&str> = line.split(' ').collect();
        match day(&words, today, towards) {
            Said::No => "no".into(),
            Said::Is(day, used) => format!("{day} ({used})"),
            Said::Either(one, two, _) => format!("{one} or {two}?"),
        }
    }

    #[test]
    fn a_day_is_read_in_the_direction_of_its_field() {
        for (line, ahead, back) in [
            ("fri", "2026-11-27 (1)", "2026-11-20 (1)"),
            ("Friday,", "no", "no"),
            ("tomorrow", "2026-11-25 (1)", "2026-11-25 (1)"),
            ("tue", "2026-11-24 or 2026-12-01?", "2026-11-24 or 2026-11-17?"),
            ("dec 18", "2026-12-18 (2)", "2025-12-18 or 2026-12-18?"),
            ("18 dec", "2026-12-18 (2)", "2025-12-18 or 2026-12-18?"),
            ("Nov. 7th", "2027-11-07 or 2026-11-07?", "2026-11-07 (2)"),
            ("12/18", "2026-12-18 (1)", "2025-12-18 or 2026-12-18?"),
            ("3/4", "2027-03-04 or 2027-04-03?", "2026-03-04 or 2026-04-03?"),
            ("11/11/2026", "2026-11-11 (1)", "2026-11-11 (1)"),
            ("2026-12-18", "2026-12-18 (1)", "2026-12-18 (1)"),
            ("0417", "no", "no"),
            ("soon", "no", "no"),
        ] {
            assert_eq!(read(line, Towards::Ahead), ahead, "{line}");
            assert_eq!(read(line, Towards::Back), back, "{line}");
        }
    }
}
