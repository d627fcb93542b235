//! `reckon room`, `reckon thaw`, `reckon degrease` and `reckon additive`.

use burrline_domain::SpeciesList;
use burrline_line::when;
use burrline_reckon::{
    Absurd, Known, Value, Working,
    degrease::{Batch, degrease},
    pot::room::{Heads, room},
    quantity::{Celsius, Kilograms},
    short,
    thaw::{In, OfDay, thaw},
};
use burrline_terms::{
    Mass, Moment, Span, Temperature, Typed as _, Volume,
    units::{Amount, MassUnit, VolumeUnit},
};
use rust_decimal::Decimal;

use super::{
    Topic,
    asked::Asked,
    figures::{celsius, days, litres, number},
};
use crate::Error;

/// The water to put in.
pub(super) static ROOM: Topic = Topic {
    name: "room",
    about: "Reckon the water to put into a pot with heads in it",
    more: "Takes what the pot holds, and the heads: how many and of which kind, or after `heads` how \
           heavy they are in all. A pot is filled to four fifths.",
    examples: &["room 10gal 3 whitetail", "room 60L heads 12kg"],
    choices: &[],
    run: run_room,
};

/// Time to thaw.
pub(super) static THAW: Topic = Topic {
    name: "thaw",
    about: "Reckon how long a frozen head takes to thaw",
    more: "Takes what it weighs, after `at` how warm it thaws, and after `from` how cold it was (-18 C, \
           0 F, unless said). `out` says at what time it came out, and the answer says by the clock when it \
           is soft. `water` says that it thaws in cold running water, in a bag.",
    examples: &["thaw 9lb at 40F out 18:00", "thaw 4kg at 4C from -18C", "thaw 4kg at 12C water"],
    choices: &[],
    run: run_thaw,
};

/// Degreasing at another temperature.
pub(super) static DEGREASE: Topic = Topic {
    name: "degrease",
    about: "Reckon degreasing at another temperature from your own batches",
    more: "Takes batches of your own, each as days and temperature, and after `to` the temperature that \
           is asked about. It takes two temperatures or more, and tells none that is far from them. Without \
           batches it takes the shop's own heads, as `burrline degreased` lists them.",
    examples: &[
        "degrease to 104F",
        "degrease 20d 30C 9d 45C to 40C",
        "degrease 21d 85F 16d 95F 9d 113F to 104F",
    ],
    choices: &[],
    run: run_degrease,
};

/// An additive by recipe.
pub(super) static ADDITIVE: Topic = Topic {
    name: "additive",
    about: "Reckon how much of an additive a pot takes by its recipe",
    more: "Takes how much the recipe says, after `per` for how much water, and after `make` how much \
           water there is.",
    examples: &["additive 30mL per 20L make 8gal", "additive 4oz per 5gal make 12gal"],
    choices: &[],
    run: run_additive,
};

fn run_room(asked: &Asked) -> Result<Working, Error> {
    const EXAMPLE: &str = "room 10gal 3 whitetail";
    let mut phrases = asked.phrases(&["heads"], &["pot", "of", "with", "and"])?;
    let pot: Volume = phrases.want("", EXAMPLE)?;
    let weighed = phrases.find::<Mass>("heads");
    let heads = if let Some(mass) = weighed {
        Heads::Weighing(Kilograms(number(mass.grams()) / 1000.0))
    } else {
        let count: u32 = phrases.want("", EXAMPLE)?;
        let kind = [phrases.rest(""), phrases.rest("heads")].concat();
        if kind.is_empty() {
            return Err(Error::usage(format!(
                "room: heads of what? say it like `burrline reckon {EXAMPLE}`"
            )));
        }
        Heads::Of(count, SpeciesList::builtin().group(&kind))
    };
    phrases.done(EXAMPLE)?;
    Ok(room(litres(pot), heads)?)
}

