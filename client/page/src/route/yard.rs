//! The yard.

use axum::{
    Extension,
    extract::State,
    response::{IntoResponse as _, Response},
};
use burrline_bench::SystemClock;
use burrline_proto::v1::PlaceKind;

use super::page;
use crate::{app::Shared, engine::Live, gate::Came, next::Place, view::yard, words::WORDS};

pub(super) async fn yard(State(app): State<Shared>, Extension(came): Extension<Came>) -> Response {
    let seen = seen(&mut app.engine.locked());
    let main = yard::yard(&seen, &came.session.token);
    page(&app, &came, "/", WORDS.yard, main).into_response()
}

/// What the yard shows, by the bench's own copy.
pub(super) fn seen(live: &mut Live) -> yard::Seen {
    let look = live.look();
    let floor = match &live.present {
        Some(present) => {
            burrline_present::view::floor_at(present.state(), "", present.time(&SystemClock))
        }
        None => live.known.floor.clone(),
    };
    let places = floor.places.iter().map(|place| Place {
        name: place.name.clone(),
        kind: place.kind(),
        filled: place.bath.is_some(),
    });
    let places = places.filter(|place| place.kind != PlaceKind::Unspecified).collect();
    yard::Seen { wall: live.wall().unwrap_or_default(), floor, places, look }
}
