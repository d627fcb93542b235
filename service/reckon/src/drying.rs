//! When a skull is dry: its own weighings, a curve through them, and the days that apply meanwhile.
//!
//! * [`scale`]: the steps of a scale, from the digits as typed
//! * [`constant`]: the verdict by weighings that stay the same
//! * [`curve`]: the drying curve, with its own doubt
//! * [`three`]: its end from three even weighings, as a check
//! * [`days`]: days on the rack by kind of animal, and the first day for an official measurer

pub mod constant;
pub mod curve;
pub mod days;
pub mod scale;
pub mod three;

use super::quantity::{Grams, Hours};

/// One weighing. Hours count from any one moment; what the clock leaves open is an interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weighing {
    /// It cannot have been earlier.
    pub not_before: Hours,
    /// It cannot have been later.
    pub not_after: Hours,
    /// What the scale showed.
    pub mass: Grams,
    /// The step of the scale as it was read; 0 where it is finer than anything that counts.
    pub step: Grams,
}

impl Weighing {
    /// A weighing at a known hour, on a scale that is as fine as it need be.
    pub const fn at(hours: f64, grams: f64) -> Self {
        Self {
            not_before: Hours(hours),
            not_after: Hours(hours),
            mass: Grams(grams),
            step: Grams(0.0),
        }
    }

    /// The same, read to so many grams.
    #[must_use]
    pub const fn to(self, step: Grams) -> Self {
        Self { step, ..self }
    }

    /// The middle of the interval, for fitting.
    fn middle(&self) -> f64 {
        f64::midpoint(self.not_before.0, self.not_after.0)
    }
}

/// The coarsest step of weighings that are compared.
pub fn coarsest<'a>(weighings: impl IntoIterator<Item = &'a Weighing>) -> Grams {
    Grams(weighings.into_iter().map(|weighing| weighing.step.0).fold(0.0, f64::max))
}
