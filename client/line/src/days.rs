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

/// What a day is read by.
#[derive(Debug, Clone, Copy)]
pub(super) struct Calendar {
    /// Today; without it a day needs its year.
    pub(super) today: Option<Day>,
    /// Which way a day without its year lies.
    pub(super) towards: Towards,
    /// Figures have the month first, as in the United States.
    pub(super) month_first: bool,
}

/// Reads a day. Month and day in figures, `12/18`, go by which of them can be a month, where the shop
/// does not surely write the month first.
pub(super) fn day(words: &[&str], calendar: Calendar) -> Said {
    let small: Vec<String> = words.iter().take(MOST_WORDS).map(|word| plain(word)).collect();
    let small: Vec<&str> = small.iter().map(String::as_str).collect();
    if let Some(range) = of_range(&small, calendar) {
        return range;
    }
    let said = one_day(&small, calendar);
    let Some(today) = calendar.today.map(|day| day.0) else { return said };
    if let Some(end) = of_months_end(&small, today, calendar.towards) {
        return end;
    }
    if said == Said::No
        && let Some(of_month) = of_month_alone(&small, today, calendar.towards)
    {
        return of_month;
    }
    // `dec 18 friday`: the day of the week is held against the date.
    match said {
        Said::Is(day, used)
            if small.first().is_none_or(|word| calendar::weekday(word).is_none()) =>
        {
            let Some(weekday) = small.get(used).and_then(|word| calendar::weekday(word)) else {
                return Said::Is(day, used);
            };
            with_weekday(day, weekday, today, calendar.towards, used.saturating_add(1))
        }
        Said::Is(..) | Said::Either(..) | Said::No => said,
    }
}

/// `2-3 weeks`, `dec 10-12`, `dec 10 or 12`: two days of which one is meant.
fn of_range(words: &[&str], by: Calendar) -> Option<Said> {
    let one = |words: &[&str]| match one_day(words, by) {
        Said::Is(day, used) if used == words.len() => Some(day),
        Said::Is(..) | Said::Either(..) | Said::No => None,
    };
    let glued = |word: &str| {
        let (low, high) = word.split_once(['-', '\u{2013}'])?;
        let short = number(low).is_some() && number(high).is_some();
        short.then(|| (low.to_owned(), high.to_owned()))
    };
    let parted = |rest: &[&str]| match rest {
        [low, "to" | "or" | "-", high, ..] => {
            Some((((*low).to_owned(), (*high).to_owned()), 3_usize))
        }
        [both, ..] => glued(both).map(|both| (both, 1)),
        [] => None,
    };
    // `2 to 3 weeks`.
    let into = usize::from(words.first().is_some_and(|word| *word == "in"));
    if let Some(((low, high), used)) = parted(words.get(into..)?)
        && let Some(unit) = words.get(into.saturating_add(used))
        && ["day", "days", "week", "weeks", "month", "months"].contains(unit)
    {
        let (one_, two) = (one(&[&low, unit])?, one(&[&high, unit])?);
        return Some(Said::Either(one_, two, into.saturating_add(used).saturating_add(1)));
    }
    // `dec 10-12`.
    let month = words.first().filter(|word| calendar::month(word).is_some())?;
    let ((low, high), used) = parted(words.get(1..)?)?;
    Some(Said::Either(one(&[month, &low])?, one(&[month, &high])?, used.saturating_add(1)))
}

/// `end of the month`, `end of december`, `month's end`: its last day.
fn of_months_end(words: &[&str], today: civil::Date, towards: Towards) -> Option<Said> {
    let the = usize::from(words.first().is_some_and(|word| *word == "the"));
    let ["end", "of", rest @ ..] = words.get(the..)? else { return None };
    let this = usize::from(matches!(rest.first(), Some(&("the" | "this"))));
    let named = rest.get(this).copied()?;
    let first = match calendar::month(named) {
        Some(month) => dated(month, 1, today.first_of_month(), towards)?,
        None if named == "month" => today,
        None => return None,
    };
    let used = the.saturating_add(2).saturating_add(this).saturating_add(1);
    Some(Said::Is(Day(first.last_of_month()), used))
}

