//! `reckon gas`, `reckon keep` and `reckon air`: what peroxide gives off, and how it keeps.

use burrline_reckon::{
    Working,
    peroxide::{gas, keep, strength::MolarVolume},
    quantity::{Celsius, CubicMetres, Days, PartsPerMillion, Share},
};
use burrline_terms::{
    Span, Temperature, Volume,
    measure::{AirShare, Percentage, Room},
};

use super::{
    Topic,
    asked::{Asked, Phrases},
    figures::{
        FILLERS, MOLAR_VOLUME, bare_percent, celsius, days, hours, litres, number, solution,
    },
};
use crate::Error;

/// Oxygen, heat and pressure.
pub(super) static GAS: Topic = Topic {
    name: "gas",
    about: "Reckon oxygen, heat and pressure of peroxide that goes",
    more: "Takes a volume and a strength. `gone` says how much of its peroxide goes (all, unless said), \
           `at` how warm the gas is (25 C, 77 F), `headspace` the room above it in a closed jug, `room` the \
           closed room around it.",
    examples: &["gas 1L 12%", "gas 1gal 12% gone 1% headspace 190mL", "gas 20L 6% room 30m3"],
    choices: &[MOLAR_VOLUME],
    run: run_gas,
};

/// How stock keeps.
pub(super) static KEEP: Topic = Topic {
    name: "keep",
    about: "Reckon how strong clean stock still is",
    more: "Takes a strength, after `for` how long (days, weeks, months, years), and after `at` how warm the shelf is (25 C, 77 F). It is a \
           bound for clean, closed stock; a used bath is measured.",
    examples: &["keep 12% for 365d at 30C", "keep 35%w/w for 6 months at 68F"],
    choices: &[],
    run: run_keep,
};

/// Peroxide in the air.
pub(super) static AIR: Topic = Topic {
    name: "air",
    about: "Average peroxide in the air over a shift",
    more: "Takes each level in ppm and how long it was breathed, one after the other.",
    examples: &["air 1.5ppm 2h 0.5ppm 4h"],
    choices: &[],
    run: run_air,
};

fn run_gas(asked: &Asked) -> Result<Working, Error> {
    const EXAMPLE: &str = "gas 1gal 12% gone 1% headspace 190mL";
    let mut phrases = asked.phrases(&["gone", "at", "headspace", "room"], FILLERS)?;
    let volume: Volume = phrases.want("", EXAMPLE)?;
    let stuff = solution(asked, &mut phrases, "", EXAMPLE)?;
    let gone: Option<Percentage> = phrases.maybe("gone", EXAMPLE)?;
    let at: Option<Temperature> = phrases.maybe("at", "gas 1L 12% at 25C")?;
    let headspace: Option<Volume> = phrases.maybe("headspace", EXAMPLE)?;
    let room: Option<Room> = phrases.maybe("room", "gas 20L 6% room 30m3")?;
    phrases.done(EXAMPLE)?;
    let going = gas::Going {
        volume: litres(volume),
        gone: Share(gone.map_or(100.0, |gone| number(gone.percent()))),
        at: at.map_or(Celsius(25.0), celsius),
        by: MolarVolume::read(asked.option("molar-volume"))?,
        headspace: headspace.map(litres),
        room: room.map(|room| CubicMetres(number(room.cubic_metres()))),
    };
    Ok(bare_percent(asked, gas::gas(&stuff, going)?))
}

fn run_keep(asked: &Asked) -> Result<Working, Error> {
    const EXAMPLE: &str = "keep 12% for 365d at 30C";
    let mut phrases = asked.phrases(&["for", "at"], FILLERS)?;
    let stock = solution(asked, &mut phrases, "", EXAMPLE)?;
    let span = long(&mut phrases, EXAMPLE)?;
    let at: Option<Temperature> = phrases.maybe("at", EXAMPLE)?;
    phrases.done(EXAMPLE)?;
    Ok(keep::keep(&stock, span, at.map_or(Celsius(25.0), celsius))?)
}

/// How long stock stands on a shelf: days, weeks, months or years.
fn long(phrases: &mut Phrases, example: &str) -> Result<Days, Error> {
    let said = phrases.words_after("for").concat();
    let end = said.find(|c: char| !(c.is_ascii_digit() || c == '.')).unwrap_or(said.len());
    let (number, unit) = said.split_at_checked(end).unwrap_or((said.as_str(), ""));
    let each = match unit {
        "w" | "wk" | "week" | "weeks" => 7.0,
        // A twelfth of a year.
        "mo" | "month" | "months" => 365.25 / 12.0,
        "y" | "yr" | "year" | "years" => 365.25,
        _ => return Ok(days(phrases.want::<Span>("for", example)?)),
    };
    let count: f64 = number.parse().map_err(|_| {
        Error::usage(format!(
            "keep: \u{201c}{said}\u{201d} is no time; say it like `burrline reckon {example}`"
        ))
    })?;
    phrases.take("for");
    Ok(Days(count * each))
}

fn run_air(asked: &Asked) -> Result<Working, Error> {
    const EXAMPLE: &str = "air 1.5ppm 2h 0.5ppm 4h";
    let fillers: Vec<&str> = FILLERS.iter().copied().chain(["for"]).collect();
    let mut phrases = asked.phrases(&[], &fillers)?;
    let mut spans = Vec::new();
    while let Some(level) = phrases.find::<AirShare>("") {
        let span: Span = phrases.want("", EXAMPLE)?;
        spans.push((PartsPerMillion(number(level.parts_per_million())), hours(span).0));
    }
    phrases.done(EXAMPLE)?;
    Ok(keep::air(&spans)?)
}
