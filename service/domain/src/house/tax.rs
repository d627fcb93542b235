//! Tax on a price, by line or by invoice, at the rate of the day.
//!
//! Whether work on a customer's own skull is taxed at all, and at what rate, is the law of the
//! place: the shop says it, with a date, and asks the tax office.

use burrline_terms::rounding::Rounding;
use burrline_terms::{
    field::{BadWord, Typed},
    time::Day,
};
use rust_decimal::Decimal;

/// Where rounding happens.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum TaxBy {
    /// Each line's tax is rounded, and the rounded taxes are added.
    Line,
    /// The exact taxes of a head's price are added, and the sum is rounded once.
    #[default]
    Invoice,
    /// The same over all heads of a visit: the price that is heard last carries the cent.
    Visit,
}

impl TaxBy {
    /// The word that is typed for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Line => "line",
            Self::Invoice => "invoice",
            Self::Visit => "visit",
        }
    }
}

impl Typed for TaxBy {
    const HINT: &'static str = "BY";

    fn read(word: &str) -> Result<Self, BadWord> {
        match word.trim().to_lowercase().as_str() {
            "line" => Ok(Self::Line),
            "invoice" => Ok(Self::Invoice),
            "visit" => Ok(Self::Visit),
            _ => Err(BadWord::new(word, "line, invoice or visit")),
        }
    }

    fn show(&self) -> String {
        self.word().to_owned()
    }
}

/// A part of a rate: what one of those who levy it takes.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Part {
    /// Whose it is, such as `state`; empty where nobody said.
    pub name: String,
    /// The rate, in per cent.
    pub percent: Decimal,
    /// Of each article, what is over this alone.
    pub over: Option<Decimal>,
    /// Of each article, no more than this.
    pub up_to: Option<Decimal>,
}

impl Part {
    /// A part without a cap.
    pub const fn of(name: String, percent: Decimal) -> Self {
        Self { name, percent, over: None, up_to: None }
    }

    /// Whether it takes of a stretch of each article alone.
    pub const fn is_capped(&self) -> bool {
        self.over.is_some() || self.up_to.is_some()
    }

    /// How much of one article it takes its share of.
    pub fn of_article(&self, amount: Decimal) -> Decimal {
        let over = self.over.unwrap_or(Decimal::ZERO);
        let top = self.up_to.map_or(amount.abs(), |up_to| amount.abs().min(up_to));
        let size = top.saturating_sub(over).max(Decimal::ZERO);
        if amount < Decimal::ZERO { Decimal::ZERO.saturating_sub(size) } else { size }
    }
}

/// Rates with the days from which they hold: `8.25% from 2026-01-01, 0% from 2027-01-01`. A rate may
/// be in parts, with names or without: `state 2.9% + county 0.985% + city 3.86% from 2026-01-01`. A part
/// may be capped for each article: `local 2.25% up to 1600`, `article 2.75% over 1600 up to 3200`.
///
/// Before the first of them nothing is taxed.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Rates(Vec<(Day, Vec<Part>)>);

impl Rates {
    /// The rate of a day, all parts together, in per cent; nothing before the first.
    pub fn on(&self, day: Day) -> Decimal {
        let parts = self.parts_on(day).iter();
        parts.fold(Decimal::ZERO, |sum, part| sum.saturating_add(part.percent))
    }

    /// The parts of the rate of a day.
    pub fn parts_on(&self, day: Day) -> &[Part] {
        let before = self.0.iter().rev().find(|(from, _)| *from <= day);
        before.map(|(_, parts)| parts.as_slice()).unwrap_or_default()
    }
}

impl Typed for Part {
    const HINT: &'static str = "RATE";

    fn read(word: &str) -> Result<Self, BadWord> {
        let wrong = || BadWord::new(word.trim(), "a rate such as 2.9% or state 2.9%");
        let amount = |word: &str| {
            let amount = Decimal::read(word.trim()).ok().filter(|amount| *amount > Decimal::ZERO);
            amount.ok_or_else(wrong)
        };
        let (bare, up_to) = match word.rsplit_once("up to") {
            Some((bare, up_to)) => (bare, Some(amount(up_to)?)),
            None => (word, None),
        };
        let (bare, over) = match bare.rsplit_once("over") {
            Some((bare, over)) => (bare, Some(amount(over)?)),
            None => (bare, None),
        };
        if over.zip(up_to).is_some_and(|(over, up_to)| over >= up_to) {
            return Err(wrong());
        }
        let bare = bare.trim().trim_end_matches('%').trim();
        let (name, percent) = bare.rsplit_once(char::is_whitespace).unwrap_or(("", bare));
        let percent = Decimal::read(percent).map_err(|_| wrong())?;
        let name = name.trim();
        let plain = name.chars().all(|c| c.is_alphanumeric() || matches!(c, ' ' | '-' | '.'));
        if !plain || name.len() > 48 {
            return Err(wrong());
        }
        Ok(Self { name: name.to_owned(), percent, over, up_to })
    }

    fn show(&self) -> String {
        let over = self.over.map(|over| format!(" over {over}")).unwrap_or_default();
        let up_to = self.up_to.map(|up_to| format!(" up to {up_to}")).unwrap_or_default();
        format!("{} {}%{over}{up_to}", self.name, self.percent).trim_start().to_owned()
    }
}

impl Typed for Rates {
    const HINT: &'static str = "RATES";

