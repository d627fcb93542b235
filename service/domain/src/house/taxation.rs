//! How one price is taxed: which of its lines, at which rate in which parts, on top or within.
//!
//! The parts of a rate are rounded together, and the tax is then shared over them by largest
//! remainder, so that they add up to it: the Streamlined Sales and Use Tax Agreement, section 324,
//! lets a seller take state and local tax as one sum.

use std::collections::BTreeMap;

use burrline_terms::{
    field::{BadWord, Typed},
    money::Money,
    rounding::Rounding,
};
use rust_decimal::Decimal;

use super::tax::{Part, TaxBy};

/// As what a line of a price is sold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Sold {
    /// Work on the customer's own head.
    Labor,
    /// A thing that the customer takes home, such as a plaque.
    Goods,
    /// Sending it.
    Shipping,
    /// Keeping it.
    Storage,
    /// A gift to the hands; never taxed.
    Tip,
}

impl Sold {
    /// Every kind.
    pub const ALL: [Self; 5] = [Self::Labor, Self::Goods, Self::Shipping, Self::Storage, Self::Tip];

    /// The word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Labor => "labor",
            Self::Goods => "goods",
            Self::Shipping => "shipping",
            Self::Storage => "storage",
            Self::Tip => "tip",
        }
    }
}

impl Typed for Sold {
    const HINT: &'static str = "SOLD-AS";

    fn read(word: &str) -> Result<Self, BadWord> {
        let bare = word.trim().to_lowercase();
        let all = Self::ALL.map(Self::word).join(", ");
        let found = Self::ALL.into_iter().find(|sold| sold.word() == bare);
        found.ok_or_else(|| BadWord::new(word, format!("one of: {all}")))
    }

    fn show(&self) -> String {
        self.word().to_owned()
    }
}

/// What words of a price line are sold as, where the shop set nothing else (common practice, no source).
pub const SOLD_AS: &[(&str, &str)] = &[
    ("shipping", "shipping"),
    ("postage", "shipping"),
    ("freight", "shipping"),
    ("delivery", "shipping"),
    ("plaque", "goods"),
    ("plaques", "goods"),
    ("stand", "goods"),
    ("hanger", "goods"),
    ("storage", "storage"),
    ("tip", "tip"),
];

/// The kinds of lines that are taxed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TaxedKinds(Vec<Sold>);

impl Default for TaxedKinds {
    fn default() -> Self {
        Self(vec![Sold::Labor, Sold::Goods, Sold::Shipping, Sold::Storage])
    }
}

impl Typed for TaxedKinds {
    const HINT: &'static str = "KINDS";

    fn read(word: &str) -> Result<Self, BadWord> {
        let wrong = || BadWord::new(word, "kinds of lines: labor, goods, shipping, storage");
        let words = word.split([',', ' ']).map(str::trim).filter(|word| !word.is_empty());
        let kinds = words.map(Sold::read).collect::<Result<Vec<_>, _>>().map_err(|_| wrong())?;
        if kinds.is_empty() || kinds.contains(&Sold::Tip) { Err(wrong()) } else { Ok(Self(kinds)) }
    }

    fn show(&self) -> String {
        self.0.iter().map(|sold| sold.word()).collect::<Vec<_>>().join(", ")
    }
}

