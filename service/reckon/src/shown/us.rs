//! A metric figure in US units.

use super::figure::{Figure, Number};
use crate::{
    constants::{gallon, inch, pound},
    pot::boils::fahrenheit,
    quantity::{Celsius, Grams},
    working::digits,
};

/// Words before a difference of temperatures.
const BEFORE: [&str; 5] = ["each", "every", "by", "within", "per"];
/// Words behind one.
const BEHIND: [&str; 10] =
    ["apart", "warmer", "colder", "cooler", "hotter", "above", "below", "higher", "lower", "off"];
/// Millimetres in a foot.
const FOOT: f64 = 304.8;
/// Pascals in a pound on a square inch.
const PSI: f64 = 6_894.757_293_168;
/// Up to so many metres a length is told in inches.
const BY_THE_TAPE: f64 = 3.0;

/// The coarsest step in ounces that a scale is made with and that shows so small a mass.
pub fn ounce_step(allowed: Grams) -> Grams {
    let ounce = pound() / 16.0;
    let steps = [1.0, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01, 0.005, 0.002];
    let step = steps.into_iter().find(|step| step * ounce <= allowed.0);
    Grams(step.unwrap_or(0.001) * ounce)
}

/// A metric figure in US units, by the words around it; none for a unit that is told as it is.
pub(super) fn in_us(figure: &Figure, before: &str, after: &str) -> Option<String> {
    let one = |number: Number| us(number, &figure.unit, before, after);
    let first = one(figure.number)?;
    let Some(upto) = figure.upto else { return Some(first) };
    let last = one(upto)?;
    // The unit once, where both ends are in the same one.
    let unit = |text: &str| text.split_once(' ').map_or("", |(_, unit)| unit).to_owned();
    Some(match first.split_once(' ') {
        Some((number, said)) if said == unit(&last) => format!("{number} to {last}"),
        _ => format!("{first} to {last}"),
    })
}

fn us(number: Number, unit: &str, before: &str, after: &str) -> Option<String> {
    let value = number.value;
    Some(match unit {
        "L" if after.starts_with(" of oxygen") => cubic_feet(value / 1000.0),
        "L" => volume(value),
        "mL" => volume(value / 1000.0),
        "m\u{b3}" => cubic_feet(value),
        "kg" => mass(value * 1000.0, number.half * 1000.0),
        "g" => mass(value, number.half),
        "kg/h" => format!("{} lb/h", digits(value * 1000.0 / pound(), 3)),
        "\u{b0}C" | "K" if is_difference(before, after) => {
            format!("{} \u{b0}F", digits(value * 1.8, 3))
        }
        "\u{b0}C" => {
            format!("{} \u{b0}F", digits((fahrenheit(Celsius(value)) * 10.0).round() / 10.0, 5))
        }
        "kPa" if after.starts_with(" over the air") => {
            format!("{} psi", digits(value * 1000.0 / PSI, 3))
        }
        "mm" => format!("{} in", digits(value / inch(), 3)),
        "cm" => format!("{} in", digits(value * 10.0 / inch(), 3)),
        "mm/h" => format!("{} in/h", digits(value / inch(), 3)),
        "m" if value.abs() < BY_THE_TAPE => format!("{} in", digits(value * 1000.0 / inch(), 4)),
        "m" => format!("{} ft", digits(value * 1000.0 / FOOT, 4)),
        _ => return None,
    })
}

fn is_difference(before: &str, after: &str) -> bool {
    let last = before.trim_end().rsplit(' ').next().unwrap_or_default();
    let next = after.trim_start().split(|c: char| !c.is_alphabetic()).next().unwrap_or_default();
    BEFORE.contains(&last) || BEHIND.contains(&next)
}

fn cubic_feet(cubic_metres: f64) -> String {
    let foot = FOOT / 1000.0;
    format!("{} ft\u{b3}", digits(cubic_metres / (foot * foot * foot), 3))
}

fn volume(litres: f64) -> String {
    let gallons = litres / gallon();
    let told = |number: f64, unit: &str| format!("{} {unit}", digits(round2(number), 6));
    if gallons.abs() >= 0.995 {
        told(gallons, "gal")
    } else if gallons.abs() * 4.0 >= 0.995 {
        told(gallons * 4.0, "qt")
    } else {
        told(gallons * 128.0, "fl oz")
    }
}

/// Pounds and ounces of so many grams, which may be off by `half` of their last digit.
fn mass(grams: f64, half: f64) -> String {
    let ounces = 16.0 * grams / pound();
    let half = 16.0 * half / pound();
    if ounces.abs() < 1.0 {
        // A step of an ounce that was told as 28.3 g is an ounce again.
        let round = [1.0, 10.0, 100.0]
            .into_iter()
            .map(|per| (ounces * per).round() / per)
            .find(|round| *round > 0.0 && (round - ounces).abs() <= half);
        return format!("{} oz", digits(round.unwrap_or(ounces), 3));
    }
    let tenths = (ounces * 10.0).round() / 10.0;
    let pounds = (tenths / 16.0).trunc();
    let rest = ((tenths - pounds * 16.0) * 10.0).round() / 10.0;
    match (pounds.abs() < 0.5, rest.abs() < 0.05) {
        (true, _) => format!("{} oz", digits(rest, 4)),
        (false, true) => format!("{} lb", digits(pounds, 6)),
        (false, false) => format!("{} lb {} oz", digits(pounds, 6), digits(rest.abs(), 3)),
    }
}

fn round2(number: f64) -> f64 {
    (number * 100.0).round() / 100.0
}
