//! Money with its working: tax, rounding, splitting, cash and storage.

use burrline_domain::house::{
    storage::StorageRule,
    tax::{TaxBy, TaxRule},
};
use burrline_terms::{
    currency::Currency,
    money::Money,
    rounding::{Rounding, written},
    time::Day,
};
use rust_decimal::Decimal;

use super::{Absurd, Known, Value, Working};

const ISO: &str = "ISO 4217, list one: digits of the smallest unit";
pub(crate) const HALVES: &str = "IEEE 754-2008, roundTiesToAway and roundTiesToEven";
pub(crate) const LAW: &str = "Whether work on a customer's own skull is taxed, and at what rate, is the law of \
                   the place: ask the tax office.";

/// Lines with their tax, by line or by invoice.
///
/// # Errors
/// [`Absurd`] without a line, for a rate above 100 %, or for sums past what a decimal holds.
pub fn taxed(lines: &[Money], rule: TaxRule) -> Result<Working, Absurd> {
    let say = "say it like `tax 12.95 7.49 at 8.25%`";
    if lines.is_empty() {
        return Err(Absurd::new("there is nothing to tax", say));
    }
    if rule.percent > Decimal::ONE_HUNDRED {
        return Err(Absurd::new(format!("{} % is no rate of tax", rule.percent), say));
    }
    let amounts: Vec<Decimal> = lines.iter().map(|line| line.amount()).collect();
    let taxed = rule.tax(&amounts).ok_or_else(|| Absurd::new("that is too much money", say))?;
    let coin = |amount: Decimal| written(amount, rule.digits);
    let mut working = Working::new()
        .answer(format!(
            "{} before tax, {} tax, {} in all",
            coin(taxed.before),
            coin(taxed.tax),
            coin(taxed.total)
        ))
        .value("before", Value::Exact(taxed.before), "")
        .value("tax", Value::Exact(taxed.tax), "")
        .value("total", Value::Exact(taxed.total), "");
    for (at, (line, exact)) in amounts.iter().zip(&taxed.exact).enumerate() {
        let rounded = match taxed.lines.get(at) {
            Some(rounded) => format!(", rounded {}", coin(*rounded)),
            None => String::new(),
        };
        working = working.step(
            format!("line {}", at.saturating_add(1)),
            format!("{line} x {} / 100 = {exact}{rounded}", rule.percent),
        );
    }
    let exact: Decimal = taxed.exact.iter().fold(Decimal::ZERO, |sum, x| sum.saturating_add(*x));
    working = match rule.by {
        TaxBy::Line => working.step("tax", format!("sum of the rounded = {}", coin(taxed.tax))),
        TaxBy::Invoice | TaxBy::Visit => {
            working.step("tax", format!("sum {exact}, rounded {}", coin(taxed.tax)))
        }
    };
    Ok(working
        .step("in all", format!("{} + {} = {}", taxed.before, taxed.tax, coin(taxed.total)))
        .caution(LAW)
        .caution(format!(
            "Rounded {}, by {}; the other ways can differ by a coin.",
            rule.rounding,
            rule.by.word()
        ))
        .source(HALVES, Known::Memory))
}

/// An amount to the digits of a currency.
pub fn rounded(amount: Decimal, rounding: Rounding, currency: Currency) -> Working {
    let digits = currency.digits();
    let round = rounding.round(amount, digits);
    Working::new()
        .answer(format!("{} {currency}", written(round, digits)))
        .value("rounded", Value::Exact(fixed(round, digits)), &currency.to_string())
        .value("digits", Value::Count(u64::from(digits)), "")
        .step(rounding.word(), format!("{amount} to {digits} digits = {}", written(round, digits)))
        .source(HALVES, Known::Memory)
        .source(ISO, Known::Memory)
}

