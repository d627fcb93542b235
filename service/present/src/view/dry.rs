//! Drying: what the weighings of a skull say, when to weigh next, and the first day for a measurer.

use burrline_domain::{
    State, Verb,
    fold::{Job, Until},
};
use burrline_reckon::{
    chance::Confidence,
    drying::{
        Weighing,
        constant::{Rule, Verdict},
        days,
        scale::Scale,
    },
    habits,
    quantity::{Grams, Hours},
    short,
    told::dry,
    working::digits,
};
use burrline_terms::{
    Day, Happened, Mass, Moment,
    words::{Piece, PlaceKind},
};
use rust_decimal::prelude::ToPrimitive as _;

use super::Zone;
use crate::units::{Units, decimal};

const HOUR_MS: f64 = 3_600_000.0;

/// What the weighings of a skull say.
#[derive(Debug, Clone, PartialEq)]
pub struct Drying {
    /// Whether it has stopped losing water.
    pub verdict: Verdict,
    /// Not before this moment does the next weighing count; none once it is dry.
    pub next: Option<Moment>,
    /// The last weighing that counts.
    pub weighed: Moment,
    /// The verdict and, where its curve can be told, when it will be dry.
    pub words: String,
}

/// What the weighings up to a moment say; none if it was not weighed since it last was wet.
pub fn drying(state: &State, job: &Job, upto: Moment) -> Option<Drying> {
    let wet = last_wet(state, job, upto);
    let since = job
        .masses
        .iter()
        .filter(|(when, _)| when.at <= upto && wet.is_none_or(|wet| when.at >= wet));
    let since: Vec<&(Happened, Mass)> = since.collect();
    let (first, last) = (since.first()?.0.at, since.last()?.0);
    let hours = |at: Moment| Hours(at.since(first).to_f64().unwrap_or(0.0) / HOUR_MS);
    // Every weighing of the shop tells of its scale.
    let scale = Scale::of(state.jobs().values().flat_map(|job| job.masses.iter().map(|(_, m)| *m)));
    let own = habits::scale_step(state.settings());
    let weighings: Vec<Weighing> = since
        .iter()
        .map(|(when, mass)| Weighing {
            not_before: hours(when.not_before),
            not_after: hours(when.not_after),
            mass: grams(*mass),
            step: coarser(own, scale.step(*mass)),
        })
        .collect();
    let rule = habits::dry_rule(state.settings());
    let dry::Told { verdict, next, from } = dry::tell(&weighings, rule, Confidence::USUAL)?;
    let moment = |hours: Hours| first.plus((hours.0 * HOUR_MS).to_i64().unwrap_or(i64::MAX));
    let next = next.map(moment);
    let zone = Zone::of(state);
    let mut words = sentence(state, verdict, rule);
    if let Some(next) = next {
        let again = dry::again(verdict).trim_end_matches(" at");
        words = format!("{words}; {again} {} or later", zone.time(next, None));
        if let Some(from) = from {
            // The doubt is hours wide; minutes would say more than is known.
            let on = |hours: f64| zone.time(whole_hour(moment(Hours(hours))), None);
            words = format!(
                "{words}; by its curve it is dry from about {} on ({} to {}, 95 % sure)",
                on(from.value),
                on(from.low),
                on(from.high)
            );
        }
    }
    Some(Drying { verdict, next, weighed: last.at, words })
}

/// When something is to be done to a skull that dries, and what: by its weighings, else by the
/// days of its kind from when it went on the rack.
pub(super) fn rack_due(state: &State, job: &Job) -> Option<(Moment, String)> {
    if let Some(drying) = drying(state, job, Moment(i64::MAX)) {
        return Some(match (drying.verdict, drying.next) {
            (Verdict::Constant { .. } | Verdict::Same { .. }, _) => {
                (drying.weighed, "coat it (constant mass)".to_owned())
            }
            (Verdict::TooCoarse { .. }, _) => {
                (drying.weighed, format!("weigh it on a finer scale ({})", drying.words))
            }
            (verdict, next) => (
                next.unwrap_or(drying.weighed),
                format!(
                    "weigh it ({})",
                    sentence(state, verdict, habits::dry_rule(state.settings()))
                ),
            ),
        });
    }
    let stay = job.stay_of(Piece::Skull)?;
    if !matches!(kind(state, &stay.place), Some(PlaceKind::Rack | PlaceKind::Dryer)) {
        return None;
    }
    let group = state.group_of(job);
    let planned = job.plan.iter().find(|step| step.step.as_str().contains("dry"));
    let planned = planned.and_then(|step| step.expected.minutes().to_f64());
    let sit = days::on_the_rack(group).grease_sit.map_or(0.0, |sit| sit.0);
    let hours = match (habits::rack_days(state.settings(), group), planned) {
        (Some(set), _) => set.0,
        // The plan is for the drying; grease takes its own time to show.
        (None, Some(minutes)) => minutes / 60.0 + sit,
        (None, None) => days::on_the_rack(group).whole().0,
    };
    let at = stay.from.at.plus((hours * HOUR_MS).to_i64().unwrap_or(i64::MAX));
    let whole = super::minutes((hours * 60.0).to_i64().unwrap_or(0));
    let sit = if sit > 0.0 { " with its grease sit" } else { "" };
    Some((at, format!("weigh or coat it (dry{sit}, {whole} planned)")))
}

