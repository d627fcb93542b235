//! What is known of two kinds, and of three, that come together. The worst rows come first.

mod corrosives;
mod deadly;
mod handling;
mod oxidizers;
mod said;
mod spoils;

use self::said::{
    ACIDS, AMMONIAS, BURNS, CHLORINES, GAS, LEAVE, METALS, OXIDIZERS, SOLVENTS, STRONG,
};
use super::{
    Grade,
    kinds::Kind::{
        self, Alcohol, Bicarbonate, Chalk, Closed, DryingOil, Explosive, Flame, Grease, Heat,
        Ketone, Lacquer, Light, MetalDust, Permanganate, Soda, Solvent, Water,
    },
    sources::{self, From},
};

/// What comes of two kinds together.
#[derive(Debug, Clone, Copy)]
pub(super) struct Row {
    pub(super) one: &'static [Kind],
    pub(super) other: &'static [Kind],
    pub(super) grade: Grade,
    /// What happens.
    pub(super) what: &'static str,
    /// What to do.
    pub(super) act: &'static str,
    pub(super) source: From,
}

/// Three kinds that are worse together than two of them.
#[derive(Debug, Clone, Copy)]
pub(super) struct Three {
    pub(super) kinds: [&'static [Kind]; 3],
    pub(super) grade: Grade,
    pub(super) what: &'static str,
    pub(super) act: &'static str,
    pub(super) source: From,
}

/// Threes, the worst first.
pub(super) const THREES: &[Three] = &[
    Three {
        kinds: [OXIDIZERS, &[Ketone], ACIDS],
        grade: Grade::Deadly,
        what: "acid makes acetone and peroxide an explosive that goes off at a touch",
        act: LEAVE,
        source: sources::OXLEY,
    },
    Three {
        kinds: [CHLORINES, AMMONIAS, ACIDS],
        grade: Grade::Deadly,
        what: "chlorine and chloramine gas at once, which kill",
        act: GAS,
        source: sources::TORRANCE,
    },
    Three {
        kinds: [&[Permanganate], STRONG, SOLVENTS],
        grade: Grade::Deadly,
        what: "it explodes or bursts into flame",
        act: LEAVE,
        source: sources::PERMANGANATE_PAGE,
    },
    Three {
        kinds: [&[MetalDust, Explosive], &[Water], &[Flame]],
        grade: Grade::Deadly,
        what: "water on burning metal explodes",
        act: LEAVE,
        source: sources::PRUDENT,
    },
    Three {
        kinds: [&[Solvent, Ketone, Alcohol, Lacquer], &[Flame], &[Water]],
        grade: Grade::Deadly,
        what: "water carries burning fuel along",
        act: "Get out, no water; from the way out only a fire extinguisher; call the fire department",
        source: sources::BAY,
    },
    Three {
        kinds: [ACIDS, &[Soda, Bicarbonate, Chalk], &[Closed]],
        grade: Grade::Injures,
        what: "they foam and burst what is closed",
        act: "Never close it; get away from it, goggles",
        source: sources::CHEMISTRY,
    },
    Three {
        kinds: [ACIDS, METALS, &[Closed]],
        grade: Grade::Injures,
        what: "acid on metal makes hydrogen, which bursts what is closed and burns",
        act: "Never close it; no flame; get away from it",
        source: sources::ICSC_HCL,
    },
    Three {
        kinds: [BURNS, &[Closed], &[Light]],
        grade: Grade::Injures,
        what: "in the sun its vapor builds up, bursts what is closed or leaks out to a flame",
        act: "Shade, cool, a can that is made for it; far from flame and switch",
        source: sources::BAY,
    },
    Three {
        kinds: [&[Grease, DryingOil], &[Heat], &[Water]],
        grade: Grade::Injures,
        what: "water in fat that is hotter than a boil flashes to steam and throws the fat; fat that \
               floats on a simmer is not meant",
        act: "Heat off, no water, stand back; if it burns: lid on, leave and call the fire department",
        source: sources::BAY,
    },
];

/// Every pair, the worst first.
pub(super) fn all() -> impl Iterator<Item = &'static Row> {
    [deadly::ROWS, oxidizers::ROWS, corrosives::ROWS, handling::ROWS, spoils::ROWS, spoils::FINE]
        .into_iter()
        .flatten()
}

pub(super) const fn row(
    one: &'static [Kind],
    other: &'static [Kind],
    grade: Grade,
    what: &'static str,
    act: &'static str,
    source: From,
) -> Row {
    Row { one, other, grade, what, act, source }
}

pub(super) const fn deadly(
    one: &'static [Kind],
    other: &'static [Kind],
    what: &'static str,
    act: &'static str,
    source: From,
) -> Row {
    row(one, other, Grade::Deadly, what, act, source)
}

pub(super) const fn injures(
    one: &'static [Kind],
    other: &'static [Kind],
    what: &'static str,
    act: &'static str,
    source: From,
) -> Row {
    row(one, other, Grade::Injures, what, act, source)
}

pub(super) const fn spoils(
    one: &'static [Kind],
    other: &'static [Kind],
    what: &'static str,
    act: &'static str,
    source: From,
) -> Row {
    row(one, other, Grade::Spoils, what, act, source)
}

pub(super) const fn fine(one: &'static [Kind], other: &'static [Kind], what: &'static str) -> Row {
    row(one, other, Grade::Fine, what, "", sources::BAY)
}
