//! What the shop answers of its waters: strength and class, cost, the boil and the next look.
//!
//! Reckoned at reading, with the trade's arithmetic of the domain; nothing here is kept.
//!
//! * [`mix`]: how strong, how it is known, in which classes, and which it crossed
//! * [`cost`](mod@cost): what went in cost, where lots are known
//! * `alike`: a water that was changed
//! * [`burner`]: what a burner puts into its pot, learnt from the shop's own boils
//! * [`pot`]: when it boils, where it simmers, when to top it up

mod alike;
pub mod burner;
pub mod cost;
pub mod mix;
pub mod pot;

use burrline_domain::{
    State, Verb,
    fold::{Bath, Key},
};
use burrline_terms::{EntryName, Name, words::PlaceKind};

pub use cost::cost;

/// The lines that a hand reads under what was done to a water, or under a skull that went into it.
#[allow(clippy::wildcard_enum_match_arm, reason = "only a few verbs are about a water")]
pub fn lines(state: &State, name: EntryName) -> Vec<String> {
    let (Some(verb), Some(fact)) = (state.meaning(name), state.fact(name)) else {
        return Vec::new();
    };
    let Some(place) = verb.place() else { return Vec::new() };
    let Some(water) = state.waters().get(place) else { return Vec::new() };
    let Some(bath) = water.bath_at(fact.key.at) else { return Vec::new() };
    let mut lines = Vec::new();
    match verb {
        Verb::Fill(_) | Verb::TopUp(_) | Verb::Change(_) => {
            lines.extend(alike::lines(state, place, water, bath, fact.key));
            lines.extend(mix::lines(bath, fact.key));
            lines.extend(cost(state, bath, fact.key));
        }
        Verb::Reading(_) => {
            lines.extend(mix::lines(bath, fact.key));
            lines.extend(heated(state, place, bath, fact.key));
        }
        Verb::Heat(_) => lines.extend(heated(state, place, bath, fact.key)),
        _ => {}
    }
    lines
}

/// What is said of a pot that was heated or read.
fn heated(state: &State, place: &Name, bath: &Bath, key: Key) -> Vec<String> {
    match state.shop().places.get(place).map(|place| place.kind) {
        Some(PlaceKind::Pot) => pot::Pot::at(state, place, bath, key).lines(),
        Some(_) | None => Vec::new(),
    }
}
