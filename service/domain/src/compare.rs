//! Is this the skull that came in? Intake against hand-back, pair by pair.
//!
//! The bounds are common practice, no source, but for the loss: a ram's horn that dried from above
//! 209 to 205 7/8 on the score lost at least 1.5 % (Boone and Crockett Club, *Do antlers and horns
//! really shrink?*), and antler is said to shrink less. No measure grows.

use std::fmt;

use burrline_terms::units::{Length, LengthUnit};
use rust_decimal::Decimal;

/// How far two measurements of one skull may be apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tolerance {
    /// What the tape is good for, up and down: millimetres.
    pub tape_mm: Decimal,
    /// What may be lost in drying beside that: per cent of the intake figure.
    pub loss_percent: Decimal,
    /// The fewest pairs that can say "the same".
    pub fewest: usize,
}

impl Tolerance {
    /// Two eighths of an inch either way, two per cent of loss, six pairs.
    pub const USUAL: Self = Self {
        tape_mm: Decimal::from_parts(635, 0, 0, false, 2),
        loss_percent: Decimal::TWO,
        fewest: 6,
    };
}

/// One measurement at intake and at hand-back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Twice {
    /// Its name, such as `beam-r`.
    pub name: String,
    /// At intake.
    pub before: Length,
    /// At hand-back.
    pub after: Length,
}

/// What one pair says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Says {
    /// Within the bounds.
    Agrees,
    /// Larger than the tape's doubt allows.
    Grew,
    /// Smaller than tape and drying allow.
    Shrank,
}

/// One pair, judged.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Judged {
    /// The pair.
    pub pair: Twice,
    /// Hand-back less intake: millimetres.
    pub change_mm: Decimal,
    /// The least that it may be at hand-back: millimetres.
    pub least_mm: Decimal,
    /// The most that it may be at hand-back: millimetres.
    pub most_mm: Decimal,
    /// What it says.
    pub says: Says,
}

/// What all pairs say together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Every pair agrees, and there are enough of them.
    Same,
    /// Too few pairs, or one or a few do not fit.
    CannotTell,
    /// More than a slip of the tape does not fit.
    Different,
}

impl fmt::Display for Verdict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Same => "the same, as far as measures can say",
            Self::CannotTell => "cannot tell",
            Self::Different => "different",
        })
    }
}

/// A comparison.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Comparison {
    /// The pairs in the order given.
    pub pairs: Vec<Judged>,
    /// How many agree.
    pub agree: usize,
    /// The verdict.
    pub verdict: Verdict,
    /// Why, in words.
    pub why: String,
}

/// Compares pair by pair.
///
/// Two or more pairs out, and at least a fifth of all, is *different*; none out among enough is
/// *the same*; everything between is *cannot tell*.
pub fn compare(pairs: Vec<Twice>, tolerance: Tolerance) -> Comparison {
    let pairs: Vec<Judged> = pairs.into_iter().map(|pair| judge(pair, tolerance)).collect();
    let out: Vec<&str> = pairs
        .iter()
        .filter(|judged| judged.says != Says::Agrees)
        .map(|judged| judged.pair.name.as_str())
        .collect();
    let agree = pairs.len().saturating_sub(out.len());
    let of = format!("{agree} of {} agree", pairs.len());
    let names = out.join(", ");
    let (verdict, why) = if out.len() >= 2 && out.len().saturating_mul(5) >= pairs.len() {
        (Verdict::Different, format!("{of}; out of bounds: {names}"))
    } else if !out.is_empty() {
        (Verdict::CannotTell, format!("{of}; measure again: {names}"))
    } else if pairs.len() < tolerance.fewest {
        let fewest = tolerance.fewest;
        (Verdict::CannotTell, format!("{of}; it takes {fewest}, so measure more"))
    } else {
        (Verdict::Same, of)
    };
    Comparison { pairs, agree, verdict, why }
}

fn judge(pair: Twice, tolerance: Tolerance) -> Judged {
    let (before, after) = (pair.before.millimetres(), pair.after.millimetres());
    let loss = before
        .saturating_mul(tolerance.loss_percent)
        .checked_div(Decimal::ONE_HUNDRED)
        .unwrap_or_default();
    let least_mm = before.saturating_sub(tolerance.tape_mm).saturating_sub(loss).max(Decimal::ZERO);
    let most_mm = before.saturating_add(tolerance.tape_mm);
    let says = if after > most_mm {
        Says::Grew
    } else if after < least_mm {
        Says::Shrank
    } else {
        Says::Agrees
    };
    Judged { change_mm: after.saturating_sub(before), least_mm, most_mm, says, pair }
}

