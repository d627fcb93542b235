//! What is where, since when.

use burrline_domain::{Name, State, fold::Bath};
use burrline_proto::{Wire, v1};

use super::{Zone, skull_line};
use crate::water::mix;

/// Every place with its water and what is in it, and the open jobs that are in no place.
pub fn floor(state: &State, place: &str) -> v1::FloorResponse {
    let mut names: std::collections::BTreeSet<Name> = state.shop().places.keys().cloned().collect();
    // A place that nobody added is still a place if something is said to be there.
    names.extend(state.jobs().values().flat_map(burrline_domain::fold::Job::places));
    names.extend(state.waters().keys().cloned());
    let places = names
        .iter()
        .filter(|name| place.is_empty() || name.as_str() == place)
        .map(|name| place_line(state, name))
        .collect();
    let nowhere = if place.is_empty() {
        let open = state.jobs().values().filter(|job| job.ended.is_none() && job.place().is_none());
        open.map(|job| skull_line(state, job)).collect()
    } else {
        Vec::new()
    };
    v1::FloorResponse { places, nowhere }
}

/// One place.
pub fn place_line(state: &State, name: &Name) -> v1::PlaceLine {
    let place = state.shop().places.get(name);
    let bath = state.waters().get(name).and_then(|water| water.bath());
    let mut here: Vec<v1::SkullLine> = Vec::new();
    for job in state.here(name) {
        for stay in job.stays.iter().filter(|stay| stay.open() && stay.place == *name) {
            here.push(v1::SkullLine {
                piece: stay.piece.word().to_owned(),
                place: name.to_string(),
                since_ms: stay.from.at.0,
                since_doubt: Zone::of(state).doubt(stay.from),
                ..skull_line(state, job)
            });
        }
    }
    here.sort_by_key(|line| line.since_ms);
    v1::PlaceLine {
        name: name.to_string(),
        kind: place.map(|place| place.kind.number()).unwrap_or_default(),
        material: place
            .and_then(|p| p.material)
            .map(burrline_domain::words::Material::word)
            .unwrap_or_default()
            .to_owned(),
        bath: bath.map(|bath| bath_line(state, bath)),
        here,
    }
}

fn bath_line(state: &State, bath: &Bath) -> v1::BathLine {
    let level = bath.level();
    let heat = bath.heat.iter().rev().find_map(|(_, flame, _)| *flame);
    let temperature = bath.heat.iter().rev().find_map(|(_, _, temperature)| *temperature);
    let mut words: Vec<String> = heat.iter().map(|flame| flame.word().to_owned()).collect();
    words.extend(temperature.map(|t| format!("{} \u{b0}C", t.celsius().round_dp(1).normalize())));
    v1::BathLine {
        bath: Some(bath.id.to_item()),
        since_ms: bath.from.at.0,
        litres: level.map(|l| l.litres.round_dp(2).normalize().to_string()).unwrap_or_default(),
        peroxide_wv: level
            .filter(|level| level.has_peroxide())
            .and_then(burrline_domain::fold::Level::percent_wv)
            .map(|strength| strength.round_dp(2).normalize().to_string())
            .unwrap_or_default(),
        measured: level.is_some_and(|level| level.measured),
        heat: words.join(", "),
        recipe: bath.recipe.as_ref().map(ToString::to_string).unwrap_or_default(),
        doubt: Zone::of(state).doubt(bath.from),
        class: level.filter(|l| l.has_peroxide()).and_then(mix::class).unwrap_or_default(),
    }
}