/// Whether a skull dries: on a rack, or weighed since it last was wet, and not coated since.
pub(super) fn dries(state: &State, job: &Job) -> bool {
    let place = job.place().and_then(|place| kind(state, place));
    let coated = job.facts().filter(|(_, active)| *active).any(|(key, _)| {
        let coat = matches!(state.meaning(key.name), Some(Verb::Coat(_)));
        coat && job.masses.last().is_none_or(|(when, _)| key.at >= when.at)
    });
    match place {
        Some(PlaceKind::Rack | PlaceKind::Dryer) => !coated,
        Some(PlaceKind::Shelf | PlaceKind::Board) | None => {
            !coated && drying(state, job, Moment(i64::MAX)).is_some()
        }
        // In a water, with the beetles, in the ground or in the freezer nothing dries.
        Some(_) => false,
    }
}

/// The first day for an official measurer: counted, in the shop's zone, from the last time that the
/// skull can have been in any water; none if it never was in one, still is, or is of a kind that no
/// club measures.
pub fn measuring(state: &State, job: &Job) -> Option<Day> {
    let species = state.species_of(job);
    if !days::is_measured(state.group_of(job), species) {
        return None;
    }
    let mut last: Option<Moment> = None;
    for stay in job.stays.iter().filter(|stay| stay.piece == Piece::Skull) {
        if !kind(state, &stay.place).is_some_and(wets) {
            continue;
        }
        match stay.until {
            Until::Now => return None,
            Until::Said(when) | Until::Unsaid(when) => last = last.max(Some(when.not_after)),
        }
    }
    // Washing a head that never was in a pot wets it too; without any water nothing is known.
    let washed = wettings(state, job, Moment(i64::MAX)).max();
    let last = if last.is_some() { last.max(washed) } else { None };
    let left = jiff::Timestamp::from_millisecond(last?.0).ok()?;
    days::not_before(Day(left.to_zoned_datetime(Zone::of(state).0).date()))
}

/// The same as a line.
pub(super) fn measuring_words(state: &State, job: &Job) -> Option<String> {
    let day = measuring(state, job)?;
    Some(format!(
        "not before {day} ({} days in air since it was last in water)",
        days::AIR_DRYING_DAYS
    ))
}

/// When it was washed, rinsed or whitened by a moment.
fn wettings<'a>(state: &'a State, job: &'a Job, upto: Moment) -> impl Iterator<Item = Moment> + 'a {
    let facts = job.facts().filter(move |(key, active)| *active && key.at <= upto);
    let wet = facts.filter(|(key, _)| {
        matches!(state.meaning(key.name), Some(Verb::Wash(_) | Verb::Rinse(_) | Verb::Whiten(_)))
    });
    wet.map(|(key, _)| key.at)
}

/// When the skull was last wet by a moment; none if it never was.
fn last_wet(state: &State, job: &Job, upto: Moment) -> Option<Moment> {
    let stays = job.stays.iter().filter(|stay| stay.piece == Piece::Skull && stay.from.at <= upto);
    let baths = stays.filter(|stay| kind(state, &stay.place).is_some_and(wets));
    let out = baths.map(|stay| match stay.until {
        Until::Now => Moment(i64::MAX),
        Until::Said(when) | Until::Unsaid(when) => when.at,
    });
    out.chain(wettings(state, job, upto)).max()
}

fn kind(state: &State, place: &burrline_terms::Name) -> Option<PlaceKind> {
    state.shop().places.get(place).map(|place| place.kind)
}

/// Whether bone gets wet in such a place: in a water, and in the ground.
const fn wets(kind: PlaceKind) -> bool {
    kind.is_wet() || matches!(kind, PlaceKind::Ground)
}

fn whole_hour(at: Moment) -> Moment {
    const HOUR: i64 = 3_600_000;
    let half = at.plus(HOUR / 2).0;
    Moment(half.saturating_sub(half.rem_euclid(HOUR)))
}

/// The verdict as a hand reads it, with masses in the shop's units.
fn sentence(state: &State, verdict: Verdict, rule: Rule) -> String {
    let units = Units::of(state);
    // A scale that shows parts of an ounce shows grams too.
    let mass = |grams: Grams| {
        let shown = units.grams(decimal(grams.0));
        if shown.ends_with(" oz") && grams.0 < 28.0 {
            format!("{shown} ({} g)", digits(grams.0, 2))
        } else {
            shown
        }
    };
    let made = if units.is_us() { dry::Made::Ounces } else { dry::Made::Grams };
    short(&dry::sentence(verdict, rule, made, &mass))
}

/// The step that the shop says, where the digits of a reading claim a finer one.
fn coarser(own: Option<Grams>, shown: Grams) -> Grams {
    own.filter(|own| own.0 > shown.0).unwrap_or(shown)
}

fn grams(mass: Mass) -> Grams {
    Grams(mass.grams().to_f64().unwrap_or(0.0))
}
