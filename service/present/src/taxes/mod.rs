//! The tax in what was charged: by the rate in force on the day on which each sum was said.
//!
//! What the customer heard stays as it was: the tax of a price is what its total is over its lines, and
//! only how it is shared over the parts of the rate is reckoned. A sum without lines, such as a charge or
//! a price said by hand, is tax and all, and the tax within it is taken out.

mod told;
mod visit;

use std::collections::BTreeMap;

use burrline_domain::{
    State, Verb,
    fold::Job,
    house::{
        sold::Sold,
        tax::Part,
        taxation::{OfPart, Taxation, Taxed},
    },
    verb::Quote,
};
use burrline_terms::{Day, Moment, Money};
use rust_decimal::Decimal;

use crate::{desk::people::customer_of, view::Zone};

pub(crate) use told::{Told, told};
pub(crate) use visit::{taxation, taxation_after, taxation_of, taxation_on_top};

/// The rates of a job at a moment, without a look at the rest of its visit.
pub(crate) fn rates(state: &State, job: &Job, at: Moment) -> Taxation {
    let day = Zone::of(state).day(at).unwrap_or(Day(jiff::civil::Date::ZERO));
    let customer = customer_of(state, job).map(|(_, customer)| customer);
    let county = customer.and_then(|customer| customer.tax_county());
    let exempt = customer.is_some_and(|customer| customer.is_exempt(day));
    state.settings().taxation(day, county.map(AsRef::as_ref), exempt)
}

/// The tax in some sums.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct InIt {
    /// The sums, tax and all.
    pub(crate) gross: Decimal,
    /// What of them is taxed, before tax.
    pub(crate) base: Decimal,
    /// What was sold to exempt customers.
    pub(crate) exempt: Decimal,
    /// Tips: the hands', and no sale.
    pub(crate) tips: Decimal,
    /// What was still owed in an older ledger: no sale here.
    pub(crate) balance: Decimal,
    /// The tax by part of the rate, each with what it is on.
    pub(crate) parts: BTreeMap<Part, (Decimal, Decimal)>,
}

impl InIt {
    /// All the tax.
    pub(crate) fn tax(&self) -> Decimal {
        self.parts.values().fold(Decimal::ZERO, |sum, (_, tax)| sum.saturating_add(*tax))
    }

    /// What of the sums is no sale.
    pub(crate) fn no_sale(&self) -> Decimal {
        self.tips.saturating_add(self.balance)
    }

    fn takes(&mut self, taxation: &Taxation, lines: &[(&str, Decimal)], taxed: Taxed) {
        self.gross = self.gross.saturating_add(taxed.total);
        self.base = self.base.saturating_add(taxed.base);
        let mut no_sale = Decimal::ZERO;
        for (what, amount) in lines {
            let into = match taxation.sold(what) {
                Sold::Tip => &mut self.tips,
                Sold::Balance => &mut self.balance,
                Sold::Labor | Sold::Goods | Sold::Shipping | Sold::Storage => continue,
            };
            *into = into.saturating_add(*amount);
            no_sale = no_sale.saturating_add(*amount);
        }
        if taxation.exempt {
            self.exempt = self.exempt.saturating_add(taxed.before).saturating_sub(no_sale);
        }
        for OfPart { part, base, tax } in taxed.parts {
            let row = self.parts.entry(part).or_default();
            *row = (row.0.saturating_add(base), row.1.saturating_add(tax));
        }
    }

    /// The same of a share of the sums: what was given back takes its tax with it.
    pub(crate) fn of_share(&self, share: Money, whole: Money, digits: u32) -> Self {
        let (share, whole) = (share.amount(), whole.amount());
        if share == whole {
            return self.clone();
        }
        let scaled = |amount: Decimal| {
            let exact = amount.checked_mul(share).and_then(|x| x.checked_div(whole));
            Money::new(exact.unwrap_or_default()).half_up(digits).amount()
        };
        Self {
            gross: scaled(self.gross),
            base: scaled(self.base),
            exempt: scaled(self.exempt),
            tips: scaled(self.tips),
            balance: scaled(self.balance),
            parts: self
                .parts
                .iter()
                .map(|(part, (base, tax))| (part.clone(), (scaled(*base), scaled(*tax))))
                .collect(),
        }
    }