/// `the 29th`, `20th`: the nearest such day of a month.
fn of_month_alone(words: &[&str], today: civil::Date, towards: Towards) -> Option<Said> {
    let the = usize::from(words.first().is_some_and(|word| *word == "the"));
    let word = words.get(the)?;
    let ordinal = word.ends_with(|c: char| c.is_ascii_alphabetic());
    let day = number(word).filter(|_| ordinal)?;
    let date = (0..=62_i32).find_map(|n| {
        let days = if towards == Towards::Ahead { n } else { n.checked_neg()? };
        today.checked_add(days.days()).ok().filter(|date| date.day() == day)
    })?;
    Some(Said::Is(Day(date), the.saturating_add(1)))
}

/// The most words that say one day.
const MOST_WORDS: usize = 6;

fn plain(word: &str) -> String {
    word.to_lowercase().trim_end_matches(['.', ',', ';']).to_owned()
}

fn one_day(words: &[&str], by: Calendar) -> Said {
    let Some(first) = words.first() else { return Said::No };
    if let Ok(date) = first.parse::<civil::Date>() {
        return Said::Is(Day(date), 1);
    }
    let Some(today) = by.today.map(|day| day.0) else { return Said::No };
    let after =
        |days: i32| today.checked_add(days.days()).map_or(Said::No, |d| Said::Is(Day(d), 1));
    match *first {
        "today" => return Said::Is(Day(today), 1),
        "tomorrow" => return after(1),
        "yesterday" => return after(-1),
        _ => {}
    }
    if let Some(weekday) = calendar::weekday(first) {
        return of_weekday(weekday, words.get(1..).unwrap_or_default(), today, by);
    }
    if let Some(said) = of_span(words, today, by.towards) {
        return said;
    }
    let second = words.get(1).copied().unwrap_or_default();
    if let Some(weekday) = calendar::weekday(second) {
        return of_named_week(first, weekday, today, by.towards);
    }
    if let Some((month, day, used)) = of_month(words).or_else(|| of_feast(words)) {
        let year = words.get(used).and_then(|word| year(word));
        return match year {
            Some(year) => civil::Date::new(year, month, day)
                .map_or(Said::No, |date| Said::Is(Day(date), used.saturating_add(1))),
            None => without_year(month, day, used, today, by.towards),
        };
    }
    in_figures(first, today, by)
}

/// `dec 18`, `18 dec`, `dec18`, `18th of december`: month, day, and how many words.
fn of_month(words: &[&str]) -> Option<(i8, i8, usize)> {
    let first = words.first()?;
    let glued = first.find(|c: char| c.is_ascii_digit()).filter(|at| *at >= 3);
    if let Some((month, day)) = glued.and_then(|at| first.split_at_checked(at)) {
        return Some((calendar::month(month)?, number(day)?, 1));
    }
    let second = words.get(1)?;
    let of = usize::from(*second == "of");
    let behind = words.get(1_usize.saturating_add(of))?;
    match (calendar::month(first), number(first)) {
        (Some(month), _) if of == 0 => Some((month, number(second)?, 2)),
        (_, Some(day)) => Some((calendar::month(behind)?, day, of.saturating_add(2))),
        (_, _) => None,
    }
}

/// `christmas`, `new year's eve`: feasts that stand on one day.
fn of_feast(words: &[&str]) -> Option<(i8, i8, usize)> {
    let eve = |at: usize| words.get(at).is_some_and(|word| *word == "eve");
    match words {
        ["christmas" | "xmas", ..] if eve(1) => Some((12, 24, 2)),
        ["christmas" | "xmas", ..] => Some((12, 25, 1)),
        ["new", "year's" | "years" | "year", ..] if eve(2) => Some((12, 31, 3)),
        _ => None,
    }
}

fn without_year(month: i8, day: i8, used: usize, today: civil::Date, towards: Towards) -> Said {
    let Some(date) = dated(month, day, today, towards) else { return Said::No };
    match nearer(today, date) {
        Some(nearer) => Said::Either(Day(date), Day(nearer), used),
        None => Said::Is(Day(date), used),
    }
}

/// A year in four figures.
fn year(word: &str) -> Option<i16> {
    word.parse().ok().filter(|year| word.len() == 4 && (2000..2100).contains(year))
}

