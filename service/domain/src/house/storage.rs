//! The storage clock: what a finished skull costs that nobody comes for.
//!
//! It starts from a notice that counts and only after the free days; what it comes to is shown,
//! and becomes owed only when somebody charges it. That it may be charged at all hangs on what the
//! customer agreed to and on local law: ask.

use burrline_terms::{
    field::{BadWord, Typed, words_apart},
    money::Money,
    time::Day,
};
use rust_decimal::Decimal;

/// What one fee is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Each {
    /// A day.
    Day,
    /// A month by the calendar, begun or whole.
    Month,
}

/// The shop's rule: `5.00 a month after 30 days` or `1.50 a day after 30 days up to 90.00`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StorageRule {
    /// The fee.
    pub fee: Money,
    /// What one fee is for.
    pub each: Each,
    /// Days that are free, counted from the day after the notice.
    pub free_days: u32,
    /// The most that it ever comes to.
    pub up_to: Option<Money>,
}

/// Where the clock stands on a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Clock {
    /// The day of the notice that started it.
    pub notice: Day,
    /// The first day that costs.
    pub from: Day,
    /// How many fees have begun.
    pub fees: u32,
    /// What they come to.
    pub amount: Money,
}

impl StorageRule {
    /// Where the clock stands on a day, from the day of the notice; a fee is owed as soon as its
    /// day or month begins. `None` past the calendar's end.
    pub fn clock(&self, notice: Day, today: Day) -> Option<Clock> {
        let free = jiff::Span::new().try_days(i64::from(self.free_days).checked_add(1)?).ok()?;
        let from = Day(notice.0.checked_add(free).ok()?);
        let fees = if today < from { 0 } else { self.begun(from, today)? };
        let amount = self.fee.amount().checked_mul(Decimal::from(fees)).map(Money::new)?;
        let amount = self.up_to.map_or(amount, |most| amount.min(most));
        Some(Clock { notice, from, fees, amount })
    }

    /// How many days or months have begun from one day to another, both counted.
    fn begun(&self, from: Day, today: Day) -> Option<u32> {
        let unit = match self.each {
            Each::Day => jiff::Unit::Day,
            Each::Month => jiff::Unit::Month,
        };
        let span = from.0.until((unit, today.0)).ok()?;
        let whole = match self.each {
            Each::Day => i64::from(span.get_days()),
            Each::Month => i64::from(span.get_months()),
        };
        u32::try_from(whole.checked_add(1)?).ok()
    }
}

impl Typed for StorageRule {
    const HINT: &'static str = "STORAGE";

    fn read(word: &str) -> Result<Self, BadWord> {
        let wrong = || {
            BadWord::new(
                word,
                "a storage rule such as: 5.00 a month after 30 days, \
                 or 1.50 a day after 30 days up to 90.00",
            )
        };
        let words = words_apart(word);
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let [fee, "a" | "per", each, "after", days, "days" | "day", rest @ ..] = words.as_slice()
        else {
            return Err(wrong());
        };
        let up_to = match rest {
            [] => None,
            ["up", "to", most] => Some(Money::read(most)?),
            _ => return Err(wrong()),
        };
        let rule = Self {
            fee: Money::read(fee)?,
            each: match *each {
                "day" => Each::Day,
                "month" => Each::Month,
                _ => return Err(wrong()),
            },
            free_days: u32::read(days)?,
            up_to,
        };
        let fair = rule.fee > Money::ZERO
            && rule.free_days <= 3650
            && up_to.is_none_or(|most| most >= rule.fee);
        if fair { Ok(rule) } else { Err(wrong()) }
    }

    fn show(&self) -> String {
        let each = match self.each {
            Each::Day => "day",
            Each::Month => "month",
        };
        let most = self.up_to.map(|most| format!(" up to {most}")).unwrap_or_default();
        format!("{} a {each} after {} days{most}", self.fee, self.free_days)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> Day {
        Day::read(text).unwrap()
    }

    fn on(rule: &str, notice: &str, today: &str) -> (String, u32, String) {
        let clock = StorageRule::read(rule).unwrap().clock(day(notice), day(today)).unwrap();
        (clock.from.to_string(), clock.fees, clock.amount.to_string())
    }

    #[test]
    fn free_days_are_free_and_the_next_one_costs() {
        let rule = "1.50 a day after 30 days";
        assert_eq!(on(rule, "2026-01-01", "2026-01-31"), ("2026-02-01".into(), 0, "0.00".into()));
        assert_eq!(on(rule, "2026-01-01", "2026-02-01"), ("2026-02-01".into(), 1, "1.50".into()));
        assert_eq!(on(rule, "2026-01-01", "2026-02-10"), ("2026-02-01".into(), 10, "15.00".into()));
    }

    #[test]
    fn a_month_costs_as_soon_as_it_begins_and_there_is_a_most() {
        let rule = "5.00 a month after 30 days up to 12.00";
        assert_eq!(on(rule, "2025-12-31", "2026-01-31").2, "5.00");
        assert_eq!(on(rule, "2025-12-31", "2026-02-27").2, "5.00");
        // The second month begins on the first day after a February that has no 31st.
        assert_eq!(on(rule, "2025-12-31", "2026-02-28").2, "5.00");
        assert_eq!(on(rule, "2025-12-31", "2026-03-01").2, "10.00");
        assert_eq!(on(rule, "2025-12-31", "2027-02-28").2, "12.00");
    }

    #[test]
    fn a_rule_reads_back_as_shown_and_a_broken_one_is_told_apart() {
        for rule in ["5.00 a month after 30 days", "1.50 a day after 0 days up to 90.00"] {
            assert_eq!(StorageRule::read(rule).unwrap().show(), rule);
        }
        for rule in
            ["5.00", "0 a day after 3 days", "5 a year after 3 days", "5 a day after x days"]
        {
            assert!(StorageRule::read(rule).is_err(), "{rule}");
        }
    }
}
