//! What follows from several settings at once, or from one and what is asked of it.

use burrline_terms::{money::Money, name::Name, rounding::Rounding, time::Day, words::PlaceKind};
use rust_decimal::{Decimal, prelude::ToPrimitive as _};

use burrline_terms::field::Typed as _;

use super::Settings;
use crate::house::{
    UnitSystem,
    lawdates::Table,
    opening,
    sold::Sold,
    tax::{TaxRule, Taxed},
    taxation::{Beside, Taxation},
};

impl Settings {
    /// An amount with the digits of the shop's currency.
    pub fn shown(&self, amount: Money) -> String {
        amount.written(self.minor_digits())
    }

    /// Minor digits of the shop's currency, by ISO 4217: 0, 2 or 3.
    pub fn minor_digits(&self) -> u32 {
        self.currency().digits()
    }

    /// How the shop taxes on a day.
    pub fn tax_rule(&self, day: Day) -> TaxRule {
        TaxRule {
            percent: self.tax_rates().unwrap_or_default().on(day),
            by: self.tax_by(),
            rounding: self.rounding(),
            digits: self.minor_digits(),
        }
    }

    /// A price with its tax by the rule of a day; past what a decimal holds, nothing.
    pub fn taxed(&self, lines: &[Money], day: Day) -> Option<Taxed> {
        let amounts: Vec<Decimal> = lines.iter().map(|line| line.amount()).collect();
        self.tax_rule(day).tax(&amounts)
    }

    /// How a price is taxed on a day, for a customer of a county.
    pub fn taxation(&self, day: Day, county: Option<&str>, exempt: bool) -> Taxation {
        let of_county = county.and_then(|county| self.tax_rates_in(&county.to_lowercase()));
        let rates = of_county.or_else(|| self.tax_rates()).unwrap_or_default();
        let own = self.own().filter_map(|(name, value)| {
            Some((name.strip_prefix("sold-as.")?.to_lowercase(), Sold::read(value).ok()?))
        });
        Taxation {
            parts: rates.parts_on(day).to_vec(),
            by: self.tax_by(),
            rounding: self.rounding(),
            digits: self.minor_digits(),
            included: self.tax_prices() == Some("included"),
            kinds: self.taxed_kinds(),
            sold_as: own.collect(),
            exempt,
            brackets: self.tax_brackets(),
            beside: Beside::default(),
        }
    }

    /// What is paid in cash for an amount, where small coins are gone.
    pub fn in_cash(&self, amount: Money) -> Option<Money> {
        let step = self.cash_to()?;
        Some(Money::new(Rounding::HalfUp.to_step(amount.amount(), step.amount())))
    }

    /// The units of everyday use where the shop's zone lies, as [`UnitSystem::of_zone`].
    pub fn units_of_zone(&self) -> Option<UnitSystem> {
        UnitSystem::of_zone(self.zone().unwrap_or_default())
    }

    /// Whether the decimal mark is a point; none until the shop says so, or its zone is in the United
    /// States (common practice, no source).
    pub fn decimal_point(&self) -> Option<bool> {
        match self.decimal_mark() {
            Some(mark) => Some(mark == "point"),
            None => self.units_of_zone().map(|_| true),
        }
    }

    /// Why the shop is closed on a day; nothing if it is open, or has not said when it is.
    pub fn closed(&self, day: Day) -> Option<String> {
        if self.closed_days().is_some_and(|closed| closed.has(day)) {
            return Some(format!("{day}: the shop is closed on that day"));
        }
        let name = opening::name(day);
        let shut = self.open_days().is_some_and(|open| !open.has(day));
        shut.then(|| format!("{day} is a {name}: the shop is closed on {name}s"))
    }

    /// The state or province that the shop is in, in capitals.
    pub fn state_of_shop(&self) -> Option<String> {
        self.state().map(str::to_uppercase)
    }

    /// The end of the licence year that a day falls in.
    pub fn licence_year_of(&self, day: Day) -> Option<Day> {
        let ends = self.licence_year_end()?;
        let this = ends.of(day.0.year())?;
        if this >= day { Some(this) } else { ends.of(day.0.year().checked_add(1)?) }
    }

    /// The law's rows: those that come with the program, with the shop's own over them.
    pub fn law(&self) -> Table {
        let mut table = Table::shipped();
        for (setting, value) in self.own() {
            // What cannot be read was refused when it was set.
            let _ = table.write(setting, value);
        }
        table
    }

    /// The year in which the season of a day began: a head of January belongs to the autumn before.
    pub fn season_of(&self, day: Day) -> i16 {
        let year = day.0.year();
        match self.season_begins().and_then(|begins| begins.of(year)) {
            Some(begins) if day < begins => year.saturating_sub(1),
            Some(_) | None => year,
        }
    }

    /// The hour at which work begins in the morning, for a clock.
    pub fn opening_hour(&self) -> i8 {
        i8::try_from(self.opens_at()).unwrap_or_default()
    }

    /// For how many steps of a hand the shop set the minutes.
    pub fn own_steps(&self) -> usize {
        self.own().filter(|(name, _)| name.starts_with("step-minutes.")).count()
    }

    /// How many minutes after a look at what lies in a place the next look is due: as set for the
    /// place, else for its kind; a day in the dry, and as in a pot where the kind is not known.
    pub fn look_again(&self, place: &Name, kind: Option<PlaceKind>) -> i64 {
        let kind = kind.unwrap_or(PlaceKind::Pot);
        let look = self
            .look_again_in(place.as_str())
            .or_else(|| self.look_again_in(kind.word()))
            .and_then(|span| span.minutes().to_i64());
        look.unwrap_or(24 * 60)
    }

    /// How many bytes a photo may have.
    pub fn photo_bytes(&self) -> u64 {
        u64::from(self.photo_megabytes()).saturating_mul(1_000_000)
    }

    /// How many bytes all photos may take.
    pub fn photos_bytes(&self) -> u64 {
        u64::from(self.photos_gigabytes()).saturating_mul(1_000_000_000)
    }
}
