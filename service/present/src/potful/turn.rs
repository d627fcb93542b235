//! Whose turn it is: which job wants a step now, for the first time or again, and who nearly does.

use burrline_domain::{
    State,
    fold::{Job, Standing, Stay, Until},
};
use burrline_reckon::habits;
use burrline_terms::{
    Moment,
    words::{Arrival, Group, Obtained, Piece, PlaceKind, TestResult, Tissue, YesNo},
};
use rust_decimal::prelude::ToPrimitive as _;

use crate::{
    season::{Step, Way},
    view::{Zone, kind_of},
};

/// Whether a job wants a step now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Turn {
    /// It is somewhere else on its way, and nobody wonders.
    NotNow,
    /// For the first time.
    First,
    /// Once more, and why.
    Again(String),
    /// Nearly: what is in the way.
    Waits(String),
    /// It lies frozen.
    Frozen,
    /// Nobody has had the knife at it yet.
    NotFleshed,
}

/// Whether a job wants a step at a moment.
pub(super) fn turn(state: &State, job: &Job, step: Step, now: Moment) -> Turn {
    if job.ended.is_some() || job.place().and_then(|p| kind_of(state, p)) == step.kind() {
        return Turn::NotNow;
    }
    let way = Way::of(state, job);
    if step.cleans() {
        return cleaning(state, job, &way, step, now);
    }
    match step {
        Step::Degrease => degrease(state, job, &way),
        Step::Whiten => whiten(state, job, &way),
        Step::Dry => dry(state, job, &way),
        Step::TakeIn
        | Step::Flesh
        | Step::Simmer
        | Step::Beetles
        | Step::Macerate
        | Step::Warm
        | Step::Enzyme
        | Step::Bury
        | Step::Wash
        | Step::Coat => Turn::NotNow,
    }
}

/// What stands against work on a job at all: who holds it, and what waits for an answer.
pub(super) fn stopped(job: &Job) -> Option<String> {
    if let Some(why) = &job.hold {
        return Some(format!("on hold: {why}"));
    }
    if job.disputed {
        return Some("its dispute is open".to_owned());
    }
    let papers = job.papers.as_ref();
    let area = papers.and_then(|papers| papers.disease_area) == Some(YesNo::Yes);
    match papers.and_then(|papers| papers.test) {
        Some(TestResult::Detected) => {
            Some("disease detected: stop, keep it apart, and call the wildlife agency".to_owned())
        }
        Some(TestResult::Pending) => Some("its disease test is not back".to_owned()),
        Some(TestResult::NotTested) | None if area => {
            Some("from a disease area, and no test result".to_owned())
        }
        Some(TestResult::NotDetected | TestResult::NotTested) | None => None,
    }
}

/// Which papers are missing, whether or not a rule of the shop waits for them.
pub(super) fn papers(job: &Job) -> Option<String> {
    let obtained = job.take_in.as_ref().and_then(|take_in| take_in.obtained);
    let found = matches!(obtained, Some(Obtained::FoundDead | Obtained::RoadKill));
    let number = if found { "salvage permit" } else { "kill tag or confirmation number" };
    let Some(papers) = &job.papers else {
        return Some(format!("papers missing: none are noted, neither {number} nor hunter"));
    };
    let numbered = papers.kill_tag.is_some()
        || papers.salvage_permit.is_some()
        || papers.agency_seal.is_some();
    (!numbered).then(|| format!("papers missing: no {number}"))
}

/// Since when a head is thawed, or has been here without having been frozen.
pub(super) fn thawed(state: &State, job: &Job) -> Option<Moment> {
    let group = group(state, job);
    let out =
        job.stays.iter().rev().filter(|stay| stay.piece == Piece::Skull).find_map(
            |stay| match stay.until {
                Until::Said(when) | Until::Unsaid(when)
                    if kind_of(state, &stay.place) == Some(PlaceKind::Freezer) =>
                {
                    Some(when.at)
                }
                Until::Now | Until::Said(_) | Until::Unsaid(_) => None,
            },
        );
    let from = out.or_else(|| taken_frozen(job))?;
    let thawed = from.plus(thaw_ms(state, group));
    // Where the knife went in before that, it was thawed by then.
    let way = Way::of(state, job);
    let cut = way.passages.iter().find(|(step, at)| *step == Step::Flesh && *at >= from);
    Some(cut.map_or(thawed, |(_, at)| thawed.min(*at)))
}

