//! Inches by the tape: whole eighths or sixteenths, never reduced, never a fraction in between.
//!
//! An eighth and a sixteenth are types of their own, so that they cannot be added by mistake:
//!
//! ```compile_fail
//! use burrline_terms::inches::{Eighths, Sixteenths};
//! let mixed = Eighths::of(7, 2).and_then(|a| a.plus(Sixteenths(1)));
//! ```

use std::fmt;

use rust_decimal::Decimal;

use crate::{
    field::{BadWord, Typed},
    units::{Length, LengthUnit},
};

/// The longest that a tape reads here: 200 inches.
const LONGEST_INCHES: i64 = 200;

/// A length in whole parts of an inch.
pub trait Parts: Copy + Ord + fmt::Display {
    /// How many parts an inch has.
    const PER_INCH: i64;

    /// So many parts.
    fn of_parts(parts: i64) -> Self;

    /// How many parts.
    fn parts(self) -> i64;
}

macro_rules! parts {
    ($(#[$doc:meta])* $ty:ident, $per:literal, $unit:ident, $hint:literal, $wanted:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
        pub struct $ty(pub i64);

        impl $ty {
            /// None at all.
            pub const ZERO: Self = Self(0);

            /// So many inches and parts; `None` past 200 inches or if the parts make an inch.
            pub const fn of(inches: i64, parts: i64) -> Option<Self> {
                if inches < 0 || inches > LONGEST_INCHES || parts < 0 || parts >= $per {
                    return None;
                }
                Some(Self(inches.saturating_mul($per).saturating_add(parts)))
            }

            /// The sum; `None` past what an integer holds.
            pub const fn plus(self, other: Self) -> Option<Self> {
                match self.0.checked_add(other.0) {
                    Some(sum) => Some(Self(sum)),
                    None => None,
                }
            }

            /// How far apart two are; never negative.
            #[must_use]
            pub const fn apart(self, other: Self) -> Self {
                Self(self.0.saturating_sub(other.0).saturating_abs())
            }

            /// A recorded length as whole parts; `None` if it is not whole parts.
            pub fn of_length(length: Length) -> Option<Self> {
                let inch = Length::new(Decimal::ONE, LengthUnit::Inch).millimetres();
                let parts = length.millimetres().checked_mul(Decimal::from(Self::PER_INCH))?;
                let parts = parts.checked_div(inch)?.normalize();
                (parts.scale() == 0).then(|| i64::try_from(parts.mantissa()).ok().map(Self))?
            }

            /// As a length that can be recorded.
            pub fn length(self) -> Length {
                Length::new(Decimal::from(self.0.max(0)), LengthUnit::$unit)
            }
        }

        impl Parts for $ty {
            const PER_INCH: i64 = $per;

            fn of_parts(parts: i64) -> Self {
                Self(parts)
            }

            fn parts(self) -> i64 {
                self.0
            }
        }

        impl std::iter::Sum for $ty {
            fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
                Self(all.fold(0_i64, |sum, one| sum.saturating_add(one.0)))
            }
        }

        impl fmt::Display for $ty {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                let sign = if self.0 < 0 { "-" } else { "" };
                let size = self.0.saturating_abs();
                write!(f, "{sign}{} {}/{}", size / $per, size % $per, $per)
            }
        }

        impl Typed for $ty {
            const HINT: &'static str = $hint;

            fn read(word: &str) -> Result<Self, BadWord> {
                read_parts(word, $per).map(Self).ok_or_else(|| BadWord::new(word, $wanted))
            }

            fn show(&self) -> String {
                self.to_string()
            }
        }
    };
}

parts! {
    /// Eighths of an inch: how antlers are measured.
    Eighths, 8, EighthInch, "EIGHTHS",
    "inches and eighths up to 200, unreduced, such as 21 7/8 or 4 0/8"
}
parts! {
    /// Sixteenths of an inch: how skulls without antlers are measured.
    Sixteenths, 16, SixteenthInch, "SIXTEENTHS",
    "inches and sixteenths up to 200, unreduced, such as 13 9/16 or 8 0/16"
}

/// `21 7/8` or `13 9/16in` as whole parts with the unit of a recorded length; eighths unless
/// sixteenths were typed or are needed.
pub(crate) fn mixed_parts(word: &str) -> Option<(Decimal, &'static str)> {
    word.contains('/').then_some(())?;
    let eighths = read_parts(word, Eighths::PER_INCH).map(|parts| (parts, EIGHTH));
    let sixteenths = read_parts(word, Sixteenths::PER_INCH).map(|parts| (parts, SIXTEENTH));
    let first = if word.contains("/16") { sixteenths } else { eighths.or(sixteenths) };
    first.map(|(parts, unit)| (Decimal::from(parts), unit))
}