/// How one price is taxed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Taxation {
    /// The parts of the rate; none where nothing is taxed.
    pub parts: Vec<Part>,
    /// Where rounding happens.
    pub by: TaxBy,
    /// How it is rounded.
    pub rounding: Rounding,
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
    /// All of it.
    pub total: Decimal,
    /// The tax by the parts of the rate; they add up to it.
    pub parts: Vec<(Part, Decimal)>,
}

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

    fn is_taxed(&self, what: &str) -> bool {
        !self.exempt && self.kinds.0.contains(&self.sold(what))
    }

    /// Taxes lines, each with what it is for; a discount, below nothing, takes its tax off. `None` past
    /// what a decimal holds.
    pub fn tax(&self, lines: &[(&str, Decimal)]) -> Option<Taxed> {
        if self.included {
            return self.within(lines);
        }
        let taxed = lines.iter().filter(|(what, _)| self.is_taxed(what)).map(|(_, amount)| *amount);
        let taxed: Vec<Decimal> = taxed.collect();
        let exact =
            |amount: Decimal| amount.checked_mul(self.percent())?.checked_div(Decimal::ONE_HUNDRED);
        let round = |amount: Decimal| self.rounding.round(amount, self.digits);
        let base = sum(taxed.iter().copied())?;
        let tax = match self.by {
            TaxBy::Line => {
                let each = taxed.iter().map(|line| exact(*line).map(round));
                sum(each.collect::<Option<Vec<_>>>()?)?
            }
            TaxBy::Invoice => round(exact(base)?),
        };
        let before = sum(lines.iter().map(|(_, amount)| *amount))?;
        let total = before.checked_add(tax)?;
        Some(Taxed { before, base, tax, total, parts: self.shared(tax) })
    }

    /// The tax within sums that have it in them: each less what it is without the rate, rounded.
    pub fn within(&self, lines: &[(&str, Decimal)]) -> Option<Taxed> {
        let taxed = lines.iter().filter(|(what, _)| self.is_taxed(what)).map(|(_, amount)| *amount);
        let taxed: Vec<Decimal> = taxed.collect();
        let whole = self.percent().checked_add(Decimal::ONE_HUNDRED)?;
        let bare = |gross: Decimal| {
            let net = gross.checked_mul(Decimal::ONE_HUNDRED)?.checked_div(whole)?;
            Some(self.rounding.round(net, self.digits))
        };
        let gross = sum(taxed.iter().copied())?;
        let base = match self.by {
            TaxBy::Line => {
                let each = taxed.iter().map(|line| bare(*line));
                sum(each.collect::<Option<Vec<_>>>()?)?
            }
            TaxBy::Invoice => bare(gross)?,
        };
        let tax = gross.checked_sub(base)?;
        let total = sum(lines.iter().map(|(_, amount)| *amount))?;
        let before = total.checked_sub(tax)?;
        Some(Taxed { before, base, tax, total, parts: self.shared(tax) })
    }

    /// A tax shared over the parts of the rate, so that they add up to it.
    pub fn shared(&self, tax: Decimal) -> Vec<(Part, Decimal)> {
        let weights: Vec<Decimal> = self.parts.iter().map(|part| part.percent).collect();
        // Shares are made of a sum above nothing, and take its sign.
        let shares = Money::new(tax.abs()).split(&weights, self.digits);
        let signed = |share: Money| {
            let share = share.amount();
            if tax < Decimal::ZERO { Decimal::ZERO.saturating_sub(share) } else { share }
        };
        self.parts.iter().cloned().zip(shares.into_iter().map(signed)).collect()
    }
}

