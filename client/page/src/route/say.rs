//! A line, and the answers to its questions.

use axum::{
    Extension,
    extract::State,
    http::HeaderMap,
    response::{IntoResponse as _, Redirect, Response},
};
use burrline_bench::{Error, alone::Then};
use burrline_talk::saying::hands;

use super::{fields::Fields, page};
use crate::{
    app::Shared,
    gate::Came,
    talk::{
        At, Outcome, Turn, Work,
        asker::Reply,
        line::{self, Typed},
    },
    view::{frame::whole, slip},
    words::WORDS,
};

/// The header of a request by our script, which wants no whole page.
const PART: &str = "x-part";

/// Tells our script where it goes on.
const GO: &str = "x-go";

pub(super) async fn say(
    State(app): State<Shared>,
    Extension(came): Extension<Came>,
    headers: HeaderMap,
    fields: Fields,
) -> Response {
    let turn = match meant(&app, &fields) {
        Ok(Typed::Find(words)) => return found(&words),
        Ok(Typed::Say(words)) => begin(&app, Box::new(move |at| at.say(&words))).await,
        Ok(Typed::Undo) => begin(&app, Box::new(undo)).await,
        Ok(Typed::Hand(name)) => begin(&app, hand(name)).await,
        Ok(Typed::Heard) => {
            app.engine.locked().hear();
            Turn::Ended(Outcome { done: vec![WORDS.heard.to_owned()], ..Outcome::default() })
        }
        Err(error) => Turn::Ended(Outcome { wrong: error.to_string(), ..Outcome::default() }),
    };
    answered(&app, &came, &headers, fields.back(), turn)
}

pub(super) async fn answer(
    State(app): State<Shared>,
    Extension(came): Extension<Came>,
    headers: HeaderMap,
    fields: Fields,
) -> Response {
    let reply = Reply { key: fields.one("key").to_owned(), words: fields.one("words").to_owned() };
    let turn = app.talks.answer(fields.one("talk"), reply).await;
    let gone = || Outcome { wrong: WORDS.talk_lost.to_owned(), ..Outcome::default() };
    let turn = turn.unwrap_or_else(|| Turn::Ended(gone()));
    answered(&app, &came, &headers, fields.back(), turn)
}

pub(super) async fn heard(State(app): State<Shared>, fields: Fields) -> Response {
    app.engine.locked().hear();
    Redirect::to(fields.back()).into_response()
}

/// Begins a talk.
pub(super) async fn begin(app: &Shared, work: Work) -> Turn {
    app.talks.begin(app, work).await
}

/// Takes back the last line of this bench, with all of its potful.
fn undo(at: &mut At) -> Result<(), Error> {
    let last = at.bench.last_lines("strike", 1)?;
    let names = last.iter().map(|(name, _)| name.to_string());
    let words: Vec<String> = std::iter::once("strike".to_owned()).chain(names).collect();
    at.say(&words)
}

/// A hand steps up.
fn hand(name: String) -> Work {
    Box::new(move |at| {
        let known: Vec<String> = {
            let alone = at.bench.alone(&burrline_bench::SystemClock, Then::default())?;
            let hands = alone.as_ref().map(|alone| alone.state().shop().hands.iter());
            hands.into_iter().flatten().map(ToString::to_string).collect()
        };
        let name = hands::chosen(&known, &name, &mut at.person)?;
        at.bench.keep_hand(&name)
    })
}

/// The line that a form means: typed, or a step for the tags that were tapped.
fn meant(app: &Shared, fields: &Fields) -> Result<Typed, Error> {
    let typed = fields.one("line");
    if !typed.is_empty() {
        let live = app.engine.locked();
        return line::typed(typed, &live.known);
    }
    let step = fields.one("step");
    let tags: Vec<&str> = fields.all("skull").filter(|tag| !tag.is_empty()).collect();
    if step.is_empty() {
        return Err(Error::usage(WORDS.no_step));
    }
    if step.contains("{}") && tags.is_empty() {
        return Err(Error::usage(WORDS.no_skull));
    }
    let mut words = Vec::new();
    for word in step.split_whitespace() {
        if word == "{}" {
            words.extend(tags.iter().map(|tag| (*tag).to_owned()));
        } else {
            words.push(word.to_owned());
        }
    }
    // What a form asks for besides: a value alone, several words, or one behind its name.
    let split = fields.all("words").map(burrline_line::split).collect::<Result<Vec<_>, _>>()?;
    words.extend(fields.all("word").filter(|value| !value.is_empty()).map(str::to_owned));
    words.extend(split.into_iter().flatten());
    for (name, value) in &fields.0 {
        if let Some(name) = name.strip_prefix("with-").filter(|_| !value.trim().is_empty()) {
            words.extend([format!("--{name}"), value.trim().to_owned()]);
        }
    }
    Ok(Typed::Say(words))
}

fn found(words: &str) -> Response {
    let words: String = form(words);
    Redirect::to(&format!("/find?q={words}")).into_response()
}

/// Words as they stand in an address.
pub(crate) fn form(words: &str) -> String {
    let mut out = String::new();
    for byte in words.bytes() {
        if byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'.' | b'_') {
            out.push(char::from(byte));
        } else {
            out.push('%');
            out.push_str(&hex::encode_upper([byte]));
        }
    }
    out
}

/// What became of it: for our script the slip alone, else a page.
pub(super) fn answered(
    app: &Shared,
    came: &Came,
    headers: &HeaderMap,
    back: &str,
    turn: Turn,
) -> Response {
    let token = &came.session.token;
    let part = headers.contains_key(PART);
    match turn {
        Turn::Asked(talk, ask) => {
            let question = slip::question(token, back, &talk, &ask);
            if part {
                return whole(question).into_response();
            }
            page(app, came, back, WORDS.asked_first, question).into_response()
        }
        Turn::Ended(outcome) if !outcome.to.is_empty() => {
            let to = outcome.to.clone();
            app.sessions.keep(&came.cookie, outcome);
            if part { [(GO, to)].into_response() } else { Redirect::to(&to).into_response() }
        }
        Turn::Ended(outcome) if part => whole(slip::outcome(token, back, &outcome)).into_response(),
        Turn::Ended(outcome) => {
            app.sessions.keep(&came.cookie, outcome);
            Redirect::to(back).into_response()
        }
    }
}
