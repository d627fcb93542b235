//! The next potful: what goes into a place next, in what order and why, and who is left out and why.
//!
//! Order, company and room are common practice, no source: second goes first, then by the day on
//! which a job has to go on to keep its promise, then by how long it has been thawed; young with
//! young; bear and hog apart from the rest and from each other; rotten last and alone. The shop's
//! own rules are asked about each one, as if the place were empty.
//!
//! * [`next`]: the potful of a place
//! * [`of_kind`]: the potfuls of all places of a kind, made together, so that no head is in two
//! * [`tomorrow`](tomorrow()): what to take out of the freezer, so that it is thawed in time
//! * `turn`: whose turn it is
//! * `start`: by when a job has to go on
//! * `room`: how many fit
//! * `choose`: who goes together

mod answer;
mod choose;
mod room;
mod start;
mod together;
mod tomorrow;
mod turn;

pub use answer::{next_answer, tomorrow_answer};
pub use together::of_kind;
pub use tomorrow::{TakeOut, Tomorrow, morning, tomorrow};

use std::collections::BTreeMap;

use burrline_domain::{
    State, Verb,
    fold::{Job, Opened},
    verb,
};
use burrline_host::Ruling;
use burrline_terms::{
    EntryName, Moment, Name, Skull,
    words::{Group, Piece, PlaceKind, WaterLook},
};

use self::{
    choose::{Candidate, choose},
    room::Room,
    start::Learnt,
    turn::{Turn, stopped, turn},
};
use crate::{ask, judge::Judge, season::Step, view::Zone};

/// The next potful of a place.
#[derive(Debug, Clone, PartialEq)]
pub struct Potful {
    /// The place.
    pub place: Name,
    /// What kind it is.
    pub kind: PlaceKind,
    /// What it holds, in words.
    pub room: String,
    /// What goes in, in this order.
    pub picks: Vec<Pick>,
    /// Who is left out.
    pub left_out: Vec<LeftOut>,
    /// Who is not ready, in numbers: "14 frozen".
    pub waiting: Vec<String>,
    /// What to do first: what is still in it, the water.
    pub first: Vec<String>,
}

/// One head of a potful.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pick {
    /// The job.
    pub job: EntryName,
    /// Why it, and why here in the order.
    pub reasons: Vec<String>,
    /// What to do to it first.
    pub first: Vec<String>,
}

/// One head that is left out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftOut {
    /// The job.
    pub job: EntryName,
    /// Why.
    pub why: String,
}

/// The next potful of a place, as if it were empty, at a moment. What is proposed for a place of the
/// same kind whose turn comes first is left out.
///
/// # Errors
/// The words to tell, if there is no such place or nothing is put together for it.
pub fn next(judge: &Judge, state: &State, place: &Name, now: Moment) -> Result<Potful, String> {
    let (kind, _) = step_of(state, place)?;
    let mut potfuls = together::up_to(judge, state, kind, Some(place), now);
    potfuls.pop().ok_or_else(|| format!("nothing is put together for {place}"))
}

/// The next potful of one place; `taken` names what other places have already, and which.
fn one(
    judge: &Judge,
    state: &State,
    place: &Name,
    (kind, step): (PlaceKind, Step),
    taken: &BTreeMap<EntryName, Name>,
    (learnt, now): (&Learnt, Moment),
) -> Potful {
    let room = Room::of(state, place);
    let mut pool = Vec::new();
    let mut left_out = Vec::new();
    let (mut frozen, mut not_fleshed) = (0_usize, 0_usize);
    for job in state.jobs().values() {
        let again = match turn(state, job, step, now) {
            Turn::NotNow => continue,
            Turn::Frozen => {
                frozen = frozen.saturating_add(1);
                continue;
            }
            Turn::NotFleshed => {
                not_fleshed = not_fleshed.saturating_add(1);
                continue;
            }
            Turn::Waits(why) => {
                left_out.push(LeftOut { job: job.id, why });
                continue;
            }
            Turn::First => None,
            Turn::Again(why) => Some(why),
        };
        if let Some(why) = stopped(job) {
            left_out.push(LeftOut { job: job.id, why });
            continue;
        }
        if let Some(other) = taken.get(&job.id) {
            left_out.push(LeftOut { job: job.id, why: format!("proposed for {other}") });
            continue;
        }
        let asked = asked(judge, state, &into(state, job, place), now);
        if let Some(why) = asked.against {
            left_out.push(LeftOut { job: job.id, why });
            continue;
        }
        let mut candidate = Candidate::of(state, job, step, again, learnt, now);
        candidate.first = asked.first;
        candidate.first.extend(turn::papers(job));
        match judge.fits(state, job, &into(state, job, place), now) {
            Ok(fits) => candidate.fits = fits.and_then(|fits| u32::try_from(fits.says).ok()),
            Err(why) => candidate.first.push(format!("how many fit was not checked: {why}")),
        }
        pool.push(candidate);
    }
    let chosen = choose(state, pool, room, kind);
    left_out.splice(0..0, chosen.left_out);
    let mut waiting = Vec::new();
    waiting.extend((not_fleshed > 0).then(|| format!("{not_fleshed} not fleshed yet")));
    waiting.extend((frozen > 0).then(|| format!("{frozen} frozen")));
    let lead = chosen.picks.first().and_then(|pick| state.job(pick.job));
    Potful {
        place: place.clone(),
        kind,
        room: room.words(place),
        first: first(state, place, lead, now),
        picks: chosen.picks,
        left_out,
        waiting,
    }
}

