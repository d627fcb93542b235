//! The shop's own rules of money and paper: settings, with what holds where none is set.

pub mod deposit;
pub mod lawdates;
pub mod notice;
pub mod opening;
pub mod storage;
pub mod tax;

use burrline_terms::{
    currency::Currency,
    field::{BadWord, Typed},
    money::Money,
    rounding::Rounding,
    time::Day,
};
use rust_decimal::Decimal;

use self::{
    deposit::DepositRule,
    lawdates::{Row, Table},
    notice::NoticeRule,
    opening::{ClosedDays, OpenDays},
    storage::StorageRule,
    tax::{Rates, TaxBy, TaxRule, Taxed},
};
use crate::fold::State;

/// Each setting with what it takes, for help and refusals.
pub const HOUSE: &[(&str, &str)] = &[
    ("currency", "an ISO 4217 code such as USD"),
    ("units", "us or metric: in which units answers are shown; what was typed stays as typed"),
    (
        "tax-rate",
        "rates with their first day, such as 8.25% from 2026-01-01; 0% where nothing is due",
    ),
    ("tax-by", "line or invoice: where tax is rounded"),
    ("rounding", "half-up or half-even: how tax is rounded"),
    ("cash-to", "the smallest coin that is paid in cash, such as 0.05"),
    ("storage", "such as 5.00 a month after 30 days, or none"),
    ("notice", "what counts as telling a customer: spoke, message, sent; or letter, sent"),
    ("deposit", "what is asked for at take-in: 50%, or 60.00 a head, or none"),
    ("decimal-mark", "point or comma: which mark parts whole numbers from the rest"),
    ("state", "two letters of the state or province that the shop is in, such as VA"),
    ("open-days", "days of the week on which the shop is open, such as mon-sat, or any"),
    ("closed-days", "single days on which it is closed, such as 2026-11-26, 12-24..12-26, or none"),
    ("licence-year-end", "month and day on which a licence year ends, such as 06-30"),
    (
        "law.PLACE.TOPIC",
        "a row of the law's dates, such as: 3 years after returned; TEXT, WHEN READ",
    ),
];

/// The units in which a shop reads its figures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UnitSystem {
    /// US gallons, pounds, degrees Fahrenheit and inches.
    Us,
    /// Litres, grams, degrees Celsius and centimetres.
    Metric,
}

impl UnitSystem {
    /// The units of everyday use where a time zone lies, if that is told from it: the United States
    /// have theirs (zones by the tz database's `zone1970.tab`, from memory). A zone of `America/`
    /// alone tells nothing, for Toronto and Mexico City are metric.
    pub fn of_zone(zone: &str) -> Option<Self> {
        const REGIONS: [&str; 4] =
            ["America/Indiana/", "America/Kentucky/", "America/North_Dakota/", "US/"];
        const CITIES: [&str; 17] = [
            "New_York",
            "Detroit",
            "Louisville",
            "Indianapolis",
            "Chicago",
            "Menominee",
            "Denver",
            "Boise",
            "Phoenix",
            "Los_Angeles",
            "Anchorage",
            "Juneau",
            "Sitka",
            "Metlakatla",
            "Yakutat",
            "Nome",
            "Adak",
        ];
        let city = zone.strip_prefix("America/").is_some_and(|city| CITIES.contains(&city));
        let region = REGIONS.iter().any(|region| zone.starts_with(region));
        (city || region || zone == "Pacific/Honolulu").then_some(Self::Us)
    }

    /// The units of the zone that a shop has set, as [`UnitSystem::of_zone`].
    pub fn of_shops_zone(state: &State) -> Option<Self> {
        Self::of_zone(state.shop().setting("zone").unwrap_or_default())
    }

    /// The word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Us => "us",
            Self::Metric => "metric",
        }
    }
}

impl Typed for UnitSystem {
    const HINT: &'static str = "UNITS";

    fn read(word: &str) -> Result<Self, BadWord> {
        match word.trim().to_lowercase().as_str() {
            "us" => Ok(Self::Us),
            "metric" => Ok(Self::Metric),
            _ => Err(BadWord::new(word, "us or metric")),
        }
    }

    fn show(&self) -> String {
        self.word().to_owned()
    }
}

/// The units in which the shop reads its figures, if it said so.
pub fn units(state: &State) -> Option<UnitSystem> {
    read(state, "units")
}

/// Every name, for a refusal.
pub fn names() -> String {
    HOUSE.iter().map(|(name, _)| *name).collect::<Vec<_>>().join(", ")
}

/// Whether a setting may have a value; nothing if it is not one of these.
pub fn check(setting: &str, value: &str) -> Option<Result<(), BadWord>> {
    Some(match setting {
        "currency" => Currency::read(value).map(drop),
        "units" => UnitSystem::read(value).map(drop),
        "tax-rate" => Rates::read(value).map(drop),
        "tax-by" => TaxBy::read(value).map(drop),
        "rounding" => match Rounding::read(value) {
            Ok(Rounding::HalfUp | Rounding::HalfEven) => Ok(()),
            Ok(Rounding::HalfDown | Rounding::Down) | Err(_) => {
                Err(BadWord::new(value, "half-up or half-even"))
            }
        },
        "cash-to" => Money::read(value).and_then(|step| {
            let coin = step > Money::ZERO;
            if coin { Ok(()) } else { Err(BadWord::new(value, "a coin such as 0.05")) }
        }),
        "storage" | "deposit" | "closed-days" if value == "none" => Ok(()),
        "open-days" if value == "any" => Ok(()),
        "open-days" => OpenDays::read(value).map(drop),
        "closed-days" => ClosedDays::read(value).map(drop),
        "storage" => StorageRule::read(value).map(drop),
        "notice" => NoticeRule::read(value).map(drop),
        "deposit" => DepositRule::read(value).map(drop),
        "decimal-mark" => {
            let known = matches!(value, "point" | "comma");
            if known { Ok(()) } else { Err(BadWord::new(value, "point or comma")) }
        }
        "state" => {
            let letters = value.len() == 2 && value.chars().all(|c| c.is_ascii_alphabetic());
            if letters { Ok(()) } else { Err(BadWord::new(value, "two letters such as VA")) }
        }
        "licence-year-end" => month_and_day(value, 2025)
            .map(drop)
            .ok_or_else(|| BadWord::new(value, "a month and a day such as 06-30")),
        row if row.starts_with("law.") => Row::of_setting(row, value).map(drop),
        _ => return None,
    })
}

