//! Measuring a bath: titration with permanganate, and test strips.

use crate::{
    Absurd, Known, Working,
    constants::GRAMS_PER_MOLE,
    peroxide::{dilute::some, solution::Solution},
    quantity::{Litres, MolesPerLitre, OxygenVolumes, PercentWv},
    working::{digits, six},
};

const DIRTY: &str = "A used bath reads too strong, for tissue eats permanganate and colours strips too: \
                     take it as an upper bound.";
const PERMANGANATE: &str = "Permanganate and sulphuric acid burn and stain: goggles and gloves, acid into \
                            water, small amounts only.";

/// A titration, as it was run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Titration {
    /// What was titrated: as it came from the bath, or out of what that was made up to.
    pub sample: Litres,
    /// How much of the bath was made up to how much first, if it was thinned.
    pub aliquot: Option<(Litres, Litres)>,
    /// How strong the permanganate is.
    pub permanganate: MolesPerLitre,
    /// Whether the bath was used.
    pub used: bool,
}

impl Titration {
    /// The strength that so much permanganate says.
    ///
    /// # Errors
    /// [`Absurd`] if there is no sample, no titre, or more peroxide than a sample holds.
    pub fn strength(&self, titre: Litres) -> Result<Working, Absurd> {
        self.check()?;
        some(titre.0, "L of titre")?;
        let (titre_ml, sample_ml) = (titre.0 * 1000.0, self.bath().0 * 1000.0);
        let milligrams = titre_ml * self.permanganate.0 * 2.5 * GRAMS_PER_MOLE;
        let wv = PercentWv(milligrams / (10.0 * sample_ml));
        // Turned down if no solution is that strong.
        let ww = Solution::mixed_by_volume(wv)?.ww;
        let bound = if self.used { "at most " } else { "" };
        let working = Working::new()
            .answer(format!(
                "{bound}{wv} ({ww}, {} vol by label), by permanganate",
                digits(wv.0 / 0.3, 3)
            ))
            .figure("percent_wv", wv)
            .figure("percent_ww", ww)
            .figure("label_volume", OxygenVolumes(wv.0 / 0.3))
            .words("reading", if self.used { "upper bound" } else { "as measured" })
            .step(
                "peroxide",
                format!(
                    "{} mL x {} mol/L x 5 / 2 x {GRAMS_PER_MOLE} = {} mg",
                    six(titre_ml),
                    six(self.permanganate.0),
                    six(milligrams)
                ),
            )
            .step(
                "strength",
                format!(
                    "{} mg / (10 x {} mL) = {} % w/v",
                    six(milligrams),
                    six(sample_ml),
                    six(wv.0)
                ),
            );
        Ok(self.told(self.thinned(working)))
    }

    /// How much permanganate a strength is expected to take.
    ///
    /// # Errors
    /// [`Absurd`] if there is no sample.
    pub fn expected(&self, solution: &Solution) -> Result<Working, Absurd> {
        self.check()?;
        let sample_ml = self.bath().0 * 1000.0;
        let milligrams = solution.wv.0 * 10.0 * sample_ml;
        let each = self.permanganate.0 * 2.5 * GRAMS_PER_MOLE;
        let titre_ml = milligrams / each;
        let working = Working::new()
            .answer(format!("{} takes {} mL of permanganate", solution.name(), six(titre_ml)))
            .figure("titre", Litres(titre_ml / 1000.0))
            .step(
                "peroxide",
                format!(
                    "{} % w/v x 10 x {} mL = {} mg",
                    six(solution.wv.0),
                    six(sample_ml),
                    six(milligrams)
                ),
            )
            .step(
                "1 mL takes up",
                format!(
                    "{} mol/L x 5 / 2 x {GRAMS_PER_MOLE} = {} mg",
                    six(self.permanganate.0),
                    six(each)
                ),
            )
            .step("titre", format!("{} / {} = {} mL", six(milligrams), six(each), six(titre_ml)));
        Ok(self.told(self.thinned(working)))
    }

    /// How much of the bath itself was titrated.
    fn bath(&self) -> Litres {
        match self.aliquot {
            Some((taken, made_up)) => Litres(self.sample.0 * taken.0 / made_up.0),
            None => self.sample,
        }
    }

    /// The working with how the sample was thinned.
    fn thinned(&self, working: Working) -> Working {
        let Some((taken, made_up)) = self.aliquot else { return working };
        working.step(
            "of the bath itself",
            format!(
                "{} mL x {} mL / {} mL = {} mL",
                six(self.sample.0 * 1000.0),
                six(taken.0 * 1000.0),
                six(made_up.0 * 1000.0),
                six(self.bath().0 * 1000.0)
            ),
        )
    }

    fn check(&self) -> Result<(), Absurd> {
        some(self.sample.0, "L of sample")?;
        if let Some((taken, made_up)) = self.aliquot {
            some(taken.0, "L of sample")?;
            if made_up.0 < taken.0 || made_up.0 < self.sample.0 {
                return Err(Absurd::new(
                    "no more can be titrated than it was made up to",
                    "say it like `assay 18mL in 25mL from 5mL to 250mL`",
                ));
            }
        }
        some(self.permanganate.0, "mol/L of permanganate")
    }

    fn told(&self, working: Working) -> Working {
        let working = working
            .caution(PERMANGANATE)
            .source("2 MnO4- + 5 H2O2 + 6 H+ = 2 Mn2+ + 5 O2 + 8 H2O", Known::Memory)
            .source(
                "1 mL of 0.02 mol/L (0.1 N) takes up 1.701 mg: USP 31, hydrogen peroxide topical \
                 solution",
                Known::Read,
            );
        if self.used { working.caution(DIRTY) } else { working }
    }
}

/// The strength that a strip says, from its lower to its upper colour, of a sample thinned so many
/// times.
///
/// # Errors
/// [`Absurd`] if it reads nothing, is thinned less than once, or no solution is that strong.
pub fn strip(low: f64, high: f64, times: f64, used: bool) -> Result<Working, Absurd> {
    some(high, "mg/L")?;
    if times < 1.0 {
        return Err(Absurd::new(
            format!("a sample cannot be thinned {} times", six(times)),
            "say how many times, such as `times 100` for 1 mL made up to 100 mL",
        ));
    }
    if low > high {
        return Err(Absurd::new("the lower colour is above the upper one", "turn them around"));
    }
    let percent = |reading: f64| PercentWv(reading * times / 10_000.0);
    let (least, most) = (percent(low), percent(high));
    let middle = PercentWv(f64::midpoint(least.0, most.0));
    Solution::mixed_by_volume(most)?;
    let bound = if used { "at most " } else { "" };
    let spread =
        if low < high && !used { format!(", between {least} and {most}") } else { String::new() };
    let told = if used { most } else { middle };
    let working = Working::new()
        .answer(format!("{bound}{told}{spread}, by strip"))
        .figure("percent_wv", told)
        .figure("lowest", least)
        .figure("highest", most)
        .words("reading", if used { "upper bound" } else { "as measured" })
        .step(
            "strength",
            format!("{} mg/L x {} / 10000 = {} % w/v", six(high), six(times), six(most.0)),
        )
        .caution(
            "A strip is read in steps: take half a step either way, and a fresh strip each time.",
        )
        .source("1 % w/v is 10 g/L; the strip's own colour chart decides", Known::Practice);
    Ok(if used { working.caution(DIRTY) } else { working })
}
