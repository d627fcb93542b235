//! One head as a tally sees it.

use std::collections::BTreeMap;

use burrline_domain::{
    State, Verb,
    fold::{Bath, Job, Stay},
    verb,
};
use burrline_terms::{
    Moment, Name,
    words::{Mark, Piece, PlaceKind, Tissue, Whose},
};

use super::asked::By;
use crate::{
    season::{End, Step, Way},
    view::Zone,
};

/// What stands where nothing was said.
pub(super) const NOT_SAID: &str = "not said";

/// One head.
#[allow(
    clippy::struct_excessive_bools,
    reason = "each is a fact of its own about the head, in any combination"
)]
pub(super) struct Case<'a> {
    /// The job.
    pub(super) job: &'a Job,
    /// Its way to ready.
    pub(super) way: Way,
    /// Whether it was in a pot.
    pub(super) heated: bool,
    /// Whether it was in a place where bone comes clean: a pot, a colony, a warm bath.
    pub(super) cleaned: bool,
    /// The worst that was said of how it came out, by the last word on each.
    pub(super) worst: Option<Mark>,
    /// Whether its pots are behind it: it was clean since, or has ended.
    pub(super) through: bool,
    /// How often it went into a pot.
    pub(super) goes: u32,
    /// Minutes of heat.
    pub(super) heat: f64,
    /// Days to ready; none if it is not.
    pub(super) days: Option<f64>,
    /// What was damaged here, and whether nobody knows whose it was.
    pub(super) damaged: Vec<(Piece, bool)>,
    /// Whether there was a dispute.
    pub(super) disputed: bool,
    /// Whether it was brought back.
    pub(super) back: bool,
    labels: BTreeMap<&'static str, String>,
}

impl Case<'_> {
    /// What it is told apart by.
    pub(super) fn label(&self, by: By) -> &str {
        if by == By::All {
            return "all";
        }
        self.labels.get(by.word()).map_or(NOT_SAID, String::as_str)
    }
}

/// The heads of a season, or of all.
pub(super) fn cases(state: &State, season: Option<i16>, now: Moment) -> Vec<Case<'_>> {
    let zone = Zone::of(state);
    let all = state.jobs().values().filter_map(|job| case(state, job, &zone, now));
    let year = season.map(|year| year.to_string());
    all.filter(|case| year.as_deref().is_none_or(|year| case.label(By::Season) == year)).collect()
}

fn case<'a>(state: &'a State, job: &'a Job, zone: &Zone, now: Moment) -> Option<Case<'a>> {
    let taken_in = job.taken_in?.at;
    let way = Way::of(state, job);
    let pots: Vec<&Stay> = job.stays.iter().filter(|stay| in_pot(state, stay)).collect();
    let first = pots.first().copied();
    let cleaning = job.stays.iter().find(|stay| {
        stay.piece == Piece::Skull && kind(state, &stay.place).is_some_and(PlaceKind::cleans)
    });
    let days = match way.end {
        End::Ready(at) => {
            let from = way.first(Step::TakeIn).unwrap_or(taken_in);
            Some(days(way.active_ms(from, at)))
        }
        End::Left(_) | End::Going => None,
    };
    let clean = job.look.as_ref().is_some_and(|look| look.tissue == Some(Tissue::Clean));
    let heat: i64 = pots.iter().fold(0, |sum, pot| sum.saturating_add(pot.longest_ms(now)));
    let mut case = Case {
        job,
        heated: first.is_some(),
        cleaned: cleaning.is_some(),
        worst: worst(state, job),
        through: clean || job.ended.is_some(),
        goes: u32::try_from(pots.len()).unwrap_or(u32::MAX),
        heat: days_of(heat, 60_000.0),
        days,
        damaged: Vec::new(),
        disputed: false,
        back: false,
        labels: BTreeMap::new(),
        way,
    };
    label_head(&mut case, state, zone, taken_in);
    label_pot(&mut case, state, first);
    label_way(&mut case, state, cleaning);
    Some(case)
}

/// What is said of the head itself.
fn label_head(case: &mut Case<'_>, state: &State, zone: &Zone, taken_in: Moment) {
    let day = zone.day(taken_in);
    let took = case.job.take_in.as_ref();
    let mut put = |by: By, label: Option<String>| {
        case.labels.extend(label.map(|label| (by.word(), label)));
    };
    put(By::Season, day.map(|day| state.settings().season_of(day).to_string()));
    put(By::Month, day.map(|day| day.0.strftime("%Y-%m").to_string()));
    put(By::Kind, Some(case.way.group.word().to_owned()));
    let species = state.species_of(case.job).to_owned();
    put(By::Species, Some(species).filter(|species| !species.is_empty()));
    put(By::Age, took.and_then(|took| took.age.as_ref()).map(ToString::to_string));
    put(By::Arrival, took.and_then(|took| took.arrival).map(|state| state.word().to_owned()));
}