/// How long a head of a kind takes to thaw.
pub(super) fn thaw_ms(state: &State, group: Group) -> i64 {
    (habits::thaw(state.settings(), group).0 * 3_600_000.0).to_i64().unwrap_or(0)
}

/// The kind of animal.
pub(super) fn group(state: &State, job: &Job) -> Group {
    state.group_of(job)
}

/// A head that came frozen and lies in no place thaws from when it came.
fn taken_frozen(job: &Job) -> Option<Moment> {
    let frozen = job.take_in.as_ref().is_some_and(|t| t.arrival == Some(Arrival::Frozen));
    job.taken_in.filter(|_| frozen).map(|taken| taken.at)
}

/// The kind of place in which a job comes clean, and whether that is planned.
fn cleans_in(state: &State, job: &Job) -> (Option<PlaceKind>, bool) {
    match state.cleaning_of(job) {
        Some(row) => (row.kind, true),
        None => (Step::Simmer.kind(), job.plan.is_empty()),
    }
}

fn cleaning(state: &State, job: &Job, way: &Way, step: Step, now: Moment) -> Turn {
    let on = [Step::Degrease, Step::Whiten, Step::Dry, Step::Coat];
    let (kind, planned) = cleans_in(state, job);
    if kind != step.kind() {
        return Turn::NotNow;
    }
    if let Some((_, last)) = way.passages.iter().rev().find(|(step, _)| step.cleans()) {
        if way.passages.iter().any(|(step, at)| at > last && on.contains(step)) {
            return Turn::NotNow;
        }
        let look = job.look.as_ref().filter(|look| look.happened.at >= *last);
        return match look.and_then(|look| look.tissue) {
            Some(Tissue::Clean) => Turn::NotNow,
            Some(tissue) => Turn::Again(format!("last look {tissue}")),
            None => Turn::Waits(format!(
                "out of the {} and not looked at: look says clean or not",
                kind.map_or("place", PlaceKind::word)
            )),
        };
    }
    let passed = way.passages.iter().any(|(step, _)| on.contains(step));
    if passed || bare(job) || !planned {
        return Turn::NotNow;
    }
    let standing = job.standing(Piece::Skull, |place| kind_of(state, place));
    if let Standing::In(_, Some(PlaceKind::Freezer)) = standing {
        return Turn::Frozen;
    }
    let zone = Zone::of(state);
    let fleshed = way.first(Step::Flesh).is_some();
    match thawed(state, job) {
        Some(at) if at > now && !fleshed => {
            let since = at.plus(thaw_ms(state, group(state, job)).saturating_neg());
            let (since, by) = (zone.time(since, Some(now)), zone.time(at, Some(now)));
            Turn::Waits(format!("thawing since {since}, thawed by {by}"))
        }
        Some(at) if !fleshed => {
            Turn::Waits(format!("thawed since {}, not fleshed yet", zone.time(at, Some(now))))
        }
        None if !fleshed => Turn::NotFleshed,
        Some(_) | None => Turn::First,
    }
}

fn degrease(state: &State, job: &Job, way: &Way) -> Turn {
    if frozen(state, job) {
        return Turn::Frozen;
    }
    if let Some(why) = beetles_in_it(state, job) {
        return if clean(state, job, way) { Turn::Waits(why) } else { Turn::NotNow };
    }
    match (way.first(Step::Degrease), job.greasy) {
        _ if !clean(state, job, way) => Turn::NotNow,
        (Some(_), true) => Turn::Again("grease still shows".to_owned()),
        (None, true) => Turn::First,
        (None, false) if degreases(job) && !beyond(way, &[Step::Whiten, Step::Dry]) => Turn::First,
        (Some(_) | None, false) => Turn::NotNow,
    }
}

