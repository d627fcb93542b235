//! Where the curve ends, in closed form, from three weighings that are equally far apart: a check
//! on the fit that a person can make with a calculator.

use crate::{
    chance::Confidence,
    quantity::{Grams, Hours},
};

use super::{
    Weighing,
    curve::{Between, CannotTell},
};

/// A share of the mass that no scale shows.
const NOTHING: f64 = 1e-9;

/// Dry mass and time from three weighings that are equally far apart, with the doubt that the
/// steps of the scale leave.
///
/// Source: A. C. Aitken, Proceedings of the Royal Society of Edinburgh 46 (1926) (from memory).
///
/// # Errors
/// [`CannotTell`] if they are not even, or the fall does not slow down.
pub fn aitken(three: [Weighing; 3], step: Grams) -> Result<(Between, Hours), CannotTell> {
    let [early, middle, late] = three;
    let first = middle.middle() - early.middle();
    let second = late.middle() - middle.middle();
    if first <= 0.0 || (second - first).abs() > 0.02 * first {
        return Err(CannotTell::NotEven);
    }
    let masses = three.map(|weighing| weighing.mass.0);
    let (lost_first, lost_then) = (early.mass.0 - middle.mass.0, middle.mass.0 - late.mass.0);
    if lost_first <= 0.0 {
        return Err(CannotTell::NotFalling);
    }
    let share = lost_then / lost_first;
    // Equal falls differ by no more than how a computer keeps 1498.6.
    let bend = lost_first - lost_then;
    if !(share > 0.0 && bend > NOTHING * early.mass.0) {
        return Err(CannotTell::NoBend);
    }
    let value = end(masses);
    let small = 1e-4 * lost_first;
    let mut variance = 0.0;
    for which in 0..3 {
        let mut up = masses;
        if let Some(mass) = up.get_mut(which) {
            *mass += small;
        }
        let slope = (end(up) - value) / small;
        variance += (slope * step.0).powi(2) / 12.0;
    }
    let by = Confidence::USUAL.normal() * variance.sqrt();
    let time = -f64::midpoint(first, second) / share.ln();
    Ok((Between { value, low: value - by, high: value + by }, Hours(time)))
}

/// The three weighings that are equally far apart and span the most, if there are any.
pub fn even_three(weighings: &[Weighing]) -> Option<[Weighing; 3]> {
    let mut best: Option<[Weighing; 3]> = None;
    for (i, a) in weighings.iter().enumerate() {
        for (j, b) in weighings.iter().enumerate().skip(i.saturating_add(1)) {
            for c in weighings.iter().skip(j.saturating_add(1)) {
                let (first, second) = (b.middle() - a.middle(), c.middle() - b.middle());
                let even = first > 0.0 && (second - first).abs() <= 0.02 * first;
                let wider =
                    best.is_none_or(|[x, _, z]| c.middle() - a.middle() > z.middle() - x.middle());
                if even && wider {
                    best = Some([*a, *b, *c]);
                }
            }
        }
    }
    best
}

/// Where three even points of such a curve end.
fn end(masses: [f64; 3]) -> f64 {
    let [first, second, third] = masses;
    (first * third - second * second) / (first + third - 2.0 * second)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A skull of 1,380 g dry with 120 g of water and a time of 18 hours; our own figures.
    fn weighed(hours: &[f64]) -> Vec<Weighing> {
        let mass = |h: f64| 1380.0 + 120.0 * (-h / 18.0).exp();
        hours.iter().map(|h| Weighing::at(*h, mass(*h))).collect()
    }

    #[test]
    fn three_even_weighings_give_the_end_in_closed_form() {
        let all = weighed(&[0.0, 24.0, 48.0]);
        let three = even_three(&all).unwrap();
        let (dry, time) = aitken(three, Grams(0.001)).unwrap();
        assert!((dry.value - 1380.0).abs() < 1e-6 && (time.0 - 18.0).abs() < 1e-9);
        let (coarse, _) = aitken(three, Grams(1.0)).unwrap();
        assert!(coarse.high - coarse.low > 100.0 * (dry.high - dry.low));
    }

    #[test]
    fn three_that_are_not_even_or_do_not_slow_down_are_refused() {
        let bad =
            |points: [(f64, f64); 3]| aitken(points.map(|(h, g)| Weighing::at(h, g)), Grams(1.0));
        assert_eq!(bad([(0.0, 1500.0), (24.0, 1411.0), (60.0, 1385.0)]), Err(CannotTell::NotEven));
        assert_eq!(bad([(0.0, 1500.0), (24.0, 1450.0), (48.0, 1400.0)]), Err(CannotTell::NoBend));
        // In binary these falls differ in the thirteenth digit.
        assert_eq!(bad([(0.0, 1500.0), (24.0, 1498.6), (48.0, 1497.2)]), Err(CannotTell::NoBend));
        assert_eq!(
            bad([(0.0, 1500.0), (24.0, 1501.0), (48.0, 1502.0)]),
            Err(CannotTell::NotFalling)
        );
        assert_eq!(even_three(&weighed(&[0.0, 10.0, 40.0])), None);
    }
}
