//! The drying curve through weighings, with its own doubt.
//!
//! Mass falls towards the dry mass, by the same share in every like time: W. K. Lewis, Industrial
//! and Engineering Chemistry 13 (1921) 427 (from memory). How fast a skull dries is published
//! nowhere that we know of; it is learnt from its own weighings, or not at all.

use crate::{
    chance::Confidence,
    quantity::{Grams, Hours},
};

use super::{Weighing, constant::Rule};

/// Why no curve can be told.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum CannotTell {
    /// Three weighings fit any such curve exactly.
    #[error("{weighings} weighings cannot tell; it takes four, for three fit any such curve")]
    TooFew {
        /// How many there are.
        weighings: usize,
    },
    /// The mass does not fall.
    #[error("the mass does not fall, so there is no drying to be told")]
    NotFalling,
    /// It falls in a straight line, or all at once: where it ends is not in the figures.
    #[error("the fall does not slow down enough yet to tell where it ends; weigh again later")]
    NoBend,
    /// The weighings scatter about every such curve.
    #[error(
        "the weighings miss every such curve by {misses} on average; was it wetted, moved or \
         weighed on another scale?"
    )]
    DoesNotFit {
        /// By how much on average.
        misses: Grams,
    },
    /// Three weighings are not equally far apart.
    #[error("the three weighings are not equally far apart")]
    NotEven,
}

/// A figure with its limits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Between {
    /// The figure.
    pub value: f64,
    /// Its lower limit.
    pub low: f64,
    /// Its upper limit.
    pub high: f64,
}

/// The curve that misses the weighings least.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Curve {
    /// The mass that it comes to.
    pub dry: Grams,
    /// What it still held at the first weighing.
    pub water: Grams,
    /// In this time the water that is left falls to 1/e, 36.8 %.
    pub time: Hours,
    /// By how much the weighings miss it, as a standard deviation.
    pub misses: Grams,
    origin: f64,
    freedom: u32,
    spread: [[f64; 3]; 3],
}

impl Curve {
    /// The curve through four weighings or more, on a scale with steps of so many grams.
    ///
    /// # Errors
    /// [`CannotTell`], with the reason.
    pub fn through(weighings: &[Weighing], step: Grams) -> Result<Self, CannotTell> {
        let few = CannotTell::TooFew { weighings: weighings.len() };
        let (Some(first), Some(last), true) =
            (weighings.first(), weighings.last(), weighings.len() >= 4)
        else {
            return Err(few);
        };
        let origin = first.middle();
        let points: Vec<(f64, f64)> =
            weighings.iter().map(|w| (w.middle() - origin, w.mass.0)).collect();
        let span = last.middle() - origin;
        if span <= 0.0 {
            return Err(few);
        }
        if last.mass >= first.mass {
            return Err(CannotTell::NotFalling);
        }
        let time = best_time(&points, span).ok_or(CannotTell::NoBend)?;
        let line = straight(&points, time).ok_or(CannotTell::NoBend)?;
        if line.water <= 0.0 || line.dry <= 0.0 {
            return Err(CannotTell::NotFalling);
        }
        let freedom = u32::try_from(points.len().saturating_sub(3)).unwrap_or(u32::MAX);
        let misses = (line.squares / f64::from(freedom)).sqrt();
        if misses > 2.0 * step.0 && misses > 0.05 * (first.mass.0 - last.mass.0) {
            return Err(CannotTell::DoesNotFit { misses: Grams(misses) });
        }
        // No fit is surer than the scale: a step is an even spread of its own width.
        let noise = misses.max(step.0 / 12.0_f64.sqrt());
        let spread = spread(&points, line.water, time, noise).ok_or(CannotTell::NoBend)?;
        let curve = Self {
            dry: Grams(line.dry),
            water: Grams(line.water),
            time: Hours(time),
            misses: Grams(misses),
            origin,
            freedom,
            spread,
        };
        // Where the doubt about the end is as large as the whole fall, the end is not in the figures.
        let end = curve.dry_between(Confidence::USUAL);
        if end.high - end.value > first.mass.0 - last.mass.0 {
            Err(CannotTell::NoBend)
        } else {
            Ok(curve)
        }
    }

    /// The dry mass in grams, with limits.
    pub fn dry_between(&self, sure: Confidence) -> Between {
        self.between(self.dry.0, [1.0, 0.0, 0.0], sure)
    }

    /// The time in hours, with limits.
    pub fn time_between(&self, sure: Confidence) -> Between {
        self.between(self.time.0, [0.0, 0.0, 1.0], sure)
    }

    /// The water in grams that is left at an hour, with limits.
    pub fn left_between(&self, at: Hours, sure: Confidence) -> Between {
        let t = at.0 - self.origin;
        let share = (-t / self.time.0).exp();
        let by_time = self.water.0 * share * t / self.time.0.powi(2);
        self.between(self.water.0 * share, [0.0, share, by_time], sure)
    }

