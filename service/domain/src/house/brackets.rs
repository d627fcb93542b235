//! A law's table of tax brackets: from which amounts on the tax is a coin more, for the first of a unit
//! and for each whole one after it.
//!
//! `0.20 0.21 0.34 0.51 0.67 0.84, then 0.01 0.17 0.34 0.51 0.67 0.84 of each 1.00` is that of Laws of
//! Maryland 2007, chapter 3, for 6 %.

use burrline_terms::field::{BadWord, Typed};
use rust_decimal::Decimal;

/// The most steps of a table: a coin each.
const MOST: usize = 100;

/// A table of brackets.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Brackets {
    /// From which amounts below one unit the tax is a coin more.
    first: Vec<Decimal>,
    /// The same over each whole unit.
    then: Vec<Decimal>,
    /// The unit.
    unit: Decimal,
}

impl Brackets {
    /// The tax on an amount, in coins of so many digits; `None` past what a decimal holds.
    pub fn tax(&self, amount: Decimal, digits: u32) -> Option<Decimal> {
        let size = amount.abs();
        let steps = |steps: &[Decimal], of: Decimal| {
            Decimal::from(steps.iter().filter(|from| **from <= of).count())
        };
        let coins = if size < self.unit {
            steps(&self.first, size)
        } else {
            let whole = size.checked_div(self.unit)?.floor();
            let over = size.checked_sub(whole.checked_mul(self.unit)?)?;
            let of_each = Decimal::from(self.then.len());
            whole.checked_mul(of_each)?.checked_add(steps(&self.then, over))?
        };
        let tax = coins.checked_mul(Decimal::new(1, digits))?;
        Some(if amount < Decimal::ZERO { Decimal::ZERO.saturating_sub(tax) } else { tax })
    }

    /// A sum without its tax: the largest near one that comes to no more with it.
    pub(super) fn without(&self, near: Decimal, gross: Decimal, digits: u32) -> Decimal {
        let coin = Decimal::new(1, digits);
        let (near, size) = (near.abs().round_dp(digits), gross.abs());
        let few = (0..=8_i64).map(|n| Decimal::from(4_i64.saturating_sub(n)).saturating_mul(coin));
        let fits = |net: &Decimal| {
            let tax = self.tax(*net, digits).unwrap_or_default();
            *net >= Decimal::ZERO && net.saturating_add(tax) <= size
        };
        let net = few.map(|by| near.saturating_add(by)).find(fits).unwrap_or(near);
        if gross < Decimal::ZERO { Decimal::ZERO.saturating_sub(net) } else { net }
    }
}

impl Typed for Brackets {
    const HINT: &'static str = "BRACKETS";

    fn read(word: &str) -> Result<Self, BadWord> {
        let wrong = || {
            BadWord::new(
                word.trim(),
                "from which amounts the tax is a coin more, such as 0.20 0.21 0.34, then 0.01 0.17 of \
                 each 1.00",
            )
        };
        let amount = |word: &str| {
            let amount = Decimal::read(word).map_err(|_| wrong())?;
            if amount > Decimal::ZERO { Ok(amount) } else { Err(wrong()) }
        };
        let steps = |words: &str| {
            let steps = words.split_whitespace().map(amount).collect::<Result<Vec<_>, _>>()?;
            let rising = steps.is_sorted_by(|a, b| a < b);
            if rising && (1..=MOST).contains(&steps.len()) { Ok(steps) } else { Err(wrong()) }
        };
        let (first, rest) = word.split_once(", then").ok_or_else(wrong)?;
        let (then, unit) = rest.split_once("of each").ok_or_else(wrong)?;
        let table = Self { first: steps(first)?, then: steps(then)?, unit: amount(unit.trim())? };
        let below = table.first.iter().chain(&table.then).all(|step| *step < table.unit);
        if below { Ok(table) } else { Err(wrong()) }
    }

    fn show(&self) -> String {
        let steps =
            |steps: &[Decimal]| steps.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ");
        format!("{}, then {} of each {}", steps(&self.first), steps(&self.then), self.unit)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_that_is_none_is_told_apart() {
        let good = "0.2 0.34, then 0.01 0.17 of each 1";
        assert_eq!(Brackets::read(good).unwrap().show(), good);
        for word in ["", "6%", "0.34 0.20, then 0.01 of each 1", "0.2, then 1.01 of each 1", "0.2"]
        {
            assert!(Brackets::read(word).is_err(), "{word}");
        }
    }
}
