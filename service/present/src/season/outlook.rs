//! By when a job is ready, from the shop's own trails.

use std::collections::BTreeMap;

use burrline_domain::{State, fold::Job};
use burrline_reckon::{
    chance::Confidence,
    habits,
    survival::{By, Curve, Observed, Quantile, lasting},
    working::digits,
};
use burrline_terms::{Day, Moment, words::Group};

use super::{
    about, count, days, later,
    way::{End, Step, Way, ways},
};
use crate::view::Zone;

/// From how many finished on a day is named by trails alone.
const ENOUGH: u32 = 10;

/// What an outlook stands on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// Trails of the same kind of animal.
    Kind,
    /// Trails of all kinds, for there were few of the kind.
    AllKinds,
    /// The owner's own table, for there were few of any kind.
    Table,
    /// Nothing.
    Nothing,
}

impl Basis {
    /// The word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Kind => "kind",
            Self::AllKinds => "all kinds",
            Self::Table => "table",
            Self::Nothing => "nothing",
        }
    }
}

/// By when a job is ready.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlook {
    /// What may be said to the customer.
    pub sentence: String,
    /// What it stands on, line by line.
    pub why: Vec<String>,
    /// The day, if one can be named.
    pub day: Option<Day>,
    /// The limits of the day.
    pub limits: (Option<Day>, Option<Day>),
    /// What it stands on.
    pub basis: Basis,
    /// How many like it were watched, and how many of them finished.
    pub seen: (u32, u32),
    /// The step from which it is counted.
    pub step: Option<Step>,
}

/// By when a job is ready, for a share of those like it between 0 and 1.
pub fn outlook(state: &State, job: &Job, share: f64, now: Moment) -> Outlook {
    let way = Way::of(state, job);
    let mut out = Outlook {
        sentence: String::new(),
        why: Vec::new(),
        day: None,
        limits: (None, None),
        basis: Basis::Nothing,
        seen: (0, 0),
        step: way.step(),
    };
    let zone = Zone::of(state);
    let (Some(step), End::Going) = (way.step(), way.end) else {
        out.sentence = match way.end {
            End::Ready(at) => format!("it is ready since {}", told(day(&zone, at))),
            End::Left(_) => "it left the shop unfinished".to_owned(),
            End::Going => "nothing was said of it yet, so nothing can be told".to_owned(),
        };
        return out;
    };
    let from = way.first(step).unwrap_or(now);
    let already = days(way.active_ms(from, now));
    let ways = ways(state);
    let others: Vec<&Way> = ways.iter().filter(|other| other.job != job.id).collect();
    let like = |group: Option<Group>| like(&others, group, step, already, now);
    let (kind, all) = (like(Some(way.group)), like(None));
    let enough = |pool: &[Observed]| finished(pool) >= ENOUGH;
    out.why.push(format!(
        "counted from {}, {} days ago without holds",
        step.word(),
        about(already)
    ));
    let pool = if enough(&kind) {
        out.basis = Basis::Kind;
        kind
    } else {
        let few = finished(&kind);
        let kind = way.group;
        if enough(&all) {
            out.basis = Basis::AllKinds;
            out.why.push(format!(
                "only {few} of kind {kind} finished from there, so all kinds are taken together"
            ));
            all
        } else {
            out.why.push(format!(
                "only {few} of kind {kind} and {} of all kinds finished from there, too few to go by",
                finished(&all)
            ));
            by_table(state, &way, now, &mut out);
            return out;
        }
    };
    by_trails(&zone, &pool, share, now, way.group, &mut out);
    by_leaving(&others, (out.basis == Basis::Kind).then_some(way.group), step, &mut out);
    held(&others, step, now, &mut out);
    if let Some(why) = &job.hold {
        out.why.push(format!("it is on hold ({why}): the day is as if it were released now"));
    }
    out
}

/// What was seen of others from the step on, of those that lasted as long as this one has.
fn like(
    others: &[&Way],
    group: Option<Group>,
    step: Step,
    already: f64,
    now: Moment,
) -> Vec<Observed> {
    let others = others.iter().filter(|way| group.is_none_or(|group| group == way.group));
    let seen: Vec<Observed> = others.filter_map(|way| observed(way, step, now)).collect();
    lasting(&seen, already)
}

fn observed(way: &Way, step: Step, now: Moment) -> Option<Observed> {
    let from = way.first(step)?;
    let time = days(way.active_ms(from, way.until(now)));
    (time > 0.0).then_some(Observed { time, finished: matches!(way.end, End::Ready(_)) })
}