/// `friday`, `friday dec 18`, `friday the 27th`.
fn of_weekday(weekday: civil::Weekday, rest: &[&str], today: civil::Date, by: Calendar) -> Said {
    let the = usize::from(rest.first().is_some_and(|word| matches!(*word, "the" | "on")));
    let behind = rest.get(the..).unwrap_or_default();
    let before = the.saturating_add(1);
    match one_day(behind, by) {
        Said::Is(day, used) => {
            return with_weekday(day, weekday, today, by.towards, used.saturating_add(before));
        }
        Said::Either(one, two, used) => {
            let used = used.saturating_add(before);
            return match (one.0.weekday() == weekday, two.0.weekday() == weekday) {
                (true, false) => Said::Is(one, used),
                (false, true) => Said::Is(two, used),
                (_, _) => Said::Either(one, two, used),
            };
        }
        Said::No => {}
    }
    // `friday 27`: the first such day that is a Friday.
    let day = behind.first().filter(|word| word.len() <= 4).and_then(|word| number(word));
    if let Some(day) = day {
        let near = (0..=62_i32).filter_map(|n| {
            let days = if by.towards == Towards::Ahead { n } else { n.checked_neg()? };
            today.checked_add(days.days()).ok()
        });
        let mut alike = near.filter(|date| date.weekday() == weekday && date.day() == day);
        if let Some(date) = alike.next() {
            return Said::Is(Day(date), before.saturating_add(1));
        }
    }
    of_week(weekday, today, by.towards)
}

/// `this friday`, `next friday`, `last friday`.
fn of_named_week(
    word: &str,
    weekday: civil::Weekday,
    today: civil::Date,
    towards: Towards,
) -> Said {
    let near = of_week(weekday, today, towards);
    match (word, near) {
        ("this" | "coming" | "on", Said::Is(day, used)) => Said::Is(day, used.saturating_add(1)),
        ("this" | "coming" | "on", Said::Either(one, two, used)) => {
            Said::Either(one, two, used.saturating_add(1))
        }
        ("last", Said::Is(day, used)) if towards == Towards::Back => {
            Said::Is(day, used.saturating_add(1))
        }
        // Said on a Tuesday, next Friday may be that of this week or of the next.
        ("next", Said::Is(day, used)) if towards == Towards::Ahead => {
            let later = day.0.checked_add(7_i32.days()).ok();
            later.map_or(Said::No, |later| Said::Either(day, Day(later), used.saturating_add(1)))
        }
        ("next", Said::Either(_, two, used)) if towards == Towards::Ahead => {
            Said::Is(two, used.saturating_add(1))
        }
        (_, _) => Said::No,
    }
}

/// A date beside a day of the week: both days, if they are not one.
fn with_weekday(
    day: Day,
    weekday: civil::Weekday,
    today: civil::Date,
    towards: Towards,
    used: usize,
) -> Said {
    if day.0.weekday() == weekday {
        return Said::Is(day, used);
    }
    match of_week(weekday, today, towards) {
        Said::Is(other, _) | Said::Either(other, ..) => Said::Either(day, other, used),
        Said::No => Said::No,
    }
}

