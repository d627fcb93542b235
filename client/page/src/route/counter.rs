//! The counter: forms of visits, their prices as they are typed, writing, and the money after it.

use std::sync::Arc;

use axum::{
    Extension,
    extract::{Path, Query, State},
    http::HeaderMap,
    response::{IntoResponse as _, Redirect, Response},
};
use burrline_bench::{Bench, Error, SystemClock, alone::Then};
use burrline_domain::Verb;
use burrline_line::Common;
use burrline_proto::v1::Ruled;
use burrline_talk::{
    Person as _,
    visit::{Step, Visit, YES, kept, write::Counter},
};
use serde::Deserialize;

use super::{fields::Fields, page, say, wrong};
use crate::{
    app::Shared,
    counter::form::{self, Draft},
    gate::Came,
    talk::At,
    view::{counter, frame::whole},
    words::WORDS,
};

/// Which form.
#[derive(Debug, Deserialize)]
pub(super) struct Which {
    #[serde(default)]
    n: u32,
}

pub(super) async fn show(
    State(app): State<Shared>,
    Extension(came): Extension<Came>,
    Query(Which { n }): Query<Which>,
) -> Response {
    match told(&app, n).await {
        Ok(told) => {
            let main = counter::form(&told, &came.session.token);
            page(&app, &came, "/counter", WORDS.counter, main).into_response()
        }
        Err(error) => wrong(&app, &came, "/counter", &error),
    }
}

async fn told(app: &Shared, n: u32) -> Result<counter::Told, Error> {
    let bench = app.engine.bench()?;
    let drafts = form::begun(&bench)?;
    let open = kept::begun(&bench)?.into_iter().filter(|begun| begun.visit.heads_written);
    let written = open.map(|begun| (begun.file, kept::called(&begun.visit))).collect();
    let draft = drafts.iter().find(|draft| draft.n == n).cloned();
    let draft = draft.unwrap_or_else(|| Draft { n: form::free(&drafts), ..Draft::default() });
    let alone = bench.alone(&SystemClock, Then::default())?;
    let known = kept::known(&bench, alone.as_ref(), "").await?;
    Ok(counter::Told {
        drafts,
        written,
        next_tag: known.next_tag.unwrap_or_default(),
        same: known.ticket.map(|_| known.ticket_of).unwrap_or_default(),
        draft,
    })
}

/// What the form is sent for: kept, another head, thrown away, or written.
pub(super) async fn change(
    State(app): State<Shared>,
    Extension(came): Extension<Came>,
    headers: HeaderMap,
    fields: Fields,
) -> Response {
    let draft = Draft { n: fields.one("n").parse().unwrap_or(1), fields };
    let at = format!("/counter?n={}", draft.n);
    match changed(&app, &draft) {
        Err(error) => wrong(&app, &came, "/counter", &error),
        Ok(false) => Redirect::to(&at).into_response(),
        Ok(true) => {
            let shared = Arc::clone(&app);
            let work = Box::new(move |at: &mut At| write(&shared, at, &draft));
            let turn = say::begin(&app, work).await;
            say::answered(&app, &came, &headers, &at, turn)
        }
    }
}

/// Keeps the form; true if it is to be written.
fn changed(app: &Shared, draft: &Draft) -> Result<bool, Error> {
    let bench = app.engine.bench()?;
    match draft.fields.one("do") {
        "write" => {
            draft.keep(&bench)?;
            return Ok(true);
        }
        "drop" => draft.drop_it(&bench)?,
        "more" => {
            let mut more = draft.clone();
            more.fields.0.retain(|(name, _)| name != "heads");
            let heads = draft.heads().saturating_add(1).to_string();
            more.fields.0.push(("heads".to_owned(), heads));
            more.keep(&bench)?;
        }
        _ => draft.keep(&bench)?,
    }
    Ok(false)
}

/// What the heads of a form cost, by the price list, as far as they were filled in.
pub(super) async fn price(State(app): State<Shared>, fields: Fields) -> Response {
    let draft = Draft { n: fields.one("n").parse().unwrap_or(1), fields };
    // What nobody could keep is told when it is written.
    let _ = app.engine.bench().and_then(|bench| draft.keep(&bench));
    match priced(&app, &draft).await {
        Ok((prices, why)) => whole(counter::prices(&prices, &why)).into_response(),
        Err(error) => whole(counter::prices(&[], &error.to_string())).into_response(),
    }
}

async fn priced(app: &Shared, draft: &Draft) -> Result<(Vec<(String, Ruled)>, String), Error> {
    let bench = app.engine.bench()?;
    let known = {
        let alone = bench.alone(&SystemClock, Then::default())?;
        kept::known(&bench, alone.as_ref(), "").await?
    };
    let mut visit = Visit::of(Some(draft.meant()));
    let why = draft.answers(&mut visit, &known).err().map(|(_, why)| why).unwrap_or_default();
    let heads = (0..visit.head_count()).filter(|head| visit.can_be_priced(*head));
    let tags: Vec<String> = heads.map(|head| visit.words(Step::Tag(head)).to_owned()).collect();
    if tags.is_empty() {
        return Ok((Vec::new(), why));
    }
    let verbs: Vec<Verb> = visit
        .heads()?
        .into_iter()
        .map(|line| line.verb)
        .filter(|verb| {
            let tag = verb.skull().and_then(|skull| skull.tag.as_ref()).map(ToString::to_string);
            matches!(verb, Verb::TakeIn(_)) && tag.is_some_and(|tag| tags.contains(&tag))
        })
        .collect();
    let ruled = bench.asked(verbs, &SystemClock).await?.unwrap_or_default();
    Ok((tags.into_iter().zip(ruled).collect(), why))
}

