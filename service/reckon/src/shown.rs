//! An answer in the units in force: the sums are metric, and a sentence is turned where it is told.
//!
//! What is read off a vessel, a scale or a thermometer has the other unit in brackets. The figures
//! of an answer keep their own unit.
//!
//! * `figure`: a figure at the front of a text, a single one or a range
//! * `us`: a metric figure in US units

mod figure;
mod us;

use figure::{Figure, System, ends_in_us_unit};

pub use us::ounce_step;

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
        if let Some(([metric, us], after)) = begins.then(|| both(rest, &out)).flatten() {
            let [first, other] = match shown {
                Shown::Us => [&us, &metric],
                Shown::MetricThenUs | Shown::Metric => [&metric, &us],
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

fn is_word(character: char) -> bool {
    character.is_alphanumeric() || matches!(character, '.' | '-' | '/' | '^')
}

/// The figure at the front in metric and in US units, and what is behind it. Where the text has both
/// already, those are taken as they stand.
fn both<'a>(text: &'a str, before: &str) -> Option<([String; 2], &'a str)> {
    let (first, after) = Figure::at_front(text)?;
    if let Some((second, rest)) = in_brackets(after)
        && first.system() != second.system()
    {
        let (metric, us) =
            if first.system() == System::Metric { (first, second) } else { (second, first) };
        return Some(([metric.typed, us.typed], rest));
    }
    // `104 3/8 in (265.1 cm)` has both already.
    let again = before.strip_suffix(" (").is_some_and(ends_in_us_unit);
    if first.system() == System::Us || again {
        return None;
    }
    let us = us::in_us(&first, before, after)?;
    Some(([first.typed, us], after))
}

/// The figure that stands alone in the brackets at the front.
fn in_brackets(text: &str) -> Option<(Figure, &str)> {
    let (inside, rest) = text.strip_prefix(" (")?.split_once(')')?;
    let (figure, nothing) = Figure::at_front(inside)?;
    nothing.is_empty().then_some((figure, rest))
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
            ("steps of 28.3 g", "steps of 1 oz (28.3 g)"),
            ("steps of 0.567 g", "steps of 0.02 oz (0.567 g)"),
            ("to 100 \u{b0}C (212 \u{b0}F)", "to 212 \u{b0}F (100 \u{b0}C)"),
            ("at 25 \u{b0}C and", "at 77 \u{b0}F (25 \u{b0}C) and"),
            (
                "falls 10.16 mm/h, 25.4 mm in 149 min",
                "falls 0.4 in/h (10.16 mm/h), 1 in (25.4 mm) in 149 min",
            ),
            ("a pot 0.4064 m across", "a pot 16 in (0.4064 m) across"),
            ("at 1600 m", "at 5249 ft (1600 m)"),
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

    /// Source: the definition of the scales: 40, 60 and 50 degrees Celsius are 104, 140 and 122
    /// Fahrenheit, and 10 degrees Celsius apart are 18 Fahrenheit apart.
    #[test]
    fn both_ends_of_a_range_are_turned_and_a_difference_is_no_temperature() {
        for (text, us, metric_first) in [
            (
                "they want 40 to 60 \u{b0}C and water",
                "they want 104 to 140 \u{b0}F (40 to 60 \u{b0}C) and water",
                "they want 40 to 60 \u{b0}C (104 to 140 \u{b0}F) and water",
            ),
            (
                "put in 4 to 8 kg, 3 to 6 h",
                "put in 8 lb 13.1 oz to 17 lb 10.2 oz (4 to 8 kg), 3 to 6 h",
                "put in 4 to 8 kg (8 lb 13.1 oz to 17 lb 10.2 oz), 3 to 6 h",
            ),
            (
                "for each 18 \u{b0}F (10 \u{b0}C): never past 120 \u{b0}F (50 \u{b0}C)",
                "for each 18 \u{b0}F (10 \u{b0}C): never past 120 \u{b0}F (50 \u{b0}C)",
                "for each 10 \u{b0}C (18 \u{b0}F): never past 50 \u{b0}C (120 \u{b0}F)",
            ),
            (
                "40 to 60 \u{b0}C (105 to 140 \u{b0}F)",
                "105 to 140 \u{b0}F (40 to 60 \u{b0}C)",
                "40 to 60 \u{b0}C (105 to 140 \u{b0}F)",
            ),
            (
                "for each 10 \u{b0}C; 5 \u{b0}C below the boil; warm it by 0.5 K",
                "for each 18 \u{b0}F (10 \u{b0}C); 9 \u{b0}F (5 \u{b0}C) below the boil; warm it by \
                 0.9 \u{b0}F (0.5 K)",
                "for each 10 \u{b0}C (18 \u{b0}F); 5 \u{b0}C (9 \u{b0}F) below the boil; warm it by \
                 0.5 K (0.9 \u{b0}F)",
            ),
            (
                "gross 104 3/8 in (265.1 cm), 2 1/2 cup (591 mL)",
                "gross 104 3/8 in (265.1 cm), 2 1/2 cup (591 mL)",
                "gross 104 3/8 in (265.1 cm), 2 1/2 cup (591 mL)",
            ),
            // An absolute temperature of a formula is no difference.
            ("x 298.15 K / 2", "x 298.15 K / 2", "x 298.15 K / 2"),
            (
                "from 45 to 40 \u{b0}C (slowly)",
                "from 113 to 104 \u{b0}F (45 to 40 \u{b0}C) (slowly)",
                "from 45 to 40 \u{b0}C (113 to 104 \u{b0}F) (slowly)",
            ),
        ] {
            assert_eq!(in_units(text, Shown::Us), us);
            assert_eq!(in_units(text, Shown::MetricThenUs), metric_first);
            assert_eq!(in_units(text, Shown::Metric), text);
        }
    }

    /// Source: 1 ft is 0.3048 m, so a cubic foot is 28.316846592 L, and 1 psi is 6894.757 Pa: NIST
    /// SP 811, appendix B.
    #[test]
    fn gas_is_in_cubic_feet_and_a_pressure_over_the_airs_in_psi() {
        for (text, us) in [
            ("gives 816.8 L of oxygen", "gives 28.8 ft\u{b3} (816.8 L) of oxygen"),
            ("0.772 m\u{b3} of it", "27.3 ft\u{b3} (0.772 m\u{b3}) of it"),
            ("349.8 kPa over the air's", "50.7 psi (349.8 kPa) over the air's"),
            ("/ 101.325 kPa", "/ 101.325 kPa"),
        ] {
            assert_eq!(in_units(text, Shown::Us), us);
        }
    }
}
