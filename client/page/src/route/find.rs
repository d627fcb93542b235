//! What is looked for: tags, former tags, kill tags, licences, names.

use axum::{
    Extension,
    extract::{Query, State},
    response::{IntoResponse as _, Redirect, Response},
};
use burrline_bench::{Error, SystemClock, alone::Then};
use burrline_present::readings::Find;
use burrline_proto::v1::FindResponse;
use burrline_terms::{Phrase, Typed as _};
use serde::Deserialize;

use super::{page, say::form, wrong};
use crate::{
    app::Shared,
    gate::Came,
    view::{find, yard::value},
    words::WORDS,
};

/// What is looked for.
#[derive(Debug, Deserialize)]
pub(super) struct Sought {
    #[serde(default)]
    pub(super) q: String,
}

pub(super) async fn find(
    State(app): State<Shared>,
    Extension(came): Extension<Came>,
    Query(Sought { q }): Query<Sought>,
) -> Response {
    let at = format!("/find?q={}", form(&q));
    if q.trim().is_empty() {
        return page(&app, &came, &at, WORDS.find, find::find("", None, None)).into_response();
    }
    match read(&app, &q).await {
        Ok((found, how_old)) => {
            if let ([one], []) = (found.skulls.as_slice(), found.customers.as_slice()) {
                return Redirect::to(&format!("/skull/{}", value(one))).into_response();
            }
            let main = find::find(&q, Some(&found), how_old.as_deref());
            page(&app, &came, &at, WORDS.find, main).into_response()
        }
        Err(error) => wrong(&app, &came, &at, &error),
    }
}

/// What was found, and how old that is.
pub(super) async fn read(
    app: &Shared,
    words: &str,
) -> Result<(FindResponse, Option<String>), Error> {
    let words = Phrase::read(words.trim())?;
    let found = app.engine.bench()?.read(Find { words }, Then::default(), &SystemClock).await?;
    Ok((found.answer, found.how_old))
}