/// What is said of its first pot, and what befell it.
#[allow(
    clippy::wildcard_enum_match_arm,
    reason = "the few verbs that a tally looks at are named; all others tell it nothing"
)]
fn label_pot(case: &mut Case<'_>, state: &State, first: Option<&Stay>) {
    let before = first.map(|stay| stay.from.at);
    let (mut nose, mut ears) = ("left", "left");
    for (key, active) in case.job.facts() {
        let Some(verb) = state.meaning(key.name).filter(|_| active) else { continue };
        let piece = verb.skull().map(|skull| skull.piece);
        let early = before.is_some_and(|pot| key.at <= pot);
        match (verb, piece) {
            (Verb::Bag(_), Some(Piece::Nose)) if early => nose = "off",
            (Verb::Tie(_), Some(Piece::Nose)) if early => nose = "tied",
            (Verb::Bag(_), Some(Piece::Ears)) if early => ears = "off",
            (Verb::Damage(damage), Some(piece)) if damage.whose != Some(Whose::AsFound) => {
                case.damaged.push((piece, damage.whose != Some(Whose::Ours)));
            }
            (Verb::Dispute(_), _) => case.disputed = true,
            (Verb::BringBack(_), _) => case.back = true,
            _ => {}
        }
    }
    let Some(first) = first else { return };
    case.labels.insert(By::Nose.word(), nose.to_owned());
    case.labels.insert(By::Ears.word(), ears.to_owned());
    let recipe = bath_at(state, &first.place, first.from.at).and_then(|bath| bath.recipe.as_ref());
    case.labels.extend(recipe.map(|recipe| (By::Recipe.word(), recipe.to_string())));
    let hand = state.fact(first.entry).and_then(|fact| fact.record.entry.hand.as_ref());
    case.labels.extend(hand.map(|hand| (By::Hand.word(), hand.to_string())));
}

/// By which way it was cleaned, in which waters, and by whose hand where it was in no pot.
fn label_way(case: &mut Case<'_>, state: &State, cleaning: Option<&Stay>) {
    let job = case.job;
    let said = state.way_of(job).map(|way| way.name.into_owned());
    let step = || {
        let passed = case.way.passages.iter().find(|(step, _)| step.cleans());
        passed.map(|(step, _)| step.word().to_owned())
    };
    let way = said.or_else(step);
    case.labels.extend(way.map(|way| (By::Way.word(), way)));
    let mut recipes: Vec<String> = Vec::new();
    for stay in job.stays.iter().filter(|stay| stay.piece == Piece::Skull) {
        let baths = state.waters().get(&stay.place).into_iter().flat_map(|water| &water.baths);
        let in_it = baths.filter(|bath| {
            bath.from.at == stay.from.at
                || stay.covers(bath.from.at)
                || bath_at(state, &stay.place, stay.from.at).is_some_and(|at| at.id == bath.id)
        });
        for recipe in in_it.filter_map(|bath| bath.recipe.as_ref()) {
            let recipe = recipe.to_string();
            if !recipes.contains(&recipe) {
                recipes.push(recipe);
            }
        }
    }
    let waters = Some(recipes.join(" + ")).filter(|waters| !waters.is_empty());
    case.labels.extend(waters.map(|waters| (By::Waters.word(), waters)));
    if !case.labels.contains_key(By::Hand.word()) {
        let fact = cleaning.and_then(|stay| state.fact(stay.entry));
        let hand = fact.and_then(|fact| fact.record.entry.hand.as_ref());
        case.labels.extend(hand.map(|hand| (By::Hand.word(), hand.to_string())));
    }
}

/// The worst that was said of how a head came out: of each thing that is graded the last word counts.
fn worst(state: &State, job: &Job) -> Option<Mark> {
    let mut last: [Option<Mark>; 8] = [None; 8];
    for (key, active) in job.facts() {
        let Some(Verb::Grade(grade)) = state.meaning(key.name).filter(|_| active) else { continue };
        let verb::Grade {
            skull: _,
            tissue,
            grease,
            smell,
            dust,
            seams,
            teeth,
            burr,
            whiteness,
            words: _,
        } = grade;
        let said = [tissue, grease, smell, dust, seams, teeth, burr, whiteness];
        for (last, said) in last.iter_mut().zip(said) {
            *last = said.or(*last);
        }
    }
    last.into_iter().flatten().min()
}

/// The water of a place at a moment.
fn bath_at<'a>(state: &'a State, place: &Name, at: Moment) -> Option<&'a Bath> {
    state.waters().get(place)?.bath_at(at)
}

/// Whether a stay is one of the skull in a pot.
pub(super) fn in_pot(state: &State, stay: &Stay) -> bool {
    stay.piece == Piece::Skull && kind(state, &stay.place) == Some(PlaceKind::Pot)
}

/// What kind of place a place is.
pub(super) fn kind(state: &State, place: &Name) -> Option<PlaceKind> {
    state.shop().places.get(place).map(|place| place.kind)
}

fn days(ms: i64) -> f64 {
    days_of(ms, 86_400_000.0)
}

fn days_of(ms: i64, unit: f64) -> f64 {
    use rust_decimal::prelude::ToPrimitive as _;
    ms.to_f64().unwrap_or(0.0) / unit
}
