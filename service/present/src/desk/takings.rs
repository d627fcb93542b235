//! What was taken in a stretch of days, exactly: by means, what was given back, and what of it is
//! still held against work that has not left.
//!
//! Held before + taken - given back - settled = held after, to the cent, where what is on no job yet is
//! left out; and settled = earned + tips + old balances + kept of what ended otherwise - what is newly
//! owed. Whether tax is owed on what
//! was taken or on what was earned is for the tax office to say: both are shown.
//!
//! Takings go by when it happened, tills by what was open. What is in the till of another day is told, so
//! that taken less given back, less that, and with what the tills have of other days, is in the tills.
//!
//! The tax of a price is told as the customer heard the price. What is given back of it takes its tax
//! along (`taxes`).

use std::collections::BTreeMap;

use burrline_domain::{State, Verb, fold::Job};
use burrline_proto::v1;
use burrline_terms::{
    Day, Moment, Money,
    words::{Capacity, Means},
};

use super::{
    called,
    held::Standing,
    minus,
    people::{Eyes, Who, giver},
    plus, till,
};
use crate::readings::{self, Reading, Unreadable, View, values::Stretch};
use crate::view::{self, Zone};

/// The sums of one means.
#[derive(Debug, Clone, Copy, Default)]
struct Sums {
    payments: u32,
    taken: Money,
    refunds: u32,
    given_back: Money,
}

impl Reading for readings::Takings {
    type Response = v1::TakingsResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::TakingsResponse, Unreadable> {
        let days = self.on.map_or_else(|| view.today().map(readings::Days::of), Ok)?;
        let days = if self.span == Some(Stretch::Month) { days.whole_months() } else { days };
        Ok(takings(view.state, view.eyes(), days.from, days.to))
    }
}

/// What was taken from the first day to the last, both counted in.
pub fn takings(state: &State, eyes: Eyes<'_>, first: Day, last: Day) -> v1::TakingsResponse {
    let (from, until) = moments(state, first, last);
    let shown = |amount: Money| state.settings().shown(amount);
    let mut by_means: BTreeMap<Option<Means>, Sums> = BTreeMap::new();
    let mut money = |verb: &Verb| add(&mut by_means, verb);
    for job in state.jobs().values() {
        in_days(job, from, until).filter_map(|name| state.meaning(name)).for_each(&mut money);
    }
    let mut on_no_job = Money::ZERO;
    for (name, verb) in state.unplaced() {
        let at = state.fact(name).map(|fact| fact.key.at);
        if at.is_some_and(|at| at >= from && at <= until) && state.meaning(name).is_some() {
            money(verb);
            on_no_job = match moved(verb) {
                Some((_, amount, true)) => plus(on_no_job, amount),
                Some((_, amount, false)) => minus(on_no_job, amount),
                None => on_no_job,
            };
        }
    }
    let sum = |of: fn(&Sums) -> Money| Money::sum(by_means.values().map(of));
    let (taken, given_back) = (sum(|s| s.taken), sum(|s| s.given_back));
    let held = held(state, from, until);
    let tills = till::of_days(state, first, last);
    v1::TakingsResponse {
        from_day: first.to_string(),
        to_day: last.to_string(),
        // What nobody said comes first in the order of the words, and is told last.
        by_means: by_means
            .iter()
            .filter(|(means, _)| means.is_some())
            .chain(by_means.iter().filter(|(means, _)| means.is_none()))
            .map(|(means, sums)| v1::TakingsLine {
                means: means.map_or("not said", Means::word).to_owned(),
                payments: sums.payments,
                taken: shown(sums.taken),
                refunds: sums.refunds,
                given_back: shown(sums.given_back),
            })
            .collect(),
        taken: shown(taken),
        given_back: shown(given_back),
        net: shown(minus(taken, given_back)),
        held_before: shown(held.before),
        held_after: shown(held.after),
        settled: shown(held.settled),
        earned: shown(held.earned),
        earned_tax: shown(held.tax),
        tips: shown(held.tips),
        old_balances: shown(held.balance),
        handed_over: held.handed_over,
        owed_after: shown(held.owed),
        on_no_job: shown(on_no_job),
        otherwise: held.otherwise,
        kept_otherwise: shown(held.kept),
        by_others: by_others(state, eyes, from, until),
        in_tills: shown(tills.sum),
        in_other_tills: tills.in_other_tills,
        of_other_days: tills.of_other_days,
    }
}

/// What the work of some days brought.
pub(super) struct Earned {
    /// Prices and charges of what was handed over or sent, less what was given back of them, without
    /// what is no sale.
    pub(super) price: Money,
    /// The tax within that.
    pub(super) tax: Money,
    /// Kept of jobs that ended otherwise.
    pub(super) kept: Money,
    /// How many were handed over or sent.
    pub(super) heads: u32,
}

