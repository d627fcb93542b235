//! How often something goes wrong: damage and lateness, by step and by kind, with limits.

use std::collections::BTreeMap;

use burrline_domain::State;
use burrline_proto::v1;
use burrline_reckon::{
    chance::Confidence,
    rates::{Compared, Rate},
    told::how_often,
};
use burrline_terms::{
    Moment,
    words::{Group, Piece},
};
use rust_decimal::prelude::ToPrimitive as _;

use super::way::{End, Step, Way, ways};
use crate::view::Zone;

/// Below so many on either side nothing is compared.
const FEW: u32 = 5;

/// What is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum What {
    /// A damage that was not there when the skull came, noted during the step.
    Damage,
    /// A step whose stays together took longer than planned.
    Slow,
    /// A job that was not ready on the first day that was promised, holds aside.
    Late,
}

impl What {
    const fn word(self) -> &'static str {
        match self {
            Self::Damage => "damage",
            Self::Slow => "slower than planned",
            Self::Late => "late",
        }
    }
}

/// One thing that could have gone wrong.
struct Chance {
    what: What,
    step: Option<Step>,
    group: Group,
    hit: bool,
}

/// Counts as (how often, of how many).
type Counts = BTreeMap<(What, Option<Step>, Option<Group>), (u32, u32)>;

/// Every rate as of `now`: over all, by step, by kind, and by step and kind where something went
/// wrong; each but the first against the rest.
pub fn rates(state: &State, now: Moment) -> Vec<v1::RateLine> {
    let mut counts = Counts::new();
    for chance in ways(state).iter().flat_map(|way| chances(state, way, now)) {
        let Chance { what, step, group, hit } = chance;
        let mut cells = vec![(what, None, None), (what, None, Some(group))];
        if step.is_some() {
            cells.extend([(what, step, None), (what, step, Some(group))]);
        }
        for cell in cells {
            let (hits, of) = counts.entry(cell).or_default();
            *hits = hits.saturating_add(u32::from(hit));
            *of = of.saturating_add(1);
        }
    }
    let shown = counts
        .iter()
        .filter(|((_, step, group), (hits, _))| *hits > 0 || step.is_none() || group.is_none());
    shown.filter_map(|(cell, count)| line(*cell, *count, &counts)).collect()
}

fn line(
    (what, step, group): (What, Option<Step>, Option<Group>),
    (hits, of): (u32, u32),
    counts: &Counts,
) -> Option<v1::RateLine> {
    let sure = Confidence::USUAL;
    let rate = Rate::new(hits, of).ok()?;
    let limits = rate.limits(sure);
    let (all_hits, all_of) = counts.get(&(what, None, None)).copied().unwrap_or_default();
    let whole = step.is_none() && group.is_none();
    let rest = Rate::new(all_hits.saturating_sub(hits), all_of.saturating_sub(of)).ok();
    let few = |rate: &Rate| rate.of() < FEW;
    let against = |rest: Rate| {
        if few(&rate) || few(&rest) { Compared::CannotTell } else { rate.against(rest, sure) }
    };
    let verdict = match rest.filter(|_| !whole).map(against) {
        None => String::new(),
        Some(compared @ (Compared::Rarer | Compared::MoreOften)) => {
            format!("{} than the rest", how_often::verdict(compared).replace(", beyond", " beyond"))
        }
        Some(Compared::CannotTell) => "cannot tell it from the rest".to_owned(),
    };
    let percent = |share: f64| format!("{:.1}", 100.0 * share);
    Some(v1::RateLine {
        what: what.word().to_owned(),
        step: step.map(Step::word).unwrap_or_default().to_owned(),
        kind: group.map(Group::word).unwrap_or_default().to_owned(),
        hits,
        of,
        low_percent: percent(limits.low),
        high_percent: percent(limits.high),
        words: how_often::sentence(rate, limits, sure),
        verdict,
    })
}

fn chances(state: &State, way: &Way, now: Moment) -> Vec<Chance> {
    let group = way.group;
    let mut chances = Vec::new();
    // A step that is passed twice is one chance: the skull went through it, and came out whole or not.
    for step in Step::ALL {
        let passed: Vec<_> = way.stretches().filter(|(passed, _, _)| passed == step).collect();
        if passed.is_empty() {
            continue;
        }
        let during = |at: &Moment| {
            passed
                .iter()
                .any(|(_, from, until)| at >= from && until.is_none_or(|until| *at < until))
        };
        let hit = way.damaged.iter().any(during);
        chances.push(Chance { what: What::Damage, step: Some(*step), group, hit });
        if let Some(hit) = slow(state, way, *step, now) {
            chances.push(Chance { what: What::Slow, step: Some(*step), group, hit });
        }
    }
    let late = late(state, way, now).map(|hit| Chance { what: What::Late, step: None, group, hit });
    chances.extend(late);
    chances
}

/// Whether all its stays for a step together took longer than planned; none if the step has no
/// stays or no plan, or is not over and still may not. What is done in a moment, such as a wash,
/// cannot be slow: what goes by until the next step is waiting.
fn slow(state: &State, way: &Way, step: Step, now: Moment) -> Option<bool> {
    let kind = step.kind()?;
    let job = state.job(way.job)?;
    let planned = job.plan.iter().find(|planned| planned.step.as_str().contains(step.word()))?;
    let planned = planned.expected.minutes().to_i64()?.saturating_mul(60_000);
    let stays = job.stays.iter().filter(|stay| {
        let place = state.shop().places.get(&stay.place);
        stay.piece == Piece::Skull && place.is_some_and(|place| place.kind == kind)
    });
    let (mut took, mut open, mut any) = (0_i64, false, false);
    for stay in stays.filter(|stay| stay.from.at < way.until(now)) {
        took = took.saturating_add(stay.shortest_ms(now));
        open |= stay.open();
        any = true;
    }
    let over = took > planned;
    (any && (over || !open)).then_some(over)
}

/// Whether it was not ready by the end of the first promised day, holds since then aside; none if
/// nothing was promised, it left unfinished, or the day has not passed.
fn late(state: &State, way: &Way, now: Moment) -> Option<bool> {
    let (promised, day) = way.promised?;
    let end = day.0.tomorrow().ok()?.to_zoned_datetime(Zone::of(state).0).ok()?;
    let end = Moment(end.timestamp().as_millisecond());
    let over = |until: Moment| way.active_ms(promised, until) >= end.since(promised);
    match way.end {
        End::Ready(at) => Some(over(at)),
        End::Left(_) => None,
        End::Going => over(now).then_some(true),
    }
}
