//! The desk: calls, the register's gaps, the till, what is full when, and what goes wrong how often.

use axum::{
    Extension,
    extract::State,
    response::{IntoResponse as _, Response},
};
use burrline_bench::{Error, SystemClock, alone::Then, contact::Reading};
use burrline_present::readings::{Asks, Calls, Load, Rates, Register, Takings, Till};

use super::{page, wrong};
use crate::{app::Shared, gate::Came, view::desk, words::WORDS};

pub(super) async fn desk(State(app): State<Shared>, Extension(came): Extension<Came>) -> Response {
    match calls(&app).await {
        Ok(told) => {
            let main = desk::calls(&told, &came.session.token);
            page(&app, &came, "/desk", WORDS.desk, main).into_response()
        }
        Err(error) => wrong(&app, &came, "/desk", &error),
    }
}

async fn calls(app: &Shared) -> Result<desk::Called, Error> {
    let Reading { answer, how_old } = read(app, Calls {}).await?;
    Ok(desk::Called { calls: answer, how_old, look: app.engine.locked().look() })
}

pub(super) async fn register(
    State(app): State<Shared>,
    Extension(came): Extension<Came>,
) -> Response {
    let at = "/desk/register";
    match read(&app, Register { from: None, to: None, gaps: true }).await {
        Ok(read) => {
            let main = desk::register(&read.answer, read.how_old.as_deref(), &came.session.token);
            page(&app, &came, at, WORDS.register, main).into_response()
        }
        Err(error) => wrong(&app, &came, at, &error),
    }
}

pub(super) async fn till(State(app): State<Shared>, Extension(came): Extension<Came>) -> Response {
    match money(&app).await {
        Ok(told) => {
            let main = desk::till(&told, &came.session.token);
            page(&app, &came, "/desk/till", WORDS.till, main).into_response()
        }
        Err(error) => wrong(&app, &came, "/desk/till", &error),
    }
}

async fn money(app: &Shared) -> Result<desk::Money, Error> {
    let Reading { answer: till, how_old } = read(app, Till { on: None }).await?;
    let takings = read(app, Takings { span: None, on: None }).await?.answer;
    Ok(desk::Money { till, takings, how_old })
}

pub(super) async fn season(
    State(app): State<Shared>,
    Extension(came): Extension<Came>,
) -> Response {
    match counted(&app).await {
        Ok(told) => {
            let main = desk::season(&told);
            page(&app, &came, "/desk/season", WORDS.season, main).into_response()
        }
        Err(error) => wrong(&app, &came, "/desk/season", &error),
    }
}

async fn counted(app: &Shared) -> Result<desk::Season, Error> {
    let load = read(app, Load { times: None }).await?;
    let rates = read(app, Rates {}).await?.answer;
    Ok(desk::Season { load: load.answer, rates, how_old: load.how_old })
}

pub(super) async fn read<R: Asks>(app: &Shared, reading: R) -> Result<Reading<R::Response>, Error> {
    app.engine.bench()?.read(reading, Then::default(), &SystemClock).await
}
