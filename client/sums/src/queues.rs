//! `reckon in-hand` and `reckon places`.

use burrline_reckon::{
    Working,
    queues::{Arrivals, Finishes, Stay},
    told::{
        in_hand::{Two, in_hand},
        places::{Places, places},
    },
};

use super::{
    Topic,
    asked::{Asked, Phrases},
};
use crate::Error;

const HAND: &str = "in-hand come 12 stay 5 per week";
const LINE: &str = "places 3 come 10 finish 4 per week";

/// Arrivals, stay and how many are in hand.
pub(super) static IN_HAND: Topic = Topic {
    name: "in-hand",
    about: "Reckon how many are in hand, how long each stays, how many come",
    more: "Takes two of `come` (how many arrive), `stay` (how long each is here) and `hand` (how \
           many are here), and gives the third. `per` is the unit of time: hour, day, week, month \
           or year; week where it is not said.",
    examples: &[HAND, "in-hand hand 60 come 12", "in-hand hand 40 stay 21 per day"],
    choices: &[],
    run: run_in_hand,
};

/// The line before several like places.
pub(super) static PLACES: Topic = Topic {
    name: "places",
    about: "Reckon the line before pots, tubs or tanks, or how many it takes",
    more: "Takes how many places there are, how many heads `come` and how many one place can \
           `finish` in the same unit of time. With `for 10%` instead of a number it gives the \
           fewest places before which no more than that share waits. `per` is the unit of time: \
           hour, day, week, month or year; week where it is not said.",
    examples: &[LINE, "places for 10% come 10 finish 4", "places 1 come 24 finish 30 per day"],
    choices: &[],
    run: run_places,
};

fn run_in_hand(asked: &Asked) -> Result<Working, Error> {
    let mut phrases = asked.phrases(&["come", "stay", "hand", "per"], &[])?;
    let said = |phrases: &Phrases| ["come", "stay", "hand"].map(|key| phrases.has(key));
    let two = match said(&phrases) {
        [true, true, false] => Two::ComeAndStay(
            Arrivals(phrases.number("come", HAND)?),
            Stay(phrases.number("stay", HAND)?),
        ),
        [true, false, true] => {
            Two::HandAndCome(phrases.number("hand", HAND)?, Arrivals(phrases.number("come", HAND)?))
        }
        [false, true, true] => {
            Two::HandAndStay(phrases.number("hand", HAND)?, Stay(phrases.number("stay", HAND)?))
        }
        _ => {
            return Err(Error::usage(format!(
                "in-hand: say two of come, stay and hand, as in `burrline reckon {HAND}`"
            )));
        }
    };
    let unit = unit(&mut phrases, HAND)?;
    phrases.done(HAND)?;
    Ok(in_hand(two, unit)?)
}

fn run_places(asked: &Asked) -> Result<Working, Error> {
    let mut phrases = asked.phrases(&["for", "come", "finish", "per"], &[])?;
    let wanted = if phrases.has("for") {
        Places::ForWaiting(phrases.number("for", PLACES.examples.last().unwrap_or(&LINE))? / 100.0)
    } else {
        Places::Are(phrases.want("", LINE)?)
    };
    let come = Arrivals(phrases.number("come", LINE)?);
    let finish = Finishes(phrases.number("finish", LINE)?);
    let unit = unit(&mut phrases, LINE)?;
    phrases.done(LINE)?;
    Ok(places(wanted, come, finish, unit)?)
}

fn unit(phrases: &mut Phrases, example: &str) -> Result<&'static str, Error> {
    const UNITS: [&str; 5] = ["hour", "day", "week", "month", "year"];
    let words = phrases.take("per");
    match words.as_slice() {
        [] if !phrases.has("per") => Ok("week"),
        [word] => UNITS.into_iter().find(|unit| unit == word).ok_or_else(|| {
            let all = UNITS.join(", ");
            Error::usage(format!(
                "\u{201c}{word}\u{201d} is not one of {all}: `burrline reckon {example}`"
            ))
        }),
        _ => Err(Error::usage(format!("say one unit of time: `burrline reckon {example}`"))),
    }
}
