//! Constants of nature and of definition, each once, with its source.

use crate::quantity::Celsius;

/// The gas constant in J/(mol K): exact, by the SI of 2019.
pub const GAS: f64 = 8.314_462_618;
/// Grams of hydrogen peroxide in a mole: IUPAC atomic weights (from memory).
pub const GRAMS_PER_MOLE: f64 = 34.0147;
/// A standard atmosphere in Pa: exact, by definition.
pub const ATMOSPHERE: f64 = 101_325.0;
/// Nought degrees Celsius in kelvins: exact, by definition.
pub const ICE_POINT: f64 = 273.15;

/// A temperature in kelvins.
pub fn kelvin(at: Celsius) -> f64 {
    at.0 + ICE_POINT
}
