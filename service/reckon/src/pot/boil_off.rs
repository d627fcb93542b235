//! What goes off as steam, and how soon to top up so that the water stays at the wrapped burr.

use crate::{
    Absurd, Known, Working,
    peroxide::dilute::some,
    quantity::{
        Celsius, Hours, KilogramsPerHour, Metres, MetresPerSecond, Millimetres, MillimetresPerHour,
        Pascals, Share, SquareMetres,
    },
    working::six,
};

use super::{boils::both, heat::Burner, steam};

/// The air over a pot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Over {
    /// How warm it is.
    pub air: Celsius,
    /// How damp it is.
    pub humidity: Share,
    /// How fast it goes over the water.
    pub wind: MetresPerSecond,
}

/// The water's face in a round pot.
pub fn face(across: Metres) -> SquareMetres {
    SquareMetres(std::f64::consts::PI / 4.0 * across.0 * across.0)
}

/// What a burner boils off, once the pot boils; nothing if it does not keep it on the boil.
pub fn boiling(burner: &Burner, boil: Celsius) -> KilogramsPerHour {
    let net = burner.net().0 - burner.loss.0 * (boil.0 - burner.air.0);
    KilogramsPerHour((net / 1000.0 / steam::latent(boil).0 * 3600.0).max(0.0))
}

/// What goes off water that is hot and does not boil, within 40 per cent.
pub fn simmering(face: SquareMetres, water: Celsius, over: &Over) -> KilogramsPerHour {
    let (wet, damp) = (steam::vapour(water).0, damp(over).0);
    let rate = face.0 * (0.089 + 0.0782 * over.wind.0) * (wet - damp) / 1000.0;
    KilogramsPerHour((rate / steam::latent(water).0 * 3600.0).max(0.0))
}

/// How fast the level falls.
pub fn fall(
    rate: KilogramsPerHour,
    face: SquareMetres,
    water: Celsius,
    pressure: Pascals,
) -> MillimetresPerHour {
    // A kilogram a litre on a square metre is a millimetre.
    MillimetresPerHour(rate.0 / (face.0 * steam::density(water, pressure).0))
}

fn damp(over: &Over) -> Pascals {
    Pascals(steam::vapour(over.air).0 * over.humidity.0 / 100.0)
}

/// How a pot loses its water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Losing {
    /// It boils over a burner.
    Boiling(Burner),
    /// It is this warm, under such air.
    Simmering(Celsius, Over),
}

/// What goes off a pot, how fast its level falls, and when it has fallen by what it may.
///
/// # Errors
/// [`Absurd`] for a pot without a face, or water that does not stay in it.
pub fn boil_off(
    losing: Losing,
    across: Metres,
    pressure: Pascals,
    spare: Millimetres,
) -> Result<Working, Absurd> {
    some(across.0, "m across")?;
    some(spare.0, "mm to spare")?;
    let (face, boil) = (face(across), steam::boiling(pressure));
    let working = Working::new()
        .step("face", format!("3.14159 / 4 x {} m ^ 2 = {} m2", six(across.0), six(face.0)));
    let (rate, at, working) = match losing {
        Losing::Boiling(burner) => {
            some(burner.power.0, "W")?;
            let rate = boiling(&burner, boil);
            (rate, boil, working.step("steam", boiling_sum(&burner, boil, rate)))
        }
        Losing::Simmering(water, over) => {
            checked(water, boil, &over)?;
            let rate = simmering(face, water, &over);
            let working = working
                .step("steam", simmering_sum(face, water, &over, rate))
                .source(
                    "Carrier's formula, ASHRAE Handbook, HVAC Applications, natatoriums",
                    Known::Memory,
                )
                .caution("Below the boil it is good to 40 % at best: look at the waterline.");
            (rate, water, working)
        }
    };
    if rate.0 <= 0.0 {
        return Ok(working
            .answer("nothing boils off: the burner does not keep it on the boil")
            .figure("rate", rate));
    }
    let fall = fall(rate, face, at, pressure);
    let until = Hours(spare.0 / fall.0);
    Ok(working
        .answer(format!(
            "{rate} goes off at {}; the level falls {fall}, {spare} in {} min: top up by then",
            both(at),
            six((until.0 * 60.0).floor())
        ))
        .figure("rate", rate)
        .figure("fall", fall)
        .figure("face", face)
        .figure("top_up_after", until)
        .step(
            "level",
            format!(
                "{} kg/h / ({} m2 x {} kg/L) = {} mm/h",
                six(rate.0),
                six(face.0),
                six(steam::density(at, pressure).0),
                six(fall.0)
            ),
        )
        .step("top up", format!("{} mm / {} mm/h = {} h", six(spare.0), six(fall.0), six(until.0)))
        .source(steam::SOURCE, Known::Memory)
        .caution("Water line below the wrapped burr, skull under water; top up with hot water."))
}

fn boiling_sum(burner: &Burner, boil: Celsius, rate: KilogramsPerHour) -> String {
    format!(
        "({} W - {} W/K x ({} - {})) / 1000 / {} kJ/kg x 3600 = {} kg/h",
        six(burner.net().0),
        six(burner.loss.0),
        six(boil.0),
        six(burner.air.0),
        six(steam::latent(boil).0),
        six(rate.0)
    )
}

fn simmering_sum(
    face: SquareMetres,
    water: Celsius,
    over: &Over,
    rate: KilogramsPerHour,
) -> String {
    format!(
        "{} m2 x (0.089 + 0.0782 x {} m/s) x ({} - {} kPa) / {} kJ/kg x 3600 = {} kg/h",
        six(face.0),
        six(over.wind.0),
        six(steam::vapour(water).0 / 1000.0),
        six(damp(over).0 / 1000.0),
        six(steam::latent(water).0),
        six(rate.0)
    )
}

fn checked(water: Celsius, boil: Celsius, over: &Over) -> Result<(), Absurd> {
    if water.0 < 0.0 || water.0 > boil.0 + 0.05 {
        return Err(Absurd::new(
            format!("water is not at {} there: it boils at {}", both(water), both(boil)),
            "say how warm it is, such as `at 88C`; for the boil say the burner, `with 3kW`",
        ));
    }
    if !(0.0..=100.0).contains(&over.humidity.0) || !(-40.0..=60.0).contains(&over.air.0) {
        return Err(Absurd::new("no such air".to_owned(), "say it like `air 20C humidity 50%`"));
    }
    Ok(())
}
