//! `reckon strength` and `reckon dilute`.

use burrline_domain::{
    Mass, Strength, Volume,
    reckon::{
        Working,
        peroxide::{
            dilute::{Wanted, dilute},
            strength::{MolarVolume, strength},
        },
        quantity::{Kilograms, Litres},
    },
};
use rust_decimal::prelude::ToPrimitive as _;

use super::{Choice, Topic, asked::Asked};
use crate::Error;

const MOLAR_VOLUME: Choice = Choice {
    name: "molar-volume",
    help: "How much room a mole of gas takes: 22.414, 22.4 or 22.711 L",
    values: &["stp", "school", "iupac"],
};

/// One peroxide solution said in each way.
pub(super) static STRENGTH: Topic = Topic {
    name: "strength",
    about: "Say one peroxide strength in every way: %, volume, moles",
    more: "Takes a strength: 12% (grams in 100 mL), 35%w/w (by mass) or 40vol (volumes of oxygen). \
           A label's volume and the volume by arithmetic differ a little; both are shown.",
    examples: &["strength 40vol", "strength 35%w/w", "strength 12% --molar-volume school"],
    choices: &[MOLAR_VOLUME],
    run: run_strength,
};

/// Stock and water for a wanted strength.
pub(super) static DILUTE: Topic = Topic {
    name: "dilute",
    about: "Reckon stock and water for a wanted strength",
    more: "Takes the stock's strength, the wanted strength and how much is to be made, in litres, \
           gallons or the like, or by mass; or, after `from`, how much stock there is to use up.",
    examples: &[
        "dilute 12% to 3% make 20L",
        "dilute 40vol to 6% from 1gal",
        "dilute 35%w/w to 12%w/w make 10kg",
    ],
    choices: &[],
    run: run_dilute,
};

fn run_strength(asked: &Asked) -> Result<Working, Error> {
    let mut phrases = asked.phrases(&[])?;
    let typed: Strength = phrases.want("", "strength 40vol")?;
    phrases.done("strength 40vol")?;
    Ok(strength(typed, MolarVolume::read(asked.option("molar-volume"))?)?)
}

fn run_dilute(asked: &Asked) -> Result<Working, Error> {
    const EXAMPLE: &str = "dilute 12% to 3% make 20L";
    let mut phrases = asked.phrases(&["to", "make", "from"])?;
    let stock: Strength = phrases.want("", EXAMPLE)?;
    let target: Strength = phrases.want("to", EXAMPLE)?;
    let from: Option<Volume> = phrases.maybe("from", "dilute 12% to 3% from 5L")?;
    let wanted = match (from, phrases.find::<Mass>("make")) {
        (Some(stock), _) => Wanted::From(litres(stock)),
        (None, Some(mass)) => Wanted::Mass(Kilograms(number(mass.grams()) / 1000.0)),
        (None, None) => Wanted::Volume(litres(phrases.want("make", EXAMPLE)?)),
    };
    phrases.done(EXAMPLE)?;
    Ok(dilute(stock, target, wanted)?)
}

fn litres(volume: Volume) -> Litres {
    Litres(number(volume.litres()))
}

fn number(exact: rust_decimal::Decimal) -> f64 {
    exact.to_f64().unwrap_or(f64::INFINITY)
}
