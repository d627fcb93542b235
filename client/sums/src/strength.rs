//! `reckon strength` and `reckon class`: one solution, said in each way and put in its classes.

use burrline_reckon::{
    Working,
    peroxide::{
        hazard,
        solution::{Reading, Solution},
        strength::{MolarVolume, bare, of_moles, strength},
    },
    quantity::PercentWw,
};
use burrline_terms::{Strength, measure::Molarity, units::Basis};

use super::{
    Topic,
    asked::Asked,
    figures::{FILLERS, MOLAR_VOLUME, VOLUME_BY, bare_percent, moles, reading},
};
use crate::Error;

/// One peroxide solution said in each way.
pub(super) static STRENGTH: Topic = Topic {
    name: "strength",
    about: "Say one peroxide strength in every way: %, volume, moles",
    more: "Takes a strength: 12% (grams in 100 mL), 35%w/w (by mass), 40vol (volumes of oxygen) or \
           3.5mol/L. A label's volume and the volume by arithmetic differ a little; both are shown. Two \
           strengths are taken for one bottle, and have to agree.",
    examples: &[
        "strength 40vol",
        "strength 35%w/w",
        "strength 12% --molar-volume school",
        "strength 12% called 40vol",
    ],
    choices: &[MOLAR_VOLUME],
    run: run_strength,
};

/// The classes of a solution.
pub(super) static CLASS: Topic = Topic {
    name: "class",
    about: "Tell the carriage, fire and eye classes of a strength",
    more: "Takes a strength. Limits are by mass, so that a strength by volume is turned into one by \
           mass first.",
    examples: &["class 40vol", "class 27.5%w/w"],
    choices: &[VOLUME_BY],
    run: run_class,
};

fn run_strength(asked: &Asked) -> Result<Working, Error> {
    const EXAMPLE: &str = "strength 40vol";
    let by = MolarVolume::read(asked.option("molar-volume"))?;
    let mut phrases = asked.phrases(&[], FILLERS)?;
    let working = if let Some(molarity) = phrases.find::<Molarity>("") {
        of_moles(moles(molarity), by)?
    } else {
        let typed: Strength = phrases.want("", EXAMPLE)?;
        if let Some(called) = phrases.find::<Strength>("") {
            let called = Solution::of(called, Reading::Label)?;
            Solution::of(typed, Reading::Label)?.agrees(&called)?;
        }
        strength(typed, by)?
    };
    phrases.done(EXAMPLE)?;
    Ok(bare_percent(asked, working))
}

fn run_class(asked: &Asked) -> Result<Working, Error> {
    const EXAMPLE: &str = "class 12%w/w";
    let mut phrases = asked.phrases(&[], FILLERS)?;
    let typed: Strength = phrases.want("", EXAMPLE)?;
    phrases.done(EXAMPLE)?;
    // By mass as typed: a class needs no density then.
    if typed.basis == Basis::PercentWw {
        return Ok(hazard::class(PercentWw(bare(typed)))?);
    }
    let solution = Solution::of(typed, reading(asked)?)?;
    let mut working = hazard::class(solution.ww)?;
    if let Some(sum) = solution.step_by_mass() {
        working = Working::new().step("by mass", sum).followed_by(working);
    }
    Ok(bare_percent(asked, working))
}