/// What the work of some days brought, both ends counted in.
pub(super) fn earned(state: &State, first: Day, last: Day) -> Earned {
    let (from, until) = moments(state, first, last);
    let held = held(state, from, until);
    let Held { earned: price, tax, kept, handed_over: heads, .. } = held;
    Earned { price, tax, kept, heads }
}

/// The payments for which somebody was named other than the customer.
fn by_others(state: &State, eyes: Eyes<'_>, from: Moment, until: Moment) -> Vec<v1::PaidByAnother> {
    let mut lines = Vec::new();
    for job in state.jobs().values() {
        for name in in_days(job, from, until) {
            let Some(Verb::Pay(pay)) = state.meaning(name) else { continue };
            let Some(fact) = state.fact(name) else { continue };
            let who = eyes.who(giver(state, job, name));
            let who = who.or(|| eyes.person(state, job, Capacity::Payer));
            if who == Who::Nobody {
                continue;
            }
            lines.push(v1::PaidByAnother {
                skull: Some(view::skull_line(state, job)),
                name: who.name(),
                amount: state.settings().shown(pay.amount),
                means: pay.means.map_or_else(String::new, |means| means.word().to_owned()),
                at_ms: fact.key.at.0,
            });
        }
    }
    lines.sort_by_key(|line| line.at_ms);
    lines
}

/// The first and the last moment of a stretch of days.
pub(super) fn moments(state: &State, first: Day, last: Day) -> (Moment, Moment) {
    let zone = Zone::of(state);
    let begin = |day: jiff::civil::Date| {
        let zoned = day
            .to_datetime(jiff::civil::Time::midnight())
            .to_zoned_datetime(zone.0.clone())
            .ok()?;
        Some(Moment(zoned.timestamp().as_millisecond()))
    };
    let from = begin(first.0).unwrap_or(Moment(i64::MIN));
    let next = last.0.tomorrow().ok().and_then(begin);
    (from, next.map_or(Moment(i64::MAX), |next| next.plus(-1)))
}

/// The lines of a job that happened within, if they count.
fn in_days(
    job: &Job,
    from: Moment,
    until: Moment,
) -> impl Iterator<Item = burrline_terms::EntryName> {
    let within = move |(key, counts): &(burrline_domain::fold::Key, bool)| {
        *counts && key.at >= from && key.at <= until
    };
    job.facts().filter(within).map(|(key, _)| key.name)
}

/// Means and amount of a payment (true) or a refund (false).
#[allow(clippy::wildcard_enum_match_arm, reason = "these verbs alone move money")]
fn moved(verb: &Verb) -> Option<(Option<Means>, Money, bool)> {
    match verb {
        Verb::Pay(v) => Some((v.means, v.amount, true)),
        Verb::Refund(v) => Some((v.means, v.amount, false)),
        _ => None,
    }
}

fn add(by_means: &mut BTreeMap<Option<Means>, Sums>, verb: &Verb) {
    let Some((means, amount, taken)) = moved(verb) else { return };
    let sums = by_means.entry(means).or_default();
    if taken {
        sums.payments = sums.payments.saturating_add(1);
        sums.taken = plus(sums.taken, amount);
    } else {
        sums.refunds = sums.refunds.saturating_add(1);
        sums.given_back = plus(sums.given_back, amount);
    }
}

/// What is held against work, and what was earned.
#[derive(Debug, Default)]
struct Held {
    before: Money,
    after: Money,
    settled: Money,
    earned: Money,
    tax: Money,
    tips: Money,
    balance: Money,
    handed_over: u32,
    owed: Money,
    kept: Money,
    otherwise: Vec<String>,
}

fn held(state: &State, from: Moment, until: Moment) -> Held {
    let mut held = Held::default();
    let digits = state.settings().minor_digits();
    for job in state.jobs().values() {
        let before = Standing::of(state, job, from.plus(-1));
        let now = Standing::of(state, job, until);
        held.before = plus(held.before, before.held);
        held.after = plus(held.after, now.held);
        held.settled = plus(held.settled, minus(now.settled, before.settled));
        let in_it = now.tax(digits).less(&before.tax(digits));
        let no_sale = Money::new(in_it.no_sale());
        held.earned = plus(held.earned, minus(minus(now.earned, before.earned), no_sale));
        held.tax = plus(held.tax, Money::new(in_it.tax()));
        held.tips = plus(held.tips, Money::new(in_it.tips));
        held.balance = plus(held.balance, Money::new(in_it.balance));
        held.kept = plus(held.kept, minus(now.kept(), before.kept()));
        held.owed = plus(held.owed, now.owed());
        if now.deliveries.iter().any(|at| *at >= from) {
            held.handed_over = held.handed_over.saturating_add(1);
        }
        let left = now.left.filter(|(at, _)| now.ended_otherwise() && *at >= from);
        held.otherwise.extend(left.map(|(_, how)| {
            let [charged, kept] = [now.charged, now.paid].map(|sum| state.settings().shown(sum));
            format!("{} {how}: charged {charged}, kept {kept}", called(state, job))
        }));
    }
    held
}
