//! Several taxes at once, and prices with the tax inside.

use burrline_domain::house::tax::TaxRule;
use burrline_terms::{currency::Currency, money::Money, rounding::written};
use rust_decimal::Decimal;

use crate::{
    Absurd, Known, Value, Working,
    till::{HALVES, LAW},
};

const SAY: &str = "say it like `tax 12.95 7.49 at 6.25% 2%` or `tax 108.25 including 8.25%`";

/// Amounts that a currency cannot have are turned down.
///
/// # Errors
/// [`Absurd`] for an amount finer than the smallest coin.
pub fn of_coins(amounts: &[Money], currency: Currency) -> Result<(), Absurd> {
    match amounts.iter().find(|money| money.amount().scale() > currency.digits()) {
        Some(fine) => {
            let amount = match currency.digits() {
                0 => "a whole amount".to_owned(),
                digits => format!("an amount with {digits} figures behind the point"),
            };
            Err(Absurd::new(
                format!("{} is finer than the smallest coin of {currency}", fine.amount()),
                format!("say {amount}, or another currency after `as`"),
            ))
        }
        None => Ok(()),
    }
}

/// Lines with several taxes, each reckoned on the price and rounded by itself.
///
/// # Errors
/// [`Absurd`] without a line or a rate, for rates above 100 %, or for too much money.
pub fn several(lines: &[Money], rates: &[Decimal], rule: TaxRule) -> Result<Working, Absurd> {
    checked(lines, rates)?;
    let amounts: Vec<Decimal> = lines.iter().map(|line| line.amount()).collect();
    let coin = |amount: Decimal| written(amount, rule.digits);
    let too_much = || Absurd::new("that is too much money", SAY);
    let (mut working, mut before, mut tax, mut parts) =
        (Working::new(), Decimal::ZERO, Decimal::ZERO, Vec::new());
    for (at, percent) in rates.iter().enumerate() {
        let taxed = TaxRule { percent: *percent, ..rule }.tax(&amounts).ok_or_else(too_much)?;
        let exact: Decimal =
            taxed.exact.iter().copied().fold(Decimal::ZERO, Decimal::saturating_add);
        before = taxed.before;
        tax = tax.checked_add(taxed.tax).ok_or_else(too_much)?;
        let number = at.saturating_add(1);
        working = working
            .step(
                format!("tax {number}"),
                format!(
                    "{} x {percent} / 100 = {exact}, rounded {}",
                    coin(before),
                    coin(taxed.tax)
                ),
            )
            .value(&format!("tax_{number}"), Value::Exact(taxed.tax), "");
        parts.push(format!("{} at {percent} %", coin(taxed.tax)));
    }
    let total = before.checked_add(tax).ok_or_else(too_much)?;
    Ok(working
        .answer(format!(
            "{} before tax, {} tax ({}), {} in all",
            coin(before),
            coin(tax),
            parts.join(" and "),
            coin(total)
        ))
        .value("before", Value::Exact(before), "")
        .value("tax", Value::Exact(tax), "")
        .value("total", Value::Exact(total), "")
        .step("in all", format!("{} + {} = {}", coin(before), coin(tax), coin(total)))
        .caution(LAW)
        .caution(
            "Each tax is on the price, none on another tax; where one is on top of another the law of \
             the place says so.",
        )
        .source(HALVES, Known::Memory))
}

