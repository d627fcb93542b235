//! One skull: its story, its pieces, its money, and photos of it.

use axum::{
    Extension,
    body::Bytes,
    extract::{Path, Query, State},
    http::{HeaderMap, StatusCode, header},
    response::{IntoResponse as _, Response},
};
use burrline_bench::{Bench, Error, SystemClock, alone::Then, answer::Answer};
use burrline_domain::{Verb, verb::Photograph};
use burrline_present::readings::{Photos, Show, Trail};
use burrline_proto::v1::PlaceLine;
use burrline_terms::{Digest, Phrase, Skull, Typed as _};
use serde::Deserialize;

use super::{page, say, wrong, yard};
use crate::{
    app::Shared,
    gate::Came,
    next,
    talk::At,
    view::skull::{self, Told},
    words::WORDS,
};

/// A larger file is no photo.
pub(super) const MOST_BYTES: usize = 128 * 1024 * 1024;

/// The longest side of a small picture.
const SMALL: u32 = 480;

pub(super) async fn skull(
    State(app): State<Shared>,
    Extension(came): Extension<Came>,
    Path(tag): Path<String>,
) -> Response {
    let at = format!("/skull/{tag}");
    match told(&app, &tag).await {
        Ok(told) => {
            let main = skull::skull(&told, &came.session.token, &at);
            page(&app, &came, &at, &tag, main).into_response()
        }
        Err(error) => wrong(&app, &came, &at, &error),
    }
}

async fn told(app: &Shared, tag: &str) -> Result<Told, Error> {
    let bench = app.engine.bench()?;
    // A piece is looked at as a part of its skull.
    let whose = tag.split('/').next().unwrap_or_default();
    let skull = Skull::read(whose)?;
    let (then, clock) = (Then::default(), &SystemClock);
    let show = bench.read(Show { skull: skull.clone() }, then, clock).await?;
    let trail = bench.read(Trail { skull: skull.clone() }, then, clock).await?;
    let photos = bench.read(Photos { skull }, then, clock).await?.answer;
    let job = show.answer.job.unwrap_or_default();
    let live = &mut app.engine.locked();
    let seen = yard::seen(live);
    let line = job.line.clone().unwrap_or_default();
    let kind = seen.floor.places.iter().find(|place| place.name == line.place);
    let likely = next::likely(&line, kind.map(PlaceLine::kind).unwrap_or_default(), &seen.places);
    let kinds = seen.places.iter().map(|place| (place.name.clone(), place.kind)).collect();
    Ok(Told {
        job,
        trail: trail.answer,
        photos,
        how_old: show.how_old,
        likely,
        places: seen.places,
        kinds,
        sees_money: live.stand().is_counter(),
        look: seen.look,
    })
}

/// What a photo shows.
#[derive(Debug, Deserialize)]
pub(super) struct Shows {
    #[serde(default)]
    words: String,
}

pub(super) async fn take_photo(
    State(app): State<Shared>,
    Extension(came): Extension<Came>,
    Path(tag): Path<String>,
    Query(Shows { words }): Query<Shows>,
    headers: HeaderMap,
    photo: Bytes,
) -> Response {
    let token = headers.get("x-token").and_then(|value| value.to_str().ok()).unwrap_or_default();
    if token != came.session.token {
        return (StatusCode::FORBIDDEN, WORDS.from_another_page).into_response();
    }
    let at = format!("/skull/{tag}");
    let turn = say::begin(&app, Box::new(move |at| kept(at, &tag, &words, &photo))).await;
    say::answered(&app, &came, &headers, &at, turn)
}

/// Keeps a photo as a terminal does, and says it.
fn kept(at: &mut At, tag: &str, words: &str, photo: &[u8]) -> Result<(), Error> {
    let skull = Skull::read(tag)?;
    let words = if words.trim().is_empty() { None } else { Some(Phrase::read(words.trim())?) };
    let one = at.bench.keep_photo(WORDS.photo, photo)?;
    if let Some(why) = &one.no_copy {
        burrline_talk::Person::tell(&mut at.person, &format!("{why}; {}", WORDS.no_copy_made));
    }
    let (original, stripped) = (one.original, one.stripped);
    at.utter(vec![Verb::from(Photograph { skull, original, stripped, words })])?;
    let named = at.person.said.iter().flat_map(|said| &said.answers).any(|answer| match answer {
        Answer::Receipt { verb, .. } | Answer::Kept { verb, .. } => {
            matches!(&**verb, Verb::Photograph(photo) if photo.original == original)
        }
        Answer::NotKnown { .. } | Answer::LeftOff { .. } => false,
    });
    if !named {
        return at.bench.drop_photo(&one);
    }
    match at.wait(at.bench.send_photos(None)) {
        // It waits here and goes up later.
        Ok(_) | Err(Error::Away { .. }) => Ok(()),
        Err(error) => Err(error),
    }
}

/// Which size of a photo.
#[derive(Debug, Deserialize)]
pub(super) struct Size {
    #[serde(default)]
    small: String,
}

/// The copy of a photo, which tells neither place nor device.
pub(super) async fn photo(
    State(app): State<Shared>,
    Path(digest): Path<String>,
    Query(Size { small }): Query<Size>,
) -> Response {
    let Ok(digest) = Digest::read(&digest) else { return StatusCode::NOT_FOUND.into_response() };
    let Ok(bench) = app.engine.bench() else { return StatusCode::NOT_FOUND.into_response() };
    match shown(&bench, digest, !small.is_empty()).await {
        Ok((kind, bytes)) => ([(header::CONTENT_TYPE, kind)], bytes).into_response(),
        Err(_) => StatusCode::NOT_FOUND.into_response(),
    }
}

async fn shown(
    bench: &Bench,
    digest: Digest,
    small: bool,
) -> Result<(&'static str, Vec<u8>), Error> {
    let bytes = bench.photo(digest, false).await?;
    if small && let Some(small) = bench.small_photo(digest, &bytes, SMALL) {
        return Ok(("image/jpeg", small));
    }
    let kind = if bytes.starts_with(b"\x89PNG") { "image/png" } else { "image/jpeg" };
    Ok((kind, bytes))
}
