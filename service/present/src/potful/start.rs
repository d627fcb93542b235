//! By when a job has to go on to keep its promise: backwards from the day, by what is left to do.

use std::collections::BTreeMap;

use burrline_domain::{State, fold::Job};
use burrline_terms::{Day, Moment, words::Group};
use rust_decimal::prelude::ToPrimitive as _;

use super::turn::{group, plans};
use crate::{
    season::{Step, Way, ways},
    view::Zone,
};

const DAY_MS: f64 = 86_400_000.0;

/// From how many passages on the shop's own times are gone by, rather than the plan.
const ENOUGH: usize = 5;

/// How long each step took the shop, by kind of animal: the middle of what was seen, in days.
#[derive(Debug, Clone, Default)]
pub(super) struct Learnt(BTreeMap<(Group, Step), f64>);

impl Learnt {
    /// From every trail.
    pub(super) fn of(state: &State) -> Self {
        let mut seen: BTreeMap<(Group, Step), Vec<f64>> = BTreeMap::new();
        for way in ways(state) {
            let group = way.group;
            for (step, from, until) in way.stretches() {
                let Some(until) = until else { continue };
                let took = way.active_ms(from, until).to_f64().unwrap_or(0.0) / DAY_MS;
                seen.entry((group, step)).or_default().push(took);
            }
        }
        let middle = |mut took: Vec<f64>| {
            took.sort_by(f64::total_cmp);
            took.get(took.len().checked_div(2).unwrap_or(0)).copied()
        };
        let enough = seen.into_iter().filter(|(_, took)| took.len() >= ENOUGH);
        Self(enough.filter_map(|(key, took)| Some((key, middle(took)?))).collect())
    }
}

/// By when a job has to go on.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Start {
    /// The last day on which it can begin.
    pub(super) by: Day,
    /// The same in words, with the promise and what it rests on.
    pub(super) words: String,
}

/// By when a job has to begin a step to keep its promise; none if no day was promised.
pub(super) fn start(
    state: &State,
    job: &Job,
    step: Step,
    learnt: &Learnt,
    now: Moment,
) -> Option<Start> {
    let promise = job.promise?;
    let promised = format!("promised {}", told(promise));
    let Some((days, basis)) = left(state, job, step, learnt) else {
        let words = format!("{promised}; how long the rest takes is not known");
        return Some(Start { by: promise, words });
    };
    let whole = days.ceil().to_i64().unwrap_or(0);
    let by = promise.0.checked_sub(jiff::Span::new().try_days(whole).ok()?).ok().map(Day)?;
    let today = Zone::of(state).day(now)?;
    let late = by.0.until(today.0).ok().map_or(0, |span| span.get_days());
    let left = match whole {
        1 => "1 day of work left".to_owned(),
        days => format!("{days} days of work left"),
    };
    let begin = match late {
        1.. => format!("should have begun {}", told(by)),
        0 => "has to begin today".to_owned(),
        _ => format!("has to begin by {}", told(by)),
    };
    Some(Start { by, words: format!("{promised}, {left} {basis}: {begin}") })
}

/// Days of work from a step on, and what they rest on; none if neither plan nor trails tell.
fn left(state: &State, job: &Job, step: Step, learnt: &Learnt) -> Option<(f64, &'static str)> {
    let group = group(state, job);
    let (mut days, mut from_trails, mut from_plan) = (0.0, false, false);
    let way = Way::of(state, job);
    for next in Step::ALL.iter().copied().filter(|next| *next >= step) {
        let again = next == step;
        if !plans(job, next) || (!again && way.first(next).is_some()) {
            continue;
        }
        let planned = job.plan.iter().find(|p| p.step.as_str().contains(next.word()));
        if let Some(took) = learnt.0.get(&(group, next)) {
            days += took;
            from_trails = true;
        } else if let Some(minutes) = planned.and_then(|p| p.expected.minutes().to_f64()) {
            days += minutes / 1440.0;
            from_plan = true;
        }
    }
    match (from_trails, from_plan) {
        (true, false) => Some((days, "by the shop's own trails")),
        (true, true) => Some((days, "by the shop's own trails and the plan")),
        (false, true) => Some((days, "by the plan")),
        (false, false) => None,
    }
}

/// A day as a hand says it.
pub(super) fn told(day: Day) -> String {
    day.0.strftime("%a %d %b").to_string()
}