fn sum(amounts: impl IntoIterator<Item = Decimal>) -> Option<Decimal> {
    amounts.into_iter().try_fold(Decimal::ZERO, Decimal::checked_add)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::house::tax::Rates;
    use burrline_terms::time::Day;

    fn by(rates: &str) -> Taxation {
        let day = Day::read("2026-06-01").unwrap();
        Taxation {
            parts: Rates::read(&format!("{rates} from 2020-01-01")).unwrap().parts_on(day).to_vec(),
            by: TaxBy::Invoice,
            rounding: Rounding::HalfUp,
            digits: 2,
            included: false,
            kinds: TaxedKinds::default(),
            sold_as: BTreeMap::new(),
            exempt: false,
        }
    }

    fn amount(text: &str) -> Decimal {
        text.parse().unwrap()
    }

    fn tax(taxation: &Taxation, lines: &[(&str, &str)]) -> String {
        let lines: Vec<_> = lines.iter().map(|(what, text)| (*what, amount(text))).collect();
        taxation.tax(&lines).unwrap().tax.to_string()
    }

    /// Rates: City of Boulder, Tax Rates, 2023; Texas Comptroller, changes of 1 October 2019; City of
    /// Warrensburg, Missouri. The taxes on 149.95 are reckoned from these rates, half up on their sum.
    #[test]
    fn a_rate_in_parts_is_rounded_once_and_its_parts_add_up() {
        for (rates, want) in [
            ("city 3.86% + state 2.9% + county 1.185% + RTD and culture 1.1%", "13.56"),
            ("state 6.25% + city 1.75% + MDD 0.25%", "12.37"),
            ("6.25% + 1.5% + .5%", "12.37"),
            ("4.225% + 4.125%", "12.52"),
            ("4.225% + 4.125% + 0.5%", "13.27"),
        ] {
            let taxed = by(rates).tax(&[("cleaning", amount("149.95"))]).unwrap();
            assert_eq!(taxed.tax.to_string(), want, "{rates}");
            let parts = taxed.parts.iter().fold(Decimal::ZERO, |sum, (_, part)| sum + part);
            assert_eq!(parts, taxed.tax, "{rates}");
        }
    }

    /// Source: R.I. Gen. Laws 44-18.1-25 (the Streamlined agreement, section 324): to the third decimal,
    /// up if that is above 4; on the item or on the invoice. 12.95 at 6.25 %: Ohio Tax ST 2005-05.
    #[test]
    fn an_invoice_is_rounded_once_and_a_line_by_itself() {
        let lines = [("a", "1.50"), ("b", "1.50"), ("c", "1.50")];
        assert_eq!(tax(&by("7%"), &lines), "0.32");
        assert_eq!(tax(&Taxation { by: TaxBy::Line, ..by("7%") }, &lines), "0.33");
        assert_eq!(tax(&by("6.25%"), &[("cleaning", "12.95")]), "0.81");
    }

    /// Source: Washington Department of Revenue, Restaurants: 5.00 with 8.4 % in it is 4.61, 3.00 is 2.77.
    #[test]
    fn a_price_with_the_tax_in_it_is_taken_apart() {
        let included = Taxation { included: true, ..by("8.4%") };
        for (gross, net) in [("5.00", "4.61"), ("3.00", "2.77")] {
            let taxed = included.tax(&[("cleaning", amount(gross))]).unwrap();
            assert_eq!((taxed.base.to_string().as_str(), taxed.total), (net, amount(gross)));
        }
    }

    /// Source: New York TB-ST-838, 2012: a charge for delivery is part of what is taxed: 499.95 + 30 + 20
    /// make 549.95. Where only the goods are taxed (common practice, no source), 9.99 + 0.00.
    #[test]
    fn lines_are_taxed_by_what_they_are_sold_as() {
        let lines =
            [("plaque", amount("499.95")), ("delivery", amount("30")), ("shipping", amount("20"))];
        assert_eq!(by("8%").tax(&lines).unwrap().base, amount("549.95"));
        let goods = Taxation { kinds: TaxedKinds::read("goods").unwrap(), ..by("8%") };
        let taxed = goods.tax(&lines).unwrap();
        assert_eq!((taxed.base, taxed.before), (amount("499.95"), amount("549.95")));
        assert_eq!(tax(&goods, &[("cleaning", "120.00"), ("tip", "10.00")]), "0");
        assert_eq!(tax(&by("8%"), &[("cleaning", "100.00"), ("tip", "10.00")]), "8.00");
        let exempt = Taxation { exempt: true, ..by("8%") };
        assert_eq!(tax(&exempt, &[("cleaning", "100.00")]), "0");
    }

    /// Source: Minnesota Revenue, coupons and discounts: tax is on what is left after the shop's own
    /// discount. Reckoned from it: 100 less 10 at 7 % is 96.30.
    #[test]
    fn a_discount_takes_its_tax_off() {
        let taxed = by("7%").tax(&[("cleaning", amount("100")), ("discount", amount("-10"))]);
        assert_eq!(taxed.unwrap().total, amount("96.30"));
        let off = by("4% + 3%").within(&[("discount", amount("-10.70"))]).unwrap();
        assert_eq!((off.tax, off.base), (amount("-0.70"), amount("-10.00")));
        let parts: Vec<Decimal> = off.parts.into_iter().map(|(_, part)| part).collect();
        assert_eq!(parts, [amount("-0.40"), amount("-0.30")]);
    }
}
