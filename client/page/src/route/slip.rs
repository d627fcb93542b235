//! A visit's slip, as it is printed.

use axum::{
    Extension,
    extract::{Path, State},
    http::{HeaderValue, header},
    response::{Html, IntoResponse as _, Response},
};
use base64::Engine as _;
use burrline_bench::Error;
use burrline_domain::fold::Job;
use burrline_paper::handout::{Paper, page};
use burrline_present::{handout::Kind, view};
use burrline_talk::handed::{Handed, handed};
use burrline_terms::{Skull, Typed as _};
use sha2::{Digest as _, Sha256};

use super::wrong;
use crate::{app::Shared, gate::Came};

pub(super) async fn slip(
    State(app): State<Shared>,
    Extension(came): Extension<Came>,
    Path(tag): Path<String>,
) -> Response {
    match printed(&app, &tag).await {
        Ok(page) => {
            let policy = policy(&page);
            let mut answer = Html(page).into_response();
            if let Ok(policy) = HeaderValue::from_str(&policy) {
                answer.headers_mut().insert(header::CONTENT_SECURITY_POLICY, policy);
            }
            answer
        }
        Err(error) => wrong(&app, &came, &format!("/slip/{tag}"), &error),
    }
}

async fn printed(app: &Shared, tag: &str) -> Result<String, Error> {
    let bench = app.engine.bench()?;
    let skull = Skull::read(tag.split('/').next().unwrap_or_default())?;
    let Handed { handout, word, alone, .. } = handed(&bench, &skull, Kind::Slip).await?;
    let paper = alone.state().settings().paper().and_then(Paper::of).unwrap_or(Paper::Roll80);
    let ticket = view::which(alone.state(), &skull).ok().and_then(Job::ticket);
    ticket.map_or(Ok(()), |ticket| bench.slipped(ticket))?;
    Ok(page::page(&handout, &word, paper, None, false))
}

/// The paper brings a style of its own, which alone is let through, by its digest.
fn policy(page: &str) -> String {
    let style = page.split_once("<style>").and_then(|(_, rest)| rest.split_once("</style>"));
    let digest = Sha256::digest(style.map_or("", |(style, _)| style).as_bytes());
    let digest = base64::engine::general_purpose::STANDARD.encode(digest);
    format!(
        "default-src 'none'; style-src 'sha256-{digest}'; img-src data:; form-action 'none'; \
         frame-ancestors 'none'; base-uri 'none'"
    )
}
