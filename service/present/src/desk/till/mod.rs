//! The till of a day.
//!
//! * [`moves`](mod@moves): everything that moved money, each in the till of one day
//! * `closings`: the days that were closed, and what stays in them
//! * [`drawer`]: what should be in the drawer, and what was counted

mod closings;
pub mod drawer;
pub mod moves;

use std::cmp::Ordering;

use burrline_domain::State;
use burrline_proto::v1;
use burrline_terms::{Day, EntryName, Money, words::Means};

use super::{minus, plus};
use crate::{
    readings::{self, Reading, Unreadable, View},
    view,
};
use closings::Closings;
pub use drawer::DrawerDay;
pub use moves::{Late, Move, What, moves};

impl Reading for readings::Till {
    type Response = v1::TillResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::TillResponse, Unreadable> {
        let day = self.on.map_or_else(|| view.today(), Ok)?;
        Ok(till(view.state, day))
    }
}

/// What customers paid and were given back, as the tills of some days have it.
#[derive(Debug, Default)]
pub(super) struct OfDays {
    /// Paid less given back.
    pub(super) sum: Money,
    /// What happened in these days and is in the till of another.
    pub(super) in_other_tills: Vec<v1::TillMove>,
    /// What happened on another day and is in one of these tills.
    pub(super) of_other_days: Vec<v1::TillMove>,
}

/// The same from the first day to the last, both counted in.
pub(super) fn of_days(state: &State, first: Day, last: Day) -> OfDays {
    let zone = view::Zone::of(state);
    let mut of_days = OfDays::default();
    for m in moves(state) {
        let signed = match m.what {
            What::Paid => m.counted(),
            What::GivenBack => minus(Money::ZERO, m.counted()),
            What::PaidIn(_)
            | What::PaidOut(_)
            | What::Spent { .. }
            | What::Batch { .. }
            | What::Float
            | What::Counted(_) => continue,
        };
        let within = |day: Day| (first..=last).contains(&day);
        let (here, happened) = (within(m.day), zone.day(m.happened).is_some_and(within));
        if here {
            of_days.sum = plus(of_days.sum, signed);
        }
        match (here, happened) {
            (false, true) => of_days.in_other_tills.push(told(state, &m)),
            (true, false) => of_days.of_other_days.push(told(state, &m)),
            (true, true) | (false, false) => {}
        }
    }
    of_days
}

/// The ways in which cash comes and goes, in the order in which they are told.
const WAYS: [&str; 5] = ["paid", "given back", "paid in", "paid out", "spent"];

/// What a move is, in a word.
pub(super) const fn word(what: &What) -> &'static str {
    match what {
        What::Paid => "paid",
        What::GivenBack => "given back",
        What::PaidIn(_) => "paid in",
        What::PaidOut(_) => "paid out",
        What::Spent { .. } => "spent",
        What::Batch { .. } => "card batch",
        What::Float => "float",
        What::Counted(_) => "count",
    }
}

/// The till of a day.
pub fn till(state: &State, day: Day) -> v1::TillResponse {
    let moves = moves(state);
    let drawers = drawer::days(&moves);
    let shown = |amount: Money| state.settings().shown(amount);
    let maybe = |amount: Option<Money>| amount.map(shown).unwrap_or_default();
    let of_day: Vec<&Move> = moves.iter().filter(|m| m.day == day).collect();
    // A day on which nothing moved is as the last one before left it.
    let quiet = || {
        let before = drawers.range(..day).next_back().and_then(|(_, before)| before.left);
        DrawerDay { opened: before, expected: before, left: before, ..DrawerDay::default() }
    };
    let drawer = drawers.get(&day).cloned().unwrap_or_else(quiet);
    let after = match (drawer.left, drawer.counted) {
        (Some(left), Some(counted)) if left != counted => shown(minus(left, counted)),
        (_, _) => String::new(),
    };
    let closed = Closings::of(state, &view::Zone::of(state)).closed(day);
    let closed = closed.and_then(|entry| state.fact(entry));
    let hand = closed.and_then(|fact| fact.record.entry.hand.as_ref());
    let elsewhere = |m: &&Move| m.day != day && view::Zone::of(state).day(m.happened) == Some(day);
    v1::TillResponse {
        day: day.to_string(),
        opened: maybe(drawer.opened),
        float: drawer.float,
        float_over: maybe(drawer.float_over.filter(|over| *over != Money::ZERO)),
        cash: WAYS.iter().filter_map(|way| cash(state, &of_day, way)).collect(),
        after_count: after,
        expected: maybe(drawer.expected),
        counted: maybe(drawer.counted),
        coins: drawer
            .coins
            .iter()
            .map(|coins| v1::TillCoins {
                count: coins.count,
                of: shown(coins.of),
                amount: maybe(coins.worth()),
            })
            .collect(),
        over: maybe(drawer.over),
        left: maybe(drawer.left),
        means: means(state, &of_day),
        batches: of_day.iter().filter_map(|m| batch(state, m)).collect(),
        cards_waiting: shown(cards_waiting(&moves, day)),
        moves: of_day.iter().map(|m| told(state, m)).collect(),
        elsewhere: moves.iter().filter(elsewhere).map(|m| told(state, m)).collect(),
        closed: closed.is_some(),
        closed_by: hand.map(ToString::to_string).unwrap_or_default(),
        closed_ms: closed.map_or(0, |fact| fact.record.shop_time.0),
    }
}

