//! What was left over: earned without its tax and what was kept, less what was spent.
//!
//! Earned is what `takings` says, by when the work left; spent is what the tills say, by their days.
//! It is a reading of the shop's own lines, and no tax return.

use std::collections::BTreeMap;

use burrline_domain::{State, Verb};
use burrline_proto::v1;
use burrline_terms::{Day, Money};
use rust_decimal::Decimal;

use super::{
    minus, plus, takings,
    till::{DrawerDay, Move, What, drawer, moves},
};
use crate::{
    readings::{self, Reading, Unreadable, View, values::Days},
    view::Zone,
};

impl Reading for readings::Profit {
    type Response = v1::ProfitResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::ProfitResponse, Unreadable> {
        let today = view.today()?;
        let days = self.on.unwrap_or_else(|| Days::of(today).whole_months());
        // Days that are still to come are no weeks in which nothing was earned.
        let to = if today >= days.from { days.to.min(today) } else { days.to };
        Ok(profit(view.state, Days { to, ..days }))
    }
}

/// The sums of some days.
#[derive(Debug, Clone, Copy, Default)]
struct Sums {
    heads: u32,
    earned: Money,
    kept: Money,
    stock: Money,
    spent: Money,
    fees: Money,
    over: Money,
}

impl Sums {
    fn left_over(&self) -> Money {
        let came = Money::sum([self.earned, self.kept, self.over]);
        minus(came, Money::sum([self.stock, self.spent, self.fees]))
    }

    fn line(&self, state: &State, days: Days) -> v1::ProfitLine {
        let shown = |amount: Money| state.settings().shown(amount);
        v1::ProfitLine {
            from_day: days.from.to_string(),
            to_day: days.to.to_string(),
            heads: self.heads,
            earned: shown(self.earned),
            kept: shown(self.kept),
            stock: shown(self.stock),
            spent: shown(self.spent),
            fees: shown(self.fees),
            over: shown(self.over),
            left_over: shown(self.left_over()),
        }
    }
}

/// What the books say, looked up once.
struct Books {
    moves: Vec<Move>,
    drawers: BTreeMap<Day, DrawerDay>,
}

/// What was left over in some days.
pub fn profit(state: &State, days: Days) -> v1::ProfitResponse {
    let moves = moves(state);
    let books = Books { drawers: drawer::days(&moves), moves };
    let all = sums(state, &books, days);
    let weeks: Vec<Days> = weeks(days);
    let left_over = all.left_over();
    let each = |number: Decimal| {
        let each = left_over.amount().checked_div(number)?;
        let digits = state.settings().minor_digits();
        Some(state.settings().shown(Money::new(each).half_up(digits)))
    };
    let length = days.from.0.until(days.to.0).map_or(0, |span| i64::from(span.get_days()));
    let length = Decimal::from(length.saturating_add(1));
    let seven = length.checked_div(Decimal::from(7)).unwrap_or(Decimal::ONE);
    let hours = hours(state, days);
    let some_hours = (hours > Decimal::ZERO).then_some(hours);
    v1::ProfitResponse {
        from_day: days.from.to_string(),
        to_day: days.to.to_string(),
        all: Some(all.line(state, days)),
        weeks: weeks.iter().map(|week| sums(state, &books, *week).line(state, *week)).collect(),
        costs: costs(state, &books.moves, days),
        per_head: each(Decimal::from(all.heads)).unwrap_or_default(),
        per_week: each(seven).unwrap_or_default(),
        hours: some_hours.map(|hours| hours.round_dp(1).to_string()).unwrap_or_default(),
        per_hour: some_hours.and_then(each).unwrap_or_default(),
    }
}

fn sums(state: &State, books: &Books, days: Days) -> Sums {
    let work = takings::earned(state, days.from, days.to);
    let mut sums = Sums { heads: work.heads, kept: work.kept, ..Sums::default() };
    sums.earned = minus(work.price, work.tax);
    for m in books.moves.iter().filter(|m| m.day >= days.from && m.day <= days.to) {
        match m.what {
            What::Spent { stock: true } => sums.stock = plus(sums.stock, m.counted()),
            What::Spent { stock: false } => sums.spent = plus(sums.spent, m.counted()),
            What::Batch { fee } if m.back => sums.fees = minus(sums.fees, fee),
            What::Batch { fee } => sums.fees = plus(sums.fees, fee),
            What::Paid
            | What::GivenBack
            | What::PaidIn(_)
            | What::PaidOut(_)
            | What::Float
            | What::Counted(_) => {}
        }
    }
    let drawers = books.drawers.range(days.from..=days.to).map(|(_, day)| day);
    let over = drawers.flat_map(|day| day.over.into_iter().chain(day.float_over));
    sums.over = Money::sum(over);
    sums
}

/// The weeks of some days, from Monday, cut at both ends.
fn weeks(days: Days) -> Vec<Days> {
    let mut weeks = Vec::new();
    let mut from = days.from;
    // As many weeks as ten years have, and no more.
    while from <= days.to && weeks.len() < 530 {
        let ahead = 7_i64.saturating_sub(i64::from(from.0.weekday().to_monday_one_offset()));
        let sunday = from.0.checked_add(jiff::Span::new().days(ahead)).map_or(days.to, Day);
        let to = sunday.min(days.to);
        weeks.push(Days { from, to });
        let Ok(next) = to.0.tomorrow() else { break };
        from = Day(next);
    }
    weeks
}

/// What was spent, by what it was for.
fn costs(state: &State, moves: &[Move], days: Days) -> Vec<v1::ProfitCost> {
    let mut costs: BTreeMap<String, Money> = BTreeMap::new();
    for m in moves.iter().filter(|m| m.day >= days.from && m.day <= days.to) {
        let (what, amount) = match m.what {
            What::Spent { .. } if m.words.is_empty() => ("not said".to_owned(), m.counted()),
            // Of stock the name alone: each purchase is of another amount.
            What::Spent { stock: true } => {
                let name = m.words.split(' ').next().unwrap_or_default();
                (name.to_owned(), m.counted())
            }
            What::Spent { stock: false } => (m.words.clone(), m.counted()),
            What::Batch { fee } if m.back => ("card fees".to_owned(), minus(Money::ZERO, fee)),
            What::Batch { fee } => ("card fees".to_owned(), fee),
            What::Paid
            | What::GivenBack
            | What::PaidIn(_)
            | What::PaidOut(_)
            | What::Float
            | What::Counted(_) => continue,
        };
        let sum = costs.entry(what).or_default();
        *sum = plus(*sum, amount);
    }
    let mut costs: Vec<(String, Money)> =
        costs.into_iter().filter(|(_, amount)| *amount != Money::ZERO).collect();
    costs.sort_by_key(|(_, amount)| std::cmp::Reverse(*amount));
    let shown = |amount: Money| state.settings().shown(amount);
    let cost = |(what, amount): (String, Money)| v1::ProfitCost { what, amount: shown(amount) };
    costs.into_iter().map(cost).collect()
}

/// The hours that were noted on some days.
fn hours(state: &State, days: Days) -> Decimal {
    let zone = Zone::of(state);
    let these = state.shop().books.iter().filter_map(|key| {
        let Some(Verb::Hours(hours)) = state.meaning(key.name) else { return None };
        let day = zone.day(key.at)?;
        (day >= days.from && day <= days.to).then(|| hours.worked.minutes())
    });
    let minutes = these.fold(Decimal::ZERO, Decimal::saturating_add);
    minutes.checked_div(Decimal::from(60)).unwrap_or_default()
}