/// What stands against any work on a head that comes from the beetles and was not frozen since,
/// though its plan freezes it.
fn beetles_in_it(state: &State, job: &Job) -> Option<String> {
    let kind = |stay: &Stay| kind_of(state, &stay.place);
    let freezes = job.plan.iter().any(|step| {
        let row = state.shop().ways.step(step.step.as_str());
        row.is_some_and(|row| row.kind == Some(PlaceKind::Freezer))
    });
    let skull = job.stays.iter().rev().filter(|stay| stay.piece == Piece::Skull);
    let last =
        skull.map(kind).find(|kind| matches!(kind, Some(PlaceKind::Colony | PlaceKind::Freezer)));
    (freezes && last == Some(Some(PlaceKind::Colony)))
        .then(|| "straight from the beetles: freeze it first".to_owned())
}

fn whiten(state: &State, job: &Job, way: &Way) -> Turn {
    let waiting = degreases(job) && way.first(Step::Degrease).is_none();
    let done = beyond(way, &[Step::Whiten, Step::Dry, Step::Coat]);
    if done || waiting || !plans(job, Step::Whiten) || !clean(state, job, way) {
        return Turn::NotNow;
    }
    match job.place().and_then(|place| kind_of(state, place)) {
        Some(PlaceKind::Freezer) => Turn::Frozen,
        // Elsewhere it is in the middle of something.
        Some(PlaceKind::Tub | PlaceKind::Shelf | PlaceKind::Board) | None => {
            if let Some(why) = beetles_in_it(state, job) {
                Turn::Waits(why)
            } else if job.greasy {
                Turn::Waits("grease shows: degrease it first".to_owned())
            } else {
                Turn::First
            }
        }
        Some(_) => Turn::NotNow,
    }
}

fn dry(state: &State, job: &Job, way: &Way) -> Turn {
    let last = |step: Step| way.passages.iter().rev().find(|(s, _)| *s == step).map(|(_, at)| *at);
    let wet = last(Step::Whiten).max(last(Step::Degrease));
    let dried = last(Step::Dry).max(last(Step::Coat));
    let whitened = last(Step::Whiten).is_some() || !plans(job, Step::Whiten);
    match job.place().and_then(|place| kind_of(state, place)) {
        Some(PlaceKind::Freezer) => Turn::Frozen,
        Some(PlaceKind::Rack | PlaceKind::Shelf | PlaceKind::Board) | None
            if wet.is_some() && whitened && dried < wet =>
        {
            Turn::First
        }
        Some(_) | None => Turn::NotNow,
    }
}

fn frozen(state: &State, job: &Job) -> bool {
    job.place().and_then(|place| kind_of(state, place)) == Some(PlaceKind::Freezer)
}

fn beyond(way: &Way, steps: &[Step]) -> bool {
    way.passages.iter().any(|(step, _)| steps.contains(step))
}

/// Whether it is bone: it came so, or the last look since the pot was clean and it is out of it.
fn clean(state: &State, job: &Job, way: &Way) -> bool {
    let last = way.passages.iter().rev().find(|(step, _)| step.cleans());
    let Some((_, last)) = last else { return bare(job) || !cleans_in(state, job).1 };
    let look = job.look.as_ref().filter(|look| look.happened.at >= *last);
    let in_pot = job.place().and_then(|place| kind_of(state, place)).is_some_and(PlaceKind::cleans);
    !in_pot && look.and_then(|look| look.tissue) == Some(Tissue::Clean)
}

fn bare(job: &Job) -> bool {
    job.take_in.as_ref().is_some_and(|take_in| take_in.arrival == Some(Arrival::Bare))
}

/// Whether a step is in its plan; a job without a plan goes through all but the tank.
pub(super) fn plans(job: &Job, step: Step) -> bool {
    if job.plan.is_empty() {
        return step == Step::Simmer || (step != Step::Degrease && !step.cleans());
    }
    job.plan.iter().any(|planned| planned.step.as_str().contains(step.word()))
}

fn degreases(job: &Job) -> bool {
    plans(job, Step::Degrease) || job.greasy
}