fn run_thaw(asked: &Asked) -> Result<Working, Error> {
    const EXAMPLE: &str = "thaw 9lb at 40F";
    let water = asked.words().iter().any(|word| word == "water");
    let mut phrases = asked.phrases(&["at", "from", "out"], &["in", "cold", "running", "air"])?;
    phrases.drop_word("water");
    let mass: Mass = phrases.want("", EXAMPLE)?;
    let at: Temperature = phrases.want("at", EXAMPLE)?;
    let from: Option<Temperature> = phrases.maybe("from", "thaw 4kg at 4C from -18C")?;
    let out = phrases.has("out").then(|| clock(&phrases.rest("out"))).transpose()?;
    phrases.done(EXAMPLE)?;
    let medium = if water { In::Water } else { In::Air };
    let from = from.map_or(Celsius(-18.0), celsius);
    Ok(thaw(Kilograms(number(mass.grams()) / 1000.0), from, celsius(at), medium, out)?)
}

/// A time of the day, as lines take it.
fn clock(words: &str) -> Result<OfDay, Error> {
    // The end of a day, so that each time of it was before.
    const THEN: Moment = Moment(86_399_999);
    let zone = when::zone("UTC");
    let meant = when::said(words, THEN, &zone).map_err(|bad| {
        Error::usage(format!(
            "thaw: {bad}; say it like `burrline reckon thaw 9lb at 40F out 18:00`"
        ))
    })?;
    let at = when::local(meant, &zone).datetime().time();
    Ok(OfDay { hour: at.hour(), minute: at.minute() })
}

fn run_degrease(asked: &Asked) -> Result<Working, Error> {
    const EXAMPLE: &str = "degrease 20d 30C 9d 45C to 40C";
    let mut phrases = asked.phrases(&["to", "for"], &["at", "and", "in"])?;
    let mut seen = Vec::new();
    while let Some(took) = phrases.find::<Span>("") {
        let at: Temperature = phrases.want("", EXAMPLE)?;
        seen.push(Batch { days: days(took), at: celsius(at) });
    }
    let key = if phrases.has("for") { "for" } else { "to" };
    let wanted: Temperature = phrases.want(key, EXAMPLE)?;
    phrases.done(EXAMPLE)?;
    Ok(degrease(&seen, celsius(wanted))?)
}

/// Whether a question about degreasing names no batch, so that the shop's own are to be taken.
pub(super) fn lacks_batches(topic: &str, asked: &Asked) -> bool {
    topic == DEGREASE.name && !asked.words().iter().any(|word| Span::read(word).is_ok())
}

fn run_additive(asked: &Asked) -> Result<Working, Error> {
    const EXAMPLE: &str = "additive 30mL per 20L make 8gal";
    let mut phrases = asked.phrases(&["per", "make"], &["of", "a", "the", "for", "water"])?;
    let amount: Amount = phrases.want("", EXAMPLE)?;
    let per: Volume = phrases.want("per", EXAMPLE)?;
    let make: Volume = phrases.want("make", EXAMPLE)?;
    phrases.done(EXAMPLE)?;
    let times = make.litres().checked_div(per.litres()).ok_or_else(|| {
        Absurd::new("a recipe for 0 L is none", format!("say it like `{EXAMPLE}`"))
    })?;
    let scaled = |number: Decimal| {
        let exact = number.checked_mul(times).unwrap_or_default();
        exact.round_dp(3).normalize()
    };
    let (answer, base, unit) = match amount {
        Amount::Volume(volume) => (
            Volume::new(scaled(volume.number), volume.unit).to_string(),
            number(Volume::new(scaled(volume.litres()), VolumeUnit::Litre).litres()),
            "L",
        ),
        Amount::Mass(mass) => (
            Mass::new(scaled(mass.number), mass.unit).to_string(),
            number(Mass::new(scaled(mass.grams()), MassUnit::Gram).grams()),
            "g",
        ),
        Amount::Count(count) => (scaled(count).to_string(), number(scaled(count)), ""),
    };
    Ok(Working::new()
        .answer(format!("{answer} for {make}"))
        .value("amount", Value::Number(base), unit)
        .step("additive", short(&format!("{} x {make} / {per} = {answer}", amount.show())))
        .caution("The label of the additive decides; more of it is not better.")
        .source("in proportion, by the recipe", Known::Practice))
}
