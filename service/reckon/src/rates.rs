//! How often something goes wrong, with limits that hold for few and for none.
//!
//! Source: E. B. Wilson, Journal of the American Statistical Association 22 (1927); the difference
//! of two rates after R. G. Newcombe, Statistics in Medicine 17 (1998) 873, method 10, which takes
//! its limits from Wilson's (both from memory). Few cases are told apart by the exact test of R. A.
//! Fisher, The Design of Experiments (1935), two-sided (from memory).

use super::chance::Confidence;

/// So many of so many.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rate {
    hits: u32,
    of: u32,
}

/// A count that is none.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NoRate {
    /// Nothing was counted.
    #[error("nothing was counted, so nothing can be told; count at least one")]
    OfNothing,
    /// More than there are.
    #[error("{hits} of {of} cannot be; the first number is a part of the second, as in 3 of 40")]
    MoreThanAll {
        /// How often.
        hits: u32,
        /// Of how many.
        of: u32,
    },
}

/// Two limits; shares between 0 and 1, differences between -1 and 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// The lower one.
    pub low: f64,
    /// The upper one.
    pub high: f64,
}

/// How two rates compare.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Compared {
    /// The first is rarer beyond chance.
    Rarer,
    /// The first is more frequent beyond chance.
    MoreOften,
    /// What was counted does not tell them apart.
    CannotTell,
}

impl Rate {
    /// `hits` of `of`.
    ///
    /// # Errors
    /// If nothing was counted, or more than all.
    pub const fn new(hits: u32, of: u32) -> Result<Self, NoRate> {
        if of == 0 {
            Err(NoRate::OfNothing)
        } else if hits > of {
            Err(NoRate::MoreThanAll { hits, of })
        } else {
            Ok(Self { hits, of })
        }
    }

    /// How often it was so.
    pub const fn hits(self) -> u32 {
        self.hits
    }

    /// Of how many.
    pub const fn of(self) -> u32 {
        self.of
    }

    /// The share that was seen, 0 to 1.
    pub fn share(self) -> f64 {
        f64::from(self.hits) / f64::from(self.of)
    }

    /// Wilson's limits of the share.
    pub fn limits(self, sure: Confidence) -> Limits {
        let (n, p, z2) = (f64::from(self.of), self.share(), sure.normal().powi(2));
        let middle = p + z2 / (2.0 * n);
        let spread = (z2 * (p * (1.0 - p) / n + z2 / (4.0 * n * n))).sqrt();
        let whole = 1.0 + z2 / n;
        // With none, or with all, one limit is exact; rounding would leave 1e-17 of doubt.
        Limits {
            low: if self.hits == 0 { 0.0 } else { (middle - spread) / whole },
            high: if self.hits == self.of { 1.0 } else { (middle + spread) / whole },
        }
    }

    /// Limits of this share less another.
    pub fn less(self, other: Self, sure: Confidence) -> Limits {
        let (a, b) = (self.limits(sure), other.limits(sure));
        let (p, q) = (self.share(), other.share());
        Limits {
            low: p - q - (p - a.low).hypot(b.high - q),
            high: p - q + (a.high - p).hypot(q - b.low),
        }
    }

    /// Whether there are too few for limits that lean on many: under 5 on either side.
    pub const fn few(self) -> bool {
        // Of so many the limits hold, and an exact sum would take long.
        self.of < 100_000 && (self.hits < 5 || self.of.saturating_sub(self.hits) < 5)
    }

    /// Whether two rates are told apart by the exact test.
    pub const fn exactly(self, other: Self) -> bool {
        self.of < 100_000 && other.of < 100_000 && (self.few() || other.few())
    }

    /// The exact chance of counts at least as unlike as these, if both were alike.
    pub fn exact(self, other: Self) -> f64 {
        let (a, n) = (self.hits, self.of);
        let (hits, all) = (a.saturating_add(other.hits), n.saturating_add(other.of));
        let low = hits.saturating_sub(other.of);
        let high = hits.min(n);
        // Logarithms of weights, each from the one before: no chance of so many underflows.
        let mut weight = 0.0_f64;
        let mut weights = Vec::new();
        for k in low..=high {
            weights.push(weight);
            let (k, rest) = (f64::from(k), f64::from(all) - f64::from(n) - f64::from(hits));
            let more = (f64::from(n) - k) * (f64::from(hits) - k);
            weight += (more / ((k + 1.0) * (rest + k + 1.0))).ln();
        }
        let most = weights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let place = usize::try_from(a.saturating_sub(low)).unwrap_or(0);
        let seen = weights.get(place).copied().unwrap_or(most);
        let share = |weight: &f64| (weight - most).exp();
        let whole: f64 = weights.iter().map(share).sum();
        // What is as unlikely as what was seen is so to within rounding.
        let unlike: f64 = weights.iter().filter(|w| **w <= seen + 1e-9).map(share).sum();
        unlike / whole
    }

