//! What the shop's settings say of its air and its pots.
//!
//! `altitude` (1600m) or `barometer` (850hPa), `simmer-margin` (10C below the local boil), and for each
//! pot `burner-POT` (30000BTU/h) and `across-POT` (40cm). The word `none` takes one back.

use burrline_domain::{fold::Shop, pots::NONE};
use burrline_terms::{
    Length, Temperature, Typed,
    field::BadWord,
    measure::{Altitude, Power, Pressure},
    name::Name,
};
use rust_decimal::prelude::ToPrimitive as _;

use super::{
    atmosphere::Height,
    boils::{Air, MARGIN},
};
use crate::quantity::{KelvinApart, Metres, Pascals, Watts};

/// The shop's air: its barometer, else its altitude.
pub fn air(shop: &Shop) -> Option<Air> {
    let barometer = said(shop, "barometer").and_then(|value| read_pressure(value).ok());
    barometer.map(Air::Barometer).or_else(|| {
        let altitude = read_altitude(said(shop, "altitude")?).ok()?;
        Some(Air::Altitude(altitude, Height::Geometric))
    })
}

/// Between what margins below the boil the shop simmers.
pub fn margins(shop: &Shop) -> (KelvinApart, KelvinApart) {
    let own = said(shop, "simmer-margin").and_then(|value| read_margin(value).ok());
    own.map_or(MARGIN, |margin| (margin, margin))
}

/// The power of the burner under a pot.
pub fn burner(shop: &Shop, pot: &Name) -> Option<Watts> {
    said(shop, &format!("burner-{pot}")).and_then(|value| read_power(value).ok())
}

/// How far a pot is across.
pub fn across(shop: &Shop, pot: &Name) -> Option<Metres> {
    said(shop, &format!("across-{pot}")).and_then(|value| read_across(value).ok())
}

fn said<'a>(shop: &'a Shop, setting: &str) -> Option<&'a str> {
    shop.setting(setting).filter(|value| *value != NONE)
}

fn read_altitude(value: &str) -> Result<Metres, BadWord> {
    Altitude::read(value).map(|altitude| Metres(figure(altitude.metres())))
}

fn read_pressure(value: &str) -> Result<Pascals, BadWord> {
    Pressure::read(value).map(|pressure| Pascals(figure(pressure.pascals())))
}

fn read_power(value: &str) -> Result<Watts, BadWord> {
    Power::read(value).map(|power| Watts(figure(power.watts())))
}

fn read_across(value: &str) -> Result<Metres, BadWord> {
    Length::read(value).map(|across| Metres(figure(across.millimetres()) / 1000.0))
}

/// A difference, which knows no zero.
fn read_margin(value: &str) -> Result<KelvinApart, BadWord> {
    let margin = Temperature::read(value)?;
    let kelvin = figure(margin.number);
    Ok(KelvinApart(if margin.fahrenheit { kelvin * 5.0 / 9.0 } else { kelvin }))
}

fn figure(exact: rust_decimal::Decimal) -> f64 {
    exact.to_f64().unwrap_or(f64::NAN)
}
