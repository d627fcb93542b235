//! `reckon dilute`, `reckon top-up` and `reckon blend`.

use burrline_reckon::{
    Working,
    peroxide::{
        bath,
        dilute::{Wanted, dilute, dilute_with},
        solution::Solution,
    },
    quantity::{Kilograms, Litres},
};
use burrline_terms::{Mass, Volume};

use super::{
    Topic,
    asked::{Asked, Phrases},
    figures::{FILLERS, VOLUME_BY, bare_percent, litres, no_capital_g, number, solution},
};
use crate::Error;

/// Stock and water for a wanted strength.
pub(super) static DILUTE: Topic = Topic {
    name: "dilute",
    about: "Reckon stock and water for a wanted peroxide strength",
    more: "Takes the stock's strength, after `to` the wanted strength, and after `make` how much is to \
           be made: in litres, gallons or the like, or by mass. Or, after `from`, how much stock there \
           is to use up. After `with` a weaker solution takes the place of the water. By volume, volumes are taken to add up; by mass it is exact.",
    examples: &[
        "dilute 12% to 3% make 20L",
        "dilute 40vol to 6% from 1gal",
        "dilute 35%w/w to 12%w/w make 10kg",
        "dilute 35%w/w to 12%w/w make 10kg with 3%w/w",
    ],
    choices: &[VOLUME_BY],
    run: run_dilute,
};

/// A bath made stronger or weaker.
pub(super) static TOP_UP: Topic = Topic {
    name: "top-up",
    about: "Reckon what brings a bath to another strength",
    more: "Takes the bath's volume and strength, after `to` the wanted strength, and after `with` the \
           stock, or water. Answers what to add, and what to draw off and replace instead.",
    examples: &["top-up 20L 4% to 6% with 12%", "top-up 60L 6% to 3% with water"],
    choices: &[VOLUME_BY],
    run: run_top_up,
};

/// Two solutions put together.
pub(super) static BLEND: Topic = Topic {
    name: "blend",
    about: "Reckon what two peroxide solutions give together",
    more: "Takes a volume or a mass and a strength, and after `with` the other two. Mass and peroxide add up \
           exactly; the volume follows from the density.",
    examples: &[
        "blend 5L 12% with 3L 35%w/w",
        "blend 2gal 3% with 1qt 40vol",
        "blend 5kg 3%w/w with 2kg 35%w/w",
    ],
    choices: &[VOLUME_BY],
    run: run_blend,
};

fn run_dilute(asked: &Asked) -> Result<Working, Error> {
    let example = asked.example("dilute 12% to 3% make 20L", "dilute 12% to 3% make 5gal");
    no_capital_g(asked)?;
    let mut phrases = asked.phrases(&["to", "make", "from", "with"], FILLERS)?;
    let stock = solution(asked, &mut phrases, "", example)?;
    let target = solution(asked, &mut phrases, "to", example)?;
    let from: Option<Volume> = phrases.maybe("from", "dilute 12% to 3% from 5L")?;
    let wanted = match (from, phrases.find::<Mass>("make")) {
        (Some(stock), _) => Wanted::From(litres(stock)),
        (None, Some(mass)) => Wanted::Mass(Kilograms(number(mass.grams()) / 1000.0)),
        (None, None) => Wanted::Volume(litres(phrases.want("make", example)?)),
    };
    let weak = if phrases.has("with") {
        Some(solution(asked, &mut phrases, "with", example)?)
    } else {
        None
    };
    phrases.done(example)?;
    Ok(bare_percent(
        asked,
        match weak.filter(|weak| *weak != Solution::WATER) {
            Some(weak) => dilute_with(&stock, &weak, &target, wanted)?,
            None => dilute(&stock, &target, wanted)?,
        },
    ))
}

fn run_top_up(asked: &Asked) -> Result<Working, Error> {
    let example = asked.example("top-up 20L 4% to 6% with 12%", "top-up 5gal 4% to 6% with 12%");
    let mut phrases = asked.phrases(&["to", "with"], FILLERS)?;
    let volume: Volume = phrases.want("", example)?;
    let now = solution(asked, &mut phrases, "", example)?;
    let target = solution(asked, &mut phrases, "to", example)?;
    let with = solution(asked, &mut phrases, "with", example)?;
    phrases.done(example)?;
    Ok(bare_percent(asked, bath::top_up(litres(volume), &now, &target, &with)?))
}

/// How much of a solution, by volume or by mass.
enum HowMuch {
    Volume(Litres),
    Mass(Kilograms),
}

impl HowMuch {
    /// By its density, where it was weighed.
    fn litres(&self, of: &Solution) -> Litres {
        match self {
            Self::Volume(litres) => *litres,
            Self::Mass(mass) => Litres(mass.0 / of.density().0),
        }
    }
}

fn how_much(phrases: &mut Phrases, key: &str, example: &str) -> Result<HowMuch, Error> {
    Ok(match phrases.find::<Mass>(key) {
        Some(mass) => HowMuch::Mass(Kilograms(number(mass.grams()) / 1000.0)),
        None => HowMuch::Volume(litres(phrases.want(key, example)?)),
    })
}

fn run_blend(asked: &Asked) -> Result<Working, Error> {
    let example = asked.example("blend 5L 12% with 3L 35%w/w", "blend 2gal 3% with 1qt 40vol");
    no_capital_g(asked)?;
    let mut phrases = asked.phrases(&["with"], FILLERS)?;
    let one = how_much(&mut phrases, "", example)?;
    let first = solution(asked, &mut phrases, "", example)?;
    let other = how_much(&mut phrases, "with", example)?;
    let second = solution(asked, &mut phrases, "with", example)?;
    phrases.done(example)?;
    let parts = [(one.litres(&first), &first), (other.litres(&second), &second)];
    Ok(bare_percent(asked, bath::blend(parts)?))
}