/// Small numbers as words.
const NUMBERS: &[&str] =
    &["one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];

/// `in 3 weeks`, `10 days`, `two weeks from now`, `3 days ago`.
fn of_span(words: &[&str], today: civil::Date, towards: Towards) -> Option<Said> {
    let before = usize::from(words.first().is_some_and(|word| *word == "in"));
    let count = words.get(before)?;
    let count = match NUMBERS.iter().position(|word| word == count) {
        Some(at) => i32::try_from(at).ok()?.checked_add(1)?,
        None if matches!(*count, "a" | "an") => 1,
        None => count.parse().ok().filter(|days| count.len() <= 3 && (1..=365).contains(days))?,
    };
    let unit = words.get(before.saturating_add(1))?;
    let mut used = before.saturating_add(2);
    let behind = (words.get(used).copied(), words.get(used.saturating_add(1)).copied());
    let ago = behind.0 == Some("ago");
    if ago {
        used = used.saturating_add(1);
    }
    if let (Some("from"), Some("now" | "today")) = behind {
        used = used.saturating_add(2);
    }
    let back = towards == Towards::Back;
    if ago != back {
        return None;
    }
    let count = if back { count.checked_neg()? } else { count };
    let span = match *unit {
        "day" | "days" => count.days(),
        "week" | "weeks" | "wk" | "wks" => count.weeks(),
        "month" | "months" => count.months(),
        _ => return None,
    };
    today.checked_add(span).ok().map(|date| Said::Is(Day(date), used))
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

/// `12/18`, `12-18`, `12/18/2026`, `12.18.26`. Where both figures can be a month and the shop does not
/// write the month first, both days are given.
fn in_figures(word: &str, today: civil::Date, by: Calendar) -> Said {
    let mark = word.find(['/', '-', '.']).and_then(|at| word.get(at..)?.chars().next());
    let Some(mark) = mark else { return Said::No };
    let parts: Vec<&str> = word.split(mark).collect();
    let (one, two, year) = match parts.as_slice() {
        [one, two] if mark != '.' => (one, two, None),
        [one, two, year] if matches!(year.len(), 2 | 4) => {
            let Ok(number) = year.parse::<i16>() else { return Said::No };
            let century = if year.len() == 2 { 2000_i16 } else { 0 };
            (one, two, Some(number.saturating_add(century)))
        }
        _ => return Said::No,
    };
    let short = |part: &&str| part.len() <= 2;
    let (Some(one), Some(two)) = (number(one), number(two)) else { return Said::No };
    if !parts.iter().take(2).all(short) {
        return Said::No;
    }
    let date = |month: i8, day: i8| match year {
        Some(year) => civil::Date::new(year, month, day).ok(),
        None => dated(month, day, today, by.towards),
    };
    match (date(one, two), date(two, one)) {
        (Some(first), Some(second)) if first != second && !by.month_first => {
            Said::Either(Day(first), Day(second), 1)
        }
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
        read_in(line, towards, false)
    }

    fn read_in(line: &str, towards: Towards, month_first: bool) -> String {
        // A Tuesday.
        let today = Day::read("2026-11-24").ok();
        let words: Vec<&str> = line.split(' ').collect();
        match day(&words, Calendar { today, towards, month_first }) {
            Said::No => "no".into(),
            Said::Is(day, used) => format!("{day} ({used})"),
            Said::Either(one, two, _) => format!("{one} or {two}?"),
        }
    }

    #[test]
    fn a_day_is_read_in_the_direction_of_its_field() {
        for (line, ahead, back) in [
            ("fri", "2026-11-27 (1)", "2026-11-20 (1)"),
            ("Friday,", "2026-11-27 (1)", "2026-11-20 (1)"),
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

    #[test]
    fn a_day_is_read_as_it_is_said() {
        for (line, ahead) in [
            ("dec 18 2026", "2026-12-18 (3)"),
            ("dec 18, 2026", "2026-12-18 (3)"),
            ("18 dec 2026", "2026-12-18 (3)"),
            ("Dec18", "2026-12-18 (1)"),
            ("12-18", "2026-12-18 (1)"),
            ("12.18.2026", "2026-12-18 (1)"),
            ("12/18/26", "2026-12-18 (1)"),
            ("in 3 weeks", "2026-12-15 (3)"),
            ("10 days", "2026-12-04 (2)"),
            ("two weeks from now", "2026-12-08 (4)"),
            ("a week", "2026-12-01 (2)"),
            ("this friday", "2026-11-27 (2)"),
            ("next friday", "2026-11-27 or 2026-12-04?"),
            ("friday dec 18", "2026-12-18 (3)"),
            ("dec 18 friday", "2026-12-18 (3)"),
            ("friday the 27th", "2026-11-27 (3)"),
            ("friday 27", "2026-11-27 (2)"),
            ("monday dec 18", "2026-12-18 or 2026-11-30?"),
            ("3 days ago", "no"),
        ] {
            assert_eq!(read(line, Towards::Ahead), ahead, "{line}");
        }
        assert_eq!(read("3 days ago", Towards::Back), "2026-11-21 (3)");
        assert_eq!(read("3 days", Towards::Back), "no");
        assert_eq!(read("11/12", Towards::Back), "2026-11-12 or 2025-12-11?");
        assert_eq!(read_in("11/12", Towards::Back, true), "2026-11-12 (1)");
        assert_eq!(read_in("25/12", Towards::Ahead, true), "2026-12-25 (1)");
    }
}
