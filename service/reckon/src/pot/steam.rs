//! Water and steam by IAPWS-IF97, where a pot is: from freezing to the boil, near one atmosphere.

use crate::quantity::{Celsius, KilogramsPerLitre, KilojoulesPerKilogram, Pascals};

use super::if97::{LINE, STEAM, STEAM_IDEAL, WATER};

/// Where the formulae are from.
pub const SOURCE: &str = "IAPWS R7-97(2012), industrial formulation 1997 for water and steam";

/// The gas constant of water in kJ/(kg K).
const GAS: f64 = 0.461_526;
const ZERO: f64 = crate::constants::ICE_POINT;

/// The boiling point at a pressure from 611 to 22 million pascals (equation 31).
pub fn boiling(pressure: Pascals) -> Celsius {
    let [n1, n2, n3, n4, n5, n6, n7, n8, n9, n10] = LINE;
    let beta = (pressure.0 / 1e6).powf(0.25);
    let e = beta * beta + n3 * beta + n6;
    let f = n1 * beta * beta + n4 * beta + n7;
    let g = n2 * beta * beta + n5 * beta + n8;
    let d = 2.0 * g / (-f - (f * f - 4.0 * e * g).sqrt());
    let sum = n10 + d;
    Celsius((sum - (sum * sum - 4.0 * (n9 + n10 * d)).sqrt()) / 2.0 - ZERO)
}

/// The vapour pressure of water from 0 to 373 degrees (equation 30).
pub fn vapour(temperature: Celsius) -> Pascals {
    let [n1, n2, n3, n4, n5, n6, n7, n8, n9, n10] = LINE;
    let kelvin = temperature.0 + ZERO;
    let theta = kelvin + n9 / (kelvin - n10);
    let a = theta * theta + n1 * theta + n2;
    let b = n3 * theta * theta + n4 * theta + n5;
    let c = n6 * theta * theta + n7 * theta + n8;
    Pascals((2.0 * c / (-b + (b * b - 4.0 * a * c).sqrt())).powi(4) * 1e6)
}

/// The heat in water (equation 7).
pub fn heat_in_water(temperature: Celsius, pressure: Pascals) -> KilojoulesPerKilogram {
    let (tau, pi) = reduced(temperature, pressure, 1386.0, 16.53e6);
    let sum: f64 = WATER
        .iter()
        .map(|(i, j, n)| {
            n * f64::from(*j) * (7.1 - pi).powi(*i) * (tau - 1.222).powi(j.saturating_sub(1))
        })
        .sum();
    KilojoulesPerKilogram(GAS * 1386.0 * sum)
}

/// The density of water (equation 7).
pub fn density(temperature: Celsius, pressure: Pascals) -> KilogramsPerLitre {
    let (tau, pi) = reduced(temperature, pressure, 1386.0, 16.53e6);
    let sum: f64 = WATER
        .iter()
        .map(|(i, j, n)| {
            -n * f64::from(*i) * (7.1 - pi).powi(i.saturating_sub(1)) * (tau - 1.222).powi(*j)
        })
        .sum();
    // Litres a kilogram: kJ are kPa times cubic metres.
    let volume = pi * sum * GAS * (temperature.0 + ZERO) / (pressure.0 / 1000.0) * 1000.0;
    KilogramsPerLitre(1.0 / volume)
}

/// The heat in steam (equation 15).
pub fn heat_in_steam(temperature: Celsius, pressure: Pascals) -> KilojoulesPerKilogram {
    let (tau, pi) = reduced(temperature, pressure, 540.0, 1e6);
    let ideal: f64 =
        STEAM_IDEAL.iter().map(|(j, n)| n * f64::from(*j) * tau.powi(j.saturating_sub(1))).sum();
    let rest: f64 = STEAM
        .iter()
        .map(|(i, j, n)| n * f64::from(*j) * pi.powi(*i) * (tau - 0.5).powi(j.saturating_sub(1)))
        .sum();
    KilojoulesPerKilogram(GAS * 540.0 * (ideal + rest))
}

/// The heat that turns water into steam at a temperature, at its own vapour pressure.
pub fn latent(temperature: Celsius) -> KilojoulesPerKilogram {
    let pressure = vapour(temperature);
    let steam = heat_in_steam(temperature, pressure).0;
    KilojoulesPerKilogram(steam - heat_in_water(temperature, pressure).0)
}

fn reduced(temperature: Celsius, pressure: Pascals, warm: f64, full: f64) -> (f64, f64) {
    (warm / (temperature.0 + ZERO), pressure.0 / full)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(told: f64, published: f64) {
        assert!((told / published - 1.0).abs() < 1e-8, "{told}, published {published}");
    }

    /// Source: IAPWS R7-97(2012), verification tables 35 and 36 (region 4).
    #[test]
    fn the_line_of_the_release() {
        near(vapour(Celsius(300.0 - ZERO)).0 / 1e6, 0.353_658_941e-2);
        near(vapour(Celsius(500.0 - ZERO)).0 / 1e6, 2.638_897_76);
        near(vapour(Celsius(600.0 - ZERO)).0 / 1e6, 12.344_314_6);
        near(boiling(Pascals(0.1e6)).0 + ZERO, 372.755_919);
        near(boiling(Pascals(1e6)).0 + ZERO, 453.035_632);
        near(boiling(Pascals(10e6)).0 + ZERO, 584.149_488);
    }

    /// Source: IAPWS R7-97(2012), verification tables 5 (region 1) and 15 (region 2).
    #[test]
    fn water_and_steam_of_the_release() {
        let (cold, warm) = (Celsius(300.0 - ZERO), Celsius(500.0 - ZERO));
        near(1.0 / density(cold, Pascals(3e6)).0, 1.002_151_68);
        near(1.0 / density(cold, Pascals(80e6)).0, 0.971_180_894);
        near(1.0 / density(warm, Pascals(3e6)).0, 1.202_418);
        near(heat_in_water(cold, Pascals(3e6)).0, 115.331_273);
        near(heat_in_water(cold, Pascals(80e6)).0, 184.142_828);
        near(heat_in_water(warm, Pascals(3e6)).0, 975.542_239);
        near(heat_in_steam(cold, Pascals(3500.0)).0, 2_549.911_45);
        near(heat_in_steam(Celsius(700.0 - ZERO), Pascals(3500.0)).0, 3_335.683_75);
        near(heat_in_steam(Celsius(700.0 - ZERO), Pascals(30e6)).0, 2_631.494_74);
    }
}
