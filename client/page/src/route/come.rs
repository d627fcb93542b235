//! Coming in by the address that opens once, and leaving.

use axum::{
    Extension,
    extract::{Path, Query, State},
    http::{StatusCode, header},
    response::{IntoResponse, Redirect, Response},
};

use crate::{
    app::Shared,
    gate::{Came, cookie_name},
    route::fields::{Fields, is_ours},
    view::frame,
    words::WORDS,
};

/// The word by which a second command of the same user asks for another address.
#[derive(Debug, Clone)]
pub(super) struct Again(pub(super) String);

/// Which part to open.
#[derive(Debug, serde::Deserialize)]
pub(super) struct To {
    #[serde(default)]
    to: String,
}

impl To {
    /// One of our own, whatever was asked for.
    fn path(&self) -> &str {
        if is_ours(&self.to) { &self.to } else { "/" }
    }
}

pub(super) async fn open(
    State(app): State<Shared>,
    Path(word): Path<String>,
    Query(to): Query<To>,
) -> Response {
    match app.sessions.enter(&word) {
        Ok(Some(cookie)) => {
            let name = cookie_name(&app.host);
            let set = format!("{name}={cookie}; Path=/; HttpOnly; SameSite=Strict");
            ([(header::SET_COOKIE, set)], Redirect::to(to.path())).into_response()
        }
        Ok(None) => (StatusCode::GONE, frame::bare(WORDS.opened_already)).into_response(),
        Err(error) => {
            (StatusCode::INTERNAL_SERVER_ERROR, frame::bare(&error.to_string())).into_response()
        }
    }
}

pub(super) async fn again(
    State(app): State<Shared>,
    Extension(Again(word)): Extension<Again>,
    said: String,
) -> Response {
    if said.trim() != word {
        return StatusCode::FORBIDDEN.into_response();
    }
    match app.sessions.once() {
        Ok(once) => once.into_response(),
        Err(error) => (StatusCode::INTERNAL_SERVER_ERROR, error.to_string()).into_response(),
    }
}

pub(super) async fn leave(
    State(app): State<Shared>,
    Extension(came): Extension<Came>,
    _: Fields,
) -> impl IntoResponse {
    app.sessions.leave(&came.cookie);
    frame::bare(WORDS.left)
}