fn by_trails(
    zone: &Zone,
    pool: &[Observed],
    share: f64,
    now: Moment,
    group: Group,
    out: &mut Outlook,
) {
    let curve = Curve::of(pool, Confidence::USUAL);
    let quantile = curve.as_ref().ok().and_then(|curve| curve.quantile(share).ok());
    let (Ok(curve), Some(quantile)) = (curve, quantile) else {
        "nothing can be told from the trails".clone_into(&mut out.sentence);
        return;
    };
    out.seen = (curve.watched, curve.finished);
    let like = match out.basis {
        Basis::Kind => format!("{} like this (kind {group})", of_ten(share)),
        Basis::AllKinds | Basis::Table | Basis::Nothing => {
            format!("{} of all kinds", of_ten(share))
        }
    };
    let on = |by: By| match by {
        By::Time(time) => Some(day(zone, later(now, time))),
        By::NotReached => None,
    };
    let Quantile { by, low, high, .. } = quantile;
    out.day = on(by).flatten();
    out.limits = (on(low).flatten(), on(high).flatten());
    out.sentence = match (by, out.day) {
        (By::Time(time), Some(day)) => {
            let days = time.ceil();
            format!("{like} were ready within {days} days from here on: by {}", told(Some(day)))
        }
        (By::Time(_) | By::NotReached, _) => {
            let most = curve.steps.last().map_or(0.0, |step| 1.0 - step.longer);
            format!(
                "no day can be named: fewer than {like} were seen to be ready within {} days from \
                 here on, the longest that was watched; {} % were",
                digits(curve.longest, 3),
                digits(100.0 * most, 2)
            )
        }
    };
    out.why.push(format!(
        "{} watched from there, {} finished; the day lies between {} and {}, 19 times in 20",
        curve.watched,
        curve.finished,
        told(out.limits.0),
        told(out.limits.1)
    ));
}

/// How many of those that count as ready do so because they left: nobody said before that they were. They
/// may have been ready for long, so the day is rather too late than too early.
fn by_leaving(others: &[&Way], group: Option<Group>, step: Step, out: &mut Outlook) {
    let like = others.iter().filter(|way| group.is_none_or(|group| group == way.group));
    let ready = like.filter(|way| way.first(step).is_some() && matches!(way.end, End::Ready(_)));
    let (left, all) = ready.fold((0_u32, 0_u32), |(left, all), way| {
        (left.saturating_add(u32::from(way.by_leaving)), all.saturating_add(1))
    });
    if left > 0 && out.day.is_some() {
        let collected = format!("; {left} of {all} counted as ready when they were collected");
        out.sentence.push_str(&collected);
        out.why.push(format!(
            "{left} of {all} were never said to be ready (`inspect` does): the day of their collection \
             counts, so the day may be later than it need be"
        ));
    }
}

/// By the owner's own table, which counts from take-in.
fn by_table(state: &State, way: &Way, now: Moment, out: &mut Outlook) {
    let taken = way.passages.first().map_or(now, |(_, at)| *at);
    let Some(table) = habits::ready_days(state.settings(), way.group) else {
        let group = way.group;
        out.sentence = format!(
            "no day can be told: too few that were here as long have finished, and the owner's table has no days \
             for kind {group}; `burrline set-shop ready-days.{group} 60` sets them"
        );
        return;
    };
    let left = (table - days(way.active_ms(taken, now))).max(0.0);
    out.basis = Basis::Table;
    out.day = day(&Zone::of(state), later(now, left));
    out.sentence = format!(
        "by {}, by the owner's own table ({table} days for kind {}), not by what jobs took",
        told(out.day),
        way.group
    );
}

/// Which holds stopped the clock of others, by reason.
fn held(others: &[&Way], step: Step, now: Moment, out: &mut Outlook) {
    let mut by_reason: BTreeMap<&str, (u32, f64)> = BTreeMap::new();
    for way in others {
        let Some(from) = way.first(step) else { continue };
        for (why, ms) in way.held_ms(from, way.until(now)) {
            let (times, held) = by_reason.entry(why.as_str()).or_default();
            *times = times.saturating_add(1);
            *held += days(ms);
        }
    }
    let reasons: Vec<String> = by_reason
        .iter()
        .map(|(why, (times, held))| format!("{why} ({times}, {} days)", about(*held)))
        .collect();
    if !reasons.is_empty() {
        out.why.push(format!("holds stopped their clocks: {}", reasons.join(", ")));
    }
}

fn finished(pool: &[Observed]) -> u32 {
    count(pool.iter().filter(|seen| seen.finished).count())
}

/// A share as people say it: "8 of 10".
fn of_ten(share: f64) -> String {
    let tens = share * 10.0;
    if (tens - tens.round()).abs() < 1e-9 {
        format!("{} of 10", tens.round())
    } else {
        format!("{} of 100", digits(share * 100.0, 3))
    }
}

fn day(zone: &Zone, at: Moment) -> Option<Day> {
    let time = jiff::Timestamp::from_millisecond(at.0).ok()?;
    Some(Day(time.to_zoned_datetime(zone.0.clone()).date()))
}

fn told(day: Option<Day>) -> String {
    day.map_or_else(|| "not reached".to_owned(), |day| day.0.strftime("%a %d %b %Y").to_string())
}