/// The visit as the counter's own, with the bench that the talk has.
fn counter(at: &At, visit: Visit, file: String) -> Result<Counter, Error> {
    let mut bench = Bench::open(&at.bench.folder().path(""))?;
    bench.for_a_hand();
    let _ = at.wait(bench.catch_up(&SystemClock, None));
    let alone = bench.alone(&SystemClock, Then::default())?;
    let known = at.wait(kept::known(&bench, alone.as_ref(), &file))?;
    Ok(Counter { bench, visit, file, known, alone, common: Common::default() })
}

/// Writes the heads of a form, and goes on to their prices.
fn write(app: &Shared, at: &mut At, draft: &Draft) -> Result<(), Error> {
    let file = kept::free(&at.bench)?;
    let mut counter = counter(at, Visit::of(Some(draft.meant())), file)?;
    while let Some(step) = counter.visit.next() {
        let answer = if step == Step::Write {
            YES.to_owned()
        } else if step == Step::Which {
            let Some(which) = which(at, &counter) else { return Ok(()) };
            which
        } else {
            draft.answer(step)
        };
        let taken = counter.visit.take(step, &answer, &counter.known);
        taken.map_err(Error::Usage)?;
        if step == Step::Who {
            at.wait(counter.begun())?;
        }
        if step == Step::Write {
            break;
        }
    }
    let handle = at.handle();
    if !handle.block_on(counter.write_heads(&mut at.person))? {
        return Ok(());
    }
    handle.block_on(counter.price(&mut at.person))?;
    counter.keep()?;
    draft.drop_it(&at.bench)?;
    at.to = if counter.visit.prices.is_empty() {
        counter.bench.folder().remove(&counter.file)?;
        first_head(&counter).map_or_else(|| "/counter".to_owned(), |tag| format!("/skull/{tag}"))
    } else {
        format!("/counter/{}", counter.file)
    };
    app.engine.said();
    Ok(())
}

fn first_head(counter: &Counter) -> Option<String> {
    Some(counter.visit.words(Step::Tag(0)).to_owned()).filter(|tag| !tag.is_empty())
}

/// Which of the customers who are known it is; none if it is left off.
fn which(at: &mut At, counter: &Counter) -> Option<String> {
    let found = &counter.visit.found;
    let known = found.iter().map(|one| format!("{} {}", one.name, one.phone).trim().to_owned());
    let choices: Vec<String> = known.chain([WORDS.new_customer.to_owned()]).collect();
    let chosen = at.person.which(WORDS.known_customer, &choices)?;
    let number = chosen.saturating_add(1);
    Some(if chosen < found.len() { number.to_string() } else { "new".to_owned() })
}

/// The prices of a visit whose heads are written.
pub(super) async fn money(
    State(app): State<Shared>,
    Extension(came): Extension<Came>,
    Path(file): Path<String>,
) -> Response {
    match begun(&app, &file) {
        Ok(visit) => {
            let main = counter::money(&file, &visit, &came.session.token);
            page(&app, &came, "/counter", WORDS.counter, main).into_response()
        }
        Err(error) => wrong(&app, &came, "/counter", &error),
    }
}

fn begun(app: &Shared, file: &str) -> Result<Visit, Error> {
    let all = kept::begun(&app.engine.bench()?)?;
    let one = all.into_iter().find(|begun| begun.file == file && begun.visit.heads_written);
    one.map(|begun| begun.visit).ok_or_else(|| Error::usage(WORDS.no_such_visit))
}

pub(super) async fn pay(
    State(app): State<Shared>,
    Extension(came): Extension<Came>,
    Path(file): Path<String>,
    headers: HeaderMap,
    fields: Fields,
) -> Response {
    let at = format!("/counter/{file}");
    let visit = match begun(&app, &file) {
        Ok(visit) => visit,
        Err(error) => return wrong(&app, &came, "/counter", &error),
    };
    let work = Box::new(move |at: &mut At| paid(at, visit, file, &fields));
    let turn = say::begin(&app, work).await;
    say::answered(&app, &came, &headers, &at, turn)
}

fn paid(at: &mut At, visit: Visit, file: String, fields: &Fields) -> Result<(), Error> {
    let mut counter = counter(at, visit, file)?;
    while let Some(step) = counter.visit.next() {
        let answer = if step == Step::Heard {
            fields.one("heard").to_owned()
        } else if step == Step::Deposit && !fields.one("deposit").is_empty() {
            format!("{} {}", fields.one("deposit"), fields.one("means"))
        } else {
            String::new()
        };
        counter.visit.take(step, &answer, &counter.known).map_err(Error::Usage)?;
    }
    let handle = at.handle();
    handle.block_on(counter.write_money(&mut at.person))?;
    counter.bench.folder().remove(&counter.file)?;
    at.to =
        first_head(&counter).map_or_else(|| "/counter".to_owned(), |tag| format!("/skull/{tag}"));
    Ok(())
}
