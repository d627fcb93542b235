//! What is asked for at once, where no price script says so.

use burrline_terms::rounding::Rounding;
use burrline_terms::{
    field::{BadWord, Typed},
    money::Money,
};
use rust_decimal::Decimal;

/// The shop's rule: `50%` of the price, or `60.00 a head`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DepositRule {
    /// A share of the total, in per cent.
    Percent(Decimal),
    /// So much a head, and never more than the total.
    Each(Money),
}

impl DepositRule {
    /// What to ask for, for so many heads that come to a total.
    pub fn of(self, total: Money, heads: usize, digits: u32) -> Option<Money> {
        let asked = match self {
            Self::Percent(percent) => {
                let share =
                    total.amount().checked_mul(percent)?.checked_div(Decimal::ONE_HUNDRED)?;
                Money::new(Rounding::HalfUp.round(share, digits))
            }
            Self::Each(each) => Money::new(each.amount().checked_mul(Decimal::from(heads))?),
        };
        Some(asked.min(total).max(Money::ZERO))
    }
}

impl Typed for DepositRule {
    const HINT: &'static str = "DEPOSIT";

    fn read(word: &str) -> Result<Self, BadWord> {
        let wrong = || BadWord::new(word, "a deposit such as 50% or 60.00 a head");
        let bare = word.trim();
        if let Some(percent) = bare.strip_suffix('%') {
            let percent: Decimal = percent.trim().parse().map_err(|_| wrong())?;
            let fair = percent > Decimal::ZERO && percent <= Decimal::ONE_HUNDRED;
            return if fair { Ok(Self::Percent(percent)) } else { Err(wrong()) };
        }
        let each = Money::read(bare.strip_suffix("a head").ok_or_else(wrong)?.trim())?;
        if each > Money::ZERO { Ok(Self::Each(each)) } else { Err(wrong()) }
    }

    fn show(&self) -> String {
        match self {
            Self::Percent(percent) => format!("{percent}%"),
            Self::Each(each) => format!("{each} a head"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(rule: &str, total: &str, heads: usize) -> String {
        let rule = DepositRule::read(rule).unwrap();
        rule.of(Money::read(total).unwrap(), heads, 2).unwrap().to_string()
    }

    #[test]
    fn a_share_goes_half_up_and_nobody_pays_more_than_the_price() {
        assert_eq!(asked("50%", "405.00", 3), "202.50");
        assert_eq!(asked("33 %", "100.00", 1), "33.00");
        assert_eq!(asked("50%", "185.25", 1), "92.63");
        assert_eq!(asked("60.00 a head", "405.00", 3), "180.00");
        assert_eq!(asked("60.00 a head", "45.00", 1), "45.00");
    }

    #[test]
    fn a_rule_reads_back_and_a_broken_one_is_told_apart() {
        for rule in ["50%", "60.00 a head"] {
            assert_eq!(DepositRule::read(rule).unwrap().show(), rule);
        }
        for rule in ["", "50", "0%", "120%", "0 a head", "a head", "half"] {
            assert!(DepositRule::read(rule).is_err(), "{rule}");
        }
    }
}
