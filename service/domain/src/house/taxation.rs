//! How one price is taxed: which of its lines, at which rate in which parts, on top or within.
//!
//! The parts of a rate are rounded together, and the tax is then shared over them by largest
//! remainder, so that they add up to it: the Streamlined Sales and Use Tax Agreement, section 324,
//! lets a seller take state and local tax as one sum.
//!
//! Where tax is rounded over a whole visit, what was heard of its other heads stands: the price that is
//! told now takes the difference, and the cent of it is told as a line of its own.

use std::collections::BTreeMap;

use burrline_terms::{money::Money, rounding::Rounding};
use rust_decimal::Decimal;

use super::{
    brackets::Brackets,
    sold::{SOLD_AS, Sold, TaxedKinds},
    tax::{Part, TaxBy},
};
use burrline_terms::field::Typed as _;

/// How one price is taxed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Taxation {
    /// The parts of the rate; none where nothing is taxed.
    pub parts: Vec<Part>,
    /// Where rounding happens.
    pub by: TaxBy,
    /// How it is rounded.
    pub rounding: Rounding,
    /// The law's table of brackets, where one says what is taken instead of rounding.
    pub brackets: Option<Brackets>,
    /// Digits of the smallest coin.
    pub digits: u32,
    /// Whether the prices have the tax in them.
    pub included: bool,
    /// The kinds of lines that are taxed.
    pub kinds: TaxedKinds,
    /// What words are sold as, over what is usual.
    pub sold_as: BTreeMap<String, Sold>,
    /// Whether the customer is exempt.
    pub exempt: bool,
    /// What was heard of the rest of the visit, where tax is rounded over it.
    pub beside: Beside,
}

/// What was heard of the rest of a visit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Beside {
    /// What of it is taxed, before tax.
    pub base: Decimal,
    /// Its tax before any rounding.
    pub exact: Decimal,
    /// Its tax as it was heard.
    pub tax: Decimal,
}

/// The tax of one part of a rate.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OfPart {
    /// The part.
    pub part: Part,
    /// What it is on.
    pub base: Decimal,
    /// The tax.
    pub tax: Decimal,
}

/// A price with its tax.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Taxed {
    /// The sum before tax.
    pub before: Decimal,
    /// What of that is taxed.
    pub base: Decimal,
    /// The tax, rounded.
    pub tax: Decimal,
    /// What of the tax is there because it is rounded over the whole visit.
    pub cent: Decimal,
    /// All of it.
    pub total: Decimal,
    /// The tax by the parts of the rate; they add up to it.
    pub parts: Vec<OfPart>,
}

type Lines<'a> = [(&'a str, Decimal)];

impl Taxation {
    /// The rate, all parts together, in per cent.
    pub fn percent(&self) -> Decimal {
        self.parts.iter().fold(Decimal::ZERO, |sum, part| sum.saturating_add(part.percent))
    }

    /// As what a line is sold: its first word says it, else it is work.
    pub fn sold(&self, what: &str) -> Sold {
        let first = what.split_whitespace().next().unwrap_or_default();
        let first = first.trim_end_matches([',', ':']).to_lowercase();
        let usual = || SOLD_AS.iter().find(|(word, _)| *word == first).map(|(_, sold)| *sold);
        let set = self.sold_as.get(&first).copied();
        set.or_else(|| Sold::read(usual()?).ok()).unwrap_or(Sold::Labor)
    }

    /// Whether another price is taxed at the same rates.
    pub fn is_like(&self, other: &Self) -> bool {
        (&self.parts, self.exempt) == (&other.parts, other.exempt)
    }

    /// The lines that are taxed, each with whether it is an article.
    fn taxed(&self, lines: &Lines<'_>) -> Vec<(Decimal, bool)> {
        let sold = lines.iter().map(|(what, amount)| (*amount, self.sold(what)));
        let taxed = sold.filter(|(_, sold)| !self.exempt && self.kinds.takes(*sold));
        taxed.map(|(amount, sold)| (amount, sold == Sold::Goods)).collect()
    }

