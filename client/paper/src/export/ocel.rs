//! OCEL 2.0 JSON: events, the objects that they touch, and how.
//!
//! Object types: `job`, `ticket`, `place`, `bath`, `bench`. Event types are the verbs. An event's
//! id is its entry's name, a job's id its number, a bath's the entry that made it. Qualifiers:
//! `about` (job), `visit` (ticket), `at` (place), `in` (the bath that was in the place then),
//! `said` (bench).

use std::collections::{BTreeMap, BTreeSet};

use burrline_domain::{
    State,
    fold::{Fact, Route},
};
use serde_json::{Value, json};

use super::{counting, stamp};

/// Every fact of the present, as one document.
pub fn ocel(state: &State) -> Value {
    let mut objects: BTreeMap<String, Value> = BTreeMap::new();
    let mut kinds: BTreeSet<&'static str> = BTreeSet::new();
    let mut events = Vec::new();
    for fact in counting(state) {
        let entry = &fact.record.entry;
        let Some(verb) = state.meaning(entry.name) else { continue };
        kinds.insert(verb.spec().word);
        let relationships: Vec<Value> = touched(state, fact)
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
            "type": verb.spec().word,
            "time": stamp(fact.key.at),
            "attributes": [
                { "name": "hand", "value": hand },
                { "name": "told", "value": verb.told() },
                { "name": "position", "value": fact.record.position.to_string() },
            ],
            "relationships": relationships,
        }));
    }
    let attributes =
        ["hand", "told", "position"].map(|name| json!({ "name": name, "type": "string" }));
    let event_types: Vec<Value> =
        kinds.into_iter().map(|name| json!({ "name": name, "attributes": attributes })).collect();
    json!({
        "objectTypes": object_types(),
        "eventTypes": event_types,
        "objects": objects.into_values().collect::<Vec<_>>(),
        "events": events,
    })
}

/// The objects that a fact touches: kind, id and how.
fn touched(state: &State, fact: &Fact) -> Vec<(&'static str, String, &'static str)> {
    let name = fact.record.entry.name;
    let mut touched = vec![("bench", bench(state, name.life), "said")];
    if let Some(Route::Job(id)) = state.route(name)
        && let Some(job) = state.job(*id)
    {
        touched.push(("job", id.job_number(), "about"));
        touched.extend(job.ticket().map(|ticket| ("ticket", ticket.to_string(), "visit")));
    }
    let place = state.meaning(name).and_then(|verb| verb.place());
    if let Some(place) = place {
        touched.push(("place", place.to_string(), "at"));
        let bath = state.waters().get(place).and_then(|water| water.bath_at(fact.key.at));
        touched.extend(bath.map(|bath| ("bath", bath.id.to_string(), "in")));
    }
    touched
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