    fn read(word: &str) -> Result<Self, BadWord> {
        let wrong = |bad: &str| {
            BadWord::new(
                bad.trim(),
                "a rate and its first day, such as 8.25% from 2026-01-01 or state 2.9% + city \
                 4.81% from 2026-01-01; several with commas",
            )
        };
        let mut rates: Vec<(Day, Vec<Part>)> = Vec::new();
        for rate in word.split(',') {
            let (parts, day) = rate.rsplit_once("from").ok_or_else(|| wrong(rate))?;
            let parts = parts.split('+').map(Part::read).collect::<Result<Vec<_>, _>>();
            let parts = parts.map_err(|_| wrong(rate))?;
            let day = Day::read(day).map_err(|_| wrong(rate))?;
            if parts.iter().any(|part| part.percent > Decimal::ONE_HUNDRED) {
                return Err(BadWord::new(rate.trim(), "possible: a rate is 0 to 100 %"));
            }
            if rates.iter().any(|(other, _)| *other == day) {
                return Err(BadWord::new(rate.trim(), "clear: that day has two rates"));
            }
            rates.push((day, parts));
        }
        rates.sort();
        Ok(Self(rates))
    }

    fn show(&self) -> String {
        let parts = |parts: &[Part]| parts.iter().map(Typed::show).collect::<Vec<_>>().join(" + ");
        let rates = self.0.iter().map(|(day, rate)| format!("{} from {day}", parts(rate)));
        rates.collect::<Vec<_>>().join(", ")
    }
}

/// How a shop taxes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TaxRule {
    /// The rate, in per cent.
    pub percent: Decimal,
    /// Where rounding happens.
    pub by: TaxBy,
    /// How it is rounded.
    pub rounding: Rounding,
    /// Digits of the smallest coin.
    pub digits: u32,
}

/// What a price comes to with its tax.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Taxed {
    /// The sum before tax.
    pub before: Decimal,
    /// The exact tax of each line, before any rounding.
    pub exact: Vec<Decimal>,
    /// The tax of each line as rounded; by invoice, nothing.
    pub lines: Vec<Decimal>,
    /// The tax, rounded.
    pub tax: Decimal,
    /// All of it.
    pub total: Decimal,
}

impl TaxRule {
    /// Taxes lines; a discount, below nothing, takes its tax off. `None` past what a decimal holds.
    pub fn tax(&self, lines: &[Decimal]) -> Option<Taxed> {
        let exact = lines
            .iter()
            .map(|line| line.checked_mul(self.percent)?.checked_div(Decimal::ONE_HUNDRED))
            .collect::<Option<Vec<Decimal>>>()?;
        let round = |amount: Decimal| self.rounding.round(amount, self.digits);
        let (lines_tax, tax) = match self.by {
            TaxBy::Line => {
                let each: Vec<Decimal> = exact.iter().copied().map(round).collect();
                let tax = sum(&each)?;
                (each, tax)
            }
            TaxBy::Invoice | TaxBy::Visit => (Vec::new(), round(sum(&exact)?)),
        };
        let before = sum(lines)?;
        let total = before.checked_add(tax)?;
        Some(Taxed { before, exact, lines: lines_tax, tax, total })
    }
}

fn sum(amounts: &[Decimal]) -> Option<Decimal> {
    amounts.iter().try_fold(Decimal::ZERO, |sum, one| sum.checked_add(*one))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> Day {
        Day::read(text).unwrap()
    }

    #[test]
    fn the_rate_of_the_day_is_the_last_that_began() {
        let rates = Rates::read("8.5% from 2027-01-01, 8.25% from 2026-01-01").unwrap();
        assert_eq!(rates.on(day("2025-12-31")), Decimal::ZERO);
        assert_eq!(rates.on(day("2026-01-01")).to_string(), "8.25");
        assert_eq!(rates.on(day("2026-12-31")).to_string(), "8.25");
        assert_eq!(rates.on(day("2027-01-01")).to_string(), "8.5");
        assert_eq!(rates.show(), "8.25% from 2026-01-01, 8.5% from 2027-01-01");
    }

    #[test]
    fn a_rate_in_parts_is_their_sum_and_reads_back() {
        let rates = Rates::read("2.9% + 4.81% from 2026-01-01").unwrap();
        assert_eq!(rates.on(day("2026-05-01")).to_string(), "7.71");
        let named = "state 2.9% + county 0.985% + RTD and culture 1.1% from 2026-01-01";
        let rates = Rates::read(named).unwrap();
        assert_eq!(rates.show(), named);
        assert_eq!(rates.on(day("2026-05-01")).to_string(), "4.985");
        assert_eq!(rates.parts_on(day("2026-05-01")).len(), 3);
        assert!(rates.parts_on(day("2025-05-01")).is_empty());
    }

    #[test]
    fn a_capped_part_reads_back_and_takes_its_stretch_of_an_article() {
        let capped = "state 7% + local 2.25% up to 1600 + article 2.75% over 1600 up to 3200 from \
                      2026-01-01";
        let rates = Rates::read(capped).unwrap();
        assert_eq!(rates.show(), capped);
        let parts = rates.parts_on(day("2026-05-01"));
        let of = |amount: i64| parts.iter().map(|part| part.of_article(amount.into())).collect();
        let figures = |list: [i64; 3]| list.map(Decimal::from).to_vec();
        let taken: Vec<Decimal> = of(4000);
        assert_eq!(taken, figures([4000, 1600, 1600]));
        let taken: Vec<Decimal> = of(-2000);
        assert_eq!(taken, figures([-2000, -1600, -400]));
    }

    #[test]
    fn a_rate_without_its_day_is_told_apart() {
        let upside_down = "2% over 3200 up to 1600 from 2026-01-01";
        assert!(Rates::read(upside_down).is_err());
        for word in ["8.25%", "from 2026-01-01", "120% from 2026-01-01", "8% from May", ""] {
            assert!(Rates::read(word).is_err(), "{word}");
        }
        assert!(Rates::read("8% from 2026-01-01, 9% from 2026-01-01").is_err());
    }
}
