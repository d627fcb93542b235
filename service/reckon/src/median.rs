//! The middle of what was counted or timed, with limits that ask nothing of its shape.
//!
//! Limits are two of the values themselves: so many from either end that the middle of all lies
//! between them at least as often as asked. Source: H. A. David and H. N. Nagaraja, *Order
//! Statistics*, section 7.1 (from memory); the count below the middle is binomial with one half.

use super::chance::Confidence;

/// A middle and its limits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Median {
    /// The middle; between two, halfway.
    pub value: f64,
    /// The limits; none if there are too few values for them.
    pub limits: Option<(f64, f64)>,
    /// Which value from either end the limits are, from 1; 0 if there are none.
    pub rank: u32,
    /// How sure the limits are, 0 to 1: at least what was asked for.
    pub sure: f64,
    /// Of how many.
    pub of: u32,
}

impl Median {
    /// The middle of some values; none if there are none, or one is no number.
    pub fn of(values: &[f64], sure: Confidence) -> Option<Self> {
        let of = u32::try_from(values.len()).ok().filter(|of| *of > 0)?;
        if values.iter().any(|value| !value.is_finite()) {
            return None;
        }
        let mut sorted = values.to_vec();
        sorted.sort_by(f64::total_cmp);
        let at = |n: usize| sorted.get(n).copied();
        let half = sorted.len().div_euclid(2);
        let value = if sorted.len() % 2 == 1 {
            at(half)?
        } else {
            f64::midpoint(at(half.checked_sub(1)?)?, at(half)?)
        };
        let (rank, outside) = rank(of, 1.0 - sure.as_percent() / 100.0);
        let low = usize::try_from(rank).ok()?.checked_sub(1);
        let limits = low.and_then(|low| {
            let high = sorted.len().checked_sub(low)?.checked_sub(1)?;
            Some((at(low)?, at(high)?))
        });
        Some(Self { value, limits, rank, sure: 1.0 - outside, of })
    }
}

/// How far in from either end the limits may be, and how often they then miss; 0 and 1 if even the
/// outermost values miss too often.
fn rank(of: u32, may_miss: f64) -> (u32, f64) {
    let n = f64::from(of);
    // The chance of none below the middle, in logarithms: a half to the thousandth is no number.
    let mut log = -n * std::f64::consts::LN_2;
    let (mut below, mut found) = (0.0, (0, 1.0));
    for k in 1..=of.div_ceil(2) {
        below += log.exp();
        if 2.0 * below > may_miss {
            break;
        }
        found = (k, 2.0 * below);
        let i = f64::from(k);
        log += ((n - i + 1.0) / i).ln();
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(count: u32) -> Median {
        let values: Vec<f64> = (1..=count).map(f64::from).collect();
        Median::of(&values, Confidence::USUAL).unwrap()
    }

    /// Source: tables of ranks for limits of a median at 95 %, such as W. J. Conover, *Practical
    /// Nonparametric Statistics*, table A3 (from memory): 1 and 6 of 6 (0.969), 2 and 9 of 10
    /// (0.979), 4 and 12 of 15 (0.965), 6 and 15 of 20 (0.959), 10 and 21 of 30 (0.957).
    #[test]
    fn the_ranks_are_those_of_the_tables() {
        for (count, low, high, sure) in [
            (6, 1.0, 6.0, 0.969),
            (10, 2.0, 9.0, 0.979),
            (15, 4.0, 12.0, 0.965),
            (20, 6.0, 15.0, 0.959),
            (30, 10.0, 21.0, 0.957),
        ] {
            let median = of(count);
            assert_eq!(median.limits, Some((low, high)), "{count}");
            assert!((median.sure - sure).abs() < 6e-4, "{count}: {}", median.sure);
        }
    }

    #[test]
    fn five_are_too_few_for_limits_and_a_thousand_are_not_too_many() {
        assert_eq!((of(5).limits, of(5).value), (None, 3.0));
        let many = of(5_000);
        assert!((many.value - 2_500.5).abs() < 1e-9, "{}", many.value);
        let (low, high) = many.limits.unwrap();
        // The normal approximation: half of 5,000 less and plus 1.96 times half its root.
        assert!((low - 2_431.0).abs() <= 1.0 && (high - 2_570.0).abs() <= 1.0, "{low} {high}");
    }

    #[test]
    fn of_nothing_there_is_no_middle() {
        assert_eq!(Median::of(&[], Confidence::USUAL), None);
        assert_eq!(Median::of(&[1.0, f64::NAN], Confidence::USUAL), None);
    }
}