    /// Whether this is rarer or more frequent than another, as far as the counts tell: by the exact
    /// test where there are few.
    pub fn against(self, other: Self, sure: Confidence) -> Compared {
        if self.exactly(other) {
            let apart = self.exact(other) < 1.0 - sure.as_percent() / 100.0;
            return match (apart, self.share() < other.share()) {
                (false, _) => Compared::CannotTell,
                (true, true) => Compared::Rarer,
                (true, false) => Compared::MoreOften,
            };
        }
        let difference = self.less(other, sure);
        if difference.high < 0.0 {
            Compared::Rarer
        } else if difference.low > 0.0 {
            Compared::MoreOften
        } else {
            Compared::CannotTell
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rate(hits: u32, of: u32) -> Rate {
        Rate::new(hits, of).unwrap()
    }

    fn near(limits: Limits, low: f64, high: f64) {
        let off = (limits.low - low).abs().max((limits.high - high).abs());
        assert!(off < 5e-5, "{limits:?} is not {low} to {high}");
    }

    /// Source: R. G. Newcombe, Statistics in Medicine 17 (1998) 857, table I, method 3 (from
    /// memory).
    #[test]
    fn limits_are_those_of_the_published_table() {
        near(rate(81, 263).limits(Confidence::USUAL), 0.2553, 0.3662);
        near(rate(15, 148).limits(Confidence::USUAL), 0.0624, 0.1605);
        near(rate(0, 20).limits(Confidence::USUAL), 0.0, 0.1611);
        near(rate(1, 29).limits(Confidence::USUAL), 0.0061, 0.1718);
    }

    /// Source: R. G. Newcombe, Statistics in Medicine 17 (1998) 873, table II, method 10 (from
    /// memory): 56/70 less 48/80, and 9/10 less 3/10.
    #[test]
    fn differences_are_those_of_the_published_table() {
        near(rate(56, 70).less(rate(48, 80), Confidence::USUAL), 0.0524, 0.3339);
        near(rate(9, 10).less(rate(3, 10), Confidence::USUAL), 0.1705, 0.8090);
    }

    /// Source: R. A. Fisher, The Design of Experiments (1935), the lady tasting tea: 3 of 4 right on
    /// either side is 34 of 70 by chance, one-sided 17 of 70; all right 2 of 70 two-sided.
    #[test]
    fn the_exact_test_is_that_of_the_tea() {
        assert!((rate(3, 4).exact(rate(1, 4)) - 34.0 / 70.0).abs() < 1e-12);
        assert!((rate(4, 4).exact(rate(0, 4)) - 2.0 / 70.0).abs() < 1e-12);
        assert!((rate(0, 5).exact(rate(0, 9)) - 1.0).abs() < 1e-12);
        assert_eq!(rate(4, 4).against(rate(0, 4), Confidence::USUAL), Compared::MoreOften);
        assert_eq!(rate(0, 4).against(rate(4, 4), Confidence::USUAL), Compared::Rarer);
    }

    #[test]
    fn few_do_not_tell_and_many_do() {
        let sure = Confidence::USUAL;
        assert_eq!(rate(1, 5).against(rate(0, 5), sure), Compared::CannotTell);
        assert_eq!(rate(20, 100).against(rate(5, 100), sure), Compared::MoreOften);
        assert_eq!(rate(5, 100).against(rate(20, 100), sure), Compared::Rarer);
    }

    #[test]
    fn none_and_all_have_one_exact_limit() {
        assert!(rate(0, 7).limits(Confidence::USUAL).low.abs() < f64::MIN_POSITIVE);
        assert!((rate(7, 7).limits(Confidence::USUAL).high - 1.0).abs() < f64::EPSILON);
    }

    #[test]
    fn a_part_larger_than_the_whole_is_refused() {
        assert_eq!(Rate::new(0, 0), Err(NoRate::OfNothing));
        assert_eq!(Rate::new(4, 3), Err(NoRate::MoreThanAll { hits: 4, of: 3 }));
    }
}
