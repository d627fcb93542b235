//! When a skull is dry: its own weighings, a curve through them, and the days that apply meanwhile.
//!
//! * [`constant`]: the verdict by weighings that stay the same
//! * [`curve`]: the drying curve, with its own doubt
//! * [`three`]: its end from three even weighings, as a check
//! * [`days`]: days on the rack by kind of animal, and the first day for an official measurer

pub mod constant;
pub mod curve;
pub mod days;
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
}

impl Weighing {
    /// A weighing at a known hour.
    pub const fn at(hours: f64, grams: f64) -> Self {
        Self { not_before: Hours(hours), not_after: Hours(hours), mass: Grams(grams) }
    }

    /// The middle of the interval, for fitting.
    fn middle(&self) -> f64 {
        f64::midpoint(self.not_before.0, self.not_after.0)
    }
}
