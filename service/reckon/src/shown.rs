//! An answer in the units in force: the sums are metric, and a sentence is turned where it is told.
//!
//! What is read off a vessel, a scale or a thermometer has the other unit in brackets. The figures
//! of an answer keep their own unit.

use crate::{
    constants::{gallon, inch, pound},
    pot::boils::fahrenheit,
    quantity::Celsius,
    working::digits,
};

/// In which units an answer is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shown {
    /// Litres, grams, degrees Celsius.
    Metric,
    /// The same, with gallons and the like in brackets: what was typed was in those.
    MetricThenUs,
    /// Gallons, pounds, degrees Fahrenheit, with the metric unit in brackets.
    Us,
}

/// A sentence with its figures in these units.
pub fn in_units(sentence: &str, shown: Shown) -> String {
    if shown == Shown::Metric {
        return sentence.to_owned();
    }
    let mut out = String::with_capacity(sentence.len());
    let mut rest = sentence;
    let mut before = ' ';
    // What is to be typed stays as it is typed.
    let mut typed_out = false;
    while let Some(first) = rest.chars().next() {
        typed_out ^= first == '`';
        let begins = !typed_out && (first.is_ascii_digit() || first == '-') && !is_word(before);
        if let Some((typed, us, after)) = begins.then(|| figure(rest)).flatten() {
            let (us, after) = fahrenheit_said(&typed, after).unwrap_or((us, after));
            let [first, other] = match shown {
                Shown::Us => [&us, &typed],
                Shown::MetricThenUs | Shown::Metric => [&typed, &us],
            };
            out.extend([first.as_str(), " (", other.as_str(), ")"]);
            rest = after;
            before = ')';
        } else {
            out.push(first);
            before = first;
            rest = rest.get(first.len_utf8()..).unwrap_or_default();
        }
    }
    out
}

/// Where a temperature is told on both scales already, the one in brackets.
fn fahrenheit_said<'a>(typed: &str, after: &'a str) -> Option<(String, &'a str)> {
    let inside = after.strip_prefix(" (").filter(|_| typed.ends_with('C'))?;
    let (said, rest) = inside.split_once(')')?;
    said.ends_with("\u{b0}F").then(|| (said.to_owned(), rest))
}

fn is_word(character: char) -> bool {
    character.is_alphanumeric() || matches!(character, '.' | '-' | '/' | '^')
}

/// A metric figure at the front: as it stands, in US units, and what is behind it.
fn figure(text: &str) -> Option<(String, String, &str)> {
    let digits_end = text
        .char_indices()
        .find(|(at, c)| !(c.is_ascii_digit() || *c == '.' || (*at == 0 && *c == '-')))?
        .0;
    let (number, behind) = text.split_at_checked(digits_end)?;
    let unit_text = behind.strip_prefix(' ')?;
    let unit_end = unit_text
        .find(|c: char| !(c.is_alphanumeric() || matches!(c, '\u{b0}' | '/' | '\u{b3}' | '\u{b2}')))
        .unwrap_or(unit_text.len());
    let (unit, after) = unit_text.split_at_checked(unit_end)?;
    let us = us(number.parse().ok()?, unit)?;
    Some((format!("{number} {unit}"), us, after))
}

/// A metric figure in US units; none for a unit that is told as it is.
fn us(number: f64, unit: &str) -> Option<String> {
    Some(match unit {
        "L" => volume(number),
        "mL" => volume(number / 1000.0),
        "kg" => mass(number * 1000.0),
        "g" => mass(number),
        "kg/h" => format!("{} lb/h", digits(number * 1000.0 / pound(), 3)),
        "\u{b0}C" => {
            format!("{} \u{b0}F", digits((fahrenheit(Celsius(number)) * 10.0).round() / 10.0, 5))
        }
        "mm" => format!("{} in", digits(number / inch(), 3)),
        "cm" => format!("{} in", digits(number * 10.0 / inch(), 3)),
        "mm/h" => format!("{} in/h", digits(number / inch(), 3)),
        "m" => format!("{} ft", digits(number * 1000.0 / inch() / 12.0, 4)),
        _ => return None,
    })
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

fn mass(grams: f64) -> String {
    let ounces = 16.0 * grams / pound();
    if ounces.abs() < 1.0 {
        return format!("{} oz", digits(ounces, 3));
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

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: 1 US gallon = 3.785411784 L, 1 lb = 453.59237 g: NIST Handbook 44, appendix C.
    #[test]
    fn an_american_reads_gallons_with_litres_in_brackets() {
        for (metric, us) in [
            (
                "4.732 L of 12 % w/v and 14.2 L of water",
                "1.25 gal (4.732 L) of 12 % w/v and 3.75 gal (14.2 L) of water",
            ),
            ("add 0.946353 L", "add 1 qt (0.946353 L)"),
            ("17.85 mL of permanganate", "0.6 fl oz (17.85 mL) of permanganate"),
            ("make 9.979 kg of 12 % w/w", "make 22 lb (9.979 kg) of 12 % w/w"),
            ("steps of 28.35 g", "steps of 1 oz (28.35 g)"),
            ("to 100 \u{b0}C (212 \u{b0}F)", "to 212 \u{b0}F (100 \u{b0}C)"),
            ("at 25 \u{b0}C and", "at 77 \u{b0}F (25 \u{b0}C) and"),
            (
                "falls 10.16 mm/h, 25.4 mm in 149 min",
                "falls 0.4 in/h (10.16 mm/h), 1 in (25.4 mm) in 149 min",
            ),
            // What is no figure of a vessel stays: densities, concentrations, classes, names.
            (
                "1.1122 kg/L, 3.569 mol/L, 300 mg/L, UN2014 L, 12 %",
                "1.1122 kg/L, 3.569 mol/L, 300 mg/L, UN2014 L, 12 %",
            ),
        ] {
            assert_eq!(in_units(metric, Shown::Us), us);
            assert_eq!(in_units(metric, Shown::Metric), metric);
        }
        assert_eq!(in_units("add 5 L.", Shown::MetricThenUs), "add 5 L (1.32 gal).");
        assert_eq!(
            in_units("no head weighs 90 kg; say `thaw 4 kg at 4 \u{b0}C`", Shown::Us),
            "no head weighs 198 lb 6.7 oz (90 kg); say `thaw 4 kg at 4 \u{b0}C`"
        );
    }
}
