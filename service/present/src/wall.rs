//! What hangs on the wall: what rings next, every water, what does not fit, what was promised. No
//! names of customers and no money.
//!
//! A bench is told as not heard from by the last line that it recorded. One that only reads
//! leaves no trace on the log.

use std::collections::BTreeMap;

use burrline_domain::State;
use burrline_proto::v1;
use burrline_terms::{
    Day, Moment,
    words::{PlaceKind, Role},
};

use crate::{
    closing,
    judge::Judge,
    potful,
    view::{Zone, change_due, clashes_on_wall, floor_at, rings},
};

/// How far ahead rings are shown: hours.
const AHEAD_HOURS: i64 = 12;

/// How far ahead rings are shown where there is room: hours.
const LATER_HOURS: i64 = 72;

/// How far ahead promises are shown: days.
const WEEK_DAYS: i32 = 7;

/// A bench that said nothing for so long is named: hours. Common practice, no source.
const SILENT_HOURS: i64 = 12;

const HOUR_MS: i64 = 3_600_000;

/// The wall.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Wall {
    /// What rings next, and what rings already.
    pub rings: Vec<v1::DueLine>,
    /// What rings after that, for a screen that has the room.
    pub later: Vec<v1::DueLine>,
    /// Places with water.
    pub waters: Vec<Water>,
    /// Places without water that hold something, for a screen that has the room.
    pub dry: Vec<v1::PlaceLine>,
    /// The next potful of each pot.
    pub next: Vec<Next>,
    /// What does not fit, strays among it: when, whose tag, and in what words.
    pub clashes: Vec<v1::ClashLine>,
    /// Tags by the day that they are promised for, those overdue first.
    pub promised: BTreeMap<Day, Vec<String>>,
    /// Held jobs: tag and reason.
    pub holds: Vec<(String, String)>,
    /// Benches not heard from, and when they last were.
    pub silent: Vec<(String, Option<Moment>)>,
}

/// One place with water.
#[derive(Debug, Clone, PartialEq)]
pub struct Water {
    /// The place with its bath, and what is in it.
    pub line: v1::PlaceLine,
    /// When its water is to be changed, by its recipe.
    pub change: Option<Moment>,
    /// Since when it is lit, and how; none if nothing burns under it, as far as was said.
    pub lit: Option<v1::LitLine>,
}

/// The next potful of a pot.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Next {
    /// The pot.
    pub place: String,
    /// Tags, in order.
    pub tags: Vec<String>,
    /// Why the first comes first.
    pub why: String,
    /// All reasons of each, in the order of the tags.
    pub reasons: Vec<String>,
}

/// The wall at a moment, by the rules in force. `heard` is up to when the shop's log is known here: a
/// bench that is away itself cannot tell who else is silent since.
pub fn wall(judge: &Judge, state: &State, now: Moment, heard: Moment) -> Wall {
    let until = now.plus(AHEAD_HOURS.saturating_mul(HOUR_MS));
    let mut rings = rings(state, now.plus(LATER_HOURS.saturating_mul(HOUR_MS)));
    let soon = rings.partition_point(|line| line.at_ms <= until.0);
    let later = rings.split_off(soon);
    let (mut waters, dry) = places(state, now);
    // On a low screen the last lines are left out: what burns and what is due must not be among them.
    waters.sort_by_key(|water| (water.lit.is_none(), water.change.is_none_or(|at| at > now)));
    Wall {
        rings,
        later,
        waters,
        dry,
        next: next(judge, state, now),
        clashes: clashes_on_wall(state)
            .into_iter()
            .filter(|clash| !of_money(state, clash))
            .collect(),
        promised: promised(state, now),
        holds: holds(state),
        silent: silent(state, heard.min(now)),
    }
}

/// The places with water, and the others that hold something.
fn places(state: &State, now: Moment) -> (Vec<Water>, Vec<v1::PlaceLine>) {
    let (wet, dry): (Vec<v1::PlaceLine>, Vec<v1::PlaceLine>) =
        floor_at(state, "", now).places.into_iter().partition(|place| {
            let kind = PlaceKind::from_number(place.kind);
            let wet = kind.is_some_and(PlaceKind::is_wet);
            place.bath.is_some() || (wet && !place.here.is_empty())
        });
    let waters = wet.into_iter().map(|line| {
        let name = state.waters().iter().find(|(name, _)| name.as_str() == line.name);
        let bath = name.and_then(|(_, water)| water.bath());
        let change = bath.and_then(|bath| change_due(state, bath));
        let lit = name.zip(bath).and_then(|((name, _), bath)| closing::lit(name, bath));
        Water { line, change, lit }
    });
    (waters.collect(), dry.into_iter().filter(|place| !place.here.is_empty()).collect())
}

/// The next potful of each pot, colony or bath that has one; no head is in two of them.
fn next(judge: &Judge, state: &State, now: Moment) -> Vec<Next> {
    let kinds = PlaceKind::ALL.iter().copied().filter(|kind| kind.cleans());
    let filled = kinds.flat_map(|kind| potful::of_kind(judge, state, kind, now));
    let filled = filled.filter(|potful| !potful.picks.is_empty());
    filled
        .map(|potful| Next {
            place: potful.place.to_string(),
            tags: potful.picks.iter().map(|pick| called(state, pick.job)).collect(),
            why: potful
                .picks
                .first()
                .and_then(|pick| pick.reasons.first().cloned())
                .unwrap_or_default(),
            reasons: potful.picks.iter().map(|pick| pick.reasons.join("; ")).collect(),
        })
        .collect()
}

/// Whether a clash is about money, which does not hang on a wall.
fn of_money(state: &State, clash: &v1::ClashLine) -> bool {
    let name = clash.entry.map(|entry| burrline_terms::EntryName::new(entry.life, entry.n));
    let verb = name.and_then(|name| state.fact(name)).map(|fact| fact.record.entry.verb.spec());
    let money = |word| matches!(word, "pay" | "refund" | "charge" | "quote" | "agree" | "extra");
    verb.is_some_and(|spec| money(spec.word) || spec.word.contains("stock"))
}

fn promised(state: &State, now: Moment) -> BTreeMap<Day, Vec<String>> {
    let mut days: BTreeMap<Day, Vec<String>> = BTreeMap::new();
    let until = Zone::of(state)
        .day(now)
        .and_then(|today| today.0.checked_add(jiff::Span::new().days(WEEK_DAYS)).ok().map(Day));
    for job in state.jobs().open() {
        let Some(day) = job.promise.filter(|day| until.is_none_or(|until| *day <= until)) else {
            continue;
        };
        days.entry(day).or_default().push(called(state, job.id));
    }
    days
}

fn holds(state: &State) -> Vec<(String, String)> {
    let open = state.jobs().open();
    open.filter_map(|job| Some((called(state, job.id), job.hold.as_ref()?.to_string()))).collect()
}

/// Benches that work, by the shop's time of the last record that they sent.
fn silent(state: &State, now: Moment) -> Vec<(String, Option<Moment>)> {
    let limit = now.plus(SILENT_HOURS.saturating_mul(HOUR_MS).saturating_neg());
    let benches = state.shop().benches.iter();
    benches
        .filter(|(_, bench)| !bench.retired && bench.role != Role::Viewer)
        .map(|(life, bench)| (bench.name.to_string(), state.heard(*life)))
        .filter(|(_, heard)| heard.is_none_or(|heard| heard < limit))
        .collect()
}

fn called(state: &State, job: burrline_terms::EntryName) -> String {
    state.tag_of(job).map_or_else(|| job.job_number(), ToString::to_string)
}
