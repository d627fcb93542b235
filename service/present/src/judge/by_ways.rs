//! What scripts see of ways and animals: the step that an act begins, the steps that were, what the
//! head bears.

use burrline_domain::{State, Verb, fold::Job, verb::Verb as V};
use burrline_host::{JobFacts, VerbFacts};
use burrline_terms::{
    Name,
    words::{Headgear, Much, Piece, PlaceKind},
};
use rust_decimal::prelude::ToPrimitive as _;

use crate::view::kind_of;

/// Fills in what is known of the job by its way and its animal.
pub(super) fn of_job(facts: &mut JobFacts, state: &State, job: &Job) {
    let animal = state.animal(job);
    let (size, grease) = (state.head_of(job).size, state.head_of(job).grease);
    size.word().clone_into(&mut facts.size);
    facts.grease = i64::from(grease);
    facts.greasy |= grease >= 3;
    facts.most_heat = animal.most_heat.and_then(|span| span.minutes().to_i64());
    facts.sheaths_on = bears(state, job, Headgear::Horns)
        && !off(job, &[&[Piece::Sheaths], &[Piece::SheathLeft, Piece::SheathRight]]);
    facts.tusks_in = bears(state, job, Headgear::Tusks)
        && !off(job, &[&[Piece::Tusks], &[Piece::TuskLeft, Piece::TuskRight]]);
    facts.way = job.way.as_ref().map(ToString::to_string).unwrap_or_default();
    facts.planned = job.plan.iter().map(|step| word_of(state, step.step.as_str())).collect();
    facts.done = done(state, job);
}

/// Fills in what an act is by the ways of the shop.
#[allow(clippy::wildcard_enum_match_arm, reason = "few verbs say a step or observe a place")]
pub(super) fn of_act(
    mut facts: VerbFacts,
    state: &State,
    job: Option<&Job>,
    verb: &Verb,
    place: Option<&Name>,
) -> VerbFacts {
    match verb {
        V::In(_) | V::Out(_) | V::FoundIn(_) => {
            let kind = place.and_then(|place| kind_of(state, place));
            let step = job.zip(kind).and_then(|(job, kind)| state.step_in(job, kind));
            if let Some((step, _)) = step {
                facts.cleans = step.cleans();
                facts.never_after = step.never_after.iter().map(ToString::to_string).collect();
                facts.step = step.word.into_owned();
            }
        }
        V::Observe(v) => {
            let word = |much: Option<Much>| much.map(Much::word).unwrap_or_default().to_owned();
            facts.humidity = v.humidity;
            facts.smell = word(v.smell);
            facts.dead = word(v.dead);
        }
        _ => {}
    }
    facts
}

/// The name of the step that a word of a plan means; the word itself, where nobody knows it.
fn word_of(state: &State, word: &str) -> String {
    let step = state.shop().ways.step(word).map(|step| step.word.into_owned());
    step.unwrap_or_else(|| word.to_owned())
}

fn bears(state: &State, job: &Job, what: Headgear) -> bool {
    let sex = job.take_in.as_ref().and_then(|take_in| take_in.sex);
    let said = job.species().map(Name::as_str).unwrap_or_default();
    state.species().bears(said, sex, what)
}

/// Whether one of these sets of pieces came off, and none of it went back on.
fn off(job: &Job, sets: &[&[Piece]]) -> bool {
    let away = |piece: &Piece| job.parts.get(piece).is_some_and(|part| !part.home);
    sets.iter().any(|set| set.iter().all(away))
}

/// The steps that the skull was in a place for, in order. A freezer is one after the beetles alone.
fn done(state: &State, job: &Job) -> Vec<String> {
    let (mut done, mut colony) = (Vec::new(), false);
    for stay in job.stays.iter().filter(|stay| stay.piece == Piece::Skull) {
        let Some(kind) = kind_of(state, &stay.place) else { continue };
        colony |= kind == PlaceKind::Colony;
        if kind == PlaceKind::Freezer && !colony {
            continue;
        }
        done.extend(state.step_in(job, kind).map(|(step, _)| step.word.into_owned()));
    }
    done
}
