//! What is where, since when.

use burrline_domain::{
    State, Verb,
    fold::{Bath, Job, Stay, Water},
};
use burrline_proto::{Wire, v1};
use burrline_terms::{
    Happened, Moment, Name,
    words::{Much, Piece, PlaceKind},
};

use super::{
    Zone, kind_of, newest_of,
    skull::{doing_in, part_line},
    skull_line, version_of,
};
use crate::{
    readings::{self, Reading, Unreadable, View},
    units::Units,
    water::mix,
};

impl Reading for readings::Floor {
    type Response = v1::FloorResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::FloorResponse, Unreadable> {
        let place = self.place.as_ref().map_or("", Name::as_str);
        Ok(floor_at(view.state, place, view.now()))
    }
}

/// Every place with its water and what is in it, and the open jobs that are in no place, as of the last
/// record.
pub fn floor(state: &State, place: &str) -> v1::FloorResponse {
    floor_at(state, place, state.last_shop_time())
}

/// The same, with heat counted up to a moment.
pub fn floor_at(state: &State, place: &str, now: Moment) -> v1::FloorResponse {
    let mut names: std::collections::BTreeSet<Name> = state.shop().places.keys().cloned().collect();
    // A place that nobody added is still a place if something is said to be there.
    names.extend(state.occupied().cloned());
    names.extend(state.waters().keys().cloned());
    let places = names
        .iter()
        .filter(|name| place.is_empty() || name.as_str() == place)
        .map(|name| place_line(state, name, now))
        .collect();
    let nowhere = if place.is_empty() {
        let open = state.jobs().open();
        open.flat_map(|job| nowhere(state, job)).collect()
    } else {
        Vec::new()
    };
    v1::FloorResponse { places, nowhere }
}

/// The skull of a job that is in no place, and its parts that are off and in none.
fn nowhere(state: &State, job: &Job) -> Vec<v1::SkullLine> {
    let skull = job.place().is_none().then(|| skull_line(state, job));
    let parts = job.parts_away().into_iter().filter(|piece| job.stay_of(*piece).is_none());
    skull.into_iter().chain(parts.map(|piece| part_line(state, job, piece))).collect()
}

/// One place, with heat counted up to a moment.
pub fn place_line(state: &State, name: &Name, now: Moment) -> v1::PlaceLine {
    let place = state.shop().places.get(name);
    let water = state.waters().get(name);
    let bath = water.and_then(|water| Some((water, water.bath()?)));
    let mut here: Vec<v1::SkullLine> = Vec::new();
    for job in state.here(name) {
        for stay in job.stays.iter().filter(|stay| stay.open() && stay.place == *name) {
            here.push(piece_line(state, job, stay, now));
        }
    }
    here.sort_by_key(|line| line.since_ms);
    v1::PlaceLine {
        name: name.to_string(),
        kind: place.map(|place| place.kind.number()).unwrap_or_default(),
        material: place
            .and_then(|p| p.material)
            .map(burrline_terms::words::Material::word)
            .unwrap_or_default()
            .to_owned(),
        bath: bath.map(|(water, bath)| bath_line(state, water, bath)),
        here,
        observed: water.and_then(|water| observed(state, water, now)).unwrap_or_default(),
    }
}

/// What was last observed of a place: how warm, how damp, how it smells.
fn observed(state: &State, water: &Water, now: Moment) -> Option<String> {
    let key = water.observed.last()?;
    let Verb::Observe(said) = state.meaning(key.name)? else { return None };
    let much = |what: &str, much: Option<Much>| much.map(|much| format!("{what} {much}"));
    let units = Units::of(state);
    let words: Vec<String> = [
        said.temperature.map(|temperature| units.temperature(temperature)),
        said.humidity.map(|humidity| format!("humidity {} %", humidity.normalize())),
        much("smell", said.smell),
        much("dead", said.dead),
        said.fed.map(|fed| format!("fed {}", units.mass(fed))),
        said.water.map(|look| format!("water {look}")),
        said.words.as_ref().map(ToString::to_string),
    ]
    .into_iter()
    .flatten()
    .collect();
    let when = Zone::of(state).time(key.at, Some(now));
    Some(format!("{} ({when})", words.join(", ")))
}

/// A piece where it stays, with the heat that a skull in a pot has had up to a moment.
pub fn piece_line(state: &State, job: &Job, stay: &Stay, now: Moment) -> v1::SkullLine {
    let pot = |place: &Name| kind_of(state, place) == Some(PlaceKind::Pot);
    let skull = stay.piece == Piece::Skull;
    let heat = (skull && pot(&stay.place)).then(|| job.heat(pot, Happened::exactly(now)));
    let line = if skull { skull_line(state, job) } else { part_line(state, job, stay.piece) };
    let doing = kind_of(state, &stay.place);
    let doing = doing.map(|kind| doing_in(state, job, &stay.place, kind));
    v1::SkullLine {
        place: stay.place.to_string(),
        since_ms: stay.from.at.0,
        since_doubt: Zone::of(state).doubt(stay.from),
        heat: heat.map(|heat| heat.to_string()).unwrap_or_default(),
        doing: doing.unwrap_or_default(),
        ..line
    }
}

fn bath_line(state: &State, water: &Water, bath: &Bath) -> v1::BathLine {
    let level = bath.level();
    let heat = bath.heat.iter().rev().find_map(|(_, flame, _)| *flame);
    let temperature = bath.heat.iter().rev().find_map(|(_, _, temperature)| *temperature);
    let mut words: Vec<String> = heat.iter().map(|flame| flame.word().to_owned()).collect();
    let units = Units::of(state);
    words.extend(temperature.map(|temperature| units.temperature(temperature)));
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
        recipe_version: version_of(state, water, bath),
        recipe_newest: newest_of(state, bath),
        level: level.map(|level| units.litres(level.litres)).unwrap_or_default(),
        strength_how: level
            .filter(|level| level.has_peroxide())
            .map(|level| mix::how(state, bath, level, None))
            .unwrap_or_default(),
    }
}
