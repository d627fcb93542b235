//! Volumes of oxygen, per cent and moles: one solution said in each way, by a named convention.

use burrline_terms::{Strength, density::SOURCE, units::Basis};

use crate::{
    Absurd, Known, Working,
    constants::GRAMS_PER_MOLE,
    peroxide::{density, solution::possible},
    quantity::{MolesPerLitre, OxygenVolumes, PercentWv, PercentWw},
    working::six,
};

/// Litres that a mole of gas takes up: a convention, and so a choice.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum MolarVolume {
    /// 0 degrees Celsius and 1 atmosphere: 22.41396954 L.
    #[default]
    Stp,
    /// The round value of school books: 22.4 L.
    School,
    /// 0 degrees Celsius and 1 bar, standard since 1982: 22.71095464 L.
    Iupac,
}

impl MolarVolume {
    /// Every convention, by its word.
    pub const WORDS: [(&'static str, Self); 3] =
        [("stp", Self::Stp), ("school", Self::School), ("iupac", Self::Iupac)];

    /// Litres a mole.
    pub const fn litres(self) -> f64 {
        match self {
            Self::Stp => 22.413_969_54,
            Self::School => 22.4,
            Self::Iupac => 22.710_954_64,
        }
    }

    /// The convention in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Stp => "0 \u{b0}C and 1 atm",
            Self::School => "the school value",
            Self::Iupac => "0 \u{b0}C and 1 bar",
        }
    }

    /// The convention that a word stands for.
    ///
    /// # Errors
    /// [`Absurd`] for any other word.
    pub fn read(word: &str) -> Result<Self, Absurd> {
        let found = Self::WORDS.iter().find(|(name, _)| *name == word).map(|(_, value)| *value);
        found.ok_or_else(|| {
            Absurd::new(
                format!("\u{201c}{word}\u{201d} is no molar volume"),
                "say stp (22.414 L), school (22.4 L) or iupac (22.711 L)",
            )
        })
    }

    /// Volumes of oxygen: two moles of peroxide give one of oxygen.
    pub fn volumes(self, strength: MolesPerLitre) -> OxygenVolumes {
        OxygenVolumes(strength.0 * self.litres() / 2.0)
    }

    /// The strength that gives so many volumes of oxygen.
    pub fn moles(self, volumes: OxygenVolumes) -> MolesPerLitre {
        MolesPerLitre(volumes.0 * 2.0 / self.litres())
    }
}

/// Moles a litre of a strength by volume.
pub fn moles(strength: PercentWv) -> MolesPerLitre {
    MolesPerLitre(strength.0 * 10.0 / GRAMS_PER_MOLE)
}

/// Per cent by volume of a solution of so many moles a litre.
pub fn percent(strength: MolesPerLitre) -> PercentWv {
    PercentWv(strength.0 * GRAMS_PER_MOLE / 10.0)
}

/// The bare number of a strength, on its own basis.
pub fn bare(strength: Strength) -> f64 {
    rust_decimal::prelude::ToPrimitive::to_f64(&strength.number).unwrap_or(f64::INFINITY)
}

/// One solution said in each way.
///
/// # Errors
/// [`Absurd`] if there is no such solution.
pub fn strength(typed: Strength, by: MolarVolume) -> Result<Working, Absurd> {
    possible(typed)?;
    let number = bare(typed);
    let (wv, working) = match typed.basis {
        Basis::PercentWv => (PercentWv(number), Working::new()),
        Basis::PercentWw => {
            let (ww, wv) = (PercentWw(number), density::by_volume(PercentWw(number))?);
            let density = six(density::density(ww).0);
            let sum = format!("{} % w/w x {density} kg/L = {} % w/v", six(number), six(wv.0));
            (wv, Working::new().step("by volume", sum))
        }
        Basis::LabelVolume => {
            let wv = percent(by.moles(OxygenVolumes(number)));
            let sum = format!(
                "{} x 2 / {} L/mol x {GRAMS_PER_MOLE} g/mol / 10 = {} % w/v",
                six(number),
                by.litres(),
                six(wv.0)
            );
            let label = format!("{} x 3 / 10 = {} % w/v", six(number), six(number * 0.3));
            let working = Working::new().step("by label", label).step("by arithmetic", sum);
            (wv, working.figure("label_wv", PercentWv(number * 0.3)))
        }
    };
    let label = PercentWv(number * 0.3);
    let (start, rest) = match typed.basis {
        Basis::LabelVolume => (format!("{label} by label; by arithmetic {wv}, "), ""),
        Basis::PercentWv => (String::new(), "; a label would say "),
        Basis::PercentWw => (format!("{wv}, "), "; a label would say "),
    };
    let rest = if rest.is_empty() { String::new() } else { rest.to_owned() + &label_volume(wv) };
    each_way(working, wv, by, |ww, mol, volumes| {
        format!("{typed} is {start}{ww}, {mol}, and gives {volumes} of oxygen{rest}")
    })
}