    /// The hour from which on the mass changes less than the rule allows over all its weighings,
    /// with limits.
    pub fn constant_from(&self, rule: Rule, sure: Confidence) -> Between {
        let steps = f64::from(u32::try_from(rule.weighings).unwrap_or(2)) - 1.0;
        let over = steps * rule.apart.0;
        let hour = |dry: f64, water: f64, time: f64| {
            let lost = water * (1.0 - (-over / time).exp());
            time * (lost / (dry * rule.percent / 100.0)).ln()
        };
        let at = [self.dry.0, self.water.0, self.time.0];
        let [dry, water, time] = at;
        let value = hour(dry, water, time);
        let slope = |which: usize| {
            let step = at.get(which).copied().unwrap_or(1.0) * 1e-6;
            let add = |i: usize| if i == which { step } else { 0.0 };
            let up = hour(dry + add(0), water + add(1), time + add(2));
            let down = hour(dry - add(0), water - add(1), time - add(2));
            (up - down) / (2.0 * step)
        };
        let between = self.between(value, [slope(0), slope(1), slope(2)], sure);
        let from = |hours: f64| (hours + self.origin).max(self.origin);
        Between { value: from(value), low: from(between.low), high: from(between.high) }
    }

    /// Limits of a figure by how it hangs on dry mass, water and time.
    fn between(&self, value: f64, slope: [f64; 3], sure: Confidence) -> Between {
        let mut variance = 0.0;
        for (row, a) in self.spread.iter().zip(slope) {
            for (cell, b) in row.iter().zip(slope) {
                variance += a * cell * b;
            }
        }
        let by = sure.student(self.freedom) * variance.max(0.0).sqrt();
        Between { value, low: value - by, high: value + by }
    }
}

struct Straight {
    dry: f64,
    water: f64,
    squares: f64,
}

/// For a given time the curve is a straight line in the share that is left.
fn straight(points: &[(f64, f64)], time: f64) -> Option<Straight> {
    let n = f64::from(u32::try_from(points.len()).ok()?);
    let share = |t: f64| (-t / time).exp();
    let mean_e = points.iter().map(|(t, _)| share(*t)).sum::<f64>() / n;
    let mean_m = points.iter().map(|(_, m)| *m).sum::<f64>() / n;
    let (mut ee, mut em) = (0.0, 0.0);
    for (t, m) in points {
        let e = share(*t) - mean_e;
        ee += e * e;
        em += e * (m - mean_m);
    }
    if ee <= 0.0 {
        return None;
    }
    let water = em / ee;
    let dry = water.mul_add(-mean_e, mean_m);
    let squares = points.iter().map(|(t, m)| (m - dry - water * share(*t)).powi(2)).sum();
    Some(Straight { dry, water, squares })
}

/// The time with the least squares: a coarse look over all that could be told from such a span,
/// then halving by the golden section. Nothing if the best is at an edge.
fn best_time(points: &[(f64, f64)], span: f64) -> Option<f64> {
    const LOOKS: u32 = 240;
    let (low, high) = ((span / 200.0).ln(), (span * 50.0).ln());
    let at = |k: u32| low + (high - low) * f64::from(k) / f64::from(LOOKS);
    let squares = |log: f64| straight(points, log.exp()).map_or(f64::INFINITY, |s| s.squares);
    let best = (0..=LOOKS).min_by(|a, b| squares(at(*a)).total_cmp(&squares(at(*b))))?;
    if best == 0 || best == LOOKS {
        return None;
    }
    let (mut a, mut b) = (at(best.saturating_sub(1)), at(best.saturating_add(1)));
    let golden = f64::midpoint(5.0_f64.sqrt(), -1.0);
    for _ in 0..100 {
        let (x, y) = (b - golden * (b - a), a + golden * (b - a));
        if squares(x) <= squares(y) {
            b = y;
        } else {
            a = x;
        }
    }
    Some(f64::midpoint(a, b).exp())
}

/// The covariance of dry mass, water and time: the inverse of the normal matrix, times the noise.
fn spread(points: &[(f64, f64)], water: f64, time: f64, noise: f64) -> Option<[[f64; 3]; 3]> {
    let [mut aa, mut ab, mut ac, mut bb, mut bc, mut cc] = [0.0; 6];
    for (t, _) in points {
        let e = (-t / time).exp();
        let by_time = water * e * t / time.powi(2);
        aa += 1.0;
        ab += e;
        ac += by_time;
        bb += e * e;
        bc += e * by_time;
        cc += by_time * by_time;
    }
    let (d_d, d_w, d_t) = (bb * cc - bc * bc, ac * bc - ab * cc, ab * bc - ac * bb);
    let (w_w, w_t, t_t) = (aa * cc - ac * ac, ab * ac - aa * bc, aa * bb - ab * ab);
    let whole = aa * d_d + ab * d_w + ac * d_t;
    if whole <= 0.0 || !whole.is_finite() {
        return None;
    }
    let scale = noise * noise / whole;
    let inverse = [[d_d, d_w, d_t], [d_w, w_w, w_t], [d_t, w_t, t_t]];
    Some(inverse.map(|row| row.map(|cell| scale * cell)))
}

#[cfg(test)]
#[path = "curve_tests.rs"]
mod tests;