impl Judged {
    /// The change in the unit of the intake figure: `-1/8 in`, `+2.5 mm`, `0`.
    pub fn change(&self) -> String {
        let parts = |unit: LengthUnit, below: &str| {
            let one = Length::new(Decimal::ONE, unit).millimetres();
            let parts = self.change_mm.checked_div(one).unwrap_or_default().normalize();
            (parts.scale() == 0).then(|| format!("{}{below}", signed(parts)))
        };
        let written = match self.pair.before.unit {
            LengthUnit::EighthInch => parts(LengthUnit::EighthInch, "/8 in"),
            LengthUnit::SixteenthInch => parts(LengthUnit::SixteenthInch, "/16 in"),
            LengthUnit::Millimetre | LengthUnit::Centimetre | LengthUnit::Inch => None,
        };
        if self.change_mm.is_zero() {
            "0".to_owned()
        } else {
            written.unwrap_or_else(|| format!("{} mm", signed(self.change_mm.normalize())))
        }
    }
}

fn signed(number: Decimal) -> String {
    if number.is_sign_negative() { number.to_string() } else { format!("+{number}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn eighths(before: i64, after: i64, name: &str) -> Twice {
        let length = |n: i64| Length::new(Decimal::from(n), LengthUnit::EighthInch);
        Twice { name: name.to_owned(), before: length(before), after: length(after) }
    }

    fn rack(changes: &[i64]) -> Comparison {
        let pairs = changes.iter().enumerate();
        let pairs = pairs
            .map(|(at, change)| eighths(40, 40_i64.saturating_add(*change), &format!("g{at}")));
        compare(pairs.collect(), Tolerance::USUAL)
    }

    #[test]
    fn equal_or_slightly_smaller_is_the_same() {
        assert_eq!(rack(&[0, -1, -1, 0, 1, -2, -2]).verdict, Verdict::Same);
    }

    #[test]
    fn a_few_pairs_prove_nothing() {
        let few = rack(&[0, 0, 0]);
        assert_eq!((few.verdict, few.agree), (Verdict::CannotTell, 3));
        assert!(few.why.contains("measure more"), "{}", few.why);
        assert_eq!(rack(&[]).verdict, Verdict::CannotTell);
    }

    #[test]
    fn one_pair_out_is_measured_again_and_several_are_another_skull() {
        let one = rack(&[0, 0, 0, 0, 0, 0, 0, 0, 0, 5]);
        assert_eq!(one.verdict, Verdict::CannotTell);
        assert!(one.why.contains("measure again: g9"), "{}", one.why);
        assert_eq!(rack(&[0, 5, 0, 0, -9, 0, 0]).verdict, Verdict::Different);
        assert_eq!(rack(&[9, -9]).verdict, Verdict::Different);
    }

    #[test]
    fn no_measure_grows_beyond_the_tape_and_a_long_one_may_lose_more() {
        // 200/8 in: two per cent is 4/8, and the tape is good for 2/8.
        let long = |after: i64| compare(vec![eighths(200, after, "beam-r")], Tolerance::USUAL);
        let says = |after: i64| long(after).pairs.first().map(|judged| judged.says);
        assert_eq!(says(202), Some(Says::Agrees));
        assert_eq!(says(203), Some(Says::Grew));
        assert_eq!(says(194), Some(Says::Agrees));
        assert_eq!(says(193), Some(Says::Shrank));
    }

    #[test]
    fn a_change_is_said_in_the_unit_that_was_typed() {
        let change = |before: i64, after: i64| {
            compare(vec![eighths(before, after, "g1-r")], Tolerance::USUAL)
                .pairs
                .first()
                .map(Judged::change)
        };
        assert_eq!(change(40, 37).as_deref(), Some("-3/8 in"));
        assert_eq!(change(40, 41).as_deref(), Some("+1/8 in"));
        assert_eq!(change(40, 40).as_deref(), Some("0"));
    }
}