/// The kind of a place and the step that is done in it.
fn step_of(state: &State, place: &Name) -> Result<(PlaceKind, Step), String> {
    let places = &state.shop().places;
    let Some(known) = places.get(place) else {
        let known: Vec<&str> = places.keys().map(Name::as_str).take(8).collect();
        return Err(if known.is_empty() {
            "no place was added yet; add one with `burrline add-place pot-1 pot --volume 40L`"
                .to_owned()
        } else {
            format!("no place is called {place}; there are {}", known.join(", "))
        });
    };
    let step = Step::ALL.iter().copied().find(|step| step.kind() == Some(known.kind));
    step.map(|step| (known.kind, step)).ok_or_else(|| {
        format!(
            "{place} is a {}; a potful is put together for a pot, tank, tub, rack, colony, warm-bath, \
             soak or ground, and `burrline next tomorrow` says what to take out of the freezer",
            known.kind
        )
    })
}

/// What the shop's rules say of a head going in, the place being empty.
#[derive(Debug, Default)]
struct Asked {
    /// What to do to it first.
    first: Vec<String>,
    /// What no step settles.
    against: Option<String>,
}

/// A skull going into a place, as a line.
pub(crate) fn into(state: &State, job: &Job, place: &Name) -> Verb {
    verb::In { place: place.clone(), skull: skull(state, job) }.into()
}

fn skull(state: &State, job: &Job) -> Skull {
    Skull { tag: state.tag_of(job.id).cloned(), job: Some(job.id), piece: Piece::Skull }
}

fn asked(judge: &Judge, state: &State, verb: &Verb, now: Moment) -> Asked {
    let mut out = Asked::default();
    for ruling in judge.rulings_if_empty(state, verb, now) {
        let words = ruling.words().unwrap_or_default().trim_end_matches('.').to_owned();
        match &ruling {
            Ruling::No { .. } if ask::missing(state, ruling.rule(), verb, now).is_empty() => {
                out.against = Some(match out.against {
                    Some(before) => format!("{before}; {words}"),
                    None => words,
                });
            }
            Ruling::No { .. } | Ruling::Remark { .. } => out.first.push(words),
            Ruling::NotChecked(failure) => out.first.push(format!("not checked: {failure}")),
            Ruling::Fine { .. } => {}
        }
    }
    out
}

/// What to do to the place first: what is in it comes out, and a water that had other company in it
/// is changed.
fn first(state: &State, place: &Name, lead: Option<&Job>, now: Moment) -> Vec<String> {
    let mut first = Vec::new();
    let called = |job: &Job| {
        let tag = state.tag_of(job.id).map(ToString::to_string);
        tag.unwrap_or_else(|| job.id.job_number())
    };
    let there: Vec<String> = state.here(place).map(called).collect();
    if !there.is_empty() {
        first.push(format!("out first: {}", there.join(", ")));
    }
    let bath = state.waters().get(place).and_then(|water| water.bath());
    let (Some(bath), Some(lead)) = (bath, lead) else { return first };
    let was_in = state.jobs().values().find(|job| {
        let in_it = job.stays.iter().any(|stay| {
            stay.place == *place && stay.longest_until(now) > bath.from.at && stay.from.at <= now
        });
        in_it && job.id != lead.id && (water(state, job) != water(state, lead) || job.rotten())
    });
    if let Some(job) = was_in {
        let what =
            if job.rotten() { "rotten".to_owned() } else { turn::group(state, job).to_string() };
        let since = Zone::of(state).time(bath.from.at, Some(now));
        first.push(format!(
            "change the water: {what} {} was in it, and it is of {since}",
            called(job)
        ));
    }
    let foul = state.waters().get(place).and_then(|water| water.baths.iter().rev().nth(1));
    if let Some(WaterLook::Foul) = foul.and_then(|old| old.until.and_then(|(_, look)| look))
        && bath.opened == Opened::Changed
    {
        first.push("the water before this one was foul: look before it goes in".to_owned());
    }
    first
}

/// Who may share a water: bear and hog go apart, from the rest and from each other.
fn water(state: &State, job: &Job) -> Option<Group> {
    let group = turn::group(state, job);
    matches!(group, Group::Bear | Group::Hog).then_some(group)
}
