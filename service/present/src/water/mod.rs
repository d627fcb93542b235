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

use crate::brief::Brief;

/// The lines that a hand reads under what was done to a water, or under a skull that went into it.
#[allow(clippy::wildcard_enum_match_arm, reason = "only a few verbs are about a water")]
pub fn lines(state: &State, name: EntryName) -> Brief {
    let (Some(verb), Some(fact)) = (state.meaning(name), state.fact(name)) else {
        return Brief::default();
    };
    let Some(place) = verb.place() else { return Brief::default() };
    let Some(water) = state.waters().get(place) else { return Brief::default() };
    let Some(bath) = water.bath_at(fact.key.at) else { return Brief::default() };
    match verb {
        Verb::Fill(_) | Verb::TopUp(_) | Verb::Change(_) => {
            let cost = Brief::beside(cost(state, bath, fact.key));
            alike::lines(state, place, water, bath, fact.key)
                .and(mix::lines(bath, fact.key))
                .and(cost)
        }
        Verb::Reading(_) => mix::lines(bath, fact.key).and(heated(state, place, bath, fact.key)),
        Verb::Heat(_) => heated(state, place, bath, fact.key),
        _ => Brief::default(),
    }
}

/// What is said of a pot that was heated or read.
fn heated(state: &State, place: &Name, bath: &Bath, key: Key) -> Brief {
    match state.shop().places.get(place).map(|place| place.kind) {
        Some(PlaceKind::Pot) => pot::Pot::at(state, place, bath, key).lines(),
        Some(_) | None => Brief::default(),
    }
}
