//! What the shop's settings say of its air and its pots.
//!
//! `altitude` (1600m) or `barometer` (850hPa), `simmer-margin` (10C below the local boil), and for each
//! pot `burner-POT` (30000BTU/h) and `across-POT` (40cm). The word `none` takes one back.

use burrline_terms::{
    Length, Temperature, Typed,
    field::BadWord,
    measure::{Altitude, Power, Pressure},
};
use rust_decimal::Decimal;

/// The settings, for whoever typed another one.
pub const NAMES: &str = "altitude, barometer, simmer-margin, burner-PLACE and across-PLACE";

/// The value that takes a setting back.
pub const NONE: &str = "none";

/// The lowest dry land in metres, the shore of the Dead Sea.
pub const LOWEST: i64 = -440;
/// The top of the troposphere in metres; the pressure of the air is known to there.
pub const HIGHEST: i64 = 11_000;

/// Whether a value fits a setting of the pots; nothing if it is no setting of theirs.
pub fn check(setting: &str, value: &str) -> Option<Result<(), String>> {
    let told = |bad: BadWord| bad.to_string();
    let checked = match setting {
        "altitude" | "barometer" | "simmer-margin" if value == NONE => Ok(()),
        "altitude" => Altitude::read(value).map_err(told).and_then(altitude),
        "barometer" => Pressure::read(value).map_err(told).and_then(barometer),
        "simmer-margin" => Temperature::read(value).map_err(told).and_then(margin),
        other => {
            if let Some(place) = other.strip_prefix("burner-").filter(|place| !place.is_empty()) {
                let words =
                    format!("say the burner's power, such as `set-shop burner-{place} 3kW`");
                above_nothing(value, Power::read(value).map(Power::watts), words)
            } else {
                let place = other.strip_prefix("across-").filter(|place| !place.is_empty())?;
                let words =
                    format!("say how far it is across, such as `set-shop across-{place} 40cm`");
                above_nothing(value, Length::read(value).map(Length::millimetres), words)
            }
        }
    };
    Some(checked)
}

fn altitude(altitude: Altitude) -> Result<(), String> {
    let metres = altitude.metres();
    if (Decimal::from(LOWEST)..=Decimal::from(HIGHEST)).contains(&metres) {
        return Ok(());
    }
    Err(format!(
        "nobody boils skulls at {} m: say an altitude from -440m, the Dead Sea, to 11000m, such as \
         1600m or 5280ft",
        metres.round().normalize()
    ))
}

fn barometer(pressure: Pressure) -> Result<(), String> {
    let pascals = pressure.pascals();
    if (Decimal::from(22_600)..=Decimal::from(110_000)).contains(&pascals) {
        return Ok(());
    }
    let hectopascals = pascals.checked_div(Decimal::ONE_HUNDRED).unwrap_or(pascals);
    Err(format!(
        "no barometer on the ground shows {} hPa: say its reading with the unit, such as 850hPa or \
         25.1inHg",
        hectopascals.round_dp(2).normalize()
    ))
}

/// A difference, which knows no zero: in degrees Fahrenheit nine fifths as many.
fn margin(margin: Temperature) -> Result<(), String> {
    let (low, high) = if margin.fahrenheit { (18, 1080) } else { (10, 600) };
    if (Decimal::new(low, 1)..=Decimal::new(high, 1)).contains(&margin.number) {
        return Ok(());
    }
    Err("say from 1 to 60 degrees below the boil, such as 10C".to_owned())
}

fn above_nothing(value: &str, read: Result<Decimal, BadWord>, words: String) -> Result<(), String> {
    let fits = value == NONE || read.is_ok_and(|number| number > Decimal::ZERO);
    if fits { Ok(()) } else { Err(words) }
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
