//! `reckon check-digit`, `check-number`, `score`, `skull-score` and `compare`.

use std::collections::BTreeMap;

use burrline_domain::compare::{Tolerance, Twice};
use burrline_reckon::{
    Working,
    antler::{
        Chart,
        horn::{Both, Horns, horn_score},
        rack_of, rack_score, skull_measured,
    },
    checkdigit::{check_digit, check_number},
    compare::compared,
};
use burrline_terms::{
    Length, Typed,
    checkdigit::Scheme,
    inches::{Eighths, Parts, Sixteenths},
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
    more: "Takes the greatest length and the greatest width, both without the lower jaw. Inches and \
           sixteenths, or centimeters, each to the nearest sixteenth.",
    examples: &["skull-score 13 9/16 8 0/16", "skull-score 34.4cm 20.3cm"],
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
                    named.insert(format!("abnormal-{at}"), by_the_tape(word)?);
                }
            }
            ("spread", [spread]) => {
                named.insert("spread".to_owned(), by_the_tape(spread)?);
            }
            (name, [right, left]) if name != "spread" => {
                for (side, word) in [("r", right), ("l", left)] {
                    if word != "-" {
                        named.insert(format!("{name}-{side}"), by_the_tape(word)?);
                    }
                }
            }
            (name, lengths) => {
                no_name("score", lengths, "spread, beam, g1 to g7, h1 to h4 and abnormal")?;
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
    Ok(in_centimetres::<Eighths>(asked, rack_score(&rack)?))
}

/// A length by the tape, or in another unit to the nearest part of an inch that the chart has.
fn by_the_tape<P: Parts + Typed>(word: &str) -> Result<P, Error> {
    if !is_metric(word) {
        return Ok(P::read(word)?);
    }
    let part = Decimal::new(254, 1).checked_div(Decimal::from(P::PER_INCH)).unwrap_or(Decimal::ONE);
    let parts = Length::read(word)?.millimetres().checked_div(part).unwrap_or_default().round();
    Ok(P::of_parts(i64::try_from(parts).unwrap_or(i64::MAX)))
}

/// Turns down what stands where a length does and is the name of no measure.
fn no_name(topic: &str, lengths: &[String], names: &str) -> Result<(), Error> {
    match lengths.iter().find(|word| word.starts_with(|c: char| c.is_ascii_alphabetic())) {
        Some(word) => Err(Error::usage(format!(
            "{topic}: \u{201c}{word}\u{201d} is no measure; there are {names}"
        ))),
        None => Ok(()),
    }
}

fn is_metric(word: &str) -> bool {
    ["cm", "mm"].iter().any(|unit| {
        word.strip_suffix(unit).is_some_and(|n| n.ends_with(|c: char| c.is_ascii_digit()))
    })
}

/// A score with its centimeters, where it was measured in them.
fn in_centimetres<P: Parts + Typed>(asked: &Asked, working: Working) -> Working {
    if !asked.words().iter().any(|word| is_metric(word)) {
        return working;
    }
    let parts: Vec<String> = working
        .answer
        .split(", ")
        .map(|part| {
            // `gross 134 3/8`, `net 132 4/8 (sheep)`, or a figure alone.
            let bare = part.trim_start_matches(char::is_alphabetic).trim_start();
            let (bare, behind) = match bare.split_once(" (") {
                Some((bare, behind)) => (bare, format!(" ({behind}")),
                None => (bare, String::new()),
            };
            let Ok(length) = P::read(bare) else { return part.to_owned() };
            let before = part.split_once(bare).map_or("", |(before, _)| before);
            format!("{before}{bare} in ({} cm){behind}", centimetres(length))
        })
        .collect();
    let part = if P::PER_INCH == 8 { "eighth" } else { "sixteenth" };
    working.answer(parts.join(", ")).caution(format!(
        "Each centimeter figure was taken to the nearest {part} of an inch, as charts have it."
    ))
}

/// To a millimeter.
fn centimetres(length: impl Parts) -> Decimal {
    let mm = Decimal::from(length.parts()).saturating_mul(Decimal::new(254, 1));
    let mm = mm.checked_div(Decimal::from(per_inch(&length))).unwrap_or_default().round_dp(0);
    mm.checked_div(Decimal::TEN).unwrap_or_default().normalize()
}

const fn per_inch<P: Parts>(_: &P) -> i64 {
    P::PER_INCH
}

/// Gross and net of horns.
pub(super) static HORN_SCORE: Topic = Topic {
    name: "horn-score",
    about: "Score horns: lengths and circumferences, less the differences",
    more: "Takes whose they are (sheep, goat, pronghorn, bison), `length` with the right and the left \
           horn, then the circumferences, `c1` at the base to `c4` at the third quarter; of a pronghorn \
           `prong` too. Of sheep the lengths' difference is not taken off. Inches and eighths, or \
           centimeters.",
    examples: &[
        "horn-score sheep length 35 2/8 34 6/8 c1 15 1/8 15 0/8",
        "horn-score pronghorn length 14 2/8 14 c1 6 1/8 6 prong 5 1/8 5",
    ],
    choices: &[],
    run: run_horn_score,
};

fn run_horn_score(asked: &Asked) -> Result<Working, Error> {
    let name = |word: &str| matches!(word, "length" | "c1" | "c2" | "c3" | "c4" | "prong");
    let (asked, kind) = match asked.words().split_first() {
        Some((first, rest)) if !name(first) => (&asked.with_words(rest), Some(Horns::read(first)?)),
        Some(_) | None => (asked, None),
    };
    let mut measures = Vec::new();
    for (name, lengths) in asked.groups(name)? {
        no_name("horn-score", &lengths, "length, c1 to c4 and prong")?;
        let [right, left] = lengths.as_slice() else {
            return Err(Error::usage(format!(
                "horn-score: {name} takes right and left, not {}",
                lengths.len()
            )));
        };
        measures.push(Both { name, right: by_the_tape(right)?, left: by_the_tape(left)? });
    }
    Ok(in_centimetres::<Eighths>(asked, horn_score(kind, &measures)?))
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
    let two = match asked.words() {
        [length, width] if !length.starts_with('-') && !width.starts_with('-') => [length, width],
        _ => {
            return Err(Error::usage(
                "skull-score: it takes a length and a width, both above 0; say it like `burrline reckon \
                 skull-score 13 9/16 8 0/16`",
            ));
        }
    };
    let [length, width] = two;
    let measured = skull_measured(by_the_tape(length)?, by_the_tape(width)?)?;
    Ok(in_centimetres::<Sixteenths>(asked, measured))
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