/// A solution of so many moles a litre, said in each way.
///
/// # Errors
/// [`Absurd`] if there is no such solution.
pub fn of_moles(mol: MolesPerLitre, by: MolarVolume) -> Result<Working, Absurd> {
    let wv = percent(mol);
    let sum = format!("{} mol/L x {GRAMS_PER_MOLE} / 10 = {} % w/v", six(mol.0), six(wv.0));
    each_way(Working::new().step("by volume", sum), wv, by, |ww, mol, volumes| {
        format!(
            "{mol} is {wv}, {ww}, and gives {volumes} of oxygen; a label would say {}",
            label_volume(wv)
        )
    })
}

fn label_volume(wv: PercentWv) -> String {
    format!("{} volume", six((wv.0 / 0.3 * 10.0).round() / 10.0))
}

fn each_way(
    working: Working,
    wv: PercentWv,
    by: MolarVolume,
    answer: impl Fn(PercentWw, MolesPerLitre, OxygenVolumes) -> String,
) -> Result<Working, Absurd> {
    let (mol, ww, litres) = (moles(wv), density::by_mass(wv)?, by.litres());
    let (volumes, density) = (by.volumes(mol), density::density(ww));
    let (mass, oxygen) = (six(wv.0), six(volumes.0));
    Ok(working
        .answer(answer(ww, mol, volumes))
        .figure("percent_wv", wv)
        .figure("percent_ww", ww)
        .figure("mol_per_litre", mol)
        .figure("volumes", volumes)
        .figure("density", density)
        .step("moles", format!("{mass} x 10 / {GRAMS_PER_MOLE} = {} mol/L", six(mol.0)))
        .step("oxygen", format!("{} mol/L x {litres} / 2 = {oxygen} vol", six(mol.0)))
        .step("by mass", format!("{mass} % w/v / {} kg/L = {} % w/w", six(density.0), six(ww.0)))
        .source(format!("molar volume at {}: {litres} L, CODATA", by.words()), Known::Memory)
        .source("2 H2O2 = 2 H2O + O2; 34.0147 g/mol, IUPAC atomic weights", Known::Memory)
        .source("10 volume is 3 %, 20 volume 6 %: safety sheet 17720, hydrogen peroxide solution under 8 %, synonyms", Known::Read)
        .source(SOURCE, Known::Memory))
}

#[cfg(test)]
mod tests {
    use super::*;
    use burrline_terms::Typed as _;

    /// Source: the unit is its definition, volumes of oxygen from one volume; 2 H2O2 give one O2.
    #[test]
    fn volumes_and_moles_turn_into_each_other() {
        for (_, by) in MolarVolume::WORDS {
            for volume in [0.5, 10.0, 40.0, 130.0] {
                let back = by.volumes(by.moles(OxygenVolumes(volume)));
                assert!((back.0 - volume).abs() < 1e-12 * volume);
            }
        }
    }

    #[test]
    fn the_answer_tells_label_and_arithmetic_apart() {
        let told = |typed: &str| {
            strength(Strength::read(typed).unwrap(), MolarVolume::Stp).unwrap().answer
        };
        assert_eq!(
            told("40vol"),
            "40 volume is 12 % w/v by label; by arithmetic 12.14 % w/v, 11.66 % w/w, 3.569 mol/L, \
             and gives 40 vol of oxygen"
        );
        assert_eq!(
            told("12%"),
            "12 % w/v is 11.53 % w/w, 3.528 mol/L, and gives 39.54 vol of oxygen; a label would \
             say 40 volume"
        );
    }
}
