//! Money: what heads brought, what their waters cost, and what a bench hour brought.

use std::collections::BTreeMap;

use burrline_domain::{
    State, Verb,
    fold::{Bath, Stay, Until},
    verb::Ending,
};
use burrline_proto::v1;
use burrline_reckon::{habits::step_minutes, working::digits};
use burrline_terms::{
    EntryName, Moment, counted, counted_are,
    words::{Piece, PlaceKind},
};
use rust_decimal::prelude::ToPrimitive as _;

use super::{Asked, case::Case, case::kind, columns, row};
use crate::view::Zone;

/// What heads of one word came to.
#[derive(Debug, Clone, Copy, Default)]
struct Sum {
    heads: u32,
    charged: f64,
    chemicals: f64,
    minutes: f64,
}

/// A row a word: heads that were handed over or sent, what they were charged, what their waters cost,
/// what is left a head, and a bench hour.
pub(super) fn table(
    state: &State,
    asked: Asked,
    cases: &[Case<'_>],
    now: Moment,
) -> v1::TallyResponse {
    let (costs, nowhere, unknown) = costs(state, now);
    let (factor, words) = factor(state, asked, cases);
    let mut sums: BTreeMap<&str, Sum> = BTreeMap::new();
    let mut under_way = 0_u32;
    for case in cases {
        let left = |how| matches!(how, Ending::HandOver | Ending::Ship | Ending::Sell);
        if !case.job.ended.is_some_and(|(_, how)| left(how)) {
            under_way = under_way.saturating_add(1);
            continue;
        }
        let share = state.share(case.job.id);
        let sum = sums.entry(case.label(asked.by)).or_default();
        sum.heads = sum.heads.saturating_add(1);
        sum.charged += share.brought().amount().to_f64().unwrap_or(0.0);
        sum.chemicals += costs.get(&case.job.id).copied().unwrap_or(0.0);
        sum.minutes += minutes(state, case) * factor;
    }
    let rows = sums.iter().map(|(label, sum)| line(label, sum, state.settings().minor_digits()));
    let mut notes = vec![
        "Charged: the last price heard and charges since, tax and all, less what went back. Rent, gas, \
         wages and the owner's own time are not in it."
            .to_owned(),
        "Chemicals: what went into a water, by the lots it was taken from, the oldest first, shared \
         over the skulls that lay in it by how long each did."
            .to_owned(),
        words,
    ];
    if nowhere > 0.0 {
        notes.push(format!("{nowhere:.2} went into waters in which no skull lay."));
    }
    if unknown > 0 {
        notes.push(format!(
            "Of {} not all of the cost is known: book stock in with its cost.",
            counted(unknown, "water")
        ));
    }
    if under_way > 0 {
        let them = counted_are(under_way, "head", "was", "were");
        notes.push(format!("{them} not handed over or sent, and left out."));
    }
    v1::TallyResponse {
        columns: columns(&[
            asked.by.word(),
            "heads",
            "charged",
            "chemicals",
            "left",
            "a head",
            "bench hours",
            "an hour",
        ]),
        rows: rows.collect(),
        notes,
    }
}

fn line(label: &str, sum: &Sum, minor: u32) -> v1::TallyRow {
    let places = usize::try_from(minor).unwrap_or(2);
    let money = |amount: f64| format!("{amount:.places$}");
    let left = sum.charged - sum.chemicals;
    let hours = sum.minutes / 60.0;
    row([
        label.to_owned(),
        sum.heads.to_string(),
        money(sum.charged),
        money(sum.chemicals),
        money(left),
        money(left / f64::from(sum.heads.max(1))),
        digits(hours, 3),
        if hours > 0.0 { money(left / hours) } else { String::new() },
    ])
}

/// The minutes of a hand that a head took, by the steps that were said of it.
fn minutes(state: &State, case: &Case<'_>) -> f64 {
    let facts = case.job.facts().filter(|(_, active)| *active);
    let steps = facts.filter_map(|(key, _)| step(state, state.meaning(key.name)?));
    steps.map(|step| step_minutes(state.settings(), step)).sum()
}

#[allow(
    clippy::wildcard_enum_match_arm,
    reason = "what costs a hand no time that is set is not named"
)]
fn step(state: &State, verb: &Verb) -> Option<&'static str> {
    match verb {
        Verb::TakeIn(_) => Some("take-in"),
        Verb::Flesh(_) => Some("flesh"),
        Verb::Wrap(_) => Some("wrap"),
        Verb::Wash(_) => Some("wash"),
        Verb::Glue(_) => Some("glue"),
        Verb::Whiten(_) => Some("whiten"),
        Verb::Coat(_) => Some("coat"),
        Verb::Inspect(_) => Some("inspect"),
        Verb::HandOver(_) | Verb::Ship(_) | Verb::Sell(_) => Some("hand-over"),
        Verb::In(into) if into.skull.piece == Piece::Skull => match kind(state, &into.place)? {
            PlaceKind::Pot => Some("simmer"),
            PlaceKind::Tank => Some("degrease"),
            PlaceKind::Tub => Some("whiten"),
            PlaceKind::Rack | PlaceKind::Dryer => Some("dry"),
            PlaceKind::Colony => Some("beetles"),
            PlaceKind::WarmBath | PlaceKind::Soak => Some("macerate"),
            PlaceKind::Ground => Some("bury"),
            PlaceKind::Freezer | PlaceKind::Shelf | PlaceKind::Board | PlaceKind::Oven => None,
        },
        _ => None,
    }
}

