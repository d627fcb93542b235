//! The score of horns: each horn's length and its circumferences, less the differences.

use burrline_terms::inches::Eighths;

use crate::{Absurd, Known, Value, Working};

/// The most circumferences that are taken of a horn: at the base and at each quarter.
pub const MOST: usize = 4;

/// A measure of both horns.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Both {
    /// Its name: `length`, `c1` to `c4`.
    pub name: String,
    /// Right.
    pub right: Eighths,
    /// Left.
    pub left: Eighths,
}

/// Gross and net of a pair of horns: sheep, goat, pronghorn and the like.
///
/// # Errors
/// [`Absurd`] without a length, or for a measure of nothing.
pub fn horn_score(measures: &[Both]) -> Result<Working, Absurd> {
    let say = "say it like `horn-score length 35 2/8 34 6/8 c1 15 1/8 15 0/8 c2 14 2/8 14 1/8`";
    if !measures.iter().any(|both| both.name == "length") {
        return Err(Absurd::new("the lengths of the horns are missing", say));
    }
    let (mut gross, mut apart, mut working) = (0_i64, 0_i64, Working::new());
    for both in measures {
        let (right, left) = (both.right.0, both.left.0);
        if right <= 0 || left <= 0 {
            return Err(Absurd::new(format!("{} of nothing is none", both.name), say));
        }
        let differs = right.abs_diff(left);
        let differs = i64::try_from(differs).unwrap_or(i64::MAX);
        gross = gross.saturating_add(right).saturating_add(left);
        apart = apart.saturating_add(differs);
        working = working.step(
            both.name.clone(),
            format!("right {}, left {}, apart {}", both.right, both.left, Eighths(differs)),
        );
    }
    let net = Eighths(gross.saturating_sub(apart));
    let (gross, apart) = (Eighths(gross), Eighths(apart));
    Ok(working
        .answer(format!("gross {gross}, net {net}"))
        .words("gross", gross.to_string())
        .words("net", net.to_string())
        .words("apart", apart.to_string())
        .value("net_eighths", Value::Number(net.0.to_string().parse().unwrap_or(0.0)), "1/8 in")
        .step("gross", format!("sum of both columns = {gross}"))
        .step("net", format!("{gross} - {apart} = {net}"))
        .caution(
            "Only an official measurer gives an official score, after at least sixty days of drying. \
             Broken tips are measured to where they end.",
        )
        .source("length and quarter circumferences of both horns, less the differences", Known::Practice))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn both(name: &str, right: i64, left: i64) -> Both {
        Both { name: name.to_owned(), right: Eighths(right), left: Eighths(left) }
    }

    /// By arithmetic: 282 and 278 eighths, 121 and 120: 801 in all, 5 apart, 796 are 99 4/8.
    #[test]
    fn differences_are_taken_off() {
        let said = horn_score(&[both("length", 282, 278), both("c1", 121, 120)]).unwrap();
        assert_eq!(said.answer, "gross 100 1/8, net 99 4/8");
        assert!(horn_score(&[both("c1", 121, 120)]).is_err());
        assert!(horn_score(&[both("length", 0, 120)]).is_err());
    }
}
