//! Pressure of the air by altitude: the ICAO standard atmosphere below 11 km.

use crate::{
    Absurd,
    quantity::{Metres, Pascals},
    working::six,
};

/// Where the formula is from.
pub const SOURCE: &str = "ICAO Doc 7488/3, standard atmosphere to 11 km; equal to the US Standard \
                          Atmosphere 1976";

/// Pressure at the sea, in Pa.
pub const SEA: Pascals = Pascals(crate::constants::ATMOSPHERE);
/// The lowest dry land, the shore of the Dead Sea.
pub const LOWEST: Metres = Metres(-440.0);
/// The top of the troposphere.
pub const HIGHEST: Metres = Metres(11_000.0);

/// Temperature at the sea, in K.
const WARM: f64 = 288.15;
/// How it falls, in K a metre.
const LAPSE: f64 = 0.0065;
/// Radius of the earth that turns heights into each other, in m.
const RADIUS: f64 = 6_356_766.0;

/// What an altitude is measured by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Height {
    /// By a tape or a map.
    #[default]
    Geometric,
    /// By the work to lift a mass, as tables of the atmosphere have it.
    Geopotential,
}

/// The power of the formula: 5.25588.
fn power() -> f64 {
    9.806_65 / (287.052_87 * LAPSE)
}

/// The geopotential height of an altitude.
pub fn geopotential(altitude: Metres, by: Height) -> Metres {
    match by {
        Height::Geopotential => altitude,
        Height::Geometric => Metres(RADIUS * altitude.0 / (RADIUS + altitude.0)),
    }
}

/// Pressure of the standard atmosphere at an altitude.
///
/// # Errors
/// [`Absurd`] below the Dead Sea and above 11 km.
pub fn pressure(altitude: Metres, by: Height) -> Result<Pascals, Absurd> {
    if altitude.0 < LOWEST.0 || altitude.0 > HIGHEST.0 {
        return Err(Absurd::new(
            format!("nobody boils skulls at {} m", six(altitude.0)),
            "say an altitude from -440m, the Dead Sea, to 11000m, such as 1600m or 5280ft",
        ));
    }
    Ok(at(geopotential(altitude, by)))
}

/// Pressure at an altitude when a weather report, which is reduced to the sea, says another one than
/// the standard.
///
/// # Errors
/// [`Absurd`] as for [`pressure`], and for a report beyond all weather.
pub fn reduced(altitude: Metres, by: Height, report: Pascals) -> Result<Pascals, Absurd> {
    if !(87_000.0..=109_000.0).contains(&report.0) {
        return Err(Absurd::new(
            format!("no weather report says {} hPa at the sea", six(report.0 / 100.0)),
            "say what it says, such as `sea-level 1020hPa`; a barometer's own reading goes without \
             `sea-level`",
        ));
    }
    pressure(altitude, by)?;
    // The height at which the standard has the report's pressure is where the sea seems to be.
    let sea = WARM / LAPSE * (1.0 - (report.0 / SEA.0).powf(1.0 / power()));
    Ok(at(Metres(geopotential(altitude, by).0 + sea)))
}

/// Turns down what no barometer shows.
///
/// # Errors
/// [`Absurd`] below 226 and above 1100 hPa.
pub fn shown(barometer: Pascals) -> Result<Pascals, Absurd> {
    if (22_600.0..=110_000.0).contains(&barometer.0) {
        return Ok(barometer);
    }
    Err(Absurd::new(
        format!("no barometer on the ground shows {} hPa", six(barometer.0 / 100.0)),
        "say its reading with the unit, such as 850hPa or 25.1inHg",
    ))
}

fn at(height: Metres) -> Pascals {
    Pascals(SEA.0 * (1.0 - LAPSE * height.0 / WARM).powf(power()))
}
