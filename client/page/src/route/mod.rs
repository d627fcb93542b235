//! Requests: one file a part of the page.
//!
//! * [`assets`]: script, style and icon
//! * [`collect`]: who collects, what is owed
//! * [`counter`](mod@counter): visits
//! * [`slip`]: the paper of a visit
//! * [`come`]: coming in and leaving
//! * [`desk`]: calls, register, till, season
//! * [`owner`]: scripts, settings, benches
//! * [`events`]: what changed, as it changes
//! * [`fields`]: a form whose token was looked at
//! * [`find`]: what is looked for
//! * [`place`]: one place
//! * [`skull`]: one skull, and its photos
//! * [`wall`]: the wall
//! * [`say`]: a line, and the answers to its questions
//! * [`yard`]: places and what is in them

pub(crate) mod assets;
mod collect;
mod come;
mod counter;
mod desk;
mod events;
pub(crate) mod fields;
mod find;
mod owner;
mod place;
pub(crate) mod say;
mod skull;
mod slip;
mod wall;
mod yard;

use std::sync::Arc;

use axum::{
    Extension, Router,
    extract::DefaultBodyLimit,
    http::StatusCode,
    middleware,
    response::{Html, IntoResponse, Response},
    routing::{get, post},
};
use burrline_bench::Error;
use maud::Markup;

use crate::{
    app::{App, Shared},
    gate::{Came, gate},
    view::frame::{self, Frame},
};

/// A form is text; this is more than any holds.
const MOST_BYTES: usize = 1024 * 1024;

/// Everything that can be asked for.
pub(crate) fn router(app: Arc<App>, again: String) -> Router {
    Router::new()
        .route("/", get(yard::yard))
        .route("/place/{name}", get(place::place))
        .route("/skull/{*tag}", get(skull::skull))
        .route("/photo/{digest}", get(skull::photo))
        .route(
            "/photo-of/{*tag}",
            post(skull::take_photo).layer(DefaultBodyLimit::max(skull::MOST_BYTES)),
        )
        .route("/counter", get(counter::show).post(counter::change))
        .route("/counter/price", post(counter::price))
        .route("/counter/{file}", get(counter::money).post(counter::pay))
        .route("/collect", get(collect::collect))
        .route("/slip/{*tag}", get(slip::slip))
        .route("/desk", get(desk::desk))
        .route("/desk/register", get(desk::register))
        .route("/desk/till", get(desk::till))
        .route("/desk/season", get(desk::season))
        .route("/owner", get(owner::owner))
        .route("/owner/script", post(owner::script))
        .route("/find", get(find::find))
        .route("/wall", get(wall::wall))
        .route("/say", post(say::say))
        .route("/answer", post(say::answer))
        .route("/heard", post(say::heard))
        .route("/events", get(events::events))
        .route("/open/{word}", get(come::open))
        .route("/again", post(come::again).layer(Extension(come::Again(again))))
        .route("/leave", post(come::leave))
        .route("/style.css", get(assets::style))
        .route("/page.js", get(assets::script))
        .route("/icon.svg", get(assets::icon))
        .fallback(nowhere)
        .layer(DefaultBodyLimit::max(MOST_BYTES))
        .layer(middleware::from_fn_with_state(Arc::clone(&app), gate))
        .with_state(app)
}

async fn nowhere() -> Response {
    let words = crate::words::WORDS.no_such_page;
    (StatusCode::NOT_FOUND, frame::bare(words)).into_response()
}

/// A whole page around what a view drew.
fn page(app: &Shared, came: &Came, at: &str, title: &str, main: Markup) -> Html<String> {
    let stand = app.engine.locked().stand();
    let last = app.sessions.take(&came.cookie);
    frame::whole(frame::page(&Frame { stand, token: &came.session.token, at, title, last }, &main))
}

/// A reading that has no answer, as a page.
fn wrong(app: &Shared, came: &Came, at: &str, error: &Error) -> Response {
    let main = frame::wrong(&error.to_string());
    page(app, came, at, crate::words::WORDS.did_not_work, main).into_response()
}