/// An amount shared by weights, by largest remainder, so that nothing is lost.
///
/// # Errors
/// [`Absurd`] without a share, for more than a thousand, or for an amount finer than its coin.
pub fn split(amount: Money, weights: &[Decimal], currency: Currency) -> Result<Working, Absurd> {
    let say = "say it like `split 100.00 over 3` or `split 405.00 by 120 150 135`";
    let digits = currency.digits();
    if weights.is_empty() || weights.len() > 1000 {
        return Err(Absurd::new("money is split in 1 to 1,000 shares", say));
    }
    if amount.amount().scale() > digits {
        return Err(Absurd::new(
            format!("{} is finer than the smallest coin of {currency}", amount.amount()),
            say,
        ));
    }
    let shares = amount.split(weights, digits);
    let coin = |share: &Money| written(share.amount(), digits);
    let list: Vec<String> = shares.iter().map(coin).collect();
    let sum = Money::sum(shares.iter().copied());
    let weights: Vec<String> = weights.iter().map(ToString::to_string).collect();
    Ok(Working::new()
        .answer(list.join(" "))
        .words("shares", list.join(" "))
        .value("sum", Value::Exact(fixed(sum.amount(), digits)), &currency.to_string())
        .step("each share", format!("{} x weight / sum of {}", coin(&amount), weights.join(" + ")))
        .step("first", "each rounded down to the coin; what is left goes coin by coin")
        .step("then", "to the largest remainders, the first of equals first")
        .step("check", format!("{} = {}", list.join(" + "), coin(&sum)))
        .source("largest remainder, as for seats in a house", Known::Memory)
        .source(ISO, Known::Memory))
}

/// The smallest coin where smaller ones are gone (from memory): Canada 2013, Switzerland, Australia, New
/// Zealand, the north of Europe and a few more. A step of 0.05 has no half way in whole cents.
pub fn smallest_coin(currency: Currency) -> Option<Money> {
    let hundredths = match currency.to_string().as_str() {
        "CAD" | "CHF" | "AUD" | "SGD" | "MYR" => 5,
        "NZD" | "ZAR" | "ILS" | "HKD" => 10,
        "DKK" => 50,
        "SEK" | "NOK" | "CZK" => 100,
        "HUF" => 500,
        _ => return None,
    };
    Some(Money::new(Decimal::new(hundredths, 2)))
}

/// What becomes of a payment half way between two coins, where the whole place does the same.
///
/// Source: the list of roundings in a cash register maker's manual: Denmark 25 to 74 to 50, Sweden 25 to
/// 74 to 50 and later 50 to 99 to 100, Norway 50 to 99 to 100; for New Zealand it has two, 5 to 9 up and
/// 6 to 9 up.
fn usual_halves(currency: Currency) -> Option<Rounding> {
    let up = ["DKK", "SEK", "NOK", "CZK"];
    up.contains(&currency.to_string().as_str()).then_some(Rounding::HalfUp)
}

/// What is paid in cash where small coins are gone; the price stays. `halves` is what becomes of a price
/// half way between two coins, where that was said.
///
/// # Errors
/// [`Absurd`] for a step that is no coin, for an amount finer than the currency's, and for one half way
/// between two coins where each shop decides.
pub fn cash(
    amount: Money,
    step: Money,
    halves: Option<Rounding>,
    currency: Currency,
) -> Result<Working, Absurd> {
    if step <= Money::ZERO {
        return Err(Absurd::new(
            "there is no coin of that size",
            "say it like `cash 10.02 to 0.05`",
        ));
    }
    crate::taxes::of_coins(&[amount, step], currency)?;
    let digits = currency.digits();
    let rounding = match halves.or_else(|| usual_halves(currency)) {
        Some(rounding) => rounding,
        None => no_half_way(amount, step, currency)?,
    };
    let paid = Money::new(rounding.to_step(amount.amount(), step.amount()));
    let apart = paid.checked_sub(amount).unwrap_or_default();
    let shown = |money: Money| money.written(digits);
    Ok(Working::new()
        .answer(format!("{} in cash for {}", shown(paid), shown(amount)))
        .value("cash", Value::Exact(paid.amount()), "")
        .value("apart", Value::Exact(apart.amount()), "")
        .step(
            rounding.word(),
            format!("{} to a multiple of {} = {}", shown(amount), shown(step), shown(paid)),
        )
        .caution("A matter of the payment: by card the exact price is paid, and the price stays.")
        .source(cash_source(currency), Known::Memory)
        .source(ISO, Known::Memory))
}

