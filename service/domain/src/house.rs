//! The shop's own rules of money and paper: settings, with what holds where none is set.

use rust_decimal::Decimal;

use crate::{
    field::{BadWord, Typed},
    fold::State,
    money::Money,
    reckon::{
        currency::Currency,
        deposit::DepositRule,
        lawdates::{Row, Table},
        notice::NoticeRule,
        rounding::Rounding,
        storage::StorageRule,
        tax::{Rates, TaxBy, TaxRule, Taxed},
    },
    time::Day,
};

/// Each setting with what it takes, for help and refusals.
pub const HOUSE: &[(&str, &str)] = &[
    ("currency", "an ISO 4217 code such as USD"),
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
    ("licence-year-end", "month and day on which a licence year ends, such as 06-30"),
    (
        "law.PLACE.TOPIC",
        "a row of the law's dates, such as: 3 years after returned; TEXT, WHEN READ",
    ),
];

/// Every name, for a refusal.
pub fn names() -> String {
    HOUSE.iter().map(|(name, _)| *name).collect::<Vec<_>>().join(", ")
}

/// Whether a setting may have a value; nothing if it is not one of these.
pub fn check(setting: &str, value: &str) -> Option<Result<(), BadWord>> {
    Some(match setting {
        "currency" => Currency::read(value).map(drop),
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
        "storage" | "deposit" if value == "none" => Ok(()),
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
        None => is_us_zone(state.shop().setting("zone").unwrap_or_default()).then_some(true),
    }
}

/// Zones of the United States, by the first name or the whole one.
pub fn is_us_zone(zone: &str) -> bool {
    const REGIONS: [&str; 4] =
        ["America/Indiana/", "America/Kentucky/", "America/North_Dakota/", "US/"];
    const CITIES: [&str; 16] = [
        "New_York",
        "Detroit",
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
        "Indianapolis",
    ];
    let city = zone.strip_prefix("America/").is_some_and(|city| CITIES.contains(&city));
    city || zone == "Pacific/Honolulu" || REGIONS.iter().any(|region| zone.starts_with(region))
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
