//! `reckon ready`.

use burrline_reckon::{
    Working,
    survival::Observed,
    told::ready::{Asked as Question, Unit, ready},
};

use super::{
    Topic,
    asked::{Asked, Phrases},
};
use crate::Error;

const EXAMPLE: &str = "ready 21d 24d 30d 12d+ share 80%";

/// By when a share is ready.
pub(super) static READY: Topic = Topic {
    name: "ready",
    about: "Say by when a share of heads is ready, from times that were seen",
    more: "Takes one time a head: 21d if it was ready after 21 days, 12d+ if it has been here for \
           12 days and is not ready yet, or left before it was. All times are in one unit: h, d \
           or w for hours, days or weeks; without a letter, days. What was still going counts for \
           as long as it was seen, and nothing is said beyond the longest time. `already 5d` asks \
           about one that has lasted 5 days; `share` is 80% where it is not said.",
    examples: &[
        "ready 21d 24d 30d 12d+ share 80%",
        "ready 6w 6w 7w 10w 6w+ 9w+ share 50% sure 90%",
        "ready 21 24 30 45 12+ already 20",
    ],
    choices: &[],
    run,
};

fn run(asked: &Asked) -> Result<Working, Error> {
    let mut phrases = asked.phrases(&["share", "already", "sure"], &[])?;
    let words = phrases.take("");
    let times = words.iter().map(|word| time(word)).collect::<Result<Vec<_>, _>>()?;
    let unit = times.first().map_or(Unit::Days, |(_, unit)| *unit);
    let already = already(&mut phrases)?;
    let mixed = times.iter().chain(already.iter()).any(|(_, other)| *other != unit);
    if mixed {
        return Err(Error::usage(format!(
            "ready: say all times in one unit, such as `burrline reckon {EXAMPLE}`"
        )));
    }
    let share = if phrases.has("share") { phrases.number("share", EXAMPLE)? } else { 80.0 };
    let sure = phrases.sure()?;
    phrases.done(EXAMPLE)?;
    Ok(ready(&Question {
        seen: times.into_iter().map(|(seen, _)| seen).collect(),
        unit,
        share: share / 100.0,
        already: already.map(|(seen, _)| seen.time),
        sure,
    })?)
}

fn already(phrases: &mut Phrases) -> Result<Option<(Observed, Unit)>, Error> {
    match phrases.take("already").as_slice() {
        [] if !phrases.has("already") => Ok(None),
        [word] if !word.ends_with('+') => time(word).map(Some),
        _ => Err(Error::usage("ready: `already` takes one time, such as `already 5d`")),
    }
}

/// `12d+`: twelve days, and not ready yet.
fn time(word: &str) -> Result<(Observed, Unit), Error> {
    let wrong = || {
        Error::usage(format!(
            "ready: \u{201c}{word}\u{201d} is no time; say 21d for ready after 21 days, 12d+ for \
             not ready after 12, as in `burrline reckon {EXAMPLE}`"
        ))
    };
    let bare = word.strip_suffix('+').unwrap_or(word);
    let end = bare.find(|c: char| !(c.is_ascii_digit() || c == '.')).unwrap_or(bare.len());
    let (number, letter) = bare.split_at_checked(end).ok_or_else(wrong)?;
    let unit = match letter {
        "" | "d" | "day" | "days" => Unit::Days,
        "h" => Unit::Hours,
        "w" | "week" | "weeks" => Unit::Weeks,
        _ => return Err(wrong()),
    };
    let time = number.parse().map_err(|_| wrong())?;
    Ok((Observed { time, finished: !word.ends_with('+') }, unit))
}
