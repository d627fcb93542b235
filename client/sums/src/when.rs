//! Days as they are typed in a question: `today`, `11/16/2026`.

use burrline_terms::{Day, Typed as _};

use super::asked::Asked;
use crate::Error;

/// The question with its days as lines take them. Words of `keys` are none, whatever they look like.
///
/// # Errors
/// For `3/4/2026`, which is a day in March or in April.
pub(super) fn with_days(asked: &Asked, keys: &[&str]) -> Result<Asked, Error> {
    let today = asked.here().today();
    let mut words = Vec::with_capacity(asked.words().len());
    for word in asked.words() {
        let day = match (word.to_lowercase().as_str(), today) {
            (key, _) if keys.contains(&key) => None,
            ("today", Some(today)) => Some(today),
            ("yesterday", Some(today)) => today.0.yesterday().ok().map(Day),
            _ => slashed(word)?,
        };
        words.push(day.map_or_else(|| word.clone(), |day| day.show()));
    }
    Ok(asked.with_words(&words))
}

/// `11/16/2026`, whichever of the first two is the month.
fn slashed(word: &str) -> Result<Option<Day>, Error> {
    let parts: Option<Vec<i16>> = word.split('/').map(|part| part.parse().ok()).collect();
    let Some([first, second, year]) = parts.as_deref() else { return Ok(None) };
    if *year < 1000 {
        return Ok(None);
    }
    let day = |month: i16, day: i16| {
        let (month, day) = (i8::try_from(month).ok()?, i8::try_from(day).ok()?);
        of_calendar(*year, month, day)
    };
    match (day(*first, *second), day(*second, *first)) {
        (Some(one), Some(other)) if one != other => Err(Error::usage(format!(
            "{word} can be {} or {}: say which of the two",
            one.show(),
            other.show()
        ))),
        (one, other) => Ok(one.or(other)),
    }
}

fn of_calendar(year: i16, month: i8, day: i8) -> Option<Day> {
    Day::read(&format!("{year:04}-{month:02}-{day:02}")).ok()
}
