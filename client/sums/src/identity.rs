//! `reckon check-digit`, `check-number`, `score`, `skull-score` and `compare`.

use std::collections::BTreeMap;

use burrline_domain::compare::{Tolerance, Twice};
use burrline_reckon::{
    Working,
    antler::{
        Chart,
        horn::{Both, horn_score},
        rack_of, rack_score, skull_measured,
    },
    checkdigit::{check_digit, check_number},
    compare::compared,
};
use burrline_terms::{
    Length, Typed as _,
    checkdigit::Scheme,
    inches::{Eighths, Sixteenths},
};

use rust_decimal::Decimal;

use super::{Choice, Topic, asked::Asked};
use crate::Error;

const SCHEME: Choice = Choice {
    name: "scheme",
    help: "Which published scheme; job numbers use damm",
    values: &[
        "damm", "verhoeff", "luhn", "gs1", "mod11,10", "mod11-2", "mod37-2", "mod37,36", "mod97-10",
    ],
};

/// The check digit of a number.
pub(super) static CHECK_DIGIT: Topic = Topic {
    name: "check-digit",
    about: "Reckon the check digit of a number",
    more: "Takes a number without its check digit; spaces and hyphens do not count.",
    examples: &["check-digit 572", "check-digit 79462 --scheme mod11,10"],
    choices: &[SCHEME],
    run: |asked| Ok(check_digit(scheme(asked)?, &asked.typed())?),
};

/// Whether a number agrees with its check digit.
pub(super) static CHECK_NUMBER: Topic = Topic {
    name: "check-number",
    about: "Say whether a number agrees with its check digit",
    more: "Takes a whole number, check digit and all. If it is wrong, numbers that are one \
           typing mistake away and right are listed.",
    examples: &["check-number 5724", "check-number 002006673085 --scheme mod11,10"],
    choices: &[SCHEME],
    run: |asked| Ok(check_number(scheme(asked)?, &asked.typed())?),
};

/// Gross and net of a rack.
pub(super) static SCORE: Topic = Topic {
    name: "score",
    about: "Score a rack, gross and net, in unreduced eighths",
    more: "Takes the inside spread, then each measure with its right and its left side: beam, g1 to \
           g7 (to g4 for mule deer), h1 to h4; - for a point that is missing. Abnormal points come \
           after `abnormal`, both sides together. Inches and eighths as the tape gives them, or \
           centimeters, each to the nearest eighth.",
    examples: &[
        "score spread 17 4/8 beam 21 7/8 21 6/8 g1 3 4/8 4 0/8 g2 7 4/8 8 5/8 g3 6 5/8 7 1/8 \
         g4 3 4/8 3 4/8 h1 4 5/8 4 7/8 h2 4 5/8 4 6/8 h3 4 5/8 4 6/8 h4 3 6/8 4 1/8 abnormal 3 3/8",
    ],
    choices: &[Choice {
        name: "chart",
        help: "Which chart it is scored by",
        values: &[
            "whitetail",
            "whitetail-non-typical",
            "mule-deer",
            "mule-deer-non-typical",
            "elk",
        ],
    }],
    run: run_score,
};

/// The score of a skull without antlers.
pub(super) static SKULL_SCORE: Topic = Topic {
    name: "skull-score",
    about: "Score a bear's or cat's skull: length and width, in sixteenths",
    more: "Takes the greatest length and the greatest width, both without the lower jaw.",
    examples: &["skull-score 13 9/16 8 0/16"],
    choices: &[],
    run: run_skull_score,
};

/// Intake against hand-back.
pub(super) static COMPARE: Topic = Topic {
    name: "compare",
    about: "Compare intake with hand-back, pair by pair",
    more: "Takes each measure's name, its figure at intake and its figure at hand-back, in inches \
           with eighths or sixteenths, or with a unit. Says whether it can be the same skull.",
    examples: &[
        "compare beam-r 21 7/8 21 6/8 beam-l 21 6/8 21 6/8 g1-r 3 4/8 3 4/8 g2-r 7 4/8 7 3/8 \
         h1-r 4 5/8 4 5/8 h1-l 4 7/8 4 6/8",
    ],
    choices: &[],
    run: run_compare,
};

fn scheme(asked: &Asked) -> Result<Scheme, Error> {
    Ok(Scheme::read(asked.option("scheme"))?)
}

fn run_score(asked: &Asked) -> Result<Working, Error> {
    let chart = Chart::read(asked.option("chart"))?;
    let mut named: BTreeMap<String, Eighths> = BTreeMap::new();
    let mut lines = asked.groups(is_measure)?;
    for (name, lengths) in &mut lines {
        let lengths = lengths.as_slice();
        match (name.as_str(), lengths) {
            ("abnormal", _) => {
                for (at, word) in (1..).zip(lengths) {
                    named.insert(format!("abnormal-{at}"), eighths(word)?);
                }
            }
            ("spread", [spread]) => {
                named.insert("spread".to_owned(), eighths(spread)?);
            }
            (name, [right, left]) if name != "spread" => {
                for (side, word) in [("r", right), ("l", left)] {
                    if word != "-" {
                        named.insert(format!("{name}-{side}"), eighths(word)?);
                    }
                }
            }
            (name, lengths) => {
                let wants = if name == "spread" { "one length" } else { "right and left" };
                return Err(Error::usage(format!(
                    "score: {name} takes {wants}, not {}; a missing point is `-`",
                    lengths.len()
                )));
            }
        }
    }
    let rack = rack_of(chart, &named).map_err(|why| Error::usage(why.to_string()))?;
    let rack = rack.ok_or_else(|| {
        Error::usage("score: the inside spread is missing; say it like `spread 17 4/8`")
    })?;
    Ok(in_centimetres(asked, rack_score(&rack)?))
}

