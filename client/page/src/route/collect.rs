//! Collection: by name or tag, all their heads with where they are and what is owed; paid and handed over.

use axum::{
    Extension,
    extract::{Query, State},
    response::{IntoResponse as _, Response},
};
use burrline_bench::{Error, SystemClock, alone::Then};
use burrline_present::readings::Collect;
use burrline_proto::v1::{CollectResponse, SkullLine};
use burrline_terms::{Skull, Typed as _};

use super::{
    find::{self, Sought},
    page, wrong,
};
use crate::{
    app::Shared,
    gate::Came,
    view::{collect, yard::value},
    words::WORDS,
};

/// More heads than this are not one customer's.
const MOST: usize = 40;

pub(super) async fn collect(
    State(app): State<Shared>,
    Extension(came): Extension<Came>,
    Query(Sought { q }): Query<Sought>,
) -> Response {
    match told(&app, &q).await {
        Ok(told) => {
            let main = collect::collect(&q, &told, &came.session.token);
            page(&app, &came, "/collect", WORDS.collect, main).into_response()
        }
        Err(error) => wrong(&app, &came, "/collect", &error),
    }
}

/// What was found, each with what is to be seen to; all heads of a ticket, whichever of them was named.
async fn told(app: &Shared, words: &str) -> Result<collect::Told, Error> {
    if words.trim().is_empty() {
        return Ok(collect::Told::default());
    }
    let (found, how_old) = find::read(app, words).await?;
    let bench = app.engine.bench()?;
    let mut wanted: Vec<SkullLine> = found.skulls;
    wanted.extend(found.customers.into_iter().flat_map(|customer| customer.jobs));
    wanted.retain(|skull| !skull.ended);
    let mut heads: Vec<CollectResponse> = Vec::new();
    let mut at = 0_usize;
    while let Some(skull) = wanted.get(at).cloned().filter(|_| heads.len() < MOST) {
        at = at.saturating_add(1);
        let known =
            |head: &CollectResponse| head.skull.as_ref().is_some_and(|one| one.job == skull.job);
        if heads.iter().any(known) {
            continue;
        }
        let named = Skull::read(value(&skull).split('/').next().unwrap_or_default())?;
        let read = bench.read(Collect { skull: named }, Then::default(), &SystemClock).await?;
        wanted.extend(read.answer.others.iter().cloned());
        heads.push(read.answer);
    }
    Ok(collect::Told { heads, how_old, sought: true })
}
