//! What the shop's settings say of its air and its pots, as figures.

use burrline_domain::Settings;
use burrline_terms::{Temperature, name::Name};
use rust_decimal::{Decimal, prelude::ToPrimitive as _};

use super::{
    atmosphere::Height,
    boils::{Air, MARGIN},
};
use crate::quantity::{KelvinApart, Metres, Pascals, Watts};

/// The shop's air: its barometer, else its altitude.
pub fn air(settings: &Settings) -> Option<Air> {
    let barometer = settings.barometer().map(|shown| Pascals(figure(shown.pascals())));
    barometer.map(Air::Barometer).or_else(|| {
        let altitude = Metres(figure(settings.altitude()?.metres()));
        Some(Air::Altitude(altitude, Height::Geometric))
    })
}

/// Between what margins below the boil the shop simmers.
pub fn margins(settings: &Settings) -> (KelvinApart, KelvinApart) {
    settings.simmer_margin().map(apart).map_or(MARGIN, |margin| (margin, margin))
}

/// The power of the burner under a pot.
pub fn burner(settings: &Settings, pot: &Name) -> Option<Watts> {
    settings.burner(pot).map(|power| Watts(figure(power.watts())))
}

/// How far a pot is across.
pub fn across(settings: &Settings, pot: &Name) -> Option<Metres> {
    settings.across(pot).map(|across| Metres(figure(across.millimetres()) / 1000.0))
}

/// A difference, which knows no zero.
fn apart(margin: Temperature) -> KelvinApart {
    let kelvin = figure(margin.number);
    KelvinApart(if margin.fahrenheit { kelvin * 5.0 / 9.0 } else { kelvin })
}

fn figure(exact: Decimal) -> f64 {
    exact.to_f64().unwrap_or(f64::NAN)
}
