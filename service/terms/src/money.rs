//! Money: exact decimals in the shop's one currency.

use std::fmt;

use rust_decimal::{Decimal, RoundingStrategy};

use crate::{
    field::{BadWord, Kind, Typed, plain_fields},
    number,
    rounding::written,
};

/// An amount of money in the shop's currency, exact; negative for what goes back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Money(Decimal);

impl Money {
    /// Nothing.
    pub const ZERO: Self = Self(Decimal::ZERO);
    /// The most minor digits that any currency here has.
    pub const MAX_MINOR_DIGITS: u32 = 3;

    /// An amount, as it is.
    pub fn new(amount: Decimal) -> Self {
        Self(amount.normalize())
    }

    /// The amount.
    pub const fn amount(self) -> Decimal {
        self.0
    }

    /// With so many digits of its smallest unit, even where they are noughts.
    pub fn written(self, digits: u32) -> String {
        written(self.0, digits)
    }

    /// The sum, or `None` past what a decimal of 28 digits can hold.
    pub fn checked_add(self, other: Self) -> Option<Self> {
        self.0.checked_add(other.0).map(Self::new)
    }

    /// The difference, or `None` past what a decimal of 28 digits can hold.
    pub fn checked_sub(self, other: Self) -> Option<Self> {
        self.0.checked_sub(other.0).map(Self::new)
    }

    /// The sum of all; amounts that would not fit any more are left out.
    pub fn sum(amounts: impl IntoIterator<Item = Self>) -> Self {
        amounts.into_iter().fold(Self::ZERO, |sum, x| sum.checked_add(x).unwrap_or(sum))
    }

    /// Rounds to a number of minor digits, halves away from zero.
    #[must_use]
    pub fn half_up(self, minor_digits: u32) -> Self {
        Self::new(
            self.0.round_dp_with_strategy(minor_digits, RoundingStrategy::MidpointAwayFromZero),
        )
    }

    /// Splits into as many shares as there are weights, by largest remainder, so that the shares
    /// add up to the whole: 200.00 over three equal weights is 66.67, 66.67, 66.66.
    ///
    /// Weights that are negative count as zero; if none is above zero the shares are equal.
    pub fn split(self, weights: &[Decimal], minor_digits: u32) -> Vec<Self> {
        let weights: Vec<Decimal> = if weights.iter().any(|w| *w > Decimal::ZERO) {
            weights.iter().map(|w| (*w).max(Decimal::ZERO)).collect()
        } else {
            vec![Decimal::ONE; weights.len()]
        };
        let total = weights.iter().fold(Decimal::ZERO, |a, w| a.saturating_add(*w));
        let unit = Decimal::new(1, minor_digits);
        let mut shares: Vec<(Decimal, Decimal)> = weights
            .iter()
            .map(|weight| {
                let exact = self
                    .0
                    .checked_mul(*weight)
                    .and_then(|x| x.checked_div(total))
                    .unwrap_or_default();
                let share = exact
                    .round_dp_with_strategy(minor_digits, RoundingStrategy::ToNegativeInfinity);
                (share, exact.saturating_sub(share))
            })
            .collect();
        let mut left = shares.iter().fold(self.0, |left, (s, _)| left.saturating_sub(*s));
        let mut order: Vec<usize> = (0..shares.len()).collect();
        order.sort_by_key(|&i| {
            std::cmp::Reverse(shares.get(i).map(|(_, rest)| *rest).unwrap_or_default())
        });
        for i in order {
            let step = unit.min(left);
            if let Some((share, _)) = shares.get_mut(i)
                && step > Decimal::ZERO
            {
                *share = share.saturating_add(step);
                left = left.saturating_sub(step);
            }
        }
        shares.into_iter().map(|(share, _)| Self::new(share)).collect()
    }
}

impl fmt::Display for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let digits = self.0.scale().max(2);
        let mut amount = self.0;
        amount.rescale(digits);
        amount.fmt(f)
    }
}

impl Typed for Money {
    const HINT: &'static str = "MONEY";
    const KIND: Kind = Kind::Money;

    fn read(word: &str) -> Result<Self, BadWord> {
        let wrong = || BadWord::new(word, "an amount of money such as 185.00");
        let bare = word.trim();
        let (minus, bare) = bare.strip_prefix('-').map_or((false, bare), |rest| (true, rest));
        let amount =
            number::of_any_size(bare.strip_prefix('$').unwrap_or(bare)).ok_or_else(wrong)?;
        let amount = if minus { Decimal::ZERO.saturating_sub(amount) } else { amount };
        let limit = Decimal::from(1_000_000_000_u64);
        if amount.scale() > Self::MAX_MINOR_DIGITS || amount.abs() > limit {
            return Err(wrong());
        }
        Ok(Self(amount))
    }

    fn show(&self) -> String {
        self.to_string()
    }
}

plain_fields!(Money);

#[cfg(test)]
mod tests {
    use super::*;

    fn money(text: &str) -> Money {
        Money::read(text).unwrap()
    }

    #[test]
    fn a_payment_over_three_jobs_loses_no_cent() {
        let shares = money("200.00").split(&[Decimal::ONE; 3], 2);
        assert_eq!(shares, [money("66.67"), money("66.67"), money("66.66")]);
    }

    /// Source: the half-up column of IEEE 754-2008 roundTiesToAway over the usual halves.
    #[test]
    fn halves_go_away_from_zero() {
        for (exact, rounded) in [("0.005", "0.01"), ("2.675", "2.68"), ("-0.125", "-0.13")] {
            assert_eq!(money(exact).half_up(2), money(rounded), "{exact}");
        }
    }

    #[test]
    fn a_word_that_is_no_money_is_told_apart() {
        for word in ["", "ten", "1.2345", "1e9", "99999999999999", "12,95", "1,402"] {
            assert!(Money::read(word).is_err(), "{word}");
        }
    }
}
