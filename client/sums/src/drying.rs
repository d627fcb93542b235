//! `reckon dry`, `reckon rack` and `reckon measuring`.

use burrline_reckon::{
    Working,
    drying::{Weighing, constant::Rule, scale::Scale},
    quantity::{Grams, Hours},
    told::{
        dry::{Asked as Question, Made, Read, dry},
        rack::{measuring, rack},
    },
};
use burrline_terms::{Day, Mass, Span, Typed as _};
use rust_decimal::prelude::ToPrimitive as _;

use super::{
    Topic,
    asked::{Asked, Phrases},
    room, when,
};
use crate::Error;

const DRY_EXAMPLE: &str = "dry 0h=1500g 24h=1411g 48h=1388g 72h=1382g";

/// Whether weighings say that a skull is dry.
pub(super) static DRY: Topic = Topic {
    name: "dry",
    about: "Say from weighings whether a skull is dry, and when it will be",
    more: "Takes weighings as time=mass, in the order of time: 0h=1500g 24h=1411g. Dry is three \
           weighings at least 24 hours apart that change by less than 0.1 %, or as said after \
           `weighings`, `apart` and `within`. The step of the scale is read from the digits as \
           typed, and from readings that are all multiples of 5 or the like; `step` says it. From four \
           weighings on it fits a drying curve and says with which doubt; where three are equally far apart it checks the end with a calculator's formula.",
    examples: &[
        "dry 0h=1500g 24h=1411g 48h=1388g 72h=1382g",
        "dry 0h=1.402kg 24h=1.401kg 48h=1.401kg step 1g",
        "dry 0d=3.1lb 2d=3.05lb weighings 2 apart 48h within 0.2% step 0.01lb",
    ],
    choices: &[],
    run: run_dry,
};

/// Days on the rack by species.
pub(super) static RACK: Topic = Topic {
    name: "rack",
    about: "Say how many days a skull is on the rack where nobody weighs it",
    more: "Takes a species in plain words. Bear and hog sit longer, so that grease can show before \
           they are coated.",
    examples: &["rack whitetail", "rack black bear"],
    choices: &[],
    run: run_rack,
};

/// The first day for an official measurer.
pub(super) static MEASURING: Topic = Topic {
    name: "measuring",
    about: "Say the first day for an official measurer, after 60 dry days",
    more: "Takes the day on which the skull was last in any water: 2026-11-16, 11/16/2026, today or \
           yesterday.",
    examples: &["measuring 2026-11-16"],
    choices: &[],
    run: run_measuring,
};

fn run_dry(asked: &Asked) -> Result<Working, Error> {
    let mut phrases = asked.phrases(&["step", "weighings", "apart", "within", "sure"], &[])?;
    let typed = weighings(&phrases.take(""))?;
    let step = phrases.maybe::<Mass>("step", "dry 0h=1500g 24h=1411g step 1g")?;
    let usual = Rule::USUAL;
    let rule = Rule {
        weighings: match phrases.maybe::<u32>("weighings", "dry 0h=1500g weighings 3")? {
            Some(count) => usize::try_from(count).unwrap_or(usize::MAX),
            None => usual.weighings,
        },
        apart: match phrases.maybe::<Span>("apart", "dry 0h=1500g apart 24h")? {
            Some(span) => hours(span),
            None => usual.apart,
        },
        percent: within(&mut phrases, usual.percent)?,
    };
    let sure = phrases.sure()?;
    phrases.done(DRY_EXAMPLE)?;
    if step.is_some_and(|step| step.number.is_zero()) {
        return Err(Error::usage(
            "dry: no scale has steps of 0 g; take scale steps above 0 g, such as `step 1g`",
        ));
    }
    let scale = Scale::of(typed.iter().map(|(_, mass)| *mass));
    let weighed = |(at, mass): &(Span, Mass)| {
        let by = step.map_or_else(|| scale.step(*mass), grams);
        Weighing::at(hours(*at).0, grams(*mass).0).to(by)
    };
    let read = match typed.last() {
        Some((_, last)) if step.is_none() => {
            let [finer, coarser] = Scale::others(*last);
            if scale.step(*last).0 > 1.5 * grams(finer).0 {
                Read::Multiples(finer.show())
            } else {
                Read::Digit(coarser.show())
            }
        }
        Some(_) | None => Read::Said,
    };
    let made = if asked.in_us() { Made::Ounces } else { Made::Grams };
    let weighings = typed.iter().map(weighed).collect();
    Ok(dry(&Question { weighings, rule, sure, read, made })?)
}

/// `0h=1500g 24h=1411g`, and `0h=3 lb 2 oz` or `0h = 1500 g` as well: what has no sign of its own belongs
/// to the weighing before it.
fn weighings(words: &[String]) -> Result<Vec<(Span, Mass)>, Error> {
    let line = words.join(" ").replace(" = ", "=").replace(" =", "=").replace("= ", "=");
    let mut each: Vec<String> = Vec::new();
    for word in line.split_whitespace() {
        match each.last_mut().filter(|_| !word.contains('=')) {
            Some(before) => {
                before.push(' ');
                before.push_str(word);
            }
            None => each.push(word.to_owned()),
        }
    }
    each.iter().map(|word| weighing(word)).collect()
}

fn within(phrases: &mut Phrases, usual: f64) -> Result<f64, Error> {
    if phrases.has("within") {
        phrases.number("within", "dry 0h=1500g within 0.1%")
    } else {
        Ok(usual)
    }
}

/// `24h=1411g`.
fn weighing(word: &str) -> Result<(Span, Mass), Error> {
    let parts = word
        .split_once('=')
        .and_then(|(at, mass)| Some((Span::read(at).ok()?, Mass::read(mass).ok()?)));
    parts.ok_or_else(|| {
        Error::usage(format!(
            "dry: \u{201c}{word}\u{201d} is no weighing; say time=mass, as in `burrline reckon \
             {DRY_EXAMPLE}`"
        ))
    })
}

fn run_rack(asked: &Asked) -> Result<Working, Error> {
    let mut phrases = asked.phrases(&[], &[])?;
    let species = phrases.take("").join(" ");
    if species.is_empty() {
        return Err(Error::usage("rack: say a species, as in `burrline reckon rack whitetail`"));
    }
    Ok(rack(&species, room::group("rack", &species)?))
}

fn run_measuring(asked: &Asked) -> Result<Working, Error> {
    let asked = when::with_days(asked, &[])?;
    let mut phrases = asked.phrases(&[], &[])?;
    let day: Day = phrases.want("", "measuring 2026-11-16")?;
    phrases.done("measuring 2026-11-16")?;
    Ok(measuring(day)?)
}

fn hours(span: Span) -> Hours {
    Hours(span.minutes().to_f64().unwrap_or(f64::INFINITY) / 60.0)
}

fn grams(mass: Mass) -> Grams {
    Grams(mass.grams().to_f64().unwrap_or(f64::INFINITY))
}
