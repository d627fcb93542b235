//! What was charged, as a paper lists it: each line as it was heard, and what of it is before tax.

use burrline_domain::{State, Verb, fold::Job, house::taxation::Taxation};
use burrline_terms::Money;
use rust_decimal::Decimal;

use super::{in_price, rates};

/// A price or a charge.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Told {
    /// Its lines.
    pub(crate) lines: Vec<ToldLine>,
    /// Tax came on top of them; else what was heard is tax and all.
    pub(crate) on_top: bool,
}

/// One line of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct ToldLine {
    /// What it is for.
    pub(crate) what: String,
    /// As it was heard.
    pub(crate) heard: Money,
    /// The same without the tax in it.
    pub(crate) before_tax: Money,
    /// Whether any tax is on it.
    pub(crate) taxed: bool,
}

/// The last price that was heard of a job, and its charges, in the order in which they are listed.
pub(crate) fn told(state: &State, job: &Job) -> Vec<Told> {
    let (mut heard, mut charges) = (None, Vec::new());
    for (key, _) in job.facts().filter(|(_, counts)| *counts) {
        match state.meaning(key.name) {
            Some(Verb::Quote(quote)) => heard = Some((quote, key.at)),
            Some(verb) => {
                let Some((what, amount)) = verb.charges() else { continue };
                let lines = [(what, amount.amount())];
                let taxation = rates(state, job, key.at);
                let tax = taxation.within(&lines).unwrap_or_default().tax;
                charges.push(with_tax_in_it(&taxation, &lines, tax));
            }
            None => {}
        }
    }
    let price = heard.map(|(quote, at)| {
        let taxation = rates(state, job, at);
        let tax = in_price(&taxation, quote).tax;
        let sum = Money::sum(quote.lines.iter().map(|line| line.amount));
        let total = quote.total.unwrap_or(sum).amount();
        let mut lines: Vec<(&str, Decimal)> =
            quote.lines.iter().map(|line| (line.what.as_str(), line.amount.amount())).collect();
        if lines.is_empty() {
            return with_tax_in_it(&taxation, &[("work", total)], tax);
        }
        let over = total.saturating_sub(sum.amount());
        if over > Decimal::ZERO {
            let lines = lines.into_iter().map(|(what, amount)| ToldLine {
                what: what.to_owned(),
                heard: Money::new(amount),
                before_tax: Money::new(amount),
                taxed: taxation.tax(&[(what, amount)]).is_none_or(|taxed| !taxed.base.is_zero()),
            });
            return Told { lines: lines.collect(), on_top: true };
        }
        // It was lowered as a whole.
        lines.extend((over < Decimal::ZERO).then_some(("discount", over)));
        with_tax_in_it(&taxation, &lines, tax)
    });
    price.into_iter().chain(charges).collect()
}

/// Lines that have so much tax in them; what rounding leaves over is in the line with the most of it.
fn with_tax_in_it(taxation: &Taxation, lines: &[(&str, Decimal)], tax: Decimal) -> Told {
    let of = |line: (&str, Decimal)| {
        if tax.is_zero() { Decimal::ZERO } else { taxation.within(&[line]).unwrap_or_default().tax }
    };
    let mut taxes: Vec<Decimal> = lines.iter().copied().map(of).collect();
    let sum = taxes.iter().fold(Decimal::ZERO, |sum, tax| sum.saturating_add(*tax));
    if let Some(most) = taxes.iter_mut().max_by_key(|tax| tax.abs()) {
        *most = most.saturating_add(tax.saturating_sub(sum));
    }
    let lines = lines.iter().zip(taxes).map(|((what, amount), tax)| ToldLine {
        what: (*what).to_owned(),
        heard: Money::new(*amount),
        before_tax: Money::new(amount.saturating_sub(tax)),
        taxed: !tax.is_zero(),
    });
    Told { lines: lines.collect(), on_top: false }
}
