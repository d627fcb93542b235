//! Volumes of oxygen, per cent and moles: one solution said in each way, by a named convention.

use crate::{
    Strength,
    reckon::{
        Absurd, Known, Working,
        peroxide::density,
        quantity::{MolesPerLitre, OxygenVolumes, PercentWv, PercentWw},
        working::six,
    },
    units::Basis,
};

/// Grams of hydrogen peroxide in a mole.
pub const GRAMS_PER_MOLE: f64 = 34.0147;

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

/// A strength by volume, as labels have it: 10 volume is 3 %.
///
/// # Errors
/// [`Absurd`] if there is no such solution, or its density is not known.
pub fn by_volume(strength: Strength) -> Result<PercentWv, Absurd> {
    possible(strength)?;
    let number = bare(strength);
    match strength.basis {
        Basis::PercentWv => Ok(PercentWv(number)),
        Basis::LabelVolume => Ok(PercentWv(number * 0.3)),
        Basis::PercentWw => density::by_volume(PercentWw(number)),
    }
}

/// A strength by mass.
///
/// # Errors
/// [`Absurd`] if there is no such solution, or its density is not known.
pub fn by_mass(strength: Strength) -> Result<PercentWw, Absurd> {
    match strength.basis {
        Basis::PercentWw => possible(strength).map(|()| PercentWw(bare(strength))),
        Basis::PercentWv | Basis::LabelVolume => density::by_mass(by_volume(strength)?),
    }
}

/// The bare number of a strength, on its own basis.
pub fn bare(strength: Strength) -> f64 {
    rust_decimal::prelude::ToPrimitive::to_f64(&strength.number).unwrap_or(f64::INFINITY)
}

fn possible(strength: Strength) -> Result<(), Absurd> {
    let most = match strength.basis {
        // Pure peroxide: 1.45 kg/L, and 144 g in 100 mL are 475 volumes.
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

/// One solution said in each way.
///
/// # Errors
/// [`Absurd`] if there is no such solution.
pub fn strength(typed: Strength, by: MolarVolume) -> Result<Working, Absurd> {
    possible(typed)?;
    let number = bare(typed);
    let litres = by.litres();
    let (wv, working) = match typed.basis {
        Basis::PercentWv => (PercentWv(number), Working::new()),
        Basis::PercentWw => {
            let wv = density::by_volume(PercentWw(number))?;
            let sum = format!(
                "{number} % w/w x {} kg/L = {} % w/v",
                six(density::density(PercentWw(number)).0),
                six(wv.0)
            );
            (wv, Working::new().step("by volume", sum))
        }
        Basis::LabelVolume => {
            let wv = percent(by.moles(OxygenVolumes(number)));
            let sum = format!(
                "{number} x 2 / {litres} L/mol x {GRAMS_PER_MOLE} g/mol / 10 = {} % w/v",
                six(wv.0)
            );
            let label = format!("{number} x 3 / 10 = {} % w/v", six(number * 0.3));
            let working = Working::new().step("by arithmetic", sum).step("by label", label);
            (wv, working.figure("label_wv", PercentWv(number * 0.3)))
        }
    };
    let (mol, ww) = (moles(wv), density::by_mass(wv)?);
    let volumes = by.volumes(mol);
    let said = match typed.basis {
        Basis::LabelVolume => {
            format!("{} % w/v by label, {wv} by arithmetic", six(number * 0.3))
        }
        Basis::PercentWv | Basis::PercentWw => format!("{wv}, {ww}"),
    };
    Ok(working
        .answer(format!("{typed} is {said}: {ww}, {mol}, {volumes} of oxygen"))
        .figure("percent_wv", wv)
        .figure("percent_ww", ww)
        .figure("mol_per_litre", mol)
        .figure("volumes", volumes)
        .figure("density", density::density(ww))
        .step("moles", format!("{} x 10 / {GRAMS_PER_MOLE} = {} mol/L", six(wv.0), six(mol.0)))
        .step("oxygen", format!("{} mol/L x {litres} / 2 = {} vol", six(mol.0), six(volumes.0)))
        .step(
            "by mass",
            format!(
                "{} % w/v / {} kg/L = {} % w/w",
                six(wv.0),
                six(density::density(ww).0),
                six(ww.0)
            ),
        )
        .source(format!("molar volume at {}: {litres} L, CODATA", by.words()), Known::Memory)
        .source("2 H2O2 = 2 H2O + O2; 34.0147 g/mol, IUPAC atomic weights", Known::Memory)
        .source("labels: 10 volume = 3 %, as on safety sheets", Known::Read)
        .source(density::SOURCE, Known::Memory))
}