/// Cash that came in or went out in one way; nothing if none did.
fn cash(state: &State, moves: &[&Move], way: &str) -> Option<v1::TillSum> {
    let these = moves.iter().filter(|m| word(&m.what) == way);
    let cash: Vec<(bool, Money)> = these.filter_map(|m| Some((m.back, m.in_drawer()?))).collect();
    if cash.is_empty() {
        return None;
    }
    let sum = Money::sum(cash.iter().map(|(_, amount)| *amount));
    let out = matches!(way, "given back" | "paid out" | "spent");
    let sum = if out { minus(Money::ZERO, sum) } else { sum };
    let number = cash.iter().filter(|(back, _)| !back).count();
    Some(v1::TillSum {
        what: way.to_owned(),
        number: u32::try_from(number).unwrap_or(u32::MAX),
        amount: state.settings().shown(sum),
    })
}

/// What was paid, given back and spent by means other than cash.
fn means(state: &State, moves: &[&Move]) -> Vec<v1::TillMeans> {
    let of = |wanted: fn(&What) -> bool| {
        moves::by_means(moves.iter().copied().filter(|m| wanted(&m.what)))
    };
    let paid = of(|what| *what == What::Paid);
    let given_back = of(|what| *what == What::GivenBack);
    let spent = of(|what| matches!(what, What::Spent { .. }));
    let others = Means::ALL.iter().copied().filter(|means| *means != Means::Cash).map(Some);
    let line = |means: Option<Means>| {
        let sums = [&paid, &given_back, &spent].map(|sums| sums.get(&means).copied());
        if sums.iter().all(Option::is_none) {
            return None;
        }
        let [paid, given_back, spent] =
            sums.map(|sum| state.settings().shown(sum.map_or(Money::ZERO, |(_, sum)| sum)));
        let means = means.map_or("not said", Means::word).to_owned();
        Some(v1::TillMeans { means, paid, given_back, spent })
    };
    others.chain([None]).filter_map(line).collect()
}

fn batch(state: &State, m: &Move) -> Option<v1::TillBatch> {
    let What::Batch { fee } = m.what else { return None };
    let fee = if m.back { minus(Money::ZERO, fee) } else { fee };
    let shown = |amount: Money| state.settings().shown(amount);
    let (amount, number) = (m.counted(), m.words.clone());
    let net = shown(minus(amount, fee));
    Some(v1::TillBatch { amount: shown(amount), fee: shown(fee), net, number })
}

/// Card payments less refunds that are in no batch at the end of a day.
fn cards_waiting(moves: &[Move], day: Day) -> Money {
    let cards = moves.iter().filter(|m| m.day <= day && m.means == Some(Means::Card));
    cards.fold(Money::ZERO, |sum, m| match m.what {
        What::Paid => plus(sum, m.counted()),
        What::GivenBack | What::Batch { .. } => minus(sum, m.counted()),
        What::PaidIn(_)
        | What::PaidOut(_)
        | What::Spent { .. }
        | What::Float
        | What::Counted(_) => sum,
    })
}

fn told(state: &State, m: &Move) -> v1::TillMove {
    let purse = match &m.what {
        What::PaidIn(purse) => Some(format!("from {purse}")),
        What::PaidOut(purse) => Some(format!("to {purse}")),
        What::Paid
        | What::GivenBack
        | What::Spent { .. }
        | What::Batch { .. }
        | What::Float
        | What::Counted(_) => None,
    };
    let put_right = m.put_right.then(|| {
        let at = view::Zone::of(state).time(m.happened, None);
        format!(
            "the shop\u{2019}s clock was put right after this till was closed: it happened {at}"
        )
    });
    let said = (!m.words.is_empty()).then(|| m.words.clone());
    let words = purse.into_iter().chain(said).chain(put_right);
    v1::TillMove {
        entry: m.entry.to_string(),
        what: word(&m.what).to_owned(),
        amount: state.settings().shown(m.counted()),
        means: m.means.map(|means| means.word().to_owned()).unwrap_or_default(),
        words: words.collect::<Vec<_>>().join(": "),
        skull: m.job.and_then(|job| state.job(job)).map(|job| view::skull_line(state, job)),
        happened_ms: m.happened.0,
        at_ms: m.at.0,
        late: m.late == Some(Late::Arrived),
        corrects: m.late == Some(Late::Corrects),
        day: m.day.to_string(),
    }
}

/// What a count or a float says of the drawer: expected, and over or short.
pub fn counted(state: &State, name: EntryName) -> Vec<String> {
    let moves = moves(state);
    let Some(m) = moves.iter().find(|m| m.entry == name) else { return Vec::new() };
    let upto: Vec<Move> = moves
        .iter()
        .filter(|other| (other.day, other.at, other.entry) < (m.day, m.at, m.entry))
        .cloned()
        .collect();
    let shown = |amount: Money| state.settings().shown(amount);
    let Some(expected) = drawer::days(&upto).last_key_value().and_then(|(_, day)| day.left) else {
        return vec![format!("the till has {}", shown(m.amount))];
    };
    let over = minus(m.amount, expected);
    let differs = match over.cmp(&Money::ZERO) {
        Ordering::Less => format!("short {}", shown(minus(Money::ZERO, over))),
        Ordering::Equal => "neither over nor short".to_owned(),
        Ordering::Greater => format!("over {}", shown(over)),
    };
    vec![format!("the till has {}, expected {}: {differs}", shown(m.amount), shown(expected))]
}
