//! The potfuls of all places of a kind, made together: each head is proposed for one place alone.
//!
//! Places that are empty come first, for they can be filled now; then it goes by their names. So the
//! order changes with what is said, and with nothing else.

use std::collections::BTreeMap;

use burrline_domain::State;
use burrline_terms::{EntryName, Moment, Name, words::PlaceKind};

use super::{Potful, one, start::Learnt};
use crate::{judge::Judge, season::Step};

/// The next potfuls of all places of a kind, in the order in which they were put together.
pub fn of_kind(judge: &Judge, state: &State, kind: PlaceKind, now: Moment) -> Vec<Potful> {
    up_to(judge, state, kind, None, now)
}

/// The same, up to and with one place: those behind it take nothing from it.
pub(super) fn up_to(
    judge: &Judge,
    state: &State,
    kind: PlaceKind,
    last: Option<&Name>,
    now: Moment,
) -> Vec<Potful> {
    let Some(step) = Step::ALL.iter().copied().find(|step| step.kind() == Some(kind)) else {
        return Vec::new();
    };
    let learnt = Learnt::of(state);
    let mut taken: BTreeMap<EntryName, Name> = BTreeMap::new();
    let mut potfuls = Vec::new();
    for place in in_order(state, kind) {
        let potful = one(judge, state, place, (kind, step), &taken, (&learnt, now));
        taken.extend(potful.picks.iter().map(|pick| (pick.job, place.clone())));
        potfuls.push(potful);
        if last == Some(place) {
            break;
        }
    }
    potfuls
}

/// The places of a kind, those that are empty first.
fn in_order(state: &State, kind: PlaceKind) -> Vec<&Name> {
    let places = state.shop().places.iter().filter(|(_, place)| place.kind == kind);
    let mut places: Vec<&Name> = places.map(|(name, _)| name).collect();
    places.sort_by_key(|name| (state.here(name).next().is_some(), *name));
    places
}
