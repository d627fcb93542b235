//! Constants of nature and of definition, each once, with its source.

use burrline_terms::{
    Length, Mass, Volume,
    units::{LengthUnit, MassUnit, VolumeUnit},
};
use rust_decimal::{Decimal, prelude::ToPrimitive as _};

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

/// Litres of a US gallon, as the lines read it.
pub fn gallon() -> f64 {
    figure(Volume::new(Decimal::ONE, VolumeUnit::UsGallon).litres())
}

/// Grams of a pound, as the lines read it.
pub fn pound() -> f64 {
    figure(Mass::new(Decimal::ONE, MassUnit::Pound).grams())
}

/// Millimetres of an inch, as the lines read it.
pub fn inch() -> f64 {
    figure(Length::new(Decimal::ONE, LengthUnit::Inch).millimetres())
}

fn figure(exact: Decimal) -> f64 {
    exact.to_f64().unwrap_or(f64::NAN)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: NIST Handbook 44, appendix C: 1 US gallon = 3.785411784 L, 1 lb = 453.59237 g.
    #[test]
    fn units_are_those_that_the_lines_read() {
        for (got, exact) in [(gallon(), 3.785_411_784), (pound(), 453.592_37), (inch(), 25.4)] {
            assert!((got - exact).abs() < 1e-12, "{got}");
        }
    }
}
