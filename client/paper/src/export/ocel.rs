//! OCEL 2.0 JSON: events, the objects that they touch, and how.
//!
//! Object types: `job`, `ticket`, `place`, `bath`, `bench`. Event types are the verbs. An event's
//! id is its entry's name, a job's id its number, a bath's the entry that made it. Qualifiers:
//! `about` (job), `visit` (ticket), `at` (place), `in` (the bath that was in the place then),
//! `said` (bench), `corrects` (the job of a line that this one amends, crosses out or assigns).
//!
//! A line that was amended stands where it happened, with its first words, what they were amended to and
//! when; it counts as what it was amended to. The amendment is an event of its own. A line that was crossed
//! out is an event of the type `crossed-out`, so that it is told and counts as nothing else.

use std::collections::{BTreeMap, BTreeSet};

use burrline_domain::{
    State,
    fold::{Route, TrailItem},
};
use burrline_terms::EntryName;
use serde_json::{Value, json};

use super::{stamp, told};

/// Every fact of the present, as one document.
pub fn ocel(state: &State) -> Value {
    let mut objects: BTreeMap<String, Value> = BTreeMap::new();
    let mut kinds: BTreeSet<&'static str> = BTreeSet::new();
    let mut events = Vec::new();
    for item in told(state) {
        let (fact, entry) = (item.fact, &item.fact.record.entry);
        let kind = if item.struck_by.is_some() { CROSSED_OUT } else { item.verb.spec().word };
        kinds.insert(kind);
        let relationships: Vec<Value> = touched(state, &item)
            .into_iter()
            .map(|(kind, id, qualifier)| {
                let id = format!("{kind} {id}");
                objects.entry(id.clone()).or_insert_with(|| object(state, kind, &id));
                json!({ "objectId": id, "qualifier": qualifier })
            })
            .collect();
        let hand = entry.hand.as_ref().map(ToString::to_string).unwrap_or_default();
        events.push(json!({
            "id": entry.name.to_string(),
            "type": kind,
            "time": stamp(fact.key.at),
            "attributes": [
                { "name": "hand", "value": hand },
                { "name": "told", "value": entry.verb.told() },
                { "name": "position", "value": fact.record.position.to_string() },
                { "name": "since_then", "value": item.amended_by.map(|_| item.verb.told()).unwrap_or_default() },
                { "name": "amended", "value": when(state, item.amended_by) },
                { "name": "crossed_out", "value": when(state, item.struck_by) },
            ],
            "relationships": relationships,
        }));
    }
    let attributes = ATTRIBUTES.map(|name| json!({ "name": name, "type": "string" }));
    let event_types: Vec<Value> =
        kinds.into_iter().map(|name| json!({ "name": name, "attributes": attributes })).collect();
    json!({
        "objectTypes": object_types(),
        "eventTypes": event_types,
        "objects": objects.into_values().collect::<Vec<_>>(),
        "events": events,
    })
}

/// The type of a line that was crossed out.
const CROSSED_OUT: &str = "crossed-out";

/// What each event says of itself.
const ATTRIBUTES: [&str; 6] = ["hand", "told", "position", "since_then", "amended", "crossed_out"];

/// When a correction was typed, for a program; nothing if there is none.
fn when(state: &State, correction: Option<EntryName>) -> String {
    let fact = correction.and_then(|name| state.fact(name));
    fact.map(|fact| stamp(fact.record.happened.typed)).unwrap_or_default()
}

/// The objects that a line touches: kind, id and how.
fn touched(state: &State, item: &TrailItem<'_>) -> Vec<(&'static str, String, &'static str)> {
    let (fact, name) = (item.fact, item.fact.record.entry.name);
    let mut touched = vec![("bench", bench(state, name.life), "said")];
    if let Some(Route::Job(id)) = state.route(name)
        && let Some(job) = state.job(*id)
    {
        touched.push(("job", id.job_number(), "about"));
        touched.extend(job.ticket().map(|ticket| ("ticket", ticket.to_string(), "visit")));
    }
    let corrects = fact.record.entry.verb.corrects().iter();
    let jobs: BTreeSet<EntryName> = corrects.filter_map(|of| of_job(state, *of)).collect();
    touched.extend(jobs.into_iter().map(|job| ("job", job.job_number(), "corrects")));
    let place = item.verb.place();
    if let Some(place) = place {
        touched.push(("place", place.to_string(), "at"));
        let bath = state.waters().get(place).and_then(|water| water.bath_at(fact.key.at));
        touched.extend(bath.map(|bath| ("bath", bath.id.to_string(), "in")));
    }
    touched
}

/// The job that a line is on.
fn of_job(state: &State, name: EntryName) -> Option<EntryName> {
    match state.route(name)? {
        Route::Job(job) => state.job(*job).map(|job| job.id),
        Route::Place(_) | Route::Shop | Route::Unplaced(_) => None,
    }
}

fn bench(state: &State, life: u32) -> String {
    let bench = state.shop().benches.get(&life);
    bench.map_or_else(|| "shop".to_owned(), |bench| format!("{life} {}", bench.name))
}

fn object(state: &State, kind: &str, id: &str) -> Value {
    let number = id.rsplit(' ').next().unwrap_or_default();
    let job =
        (kind == "job").then(|| state.jobs().values().find(|job| job.id.job_number() == number));
    let attributes: Vec<Value> = match job.flatten() {
        Some(job) => {
            let time = stamp(job.taken_in.map_or_else(Default::default, |taken| taken.at));
            let species = job.species().map(ToString::to_string).unwrap_or_default();
            let tag = state.tag_of(job.id).map(ToString::to_string).unwrap_or_default();
            vec![
                json!({ "name": "species", "time": time, "value": species }),
                json!({ "name": "tag", "time": time, "value": tag }),
            ]
        }
        None => Vec::new(),
    };
    json!({ "id": id, "type": kind, "attributes": attributes, "relationships": [] })
}

fn object_types() -> Value {
    let text = |name: &str| json!({ "name": name, "type": "string" });
    json!([
        { "name": "bath", "attributes": [] },
        { "name": "bench", "attributes": [] },
        { "name": "job", "attributes": [text("species"), text("tag")] },
        { "name": "place", "attributes": [] },
        { "name": "ticket", "attributes": [] },
    ])
}
