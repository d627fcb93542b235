//! `reckon room`, `reckon thaw`, `reckon degrease` and `reckon additive`.

use burrline_domain::SpeciesList;
use burrline_line::when::{self, Meant};
use burrline_reckon::{
    Absurd, Known, Value, Working,
    degrease::{Batch, degrease},
    pot::room::{Heads, room},
    quantity::{Celsius, Kilograms},
    short,
    thaw::{In, OfDay, thaw},
    working::digits,
};
use burrline_terms::{
    Mass, Moment, SaidTime, Span, Temperature, Typed as _, Volume,
    units::{Amount, MassUnit, VolumeUnit},
    words::Group,
};
use rust_decimal::Decimal;

use super::{
    Topic,
    asked::Asked,
    figures::{celsius, days, litres, no_capital_g, number},
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
        Heads::Of(count, group("room", &kind)?)
    };
    phrases.done(EXAMPLE)?;
    Ok(room(litres(pot), heads)?)
}

/// The kind of an animal that is known.
pub(super) fn group(topic: &str, said: &str) -> Result<Group, Error> {
    let list = SpeciesList::builtin();
    let words: Vec<&str> = said.split_whitespace().collect();
    let mut runs = (0..words.len()).filter_map(|from| words.get(from..));
    if runs.any(|run| !list.find(run).species.is_empty()) {
        return Ok(list.group(said));
    }
    Group::ALL.iter().copied().find(|group| group.word() == said).ok_or_else(|| {
        let all: Vec<&str> = Group::ALL.iter().map(|group| group.word()).collect();
        Error::usage(format!(
            "{topic}: \u{201c}{said}\u{201d} is no animal that is known here; say one that is of its size: {}",
            all.join(", ")
        ))
    })
}

fn run_thaw(asked: &Asked) -> Result<Working, Error> {
    const EXAMPLE: &str = "thaw 9lb at 40F";
    let water = asked.words().iter().any(|word| word == "water");
    let mut phrases = asked.phrases(&["at", "from", "out"], &["in", "cold", "running", "air"])?;
    phrases.drop_word("water");
    let mass: Mass = phrases.want("", EXAMPLE)?;
    let at: Temperature = phrases.want("at", EXAMPLE)?;
    let from: Option<Temperature> = phrases.maybe("from", "thaw 4kg at 4C from -18C")?;
    let out = phrases.has("out").then(|| clock(asked, &phrases.rest("out"))).transpose()?;
    phrases.done(EXAMPLE)?;
    let medium = if water { In::Water } else { In::Air };
    let from = from.map_or(Celsius(-18.0), celsius);
    Ok(thaw(Kilograms(number(mass.grams()) / 1000.0), from, celsius(at), medium, out)?)
}

/// A time of the day, as lines take it; it may be still to come.
fn clock(asked: &Asked, words: &str) -> Result<OfDay, Error> {
    // The end of a day, so that each time of it was before.
    const THEN: Moment = Moment(86_399_999);
    let here = asked.here();
    let of_day = |time: SaidTime, zone: &str| {
        let at = when::local(time.middle(), &when::zone(zone)).datetime().time();
        OfDay { hour: at.hour(), minute: at.minute() }
    };
    let said = here.now.map(|now| when::meant(words, now, &when::zone(&here.zone)));
    if let Some(Ok(Meant::Sure(time))) = said {
        return Ok(of_day(time, &here.zone));
    }
    // A time of the clock by itself is the same on every day.
    let plain = words.contains(|c: char| c.is_ascii_digit()) && !words.contains(['-', '/']);
    if plain && let Ok(Meant::Sure(time)) = when::meant(words, THEN, &when::zone("UTC")) {
        return Ok(of_day(time, "UTC"));
    }
    if words.is_empty() {
        return Err(Error::usage(
            "thaw: `out` takes the time at which it came out; say it like `burrline reckon thaw 9lb at 40F \
             out 18:00`",
        ));
    }
    let such = "say it like `burrline reckon thaw 9lb at 40F out 18:00`";
    Err(Error::usage(match said {
        Some(Ok(Meant::Asked { why, readings })) => {
            let all: Vec<String> =
                readings.iter().map(|one| format!("`out {}` for {}", one.say, one.shown)).collect();
            format!("thaw: {why}; say {}", all.join(" or "))
        }
        _ => format!("thaw: \u{201c}{words}\u{201d} is no time that it can have come out; {such}"),
    }))
}

fn run_degrease(asked: &Asked) -> Result<Working, Error> {
    const EXAMPLE: &str = "degrease 20d 30C 9d 45C to 40C";
    let mut phrases = asked.phrases(&["to", "for"], &["at", "and", "in"])?;
    let mut seen = Vec::new();
    while let Some(took) = phrases.find::<Span>("") {
        let at: Temperature = phrases.want("", EXAMPLE)?;
        seen.push(Batch { days: days(took), at: celsius(at) });
    }
    if seen.is_empty() {
        return Err(Error::usage(format!(
            "degrease: no batches were said, and this bench has no heads of its shop that were degreased; \
             say some of your own, like `burrline reckon {EXAMPLE}`"
        )));
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
    no_capital_g(asked)?;
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
    // As typed, and in the metric unit for a shop that is metric.
    let (answer, metric, base, unit) = match amount {
        Amount::Volume(volume) => {
            let litres = scaled(volume.litres());
            let millilitres = litres < Decimal::ONE;
            let metric = if millilitres {
                Volume::new(
                    scaled(volume.litres().saturating_mul(1000.into())),
                    VolumeUnit::Millilitre,
                )
            } else {
                Volume::new(litres, VolumeUnit::Litre)
            };
            let typed = Volume::new(scaled(volume.number), volume.unit).to_string();
            (typed, round(metric), number(litres), "L")
        }
        Amount::Mass(mass) => {
            let grams = scaled(mass.grams());
            let typed = Mass::new(scaled(mass.number), mass.unit).to_string();
            (typed, format!("{} g", grams.round_dp(1).normalize()), number(grams), "g")
        }
        Amount::Count(count) => {
            let all = scaled(count);
            (all.to_string(), all.to_string(), number(all), "")
        }
    };
    let to_metric = asked.typed_in_us() && !asked.in_us();
    let told = if to_metric {
        format!("{metric} for {}", round(Volume::new(make.litres(), VolumeUnit::Litre)))
    } else {
        format!("{answer} for {make}")
    };
    let working = Working::new()
        .answer(told)
        .value("amount", Value::Number(base), unit)
        .step("additive", short(&format!("{} x {make} / {per} = {answer}", amount.show())));
    let working = match amount {
        Amount::Mass(Mass { unit: MassUnit::Ounce, .. }) => {
            working.caution("An ounce is weighed; what a cup measures is a fluid ounce, `fl oz`.")
        }
        Amount::Mass(_) | Amount::Volume(_) | Amount::Count(_) => working,
    };
    Ok(working
        .caution("The label of the additive decides; more of it is not better.")
        .source("in proportion, by the recipe", Known::Practice))
}

/// A volume to four figures.
fn round(volume: Volume) -> String {
    format!("{} {}", digits(number(volume.number), 4), volume.unit.word())
}