/// The shop's currency: US dollars until it says otherwise.
pub fn currency(state: &State) -> Currency {
    state.shop().setting("currency").and_then(Currency::of).unwrap_or(Currency::USD)
}

/// An amount with the digits of the shop's currency.
pub fn shown(state: &State, amount: Money) -> String {
    amount.written(currency(state).digits())
}

/// How money is rounded: half up until the shop says otherwise.
pub fn rounding(state: &State) -> Rounding {
    read(state, "rounding").unwrap_or_default()
}

/// How the shop taxes on a day.
pub fn tax_rule(state: &State, day: Day) -> TaxRule {
    TaxRule {
        percent: read::<Rates>(state, "tax-rate").unwrap_or_default().on(day),
        by: read(state, "tax-by").unwrap_or_default(),
        rounding: rounding(state),
        digits: currency(state).digits(),
    }
}

/// A price with its tax by the rule of a day; past what a decimal holds, nothing.
pub fn taxed(state: &State, lines: &[Money], day: Day) -> Option<Taxed> {
    let amounts: Vec<Decimal> = lines.iter().map(|line| line.amount()).collect();
    tax_rule(state, day).tax(&amounts)
}

/// What is paid in cash for an amount, where small coins are gone.
pub fn in_cash(state: &State, amount: Money) -> Option<Money> {
    let step: Money = read(state, "cash-to")?;
    Some(Money::new(Rounding::HalfUp.to_step(amount.amount(), step.amount())))
}

/// Whether the decimal mark is a point; none until the shop says so, or its zone is in the United
/// States (common practice, no source).
pub fn decimal_point(state: &State) -> Option<bool> {
    match state.shop().setting("decimal-mark") {
        Some(mark) => Some(mark == "point"),
        None => UnitSystem::of_shops_zone(state).map(|_| true),
    }
}

/// The storage rule, if the shop has one.
pub fn storage(state: &State) -> Option<StorageRule> {
    read(state, "storage")
}

/// Which notice counts: what the shop says, else the usual.
pub fn notice(state: &State) -> NoticeRule {
    read(state, "notice").unwrap_or_default()
}

/// What the shop asks for at take-in, if it asks for anything.
pub fn deposit(state: &State) -> Option<DepositRule> {
    read(state, "deposit")
}

/// Why the shop is closed on a day; nothing if it is open, or has not said when it is.
pub fn closed(state: &State, day: Day) -> Option<String> {
    let set = |name: &str| state.shop().setting(name);
    let open = set("open-days").and_then(|text| OpenDays::read(text).ok());
    let closed = set("closed-days").and_then(|text| ClosedDays::read(text).ok());
    if closed.is_some_and(|closed| closed.has(day)) {
        return Some(format!("{day}: the shop is closed on that day"));
    }
    let name = opening::name(day);
    let shut = open.is_some_and(|open| !open.has(day));
    shut.then(|| format!("{day} is a {name}: the shop is closed on {name}s"))
}

/// The state or province that the shop is in.
pub fn place(state: &State) -> Option<String> {
    state.shop().setting("state").map(str::to_uppercase)
}

/// The end of the licence year that a day falls in.
pub fn licence_year_end(state: &State, day: Day) -> Option<Day> {
    let setting = state.shop().setting("licence-year-end")?;
    let this = month_and_day(setting, day.0.year())?;
    if this >= day { Some(this) } else { month_and_day(setting, day.0.year().checked_add(1)?) }
}

/// The law's rows: those that come with the program, with the shop's own over them.
pub fn law(state: &State) -> Table {
    let mut table = Table::shipped();
    for (setting, value) in &state.shop().settings {
        // What cannot be read was refused when it was set.
        let _ = table.write(setting.as_str(), value.as_str());
    }
    table
}

fn read<T: Typed>(state: &State, setting: &str) -> Option<T> {
    state.shop().setting(setting).and_then(|value| T::read(value).ok())
}

/// A day of a year; the last of February stands for a 29th that the year does not have.
pub(crate) fn month_and_day(text: &str, year: i16) -> Option<Day> {
    let (month, day) = text.trim().split_once('-')?;
    let (month, day): (i8, i8) = (month.parse().ok()?, day.parse().ok()?);
    let day = if (month, day) == (2, 29) { 28 } else { day };
    jiff::civil::Date::new(year, month, day).ok().map(Day)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: the tz database's `zone1970.tab` for the country of each zone (from memory).
    #[test]
    fn a_zone_of_the_united_states_reads_us_units_and_no_other_says_anything() {
        for zone in [
            "America/Denver",
            "America/New_York",
            "America/Indiana/Knox",
            "America/North_Dakota/Beulah",
            "Pacific/Honolulu",
            "US/Mountain",
        ] {
            assert_eq!(UnitSystem::of_zone(zone), Some(UnitSystem::Us), "{zone}");
        }
        for zone in ["America/Toronto", "America/Mexico_City", "Europe/Berlin", "UTC", "Denver"] {
            assert_eq!(UnitSystem::of_zone(zone), None, "{zone}");
        }
    }
}