/// A length by the tape, or in another unit to the nearest eighth of an inch.
fn eighths(word: &str) -> Result<Eighths, Error> {
    if !is_metric(word) {
        return Ok(Eighths::read(word)?);
    }
    let eighth = Decimal::new(3175, 3);
    let parts = Length::read(word)?.millimetres().checked_div(eighth).unwrap_or_default().round();
    Ok(Eighths(i64::try_from(parts).unwrap_or(i64::MAX)))
}

fn is_metric(word: &str) -> bool {
    ["cm", "mm"].iter().any(|unit| {
        word.strip_suffix(unit).is_some_and(|n| n.ends_with(|c: char| c.is_ascii_digit()))
    })
}

/// A score with its centimeters, where it was measured in them.
fn in_centimetres(asked: &Asked, working: Working) -> Working {
    if !asked.words().iter().any(|word| is_metric(word)) {
        return working;
    }
    let parts: Vec<String> = working
        .answer
        .split(", ")
        .map(|part| {
            let length = part.split_once(' ').and_then(|(_, said)| Eighths::read(said).ok());
            let cm = length.map(|length| length.length().millimetres().round_dp(0));
            let cm = cm.and_then(|mm| mm.checked_div(Decimal::TEN));
            cm.map_or_else(|| part.to_owned(), |cm| format!("{part} in, {} cm", cm.normalize()))
        })
        .collect();
    working.answer(parts.join("; ")).caution(
        "Each centimeter figure was taken to the nearest eighth of an inch, as charts have it.",
    )
}

/// Gross and net of horns.
pub(super) static HORN_SCORE: Topic = Topic {
    name: "horn-score",
    about: "Score horns: lengths and circumferences, less the differences",
    more: "Takes `length` with the right and the left horn, then the circumferences, `c1` at the base to \
           `c4` at the third quarter. Inches and eighths, or centimeters.",
    examples: &["horn-score length 35 2/8 34 6/8 c1 15 1/8 15 0/8 c2 14 2/8 14 1/8"],
    choices: &[],
    run: run_horn_score,
};

fn run_horn_score(asked: &Asked) -> Result<Working, Error> {
    let name = |word: &str| matches!(word, "length" | "c1" | "c2" | "c3" | "c4");
    let mut measures = Vec::new();
    for (name, lengths) in asked.groups(name)? {
        let [right, left] = lengths.as_slice() else {
            return Err(Error::usage(format!(
                "horn-score: {name} takes right and left, not {}",
                lengths.len()
            )));
        };
        measures.push(Both { name, right: eighths(right)?, left: eighths(left)? });
    }
    Ok(in_centimetres(asked, horn_score(&measures)?))
}

/// A name of a line on the sheet.
fn is_measure(word: &str) -> bool {
    let numbered = |letter: char, most: u32| {
        word.strip_prefix(letter)
            .and_then(|n| u32::read(n).ok())
            .is_some_and(|n| (1..=most).contains(&n))
    };
    matches!(word, "spread" | "beam" | "abnormal") || numbered('g', 9) || numbered('h', 4)
}

fn run_skull_score(asked: &Asked) -> Result<Working, Error> {
    const EXAMPLE: &str = "skull-score 13 9/16 8 0/16";
    let mut phrases = asked.phrases(&[], &[])?;
    let length: Sixteenths = phrases.want("", EXAMPLE)?;
    let width: Sixteenths = phrases.want("", EXAMPLE)?;
    phrases.done(EXAMPLE)?;
    Ok(skull_measured(length, width)?)
}

fn run_compare(asked: &Asked) -> Result<Working, Error> {
    let is_name = |word: &str| word.chars().next().is_some_and(char::is_alphabetic);
    let mut pairs = Vec::new();
    for (name, lengths) in asked.groups(is_name)? {
        let [before, after] = lengths.as_slice() else {
            return Err(Error::usage(format!(
                "compare: {name} takes two lengths, intake and hand-back, not {}",
                lengths.len()
            )));
        };
        pairs.push(Twice { name, before: length(before)?, after: length(after)? });
    }
    Ok(compared(pairs, Tolerance::USUAL)?)
}

/// A length with its unit; a bare number is inches by the tape.
fn length(word: &str) -> Result<Length, Error> {
    let bare = word.chars().all(|c| c.is_ascii_digit() || c == '.');
    Ok(if bare { Eighths::read(word)?.length() } else { Length::read(word)? })
}
