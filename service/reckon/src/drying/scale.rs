//! The steps of a scale: from the last digit of what was typed, and from readings that are all multiples
//! of more than that.

use std::collections::BTreeSet;

use burrline_terms::{Mass, units::MassUnit};
use rust_decimal::{Decimal, prelude::ToPrimitive as _};

use crate::quantity::Grams;

/// Steps that scales are made with, in units of the last digit, the coarsest first; and how many
/// different readings it takes before all of them being multiples is no chance (for 5, one in 125).
const STEPS: [(i64, usize); 5] = [(50, 3), (20, 3), (10, 3), (5, 3), (2, 6)];
/// Two readings in fives are one chance in 25 on a scale of grams, and many a scale shows fives.
const FIVES: (i64, usize) = (5, 2);

/// What is known of a scale from readings of it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Scale(Vec<(MassUnit, u32, BTreeSet<i64>)>);

impl Scale {
    /// The scale that showed these.
    pub fn of(readings: impl IntoIterator<Item = Mass>) -> Self {
        let mut scale = Self::default();
        let readings: Vec<Mass> = readings.into_iter().collect();
        let ounces = readings.iter().any(|mass| mass.unit == MassUnit::PoundOunce);
        for mass in readings.into_iter().map(|mass| whole_pounds(mass, ounces)) {
            let Some(digits) = digits(mass) else { continue };
            let (unit, places) = (mass.unit, mass.number.scale());
            match scale.0.iter_mut().find(|(u, p, _)| (*u, *p) == (unit, places)) {
                Some((.., all)) => {
                    all.insert(digits);
                }
                None => scale.0.push((unit, places, BTreeSet::from([digits]))),
            }
        }
        scale
    }

    /// The step by which a reading was shown.
    pub fn step(&self, reading: Mass) -> Grams {
        let ounces = self.0.iter().any(|(unit, ..)| *unit == MassUnit::PoundOunce);
        let reading = whole_pounds(reading, ounces);
        let last = Mass::new(Decimal::new(1, reading.number.scale()), reading.unit);
        let last = last.grams().to_f64().unwrap_or(0.0);
        let alike = self
            .0
            .iter()
            .find(|(unit, places, _)| (*unit, *places) == (reading.unit, reading.number.scale()));
        let times = alike.map_or(1, |(.., all)| {
            let multiple = |step: i64| all.iter().all(|digits| digits.checked_rem(step) == Some(0));
            let fives = matches!(reading.unit, MassUnit::Gram | MassUnit::Kilogram);
            let steps = STEPS.into_iter().chain(fives.then_some(FIVES));
            let found = steps.into_iter().find(|(step, few)| all.len() >= *few && multiple(*step));
            found.map_or(1, |(step, _)| step)
        });
        Grams(last * times.to_f64().unwrap_or(1.0))
    }

    /// A last digit of a reading, and five of them (two ounces): how a finer and how a coarser step would
    /// be typed.
    pub fn others(reading: Mass) -> [Mass; 2] {
        let (unit, more) = match reading.unit {
            MassUnit::PoundOunce | MassUnit::Ounce if reading.number.scale() == 0 => {
                (MassUnit::Ounce, 2)
            }
            unit @ (MassUnit::Gram
            | MassUnit::Kilogram
            | MassUnit::Pound
            | MassUnit::Ounce
            | MassUnit::PoundOunce) => (unit, 5),
        };
        let places = reading.number.scale();
        [1, more].map(|times| Mass::new(Decimal::new(times, places), unit))
    }
}

/// `3 lb` of a scale that shows pounds and ounces is 3 lb 0 oz.
fn whole_pounds(mass: Mass, ounces: bool) -> Mass {
    if !ounces || mass.unit != MassUnit::Pound || mass.number.scale() > 0 {
        return mass;
    }
    Mass::new(mass.number.saturating_mul(Decimal::from(16)), MassUnit::PoundOunce)
}

/// A reading as a whole number of its last digits.
fn digits(mass: Mass) -> Option<i64> {
    i64::try_from(mass.number.mantissa()).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use burrline_terms::Typed as _;

    fn step(readings: &[&str]) -> f64 {
        let all: Vec<Mass> = readings.iter().map(|word| Mass::read(word).unwrap()).collect();
        Scale::of(all.iter().copied()).step(*all.last().unwrap()).0
    }

    /// Source: 1 lb = 16 oz = 453.59237 g, NIST Handbook 44, appendix C.
    #[test]
    fn the_last_digit_as_typed_is_the_step() {
        for (reading, grams) in [
            ("1400g", 1.0),
            ("1400.0g", 0.1),
            ("1.4kg", 100.0),
            ("1.402kg", 1.0),
            ("3.1lb", 45.359_237),
            ("3.10lb", 4.535_923_7),
            ("49oz", 28.349_523_125),
            ("3lb1oz", 28.349_523_125),
        ] {
            assert!((step(&[reading]) - grams).abs() < 1e-9, "{reading} {}", step(&[reading]));
        }
    }

    #[test]
    fn readings_that_are_all_multiples_show_a_coarser_scale() {
        assert!((step(&["1450g", "1415g", "1400g", "1400g"]) - 5.0).abs() < 1e-9);
        assert!((step(&["1450g", "1416g", "1400g", "1400g"]) - 1.0).abs() < 1e-9);
        // The same reading three times says nothing of the steps, two in fives say enough.
        assert!((step(&["1400g", "1400g", "1400g"]) - 1.0).abs() < 1e-9);
        assert!((step(&["1400g", "1395g", "1395g"]) - 5.0).abs() < 1e-9);
        assert!((step(&["50oz", "45oz"]) - 28.349_523_125).abs() < 1e-9);
        // Pounds and ounces: whole pounds are to the ounce.
        assert!((step(&["3lb2oz", "3lb"]) - 28.349_523_125).abs() < 1e-9);
        assert!((step(&["3.20lb", "3.15lb", "3.10lb"]) - 0.05 * 453.592_37).abs() < 1e-9);
    }
}
