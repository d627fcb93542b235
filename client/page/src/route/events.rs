//! What changed, as it changes: one stream a page that is open.

use std::convert::Infallible;

use axum::{
    extract::State,
    response::{
        Sse,
        sse::{Event, KeepAlive},
    },
};
use tokio_stream::{Stream, StreamExt as _, wrappers::BroadcastStream};

use crate::app::Shared;

pub(super) async fn events(
    State(app): State<Shared>,
) -> Sse<impl Stream<Item = Result<Event, Infallible>>> {
    // Who was too slow for some of it is told the next.
    let news = BroadcastStream::new(app.engine.news()).filter_map(Result::ok);
    let events = news.map(|news| {
        let data = serde_json::to_string(&news).unwrap_or_default();
        Ok(Event::default().data(data))
    });
    Sse::new(events).keep_alive(KeepAlive::default())
}