/// What is inside a price that includes its taxes. What is left before tax takes up the rounding, so
/// that nothing is lost.
///
/// # Errors
/// As [`several`].
pub fn included(total: &[Money], rates: &[Decimal], rule: TaxRule) -> Result<Working, Absurd> {
    checked(total, rates)?;
    let too_much = || Absurd::new("that is too much money", SAY);
    let total = Money::sum(total.iter().copied()).amount();
    let all: Decimal = rates.iter().copied().fold(Decimal::ZERO, Decimal::saturating_add);
    let hundred = Decimal::ONE_HUNDRED;
    let share = hundred.checked_add(all).ok_or_else(too_much)?;
    let exact = total
        .checked_mul(hundred)
        .and_then(|whole| whole.checked_div(share))
        .ok_or_else(too_much)?;
    let coin = |amount: Decimal| written(amount, rule.digits);
    let (mut working, mut tax, mut parts) = (Working::new(), Decimal::ZERO, Vec::new());
    working = working.step(
        "before tax, exact",
        format!("{} x 100 / (100 + {all}) = {}", coin(total), exact.round_dp(6).normalize()),
    );
    for (at, percent) in rates.iter().enumerate() {
        let each = exact.checked_mul(*percent).and_then(|x| x.checked_div(hundred));
        let each = rule.rounding.round(each.ok_or_else(too_much)?, rule.digits);
        tax = tax.checked_add(each).ok_or_else(too_much)?;
        let number = at.saturating_add(1);
        working = working
            .step(
                format!("tax {number}"),
                format!("that x {percent} / 100, rounded {}", coin(each)),
            )
            .value(&format!("tax_{number}"), Value::Exact(each), "");
        parts.push(format!("{} at {percent} %", coin(each)));
    }
    let before = total.checked_sub(tax).ok_or_else(too_much)?;
    Ok(working
        .answer(format!(
            "{} holds {} tax ({}), {} before tax",
            coin(total),
            coin(tax),
            parts.join(" and "),
            coin(before)
        ))
        .value("before", Value::Exact(before), "")
        .value("tax", Value::Exact(tax), "")
        .value("total", Value::Exact(total), "")
        .step("before tax", format!("{} - {} = {}", coin(total), coin(tax), coin(before)))
        .caution(LAW)
        .source(HALVES, Known::Memory))
}

fn checked(lines: &[Money], rates: &[Decimal]) -> Result<(), Absurd> {
    if lines.is_empty() {
        return Err(Absurd::new("there is nothing to tax", SAY));
    }
    if rates.is_empty() {
        return Err(Absurd::new("there is no rate", SAY));
    }
    match rates.iter().find(|rate| **rate > Decimal::ONE_HUNDRED) {
        Some(rate) => Err(Absurd::new(format!("{rate} % is no rate of tax"), SAY)),
        None => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use burrline_domain::house::tax::TaxBy;
    use burrline_terms::{Typed as _, rounding::Rounding};

    const RULE: TaxRule = TaxRule {
        percent: Decimal::ZERO,
        by: TaxBy::Invoice,
        rounding: Rounding::HalfUp,
        digits: 2,
    };

    fn money(words: &[&str]) -> Vec<Money> {
        words.iter().map(|word| Money::read(word).unwrap()).collect()
    }

    /// By arithmetic: 6.25 % of 20.44 is 1.2775 and 2 % is 0.4088, rounded 1.28 and 0.41.
    #[test]
    fn several_taxes_are_each_on_the_price() {
        let rates = [Decimal::new(625, 2), Decimal::from(2)];
        let said = several(&money(&["12.95", "7.49"]), &rates, RULE).unwrap().answer;
        assert_eq!(
            said,
            "20.44 before tax, 1.69 tax (1.28 at 6.25 % and 0.41 at 2 %), 22.13 in all"
        );
    }

    /// By arithmetic: 108.25 / 1.0825 is 100; 10.00 / 1.19 is 8.4034, of which 19 % is 1.5966.
    #[test]
    fn what_is_inside_and_what_is_left_give_the_price() {
        let said = |total: &str, rates: &[Decimal]| {
            included(&money(&[total]), rates, RULE).unwrap().answer
        };
        assert_eq!(
            said("108.25", &[Decimal::new(825, 2)]),
            "108.25 holds 8.25 tax (8.25 at 8.25 %), 100.00 before tax"
        );
        assert_eq!(
            said("10.00", &[Decimal::from(19)]),
            "10.00 holds 1.60 tax (1.60 at 19 %), 8.40 before tax"
        );
        assert!(included(&[], &[Decimal::ONE], RULE).is_err());
        assert!(several(&money(&["1.00"]), &[Decimal::from(101)], RULE).is_err());
        assert!(of_coins(&money(&["12.955"]), Currency::USD).is_err());
        assert!(of_coins(&money(&["12.955"]), Currency::read("KWD").unwrap()).is_ok());
    }
}