    /// What a part takes its share of: of an article, its stretch of it. Of work and shipping there is
    /// no article: a part with a cap takes all of it, and one that begins over an amount nothing.
    fn base_of(part: &Part, amount: Decimal, article: bool) -> Decimal {
        match (article, part.over) {
            (true, _) => part.of_article(amount),
            (false, Some(_)) => Decimal::ZERO,
            (false, None) => amount,
        }
    }

    /// The tax of one taxed line, before any rounding.
    fn of_line(&self, amount: Decimal, article: bool) -> Option<Decimal> {
        self.parts.iter().try_fold(Decimal::ZERO, |sum, part| {
            let tax = Self::base_of(part, amount, article).checked_mul(part.percent)?;
            sum.checked_add(tax.checked_div(Decimal::ONE_HUNDRED)?)
        })
    }

    /// What lines leave for the rest of a visit: what is taxed of them, and its tax before any rounding.
    pub fn beside(&self, lines: &Lines<'_>, tax: Decimal) -> Option<Beside> {
        let taxed = self.taxed(lines);
        let base = sum(taxed.iter().map(|(amount, _)| *amount))?;
        let exact = taxed.iter().map(|(amount, article)| self.of_line(*amount, *article));
        Some(Beside { base, exact: sum(exact.collect::<Option<Vec<_>>>()?)?, tax })
    }

    /// A tax as the law rounds it, or takes it by its table.
    fn rounded(&self, base: Decimal, exact: Decimal) -> Option<Decimal> {
        match &self.brackets {
            Some(brackets) if !self.parts.is_empty() => brackets.tax(base, self.digits),
            Some(_) | None => Some(self.rounding.round(exact, self.digits)),
        }
    }

    /// Taxes lines, each with what it is for; a discount, below nothing, takes its tax off. `None` past
    /// what a decimal holds.
    pub fn tax(&self, lines: &Lines<'_>) -> Option<Taxed> {
        if self.included {
            return self.within(lines);
        }
        let taxed = self.taxed(lines);
        let Beside { base, exact, .. } = self.beside(lines, Decimal::ZERO)?;
        let (tax, cent) = match self.by {
            TaxBy::Line => {
                let each = taxed.iter().map(|(amount, article)| {
                    self.rounded(*amount, self.of_line(*amount, *article)?)
                });
                (sum(each.collect::<Option<Vec<_>>>()?)?, Decimal::ZERO)
            }
            TaxBy::Invoice => (self.rounded(base, exact)?, Decimal::ZERO),
            TaxBy::Visit => {
                let rest = self.beside;
                let all =
                    self.rounded(base.checked_add(rest.base)?, exact.checked_add(rest.exact)?)?;
                let tax = all.checked_sub(rest.tax)?;
                (tax, tax.checked_sub(self.rounded(base, exact)?)?)
            }
        };
        let before = sum(lines.iter().map(|(_, amount)| *amount))?;
        let total = before.checked_add(tax)?;
        Some(Taxed { before, base, tax, cent, total, parts: self.shared(lines, tax) })
    }