    /// These less others.
    pub(crate) fn less(&self, other: &Self) -> Self {
        self.with(other, Decimal::saturating_sub)
    }

    /// These and others.
    pub(crate) fn and(&self, other: &Self) -> Self {
        self.with(other, Decimal::saturating_add)
    }

    fn with(&self, other: &Self, of: fn(Decimal, Decimal) -> Decimal) -> Self {
        let mut parts = self.parts.clone();
        for (part, (base, tax)) in &other.parts {
            let row = parts.entry(part.clone()).or_default();
            *row = (of(row.0, *base), of(row.1, *tax));
        }
        Self {
            gross: of(self.gross, other.gross),
            base: of(self.base, other.base),
            exempt: of(self.exempt, other.exempt),
            tips: of(self.tips, other.tips),
            balance: of(self.balance, other.balance),
            parts,
        }
    }
}

/// The tax in the last price that was heard of a job, and in its charges, as of a moment.
pub(crate) fn in_charges(state: &State, job: &Job, by: Moment) -> InIt {
    let mut in_it = InIt::default();
    let mut heard = None;
    for (key, _) in job.facts().filter(|(key, counts)| *counts && key.at <= by) {
        match state.meaning(key.name) {
            Some(Verb::Quote(quote)) => heard = Some((quote, key.at)),
            Some(verb) => {
                let Some((what, amount)) = verb.charges() else { continue };
                let taxation = rates(state, job, key.at);
                let lines = [(what, amount.amount())];
                in_it.takes(&taxation, &lines, taxation.within(&lines).unwrap_or_default());
            }
            None => {}
        }
    }
    if let Some((quote, at)) = heard {
        let taxation = rates(state, job, at);
        let lines: Vec<(&str, Decimal)> =
            quote.lines.iter().map(|line| (line.what.as_str(), line.amount.amount())).collect();
        in_it.takes(&taxation, &lines, in_price(&taxation, quote));
    }
    in_it
}

/// The tax in a price as it was heard.
fn in_price(taxation: &Taxation, quote: &Quote) -> Taxed {
    let lines: Vec<(&str, Decimal)> =
        quote.lines.iter().map(|line| (line.what.as_str(), line.amount.amount())).collect();
    let sum = Money::sum(quote.lines.iter().map(|line| line.amount)).amount();
    let total = quote.total.map_or(sum, Money::amount);
    let over = total.saturating_sub(sum);
    if lines.is_empty() {
        return taxation.within(&[("price", total)]).unwrap_or_default();
    }
    if over <= Decimal::ZERO {
        // The tax is within, or the price was lowered as a whole.
        let lowered = (over < Decimal::ZERO).then_some(("discount", over));
        let all: Vec<_> = lines.into_iter().chain(lowered).collect();
        let untaxed = over.is_zero() && !taxation.included;
        let mut taxed = taxation.within(&all).unwrap_or_default();
        if untaxed {
            // Its lines are before tax, and none came on top: it was sold without.
            (taxed.base, taxed.tax) = (Decimal::ZERO, Decimal::ZERO);
            (taxed.before, taxed.parts) = (taxed.total, Vec::new());
        }
        return taxed;
    }
    let reckoned = taxation.tax(&lines).unwrap_or_default();
    let mut parts = if taxation.parts.is_empty() {
        let unknown = Part::of("rate not known".to_owned(), Decimal::ZERO);
        vec![OfPart { part: unknown, base: sum, tax: over }]
    } else {
        taxation.shared(&lines, over)
    };
    let nobody_knows = reckoned.base.is_zero();
    for of in parts.iter_mut().filter(|_| nobody_knows) {
        of.base = sum;
    }
    let base = if nobody_knows { sum } else { reckoned.base };
    Taxed { before: sum, base, tax: over, total, parts, ..Taxed::default() }
}
