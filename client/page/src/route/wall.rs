//! The wall.

use axum::{
    Extension,
    extract::State,
    response::{IntoResponse as _, Response},
};

use crate::{
    app::Shared,
    gate::Came,
    view::{frame, wall},
};

pub(super) async fn wall(State(app): State<Shared>, Extension(came): Extension<Came>) -> Response {
    let live = &mut app.engine.locked();
    let (stand, look) = (live.stand(), live.look());
    let main = wall::wall(&live.wall().unwrap_or_default(), &stand, &look);
    frame::whole(frame::wall(&stand, &came.session.token, &main)).into_response()
}