/// By how much the hours that were written down are more than the minutes set for the steps, over all
/// heads of the season, and how that is told.
fn factor(state: &State, asked: Asked, cases: &[Case<'_>]) -> (f64, String) {
    let zone = Zone::of(state);
    let in_season = |at: Moment| {
        let year = zone.day(at).map(|day| state.settings().season_of(day));
        asked.season.is_none_or(|season| year == Some(season))
    };
    let worked: f64 = state
        .facts()
        .filter(|fact| in_season(fact.happened().at))
        .filter_map(|fact| {
            let Some(Verb::Hours(hours)) = state.meaning(fact.record.entry.name) else {
                return None;
            };
            hours.worked.minutes().to_f64()
        })
        .sum();
    let set: f64 = cases.iter().map(|case| minutes(state, case)).sum();
    let own = match state.settings().own_steps() {
        0 => "the minutes a step are common practice, no source: set your own, as in `burrline \
              set-shop step-minutes.flesh 25`"
            .to_owned(),
        count => {
            let steps = counted(count, "step");
            format!("the owner set the minutes of {steps}, the others are common practice")
        }
    };
    if worked <= 0.0 || set <= 0.0 {
        return (1.0, format!("Bench hours: {own}; nobody wrote hours down to correct them by."));
    }
    let factor = worked / set;
    let words = format!(
        "Bench hours: {own}; they came to {} h and {} h were written down, so each is taken {} times.",
        digits(set / 60.0, 3),
        digits(worked / 60.0, 3),
        digits(factor, 3)
    );
    (factor, words)
}

/// What the waters of each job cost it, what was spent on waters with nobody in them, and of how many
/// waters not all of the cost is known.
fn costs(state: &State, now: Moment) -> (BTreeMap<EntryName, f64>, f64, u32) {
    let stock = state.stock();
    let mut costs: BTreeMap<EntryName, f64> = BTreeMap::new();
    let (mut nowhere, mut unknown) = (0.0, 0_u32);
    let mut stays: BTreeMap<&str, Vec<(EntryName, &Stay)>> = BTreeMap::new();
    for job in state.jobs().values() {
        for stay in job.stays.iter().filter(|stay| stay.piece == Piece::Skull) {
            stays.entry(stay.place.as_str()).or_default().push((job.id, stay));
        }
    }
    for (place, water) in state.waters() {
        let there = stays.get(place.as_str()).map(Vec::as_slice).unwrap_or_default();
        for bath in &water.baths {
            let cost = stock.cost_of(bath.id);
            unknown = unknown.saturating_add(u32::from(cost.more));
            let known = cost.known.amount().to_f64().unwrap_or(0.0);
            let parts: Vec<(EntryName, f64)> = there
                .iter()
                .map(|(job, stay)| (*job, together(stay, bath, now)))
                .filter(|(_, hours)| *hours > 0.0)
                .collect();
            let all: f64 = parts.iter().map(|(_, hours)| hours).sum();
            if all <= 0.0 {
                nowhere += known;
            }
            for (job, hours) in parts {
                *costs.entry(job).or_default() += known * hours / all;
            }
        }
    }
    (costs, nowhere, unknown)
}

/// How long a skull lay in a water, in milliseconds.
fn together(stay: &Stay, bath: &Bath, now: Moment) -> f64 {
    let left = match stay.until {
        Until::Now => now,
        Until::Said(when) | Until::Unsaid(when) => when.at.min(now),
    };
    let gone = bath.until.as_ref().map_or(now, |(until, _)| until.at);
    left.min(gone).since(stay.from.at.max(bath.from.at)).max(0).to_f64().unwrap_or(0.0)
}
