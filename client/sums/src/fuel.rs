//! `reckon fuel` and `reckon warm`: what a boil burns, and what holds a tub warm.

use burrline_reckon::{
    Working,
    pot::{
        fuel::{Fuel, Price, fuel},
        heat::Pot,
        steam,
        warm::{Loses, warm},
    },
    quantity::{Kilograms, Pascals, Share, WattsPerKelvin},
};
use burrline_terms::{
    Mass, Span, Temperature, Typed as _, Volume,
    measure::{Altitude, HeatLoss, Percentage},
    units::{MassUnit, VolumeUnit},
};
use rust_decimal::Decimal;

use super::{
    Topic,
    asked::{Asked, Phrases},
    figures::{celsius, hours, litres, number},
    pot::pressure_at,
};
use crate::Error;

const FILLERS: &[&str] = &["of", "the", "a", "is", "and", "water", "burner"];

/// What a boil burns.
pub(super) static FUEL: Topic = Topic {
    name: "fuel",
    about: "Reckon the fuel of a boil, and what it costs",
    more: "Takes the water, after `from` how warm it is, and after `with` the fuel: propane, butane, \
           natural-gas, white-gas, kerosene, wood or electric. `efficiency` is the share that reaches \
           the water (40 %, electric 95 %, unless said), `price` what it costs by the unit that it is \
           sold by (3.10/gal, 1.20/lb, 2.60/kg, 1.40/therm, 0.15/kWh), `heads` the raw heads, `to` a temperature below the boil, `at` the altitude.",
    examples: &[
        "fuel 5gal from 60F with propane price 3.10/gal",
        "fuel 20L from 15C with electric price 0.15 at 1600m",
    ],
    choices: &[],
    run: run_fuel,
};

/// What holds a tub warm.
pub(super) static WARM: Topic = Topic {
    name: "warm",
    about: "Reckon the watts that hold a tub warm, and what they cost",
    more: "Takes the water, after `at` how warm it is held, and after `air` the air around it. After \
           `cooled` how it cooled by itself, `45C to 40C in 3h`; or after `loss` what it loses. `price` is \
           that of a kilowatt hour.",
    examples: &[
        "warm 80L at 45C air 15C cooled 45C to 40C in 3h price 0.15",
        "warm 20gal at 110F air 50F loss 20BTU/h/F",
    ],
    choices: &[],
    run: run_warm,
};

fn run_fuel(asked: &Asked) -> Result<Working, Error> {
    const EXAMPLE: &str = "fuel 5gal from 60F with propane";
    let keys = ["from", "to", "with", "efficiency", "price", "heads", "at"];
    let mut phrases = asked.phrases(&keys, FILLERS)?;
    let altitude: Option<Altitude> =
        phrases.maybe("at", "fuel 5gal from 60F with propane at 1600m")?;
    let pressure =
        altitude.map_or(Ok(Pascals(burrline_reckon::constants::ATMOSPHERE)), pressure_at)?;
    let word = phrases.rest("with").replace(' ', "-");
    if word.is_empty() {
        return Err(Error::usage(format!("fuel: say it like `burrline reckon {EXAMPLE}`")));
    }
    let what = Fuel::read(&word)?;
    let water: Volume = phrases.want("", EXAMPLE)?;
    let from: Temperature = phrases.want("from", EXAMPLE)?;
    let to: Option<Temperature> = phrases.maybe("to", EXAMPLE)?;
    let heads: Option<Mass> = phrases.maybe("heads", EXAMPLE)?;
    let share: Option<Percentage> = phrases.maybe("efficiency", EXAMPLE)?;
    let price = price_per(&mut phrases)?;
    phrases.done(EXAMPLE)?;
    let usual = if what == Fuel::Electricity { 95.0 } else { 40.0 };
    let pot = Pot {
        water: litres(water),
        from: celsius(from),
        to: to.map_or_else(|| steam::boiling(pressure), celsius),
        pressure,
        heads: Kilograms(heads.map_or(0.0, |mass| number(mass.grams()) / 1000.0)),
    };
    let efficiency = Share(share.map_or(usual, |said| number(said.percent())));
    let working = fuel(&pot, what, efficiency, price.as_ref())?;
    Ok(if share.is_none() {
        working.caution(format!(
            "{usual} % was taken to reach the water: `reckon burner` learns yours."
        ))
    } else {
        working
    })
}

fn run_warm(asked: &Asked) -> Result<Working, Error> {
    let example = asked.example(
        "warm 80L at 45C air 15C cooled 45C to 40C in 3h",
        "warm 20gal at 110F air 50F loss 20BTU/h/F",
    );
    let keys = ["at", "air", "cooled", "to", "in", "loss", "price"];
    let mut phrases = asked.phrases(&keys, FILLERS)?;
    let water: Volume = phrases.want("", example)?;
    let at: Temperature = phrases.want("at", example)?;
    let air: Temperature = phrases.want("air", example)?;
    let loss: Option<HeatLoss> = phrases.maybe("loss", "warm 80L at 45C air 15C loss 12W/K")?;
    let loses = match loss {
        Some(loss) => Loses::Known(WattsPerKelvin(number(loss.watts_per_kelvin()))),
        None => Loses::Cooled {
            from: celsius(phrases.want("cooled", example)?),
            to: celsius(phrases.want("to", example)?),
            over: hours(phrases.want::<Span>("in", example)?),
        },
    };
    let price = price(&mut phrases, example)?;
    phrases.done(example)?;
    Ok(warm(litres(water), celsius(at), celsius(air), loses, price)?)
}

/// `3.10/gal`, `3.10 per gallon`, `$3.10 a gallon`, or a figure alone.
fn price_per(phrases: &mut Phrases) -> Result<Option<Price>, Error> {
    if !phrases.has("price") {
        return Ok(None);
    }
    let words = phrases.take("price").join(" ");
    let bare = words.trim_start_matches('$');
    let end = bare.find(|c: char| !(c.is_ascii_digit() || c == '.')).unwrap_or(bare.len());
    let (number, unit) = bare.split_at_checked(end).unwrap_or((bare, ""));
    let unit = unit.trim().trim_start_matches('/').trim();
    let unit = unit.strip_prefix("per ").or_else(|| unit.strip_prefix("a ")).unwrap_or(unit).trim();
    let amount = Decimal::read(number).map(self::number).map_err(|_| {
        Error::usage(format!(
            "fuel: \u{201c}{words}\u{201d} is no price; say it like `price 3.10/gal` or `price 0.15/kWh`"
        ))
    })?;
    Ok(Some(Price { amount, per: sold_by(unit) }))
}

/// The unit as the sums name it; a word that is none stays as it is.
fn sold_by(word: &str) -> String {
    if let Some(unit) = VolumeUnit::read(word) {
        return unit.word().to_owned();
    }
    if let Some(unit) = MassUnit::read(word) {
        return unit.word().to_owned();
    }
    match word.to_lowercase().as_str() {
        "kwh" => "kWh",
        "therm" | "therms" => "therm",
        "ccf" => "ccf",
        "ft3" | "cuft" => "ft3",
        "m3" => "m3",
        _ => word,
    }
    .to_owned()
}

fn price(phrases: &mut Phrases, example: &str) -> Result<Option<f64>, Error> {
    Ok(phrases.maybe::<Decimal>("price", example)?.map(number))
}
