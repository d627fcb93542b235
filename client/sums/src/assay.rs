//! `reckon assay` and `reckon strip`: how strong a bath is by measuring it.

use burrline_reckon::{
    Working,
    peroxide::{
        assay::{Titration, strip},
        solution::{Reading, Solution},
    },
    quantity::MolesPerLitre,
};
use burrline_terms::{
    Strength, Volume,
    measure::{Molarity, StripReading},
};
use rust_decimal::Decimal;

use super::{
    Topic,
    asked::Asked,
    figures::{FILLERS, litres, moles, number},
};
use crate::Error;

/// Titration with permanganate.
pub(super) static ASSAY: Topic = Topic {
    name: "assay",
    about: "Reckon a bath's strength from a permanganate titration",
    more: "Takes the titre, after `in` how much of the bath was taken, and after `by` how strong the \
           permanganate is (0.02 mol/L unless said). `used` says that the bath was used: then the answer \
           is an upper bound. After `from` how the sample was thinned first: `in 25mL from 5mL to 250mL` \
           is 25 mL out of 5 mL of the bath made up to 250 mL. A strength in the place of the titre answers the titre to expect.",
    examples: &[
        "assay 17.85mL in 1mL",
        "assay 8.9mL in 1mL by 0.04mol/L used",
        "assay 3% in 2mL",
        "assay 18mL in 25mL from 5mL to 250mL",
    ],
    choices: &[],
    run: run_assay,
};

/// Test strips.
pub(super) static STRIP: Topic = Topic {
    name: "strip",
    about: "Reckon a bath's strength from a test strip",
    more: "Takes what the strip reads, or its lower and upper colour, and after `times` how many times \
           the sample was thinned. `used` says that the bath was used: then it is an upper bound.",
    examples: &["strip 300mg/L times 100", "strip 100mg/L 400mg/L times 100 used"],
    choices: &[],
    run: run_strip,
};

const THINNED: &str = "assay 18mL in 25mL from 5mL to 250mL";

fn run_assay(asked: &Asked) -> Result<Working, Error> {
    const EXAMPLE: &str = "assay 17.85mL in 1mL";
    let mut phrases = asked.phrases(&["in", "by", "from", "to"], FILLERS)?;
    let used = asked.words().iter().any(|word| word == "used");
    phrases.drop_word("used");
    let sample: Volume = phrases.want("in", EXAMPLE)?;
    let by: Option<Molarity> = phrases.maybe("by", "assay 17.85mL in 1mL by 0.02mol/L")?;
    let permanganate = by.map_or(MolesPerLitre(0.02), moles);
    let taken: Option<Volume> = phrases.maybe("from", THINNED)?;
    let aliquot = match taken {
        Some(taken) => {
            let made_up: Volume = phrases.want("to", THINNED)?;
            Some((litres(taken), litres(made_up)))
        }
        None => None,
    };
    let titration = Titration { sample: litres(sample), permanganate, used, aliquot };
    let working = match phrases.find::<Strength>("") {
        Some(strength) => titration.expected(&Solution::of(strength, Reading::Label)?)?,
        None => titration.strength(litres(phrases.want("", EXAMPLE)?))?,
    };
    phrases.done(EXAMPLE)?;
    Ok(working)
}

fn run_strip(asked: &Asked) -> Result<Working, Error> {
    const EXAMPLE: &str = "strip 300mg/L times 100";
    let mut phrases = asked.phrases(&["times"], &["of", "to", "-"])?;
    let used = asked.words().iter().any(|word| word == "used");
    phrases.drop_word("used");
    let low: StripReading = phrases.want("", EXAMPLE)?;
    let high = phrases.find::<StripReading>("").unwrap_or(low);
    let times: Option<Decimal> = phrases.maybe("times", EXAMPLE)?;
    phrases.done(EXAMPLE)?;
    let reading = |read: StripReading| number(read.milligrams_per_litre());
    Ok(strip(reading(low), reading(high), times.map_or(1.0, number), used)?)
}
