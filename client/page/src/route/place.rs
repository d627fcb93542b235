//! One place: what is in it, its water, and what goes into it next.

use axum::{
    Extension,
    extract::{Path, State},
    response::{IntoResponse as _, Response},
};
use burrline_bench::{Error, SystemClock, alone::Then};
use burrline_present::readings::Next;
use burrline_proto::v1::PlaceKind;
use burrline_terms::{Name, Typed as _};

use super::{page, wrong, yard};
use crate::{app::Shared, gate::Came, view::place};

pub(super) async fn place(
    State(app): State<Shared>,
    Extension(came): Extension<Came>,
    Path(name): Path<String>,
) -> Response {
    let at = format!("/place/{name}");
    match told(&app, &name).await {
        Ok(told) => {
            let main = place::place(&told, &came.session.token, &at);
            page(&app, &came, &at, &name, main).into_response()
        }
        Err(error) => wrong(&app, &came, &at, &error),
    }
}

async fn told(app: &Shared, name: &str) -> Result<place::Told, Error> {
    let seen = yard::seen(&mut app.engine.locked());
    let line = seen.floor.places.iter().find(|place| place.name == name).cloned();
    let line = line.ok_or_else(|| Error::usage(crate::words::WORDS.no_such_place))?;
    let fills =
        matches!(line.kind(), PlaceKind::Pot | PlaceKind::Tub | PlaceKind::Tank | PlaceKind::Rack);
    let next = if fills {
        let reading = Next { place: Name::read(name)? };
        // What goes in next is an offer; without it the place is shown all the same.
        app.engine.bench()?.read(reading, Then::default(), &SystemClock).await.ok()
    } else {
        None
    };
    Ok(place::Told { line, next: next.map(|reading| reading.answer), seen })
}
