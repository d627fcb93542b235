//! Physical figures: an `f64` inside a type that names its unit.
//!
//! Sums are done on the bare numbers inside one small function; what goes in and out of it has a
//! unit. So a function that wants per cent by mass cannot be given per cent by volume:
//!
//! ```compile_fail
//! use burrline_reckon::{peroxide::density::density, quantity::PercentWv};
//! density(PercentWv(12.0));
//! ```
//!
//! and litres do not pass for kilograms:
//!
//! ```compile_fail
//! use burrline_reckon::quantity::{Kilograms, Litres};
//! let mass: Kilograms = Litres(20.0);
//! ```
//!
//! while the right unit does:
//!
//! ```
//! use burrline_reckon::{peroxide::density::density, quantity::PercentWw};
//! assert_eq!(density(PercentWw(30.0)).0, 1.1122);
//! ```

use super::working::digits;

/// A physical quantity: a number in the unit of its type.
pub trait Quantity: Copy {
    /// The unit as it is written.
    const UNIT: &'static str;
    /// The number in that unit.
    fn number(self) -> f64;
}

/// Makes the types, each with its unit.
macro_rules! physical {
    ($($(#[$doc:meta])* $ty:ident $unit:literal;)+) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $ty(
            /// The number in the unit of the type.
            pub f64,
        );

        impl Quantity for $ty {
            const UNIT: &'static str = $unit;

            fn number(self) -> f64 {
                self.0
            }
        }

        /// To four significant digits, with the unit.
        impl std::fmt::Display for $ty {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                write!(f, "{} {}", digits(self.0, 4), $unit)
            }
        }
    )+};
}

physical! {
    /// Litres.
    Litres "L";
    /// Kilograms.
    Kilograms "kg";
    /// Kilograms a litre, which is grams a millilitre.
    KilogramsPerLitre "kg/L";
    /// Grams of hydrogen peroxide in 100 mL of solution.
    PercentWv "% w/v";
    /// Grams of hydrogen peroxide in 100 g of solution.
    PercentWw "% w/w";
    /// Moles in a litre.
    MolesPerLitre "mol/L";
    /// Grams, of a whole skull on a scale.
    Grams "g";
    /// Volumes of oxygen that one volume of the solution gives off.
    OxygenVolumes "vol";
    /// Moles.
    Moles "mol";
    /// Degrees Celsius.
    Celsius "\u{b0}C";
    /// A difference of temperature.
    KelvinApart "K";
    /// Pascals, absolute.
    Pascals "Pa";
    /// Metres.
    Metres "m";
    /// Square metres.
    SquareMetres "m\u{b2}";
    /// Cubic metres.
    CubicMetres "m\u{b3}";
    /// Metres a second.
    MetresPerSecond "m/s";
    /// Kilojoules.
    Kilojoules "kJ";
    /// Kilojoules a kilogram.
    KilojoulesPerKilogram "kJ/kg";
    /// Watts.
    Watts "W";
    /// Watts lost for each degree above the air.
    WattsPerKelvin "W/K";
    /// Minutes.
    Minutes "min";
    /// Hours.
    Hours "h";
    /// Days of 24 hours.
    Days "d";
    /// Kilograms an hour.
    KilogramsPerHour "kg/h";
    /// Millimetres an hour.
    MillimetresPerHour "mm/h";
    /// Millimetres.
    Millimetres "mm";
    /// A share in per cent.
    Share "%";
    /// Parts in a million parts of air.
    PartsPerMillion "ppm";
    /// Milligrams in a cubic metre of air.
    MilligramsPerCubicMetre "mg/m\u{b3}";
}
