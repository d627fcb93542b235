//! JSON lines: one record each, in the order of the log, in the form of `trail --json`.

use burrline_domain::State;
use burrline_present::view;
use serde_json::Value;

use crate::render::{Look, job::trail_json};

/// Every record of the present as an object.
pub fn lines(state: &State, look: &Look) -> Vec<Value> {
    let mut facts: Vec<_> = state.facts().collect();
    facts.sort_by_key(|fact| fact.record.position);
    facts
        .into_iter()
        .filter_map(|fact| state.trail_item(fact.record.entry.name))
        .map(|item| trail_json(&view::trail_line(state, item), look))
        .collect()
}
