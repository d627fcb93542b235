//! What peroxide gives off when it goes: oxygen, heat, and pressure in what is closed.

use burrline_terms::density::SOURCE;

use crate::{
    Absurd, Known, Working,
    constants::{ATMOSPHERE, GAS, GRAMS_PER_MOLE, kelvin},
    peroxide::{dilute::some, solution::Solution, strength::MolarVolume},
    quantity::{Celsius, CubicMetres, KelvinApart, Kilojoules, Litres, Moles, Pascals, Share},
    working::{digits, six},
};

/// Heat in kJ from a mole of hydrogen peroxide in water.
const HEAT: f64 = 98.2;
/// Heat that warms a kilogram of dilute peroxide by a kelvin, in kJ.
const WARMING: f64 = 4.0;
/// The share of oxygen in air.
const OXYGEN_IN_AIR: f64 = 0.2095;

/// What is asked of a solution that goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Going {
    /// How much of it.
    pub volume: Litres,
    /// How much of its peroxide goes.
    pub gone: Share,
    /// How warm the gas is.
    pub at: Celsius,
    /// The molar volume for the standard figure.
    pub by: MolarVolume,
    /// The room above it in a closed jug.
    pub headspace: Option<Litres>,
    /// The closed room that it stands in.
    pub room: Option<CubicMetres>,
}

/// Oxygen and heat of a solution that goes; pressure in a closed jug, oxygen in a closed room.
///
/// # Errors
/// [`Absurd`] if there is nothing of it, or more than all of it goes.
pub fn gas(solution: &Solution, going: Going) -> Result<Working, Absurd> {
    some(going.volume.0, "L")?;
    if !(going.gone.0 > 0.0 && going.gone.0 <= 100.0) {
        return Err(Absurd::new(
            format!("{} of it cannot go", going.gone),
            "say a share over 0 % and up to 100 %, such as `gone 1%`",
        ));
    }
    if !(-20.0..=120.0).contains(&going.at.0) {
        return Err(Absurd::new(
            format!("{} is no temperature of a bath", going.at),
            "say one such as `at 25C`",
        ));
    }
    let moles =
        Moles(going.volume.0 * solution.wv.0 * 10.0 / GRAMS_PER_MOLE * going.gone.0 / 100.0);
    let oxygen = Moles(moles.0 / 2.0);
    let kelvin = kelvin(going.at);
    let cold = Litres(oxygen.0 * going.by.litres());
    let warm = Litres(oxygen.0 * GAS * kelvin / ATMOSPHERE * 1000.0);
    let mass = solution.kilograms(going.volume);
    let heat = Kilojoules(moles.0 * HEAT);
    let rise = KelvinApart(heat.0 / (mass.0 * WARMING));
    let (litres, wv) = (six(going.volume.0), six(solution.wv.0));
    let mut working = Working::new()
        .answer(format!(
            "{} of {}, {} of it gone, gives {warm} of oxygen at {} and {heat}, enough to warm it by \
             {rise}",
            going.volume,
            solution.name(),
            going.gone,
            going.at
        ))
        .figure("moles", moles)
        .figure("oxygen_standard", cold)
        .figure("oxygen", warm)
        .figure("heat", heat)
        .figure("rise", rise)
        .step(
            "peroxide",
            format!(
                "{litres} L x {wv} % w/v x 10 / {GRAMS_PER_MOLE} x {} / 100 = {} mol",
                six(going.gone.0),
                six(moles.0)
            ),
        )
        .step("oxygen", format!("{} mol / 2 = {} mol", six(moles.0), six(oxygen.0)))
        .step(
            format!("at {}", going.by.words()),
            format!("{} mol x {} L/mol = {} L", six(oxygen.0), going.by.litres(), six(cold.0)),
        )
        .step(
            format!("at {} and 1 atm", going.at),
            format!(
                "{} mol x 8.31446 x {} K / 101.325 kPa = {} L",
                six(oxygen.0),
                six(kelvin),
                six(warm.0)
            ),
        )
        .step("heat", format!("{} mol x {HEAT} kJ/mol = {} kJ", six(moles.0), six(heat.0)))
        .step(
            "warms it by",
            format!("{} kJ / ({} kg x {WARMING} kJ/(kg K)) = {} K", six(heat.0), six(mass.0), six(rise.0)),
        )
        .caution("Vented caps only; never a used bath into a closed jug: it bursts.")
        .source(
            "2 H2O2 = 2 H2O + O2, 196.1 kJ for two moles: Purdue University, chemistry demonstration 19.6",
            Known::Read,
        )
        .source("98.2 kJ/mol in solution, 0.2 % more than that", Known::Memory)
        .source("ideal gas; 4.0 kJ/(kg K) for dilute peroxide, within 15 %", Known::Practice)
        .source(SOURCE, Known::Memory);
    if going.at.0 + rise.0 >= 100.0 {
        working =
            working.caution("That is past boiling: it would foam over and throw hot peroxide.");
    }
    if let Some(headspace) = going.headspace {
        working = closed(working, oxygen, headspace, kelvin)?;
    }
    if let Some(room) = going.room {
        working = enriched(working, warm, room)?;
    }
    Ok(working)
}

fn closed(
    working: Working,
    oxygen: Moles,
    headspace: Litres,
    kelvin: f64,
) -> Result<Working, Absurd> {
    some(headspace.0, "L")?;
    let pressure = Pascals(oxygen.0 * GAS * kelvin / (headspace.0 / 1000.0));
    let kilopascals = six(pressure.0 / 1000.0);
    let sum = format!(
        "{} mol x 8.31446 x {} K / {} L = {kilopascals} kPa over the air's, {} psi",
        six(oxygen.0),
        six(kelvin),
        six(headspace.0),
        six(pressure.0 / 6894.757)
    );
    let answer = format!(
        "{}; closed, {} kPa over the air's",
        working.answer,
        digits(pressure.0 / 1000.0, 4)
    );
    Ok(working.answer(answer).figure("pressure", pressure).step("closed jug", sum).source(
        "ideal gas, none dissolved, no vapour: the least that is said by it",
        Known::Practice,
    ))
}

fn enriched(working: Working, oxygen: Litres, room: CubicMetres) -> Result<Working, Absurd> {
    some(room.0, "m3")?;
    let added = oxygen.0 / 1000.0;
    let share = Share(100.0 * (OXYGEN_IN_AIR * room.0 + added) / (room.0 + added));
    let sum = format!(
        "100 x ({OXYGEN_IN_AIR} x {} + {}) / ({0} + {1}) = {} %",
        six(room.0),
        six(added),
        six(share.0)
    );
    let answer = format!("{}; in that room {share} oxygen", working.answer);
    let working = working.answer(answer).figure("oxygen_in_room", share);
    let working = working.step("oxygen in the room", sum);
    let working =
        working.source("over 23.5 % is oxygen-enriched: 29 CFR 1910.146(b)", Known::Memory);
    Ok(if share.0 > 23.5 {
        working.caution("Over 23.5 % oxygen things burn that do not in air: open the room.")
    } else {
        working
    })
}
