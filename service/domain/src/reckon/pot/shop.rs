//! What the shop's settings say of its air and its pots.
//!
//! `altitude` (1600m) or `barometer` (850hPa), `simmer-margin` (10C below the local boil), and for each
//! pot `burner-POT` (30000BTU/h) and `across-POT` (40cm). The word `none` takes one back.

use rust_decimal::prelude::ToPrimitive as _;

use super::{
    atmosphere::{self, Height},
    boils::{Air, MARGIN},
};
use crate::{
    Length, Temperature, Typed,
    field::BadWord,
    fold::Shop,
    measure::{Altitude, Power, Pressure},
    name::Name,
    reckon::quantity::{KelvinApart, Metres, Pascals, Watts},
};

/// The settings, for whoever typed another one.
pub const NAMES: &str = "altitude, barometer, simmer-margin, burner-PLACE and across-PLACE";

/// The value that takes a setting back.
const NONE: &str = "none";

/// Whether a value fits a setting of the pots; nothing if it is no setting of theirs.
pub fn check(setting: &str, value: &str) -> Option<Result<(), String>> {
    let told = |bad: BadWord| bad.to_string();
    let checked = match setting {
        "altitude" | "barometer" | "simmer-margin" if value == NONE => Ok(()),
        "altitude" => read_altitude(value)
            .map_err(told)
            .and_then(|m| atmosphere::pressure(m, Height::Geometric).map_err(|e| e.to_string()))
            .map(drop),
        "barometer" => read_pressure(value)
            .map_err(told)
            .and_then(|p| atmosphere::shown(p).map_err(|e| e.to_string()))
            .map(drop),
        "simmer-margin" => match read_margin(value) {
            Ok(margin) if (1.0..=60.0).contains(&margin.0) => Ok(()),
            Ok(_) => Err("say from 1 to 60 degrees below the boil, such as 10C".to_owned()),
            Err(bad) => Err(told(bad)),
        },
        other => {
            if let Some(place) = other.strip_prefix("burner-").filter(|place| !place.is_empty()) {
                let words =
                    format!("say the burner's power, such as `set-shop burner-{place} 3kW`");
                above_nothing(value, read_power(value).map(|power| power.0), words)
            } else {
                let place = other.strip_prefix("across-").filter(|place| !place.is_empty())?;
                let words =
                    format!("say how far it is across, such as `set-shop across-{place} 40cm`");
                above_nothing(value, read_across(value).map(|across| across.0), words)
            }
        }
    };
    Some(checked)
}

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

fn above_nothing(value: &str, read: Result<f64, BadWord>, words: String) -> Result<(), String> {
    let fits = value == NONE || read.is_ok_and(|number| number > 0.0);
    if fits { Ok(()) } else { Err(words) }
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_setting_is_read_before_it_is_kept() {
        for (setting, value) in [
            ("altitude", "1600m"),
            ("altitude", "-430 m"),
            ("altitude", "none"),
            ("barometer", "25.1inHg"),
            ("simmer-margin", "18F"),
            ("burner-pot-1", "30000 BTU/h"),
            ("across-pot-1", "16in"),
        ] {
            assert_eq!(check(setting, value), Some(Ok(())), "{setting} {value}");
        }
        for (setting, value, words) in [
            ("altitude", "12km", "11000m"),
            ("altitude", "1600", "1600m"),
            ("barometer", "5kPa", "850hPa"),
            ("simmer-margin", "0C", "10C"),
            ("burner-pot-1", "hot", "burner-pot-1 3kW"),
            ("burner-pot-1", "0W", "burner-pot-1 3kW"),
            ("across-pot-1", "3kW", "across-pot-1 40cm"),
        ] {
            let told = check(setting, value).unwrap().unwrap_err();
            assert!(told.contains(words), "{setting} {value}: {told}");
        }
        assert_eq!(check("burner-", "3kW"), None);
        assert_eq!(check("colour", "red"), None);
    }
}
