//! Hours worked as they are spoken: `3`, `2.5`, `1h30`, `half an hour`, `8 to 12`.

use super::{amount, fit::Fit};

/// More than this in one go are hardly hours.
const MOST_HOURS: f64 = 16.0;

/// Numbers as words, from two on.
const NUMBERS: &[&str] =
    &["two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];

/// Hours without their unit at the front of some words.
pub(super) fn worked(words: &[&str]) -> Fit {
    let small: Vec<String> = words.iter().take(6).map(|word| word.to_lowercase()).collect();
    let small: Vec<&str> = small.iter().map(String::as_str).collect();
    let is = |minutes: u32, used| Fit::Is { value: format!("{minutes}min"), used };
    match small.as_slice() {
        ["an" | "one", "hour", "and", "a", "half", ..] => return is(90, 5),
        ["half", "an", "hour", ..] => return is(30, 3),
        ["half", "hour", ..] => return is(30, 2),
        ["an" | "one", "hour", ..] => return is(60, 2),
        [count, "hours" | "hrs", ..] => {
            let at = NUMBERS.iter().position(|word| word == count);
            if let Some(hours) = at.and_then(|at| u32::try_from(at).ok()) {
                return Fit::Is { value: format!("{}h", hours.saturating_add(2)), used: 2 };
            }
        }
        _ => {}
    }
    if let Some((minutes, used)) = between(&small) {
        if let Some(readings) = few_hours(&small, minutes) {
            let about =
                format!("{}: from when to when, or how many hours?", small.first().unwrap_or(&""));
            return Fit::Unclear { about, readings, used };
        }
        return is(minutes, used);
    }
    let Some(first) = small.first() else { return Fit::No };
    if let Some(minutes) = glued(first) {
        return is(minutes, 1);
    }
    // `3 1/2`: the part is of an hour too.
    if let Some((value, used)) = amount::without_unit(words, &["h"])
        && used > 1
        && let [value] = value.as_slice()
    {
        return Fit::Is { value: value.clone(), used };
    }
    let plain = first.chars().all(|c| c.is_ascii_digit() || c == '.') && !first.starts_with('0');
    let Some(number) = first.parse::<f64>().ok().filter(|_| plain) else { return Fit::No };
    if number <= MOST_HOURS {
        return Fit::Is { value: format!("{first}h"), used: 1 };
    }
    Fit::Unclear {
        about: format!("{first}: hours or minutes?"),
        readings: vec![format!("{first}min"), format!("{first}h")],
        used: 1,
    }
}

/// `1h30`, `1:30`: hours and minutes.
fn glued(word: &str) -> Option<u32> {
    let (hours, minutes) = word.split_once(['h', ':'])?;
    let minutes = minutes.trim_end_matches("min").trim_end_matches('m');
    let (hours, minutes): (u32, u32) = (hours.parse().ok()?, minutes.parse().ok()?);
    (minutes < 60).then_some(hours.checked_mul(60)?.checked_add(minutes)?)
}

/// `2-3`: as likely how many hours as from when to when.
fn few_hours(words: &[&str], minutes: u32) -> Option<Vec<String>> {
    let (low, high) = words.first()?.split_once('-')?;
    let (low, high): (u32, u32) = (low.parse().ok()?, high.parse().ok()?);
    let few = high <= 6 && high == low.checked_add(1)?;
    few.then(|| vec![format!("{minutes}min"), format!("{low}h"), format!("{high}h")])
}

/// `8 to 12`, `8-12`, `8:30 to 1 pm`: from one time of the clock until another, as minutes.
fn between(words: &[&str]) -> Option<(u32, usize)> {
    let from = usize::from(words.first().is_some_and(|word| *word == "from"));
    let first = words.get(from)?;
    if let Some((begin, end)) = first.split_once('-') {
        return Some((lasting(clock(begin)?, clock(end)?)?, from.saturating_add(1)));
    }
    let (begin, used) = timed(words, from)?;
    if !matches!(*words.get(used)?, "to" | "till" | "until" | "-") {
        return None;
    }
    let (end, used) = timed(words, used.saturating_add(1))?;
    Some((lasting(begin, end)?, used))
}

/// A time of the clock at a place of some words, and where the words go on.
fn timed(words: &[&str], at: usize) -> Option<((u32, bool), usize)> {
    let word = words.get(at)?;
    let next = at.saturating_add(1);
    match words.get(next) {
        Some(half) if matches!(*half, "am" | "pm") => {
            Some((clock(&format!("{word}{half}"))?, next.saturating_add(1)))
        }
        _ => Some((clock(word)?, next)),
    }
}

/// The minutes of a day, and whether its half was said.
fn clock(word: &str) -> Option<(u32, bool)> {
    if word == "noon" {
        return Some((720, true));
    }
    let (bare, later, halved) = match (word.strip_suffix("am"), word.strip_suffix("pm")) {
        (Some(bare), _) => (bare, false, true),
        (_, Some(bare)) => (bare, true, true),
        (None, None) => (word, false, false),
    };
    let (hour, minute) = bare.split_once(':').unwrap_or((bare, "0"));
    let (hour, minute): (u32, u32) = (hour.parse().ok()?, minute.parse().ok()?);
    if hour > 24 || minute > 59 || bare.len() > 5 {
        return None;
    }
    let hour = match (halved, later, hour) {
        (true, false, 12) => 0,
        (true, true, 1..=11) => hour.checked_add(12)?,
        (_, _, hour) => hour,
    };
    Some((hour.checked_mul(60)?.checked_add(minute)?, halved))
}

/// How long it is from one time to the next: of two without their halves, the shorter.
fn lasting((begin, begins): (u32, bool), (end, ends): (u32, bool)) -> Option<u32> {
    let half = 12_u32.checked_mul(60)?;
    let open = !(begins && ends) && begin <= half && end <= half;
    let end = match end > begin {
        true => end,
        false if open => end.checked_add(half)?,
        false => return None,
    };
    end.checked_sub(begin).filter(|minutes| (1..=960).contains(minutes))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hours_are_read_as_they_are_spoken() {
        for (line, said) in [
            ("3", "3h"),
            ("2.5", "2.5h"),
            ("1h30", "90min"),
            ("3 1/2", "3.5h"),
            ("half an hour", "30min"),
            ("an hour and a half", "90min"),
            ("8 to 12", "240min"),
            ("8-12", "240min"),
            ("9 to 5", "480min"),
            ("8:30 to 1 pm", "270min"),
            ("12 to 4", "240min"),
            ("8am to noon", "240min"),
            ("two hours", "2h"),
        ] {
            let words: Vec<&str> = line.split(' ').collect();
            assert_eq!(
                worked(&words),
                Fit::Is { value: said.to_owned(), used: words.len() },
                "{line}"
            );
        }
        assert!(matches!(worked(&["90"]), Fit::Unclear { .. }));
        assert_eq!(worked(&["fleshing"]), Fit::No);
    }
}
