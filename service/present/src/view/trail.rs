//! One job's trail, line by line.

use burrline_domain::{
    EntryName, Outcome, State, Verb,
    fold::{Level, Route, TrailItem},
    verb::On,
};
use burrline_proto::{Wire, v1};

use super::dry;

/// The trail of a job in the order of happening.
pub fn trail(state: &State, job: EntryName) -> Vec<v1::TrailLine> {
    state.trail(job).into_iter().map(|item| trail_line(state, item)).collect()
}

/// One entry as a line.
pub fn trail_line(state: &State, item: TrailItem<'_>) -> v1::TrailLine {
    let record = &item.fact.record;
    let entry = &record.entry;
    let bench = state.shop().benches.get(&entry.name.life);
    let (remarks, refused) = match &record.outcome {
        Outcome::Done(remarks) => (remarks.iter().map(Wire::to_item).collect(), String::new()),
        Outcome::Refused(refusal) => (Vec::new(), refusal.to_string()),
    };
    v1::TrailLine {
        entry: Some(entry.name.to_item()),
        position: record.position,
        bench: bench.map_or_else(|| "shop".to_owned(), |bench| bench.name.to_string()),
        hand: entry.hand.as_ref().map(ToString::to_string).unwrap_or_default(),
        happened: Some(record.happened.to_item()),
        words: item.verb.line(),
        remarks,
        refused,
        anyway: entry.anyway.as_ref().map(ToString::to_string).unwrap_or_default(),
        not_seen: entry.not_seen,
        struck: item.struck_by.is_some(),
        amended_by: item.amended_by.map(|by| by.to_item()),
        formerly: item.amended_by.map(|_| entry.verb.line()).unwrap_or_default(),
        figures: figures(state, entry.name),
        shop_time_ms: record.shop_time.0,
    }
}

/// The figures that belong to an entry: the water that it went into, or made.
pub fn figures(state: &State, name: EntryName) -> Vec<String> {
    let Some(verb) = state.meaning(name) else { return Vec::new() };
    let Some(fact) = state.fact(name) else { return Vec::new() };
    let job = state.route(name).and_then(|route| match route {
        Route::Job(job) => state.job(*job),
        Route::Place(_) | Route::Shop | Route::Unplaced(_) => None,
    });
    match (verb, job) {
        (Verb::Weigh(_), Some(job)) => {
            return dry::drying(state, job, fact.key.at).map(|d| d.words).into_iter().collect();
        }
        (Verb::HandOver(_) | Verb::Ship(_), Some(job)) => {
            let words = dry::measuring_words(state, job);
            return words.map(|words| format!("official measuring: {words}")).into_iter().collect();
        }
        _ => {}
    }
    let Some(place) = verb.place() else { return Vec::new() };
    if !matches!(verb.spec().on, On::Place | On::Skull) {
        return Vec::new();
    }
    let water = state.waters().get(place);
    let bath = water.and_then(|water| water.bath_at(fact.key.at));
    let level = bath.and_then(|bath| bath.levels.iter().rev().find(|l| l.from <= fact.key));
    level.map(|level| level_words(place.as_str(), level)).into_iter().collect()
}

fn level_words(place: &str, level: &Level) -> String {
    let litres = level.litres.round_dp(2).normalize();
    match level.percent_wv().filter(|_| level.has_peroxide()) {
        Some(strength) => {
            let how = if level.measured { "measured" } else { "mixed" };
            format!(
                "{place}: {litres} L at {} % w/v peroxide, {how}",
                strength.round_dp(2).normalize()
            )
        }
        None => format!("{place}: {litres} L"),
    }
}