    /// The tax within sums that have it in them: each less what it is without the rate, rounded.
    pub fn within(&self, lines: &Lines<'_>) -> Option<Taxed> {
        let taxed = self.taxed(lines);
        let gross = sum(taxed.iter().map(|(amount, _)| *amount))?;
        let bare = |amount: Decimal, article: bool| self.without(amount, article);
        let each: Option<Vec<Decimal>> =
            taxed.iter().map(|(amount, article)| bare(*amount, *article)).collect();
        let round = |net: Decimal, gross: Decimal| match &self.brackets {
            Some(brackets) if !self.parts.is_empty() => brackets.without(net, gross, self.digits),
            Some(_) | None => self.rounding.round(net, self.digits),
        };
        let base = match self.by {
            TaxBy::Line => {
                let each =
                    each?.into_iter().zip(&taxed).map(|(net, (gross, _))| round(net, *gross));
                sum(each)?
            }
            // Without caps all is divided at once, so that nothing is lost in between.
            TaxBy::Invoice | TaxBy::Visit if !self.parts.iter().any(Part::is_capped) => {
                round(bare(gross, false)?, gross)
            }
            TaxBy::Invoice | TaxBy::Visit => round(sum(each?)?, gross),
        };
        let tax = gross.checked_sub(base)?;
        let total = sum(lines.iter().map(|(_, amount)| *amount))?;
        let before = total.checked_sub(tax)?;
        let mut parts = self.shared(lines, tax);
        // The lines have the tax in them; what a part without a cap is on does not.
        for of in parts.iter_mut().filter(|of| !of.part.is_capped()) {
            of.base = base;
        }
        Some(Taxed { before, base, tax, cent: Decimal::ZERO, total, parts })
    }

    /// A sum without the tax that is in it, not rounded: stretch by stretch, as caps begin and end.
    fn without(&self, gross: Decimal, article: bool) -> Option<Decimal> {
        let mut ends: Vec<Decimal> =
            self.parts.iter().flat_map(|part| [part.over, part.up_to]).flatten().collect();
        ends.sort();
        ends.retain(|_| article);
        let (size, mut low) = (gross.abs(), Decimal::ZERO);
        for end in ends {
            if end.checked_add(self.of_line(end, true)?)? >= size {
                break;
            }
            low = end;
        }
        let rest = size.checked_sub(low.checked_add(self.of_line(low, article)?)?)?;
        let here = self.parts.iter().filter(|part| {
            let begun = part.over.is_none_or(|over| article && low >= over);
            begun && (!article || part.up_to.is_none_or(|up_to| low < up_to))
        });
        let percent = here.fold(Decimal::ZERO, |sum, part| sum.saturating_add(part.percent));
        let whole = percent.checked_add(Decimal::ONE_HUNDRED)?;
        let net = low.checked_add(rest.checked_mul(Decimal::ONE_HUNDRED)?.checked_div(whole)?)?;
        Some(if gross < Decimal::ZERO { Decimal::ZERO.saturating_sub(net) } else { net })
    }

    /// A tax on lines shared over the parts of the rate, so that they add up to it.
    pub fn shared(&self, lines: &Lines<'_>, tax: Decimal) -> Vec<OfPart> {
        let taxed = self.taxed(lines);
        let base = |part: &Part| {
            let of = |(amount, article): &(Decimal, bool)| Self::base_of(part, *amount, *article);
            taxed.iter().map(of).fold(Decimal::ZERO, Decimal::saturating_add)
        };
        let bases: Vec<Decimal> = self.parts.iter().map(base).collect();
        let percents = || self.parts.iter().map(|part| part.percent);
        // By what each takes; where nobody knows of what, by the rates alone.
        let takes = bases.iter().zip(percents()).map(|(base, x)| base.abs().saturating_mul(x));
        let takes: Vec<Decimal> = takes.collect();
        let any = takes.iter().any(|takes| *takes > Decimal::ZERO);
        let weights: Vec<Decimal> = if any { takes } else { percents().collect() };
        // Shares are made of a sum above nothing, and take its sign.
        let shares = Money::new(tax.abs()).split(&weights, self.digits);
        let signed = |share: Money| {
            let share = share.amount();
            if tax < Decimal::ZERO { Decimal::ZERO.saturating_sub(share) } else { share }
        };
        let each = self.parts.iter().cloned().zip(bases).zip(shares);
        each.map(|((part, base), share)| OfPart { part, base, tax: signed(share) }).collect()
    }
}

fn sum(amounts: impl IntoIterator<Item = Decimal>) -> Option<Decimal> {
    amounts.into_iter().try_fold(Decimal::ZERO, Decimal::checked_add)
}

#[cfg(test)]
mod tests;