/// `21 7/8` for 175 eighths: a recorded length in parts of an inch, unreduced; `None` for other
/// units and for parts that are not whole.
pub(crate) fn mixed_text(number: Decimal, unit: &str) -> Option<String> {
    let parts = i64::try_from(number.normalize().mantissa())
        .ok()
        .filter(|_| number.normalize().scale() == 0)?;
    // What no tape reads is shown as a count, which reads back as it is.
    let per = if unit == EIGHTH { Eighths::PER_INCH } else { Sixteenths::PER_INCH };
    if parts > LONGEST_INCHES.saturating_mul(per) {
        return None;
    }
    match unit {
        EIGHTH => Some(Eighths(parts).to_string()),
        SIXTEENTH => Some(Sixteenths(parts).to_string()),
        _ => None,
    }
}

const EIGHTH: &str = LengthUnit::EighthInch.word();
const SIXTEENTH: &str = LengthUnit::SixteenthInch.word();

/// Reads `21 7/8`, `21-7/8`, `7/8`, `21`, `21.875`, each with or without `in`, as whole parts.
///
/// Fractions that are not in the parts wanted, `3/4` for eighths, are taken if they come out even.
fn read_parts(word: &str, per: i64) -> Option<i64> {
    let bare = word.trim().trim_end_matches("inches").trim_end_matches("in");
    let bare = bare.trim_end_matches('"').trim();
    let (whole, fraction) = match bare.split_once([' ', '-']) {
        Some((whole, fraction)) => (whole.trim(), Some(fraction.trim())),
        None if bare.contains('/') => ("0", Some(bare)),
        None => (bare, None),
    };
    let parts = match fraction {
        None => decimal_parts(whole, per)?,
        Some(fraction) => {
            let inches: i64 = digits(whole)?;
            let (above, below) = fraction.split_once('/')?;
            let (above, below) = (digits(above.trim())?, digits(below.trim())?);
            if below == 0 || above >= below {
                return None;
            }
            let scaled = above.checked_mul(per)?;
            if scaled.checked_rem(below)? != 0 {
                return None;
            }
            inches.checked_mul(per)?.checked_add(scaled.checked_div(below)?)?
        }
    };
    (parts <= LONGEST_INCHES.checked_mul(per)?).then_some(parts)
}

/// A decimal number of inches that comes out in whole parts.
fn decimal_parts(text: &str, per: i64) -> Option<i64> {
    if !text.chars().all(|c| c.is_ascii_digit() || c == '.') {
        return None;
    }
    let parts = Decimal::from_str_exact(text).ok()?.checked_mul(Decimal::from(per))?.normalize();
    if parts.scale() == 0 { i64::try_from(parts.mantissa()).ok() } else { None }
}

fn digits(text: &str) -> Option<i64> {
    let plain = !text.is_empty() && text.len() <= 6 && text.chars().all(|c| c.is_ascii_digit());
    if plain { text.parse().ok() } else { None }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_measure_is_kept_unreduced() {
        for word in ["7 2/8", "4 0/8", "0 7/8", "21 7/8"] {
            assert_eq!(Eighths::read(word).unwrap().show(), word);
        }
        assert_eq!(Sixteenths::read("8").unwrap().show(), "8 0/16");
        assert_eq!(Sixteenths::read("23 3/4").unwrap().show(), "23 12/16");
    }

    #[test]
    fn other_ways_to_write_it_are_the_same_length() {
        let wanted = Eighths::of(21, 7).unwrap();
        for word in ["21-7/8", "21 7/8in", "21.875", "21 7/8\"", " 21  7/8 inches"] {
            assert_eq!(Eighths::read(word).unwrap(), wanted, "{word}");
        }
        assert_eq!(Eighths::read("7/8in").unwrap(), Eighths(7));
    }

    #[test]
    fn what_is_not_whole_eighths_is_told_apart() {
        for word in ["", "21 7/16", "21 8/8", "21 9/8", "21.3", "-3", "201", "3 1/0", "a 1/8"] {
            assert!(Eighths::read(word).is_err(), "{word}");
        }
    }
}
