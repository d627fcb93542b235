//! A solution as typed, with its strength by volume and by mass.

use burrline_terms::{Strength, units::Basis};

use crate::{
    Absurd,
    peroxide::{
        density,
        strength::{MolarVolume, bare, percent},
    },
    quantity::{Kilograms, KilogramsPerLitre, Litres, OxygenVolumes, PercentWv, PercentWw},
    working::six,
};

/// How a strength in volumes of oxygen is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Reading {
    /// As labels have it: 10 volume is 3 %.
    #[default]
    Label,
    /// By arithmetic, with a named molar volume.
    Arithmetic(MolarVolume),
}

/// A solution: water, if it has no strength.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Solution {
    typed: Option<Strength>,
    /// Grams in 100 mL.
    pub wv: PercentWv,
    /// Grams in 100 g.
    pub ww: PercentWw,
}

impl Solution {
    /// Plain water.
    pub const WATER: Self = Self { typed: None, wv: PercentWv(0.0), ww: PercentWw(0.0) };

    /// The solution of a typed strength.
    ///
    /// # Errors
    /// [`Absurd`] if there is no such solution, or its density is not known here.
    pub fn of(typed: Strength, reading: Reading) -> Result<Self, Absurd> {
        possible(typed)?;
        let number = bare(typed);
        let (wv, ww) = match (typed.basis, reading) {
            (Basis::PercentWw, _) => {
                let ww = PercentWw(number);
                (density::by_volume(ww)?, ww)
            }
            (Basis::PercentWv, _) => both(PercentWv(number))?,
            (Basis::LabelVolume, Reading::Label) => both(PercentWv(number * 0.3))?,
            (Basis::LabelVolume, Reading::Arithmetic(by)) => {
                both(percent(by.moles(OxygenVolumes(number))))?
            }
        };
        Ok(Self { typed: Some(typed), wv, ww })
    }

    /// A mix of so much by mass.
    ///
    /// # Errors
    /// [`Absurd`] if its density is not known here.
    pub fn mixed(ww: PercentWw) -> Result<Self, Absurd> {
        Ok(Self { typed: None, wv: density::by_volume(ww)?, ww })
    }

    /// A mix of so much by volume.
    ///
    /// # Errors
    /// [`Absurd`] if its density is not known here.
    pub fn mixed_by_volume(wv: PercentWv) -> Result<Self, Absurd> {
        let (wv, ww) = both(wv)?;
        Ok(Self { typed: None, wv, ww })
    }

    /// Its density.
    pub fn density(&self) -> KilogramsPerLitre {
        density::density(self.ww)
    }

    /// How much so many litres of it weigh, in kilograms.
    pub fn kilograms(&self, litres: Litres) -> Kilograms {
        Kilograms(litres.0 * self.density().0)
    }

    /// What it is called: as typed, or its strength.
    pub fn name(&self) -> String {
        match self.typed {
            Some(typed) => typed.to_string(),
            None if self.ww.0 > 0.0 => self.wv.to_string(),
            None => "water".to_owned(),
        }
    }

    /// What was typed as a strength by volume, for the working; nothing if it was that already.
    pub fn step_by_volume(&self) -> Option<String> {
        let typed = self.typed?;
        match typed.basis {
            Basis::PercentWv => None,
            Basis::LabelVolume => Some(format!("{typed} = {} % w/v", six(self.wv.0))),
            Basis::PercentWw => {
                Some(format!("{typed} x {} kg/L = {} % w/v", six(self.density().0), six(self.wv.0)))
            }
        }
    }

    /// What was typed as a strength by mass, for the working; nothing if it was that already.
    pub fn step_by_mass(&self) -> Option<String> {
        let typed = self.typed?;
        match typed.basis {
            Basis::PercentWw => None,
            Basis::PercentWv | Basis::LabelVolume => Some(format!(
                "{typed} = {} % w/v; / {} kg/L = {} % w/w",
                six(self.wv.0),
                six(self.density().0),
                six(self.ww.0)
            )),
        }
    }

    /// Holds it against what else a label says of it.
    ///
    /// # Errors
    /// [`Absurd`] if the two are more than 6 per cent of themselves apart: labels round that far.
    pub fn agrees(&self, called: &Self) -> Result<(), Absurd> {
        if (self.wv.0 - called.wv.0).abs() <= 0.06 * self.wv.0.max(called.wv.0) {
            return Ok(());
        }
        let volumes = |solution: &Self| six((solution.wv.0 / 0.3).round());
        Err(Absurd::new(
            format!(
                "{} is about {} volume, and {} about {}: they are not the same bottle",
                self.name(),
                volumes(self),
                called.name(),
                volumes(called)
            ),
            "read the label again, and say one of them",
        ))
    }
}

/// Says whether there is such a solution at all.
///
/// # Errors
/// [`Absurd`] above pure peroxide.
pub fn possible(strength: Strength) -> Result<(), Absurd> {
    let most = match strength.basis {
        // Pure peroxide: 1.45 kg/L, and 145 g in 100 mL are 480 volumes.
        Basis::PercentWv => 145.0,
        Basis::PercentWw => 100.0,
        Basis::LabelVolume => 480.0,
    };
    if bare(strength) <= most {
        return Ok(());
    }
    Err(Absurd::new(
        format!("there is no peroxide of {strength}"),
        "say what the label says, such as 12%, 35%w/w or 40vol",
    ))
}

fn both(wv: PercentWv) -> Result<(PercentWv, PercentWw), Absurd> {
    Ok((wv, density::by_mass(wv)?))
}