/// To the nearest coin, where the nearest is one; else the shop is asked.
fn no_half_way(amount: Money, step: Money, currency: Currency) -> Result<Rounding, Absurd> {
    let to = |rounding: Rounding| rounding.to_step(amount.amount(), step.amount());
    let (down, up) = (to(Rounding::HalfDown), to(Rounding::HalfUp));
    if down == up {
        return Ok(Rounding::HalfUp);
    }
    let shown = |amount: Decimal| Money::new(amount).written(currency.digits());
    let typed = if smallest_coin(currency) == Some(step) {
        format!("cash {} as {currency}", shown(amount.amount()))
    } else {
        format!("cash {} to {} as {currency}", shown(amount.amount()), shown(step.amount()))
    };
    Err(Absurd::new(
        format!(
            "{} is half way between {} and {}, and each shop decides",
            shown(amount.amount()),
            shown(down),
            shown(up)
        ),
        format!(
            "say `burrline reckon {typed} --rounding half-down` for {}, or `burrline reckon {typed} \
             --rounding half-up` for {}",
            shown(down),
            shown(up)
        ),
    ))
}

fn cash_source(currency: Currency) -> &'static str {
    match currency.to_string().as_str() {
        "NZD" => {
            "New Zealand: 1 to 4 cents down, 6 to 9 up, 5 as the shop decides; the Retailers \
             Association advises down: Reserve Bank, Change for the Better, 2006"
        }
        _ => "cash rounding where the smallest coin is gone, as in Canada and Switzerland",
    }
}

/// Where the storage clock stands.
///
/// # Errors
/// [`Absurd`] for a day before the notice, or a fee finer than the currency's coin.
pub fn storage(
    rule: StorageRule,
    notice: Day,
    today: Day,
    currency: Currency,
) -> Result<Working, Absurd> {
    let fees: Vec<Money> = std::iter::once(rule.fee).chain(rule.up_to).collect();
    crate::taxes::of_coins(&fees, currency)?;
    let coin = |money: Money| money.written(currency.digits());
    let say = "say it like `storage 5.00 a month after 30 days notice 2026-01-01 today 2026-03-01`";
    if today < notice {
        return Err(Absurd::new(format!("{today} is before the notice of {notice}"), say));
    }
    let clock =
        rule.clock(notice, today).ok_or_else(|| Absurd::new("that is past the calendar", say))?;
    let answer = if clock.fees == 0 {
        format!("nothing yet; it costs from {}", clock.from)
    } else {
        format!("{} on {today}, from {}", coin(clock.amount), clock.from)
    };
    Ok(Working::new()
        .answer(answer)
        .value("amount", Value::Exact(clock.amount.amount()), "")
        .value("fees", Value::Count(u64::from(clock.fees)), "")
        .words("from", clock.from.to_string())
        .step("starts", format!("{notice} + {} free days, then {}", rule.free_days, clock.from))
        .step("so far", format!("{} x {} = {}", coin(rule.fee), clock.fees, coin(clock.amount)))
        .caution(
            "Shown, not owed, until it is charged. Whether storage may be charged hangs on what the \
             customer agreed to and on local law.",
        )
        .source("fee and free days are the shop's own", Known::Practice))
}

/// With so many decimals, even where they are noughts.
fn fixed(amount: Decimal, digits: u32) -> Decimal {
    let mut amount = amount;
    if amount.scale() < digits {
        amount.rescale(digits);
    }
    amount
}
