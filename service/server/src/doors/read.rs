//! Readings: of the present, of a moment, and of what was known then.

use burrline_domain::State;
use burrline_host::{Kind, Script, digest_of, run_cases};
use burrline_present::{
    desk::{self, people::Eyes},
    judge::verbs_fit,
    view,
};
use burrline_proto::{Wire, v1};
use burrline_terms::{Digest, Moment, Skull};
use tonic::{Code, Status};

use super::{status, status::log_unreadable};
use crate::shop::{Shop, read_until};

pub(super) fn find(shop: &Shop, request: &v1::FindRequest) -> v1::FindResponse {
    let state = shop.published();
    let keyring = shop.keyring();
    let eyes = Eyes::new(&*keyring, desk::sees(&state, request.life));
    view::find(&state, &*keyring, eyes, &request.words)
}

pub(super) fn show(shop: &Shop, request: &v1::ShowRequest) -> Result<v1::ShowResponse, Status> {
    at(shop, request.as_of_ms, request.as_known, |state| {
        let job = job(state, request.skull.as_ref())?;
        // What was true then is counted to then, not to today.
        let now = request.as_of_ms.map_or_else(|| shop.now(), Moment);
        Ok(v1::ShowResponse { job: Some(view::job_view(state, job, &*shop.keyring(), now)) })
    })
}

pub(super) fn compare(
    shop: &Shop,
    request: &v1::CompareRequest,
) -> Result<v1::CompareResponse, Status> {
    let state = shop.published();
    Ok(view::comparison(&state, job(&state, request.skull.as_ref())?))
}

pub(super) fn dates(shop: &Shop, request: &v1::DatesRequest) -> Result<v1::DatesResponse, Status> {
    let state = shop.published();
    Ok(view::law_dates(&state, job(&state, request.skull.as_ref())?))
}

pub(super) fn trail(shop: &Shop, request: &v1::TrailRequest) -> Result<v1::TrailResponse, Status> {
    at(shop, request.as_of_ms, request.as_known, |state| {
        let job = job(state, request.skull.as_ref())?;
        Ok(view::trail_of(state, job))
    })
}

/// Two jobs or two moments, and what differs.
pub(super) fn sides(shop: &Shop, request: &v1::SidesRequest) -> Result<v1::SidesResponse, Status> {
    let told = |side: Option<&v1::Side>| {
        let words = "say what to compare with what";
        let side = side.ok_or_else(|| status(Code::InvalidArgument, "MALFORMED", words))?;
        at(shop, side.as_of_ms, side.as_known, |state| match &side.skull {
            Some(skull) => Ok(view::sides::of_job(state, job(state, Some(skull))?)),
            None => Ok(view::sides::of_floor(state)),
        })
    };
    Ok(view::sides::sides(told(request.one.as_ref())?, told(request.other.as_ref())?))
}

pub(super) fn floor(shop: &Shop, request: &v1::FloorRequest) -> Result<v1::FloorResponse, Status> {
    // What was true then is counted to then, not to today.
    let now = request.as_of_ms.map_or_else(|| shop.now(), Moment);
    let read = |state: &State| Ok(view::floor_at(state, &request.place, now));
    at(shop, request.as_of_ms, request.as_known, read)
}

pub(super) fn due(shop: &Shop, request: v1::DueRequest) -> v1::DueResponse {
    v1::DueResponse { lines: view::due(&shop.published(), Moment(request.until_ms)) }
}

pub(super) fn clashes(shop: &Shop) -> v1::ClashesResponse {
    v1::ClashesResponse { lines: view::clashes(&shop.published()) }
}

pub(super) fn stock(shop: &Shop) -> v1::StockResponse {
    view::stock(&shop.published())
}

pub(super) fn digest(shop: &Shop) -> v1::DigestResponse {
    let state = shop.published();
    v1::DigestResponse {
        records: state.records(),
        state_digest: state.digest().0.to_vec(),
        root: shop.reader().head().root.0.to_vec(),
    }
}

/// Keeps a script's source, once it compiles and its own cases hold.
pub(super) fn evidence(
    shop: &Shop,
    request: &v1::EvidenceRequest,
) -> Result<v1::EvidenceResponse, Status> {
    let state = shop.published();
    let job = job(&state, request.skull.as_ref())?;
    Ok(v1::EvidenceResponse {
        job: Some(job.id.to_item()),
        positions: burrline_present::evidence::records(&state, job).into_iter().collect(),
        shop_key: shop.key().0.to_vec(),
    })
}

pub(super) fn put_script(
    shop: &Shop,
    request: v1::PutScriptRequest,
) -> Result<v1::PutScriptResponse, Status> {
    let wrong = |words: String| status(Code::InvalidArgument, "SCRIPT", words);
    let kind = script_kind(request.kind)?;
    let script = Script::from_bytes(shop.judge().sandbox(), kind, &request.name, &request.source)
        .map_err(|failure| wrong(failure.to_string()))?;
    if kind == Kind::Stages {
        verbs_fit(&script).map_err(|failure| wrong(failure.to_string()))?;
    }
    let cases = run_cases(&script).map_err(|failure| wrong(failure.to_string()))?;
    if let Some(case) = cases.iter().find(|case| !case.holds()) {
        return Err(wrong(format!("the script's own case fails: {case:?}")));
    }
    let digest = digest_of(&request.source);
    shop.folder().keep_script(&digest, &request.source).map_err(|error| {
        tracing::error!(%error, "a script cannot be kept");
        Status::unavailable("the script cannot be kept; see the shop's own log")
    })?;
    Ok(v1::PutScriptResponse { digest: hex::decode(digest).unwrap_or_default() })
}

pub(super) fn get_script(
    shop: &Shop,
    request: &v1::GetScriptRequest,
) -> Result<v1::GetScriptResponse, Status> {
    let digest = hex::encode(&request.digest);
    let state = shop.published();
    let scripts = state.shop().scripts.iter();
    let found = scripts.map(|(d, s)| (d.to_string(), s)).find(|(d, _)| *d == digest);
    let Some((_, script)) = found else {
        // A quote by several scripts names their list, which follows from what was activated.
        let several = request.digest.as_slice().try_into().ok().map(Digest);
        if let Some(prices) = several.and_then(|digest| shop.judge().prices_of(digest)) {
            let source = prices.listed().into_bytes();
            return Ok(v1::GetScriptResponse { name: prices.names(), source });
        }
        return Err(status(Code::NotFound, "NO_SUCH_SCRIPT", "no script with that digest"));
    };
    let path = shop.folder().scripts().join(format!("{digest}.rhai"));
    let source = std::fs::read(path).map_err(|error| {
        tracing::error!(%error, digest, "a script cannot be read");
        Status::internal("the script cannot be read; see the shop's own log")
    })?;
    if digest_of(&source) != digest {
        tracing::error!(digest, "the source of a script was altered on disk");
        return Err(Status::internal("the script was altered on disk; see the shop's own log"));
    }
    Ok(v1::GetScriptResponse { name: script.name.to_string(), source })
}

/// Reads the present, or refolds the log to a moment or to what was known.
fn at<T>(
    shop: &Shop,
    as_of_ms: Option<i64>,
    as_known: Option<u64>,
    read: impl FnOnce(&State) -> Result<T, Status>,
) -> Result<T, Status> {
    if as_of_ms.is_none() && as_known.is_none() {
        return read(&shop.published());
    }
    let state = read_until(shop.reader(), as_of_ms.map(Moment), as_known)
        .map_err(|error| log_unreadable(&error))?;
    read(&state)
}

/// What a script that was sent is for.
pub(super) fn script_kind(kind: i32) -> Result<Kind, Status> {
    match v1::ScriptKind::try_from(kind) {
        Ok(v1::ScriptKind::Pricing) => Ok(Kind::Pricing),
        Ok(v1::ScriptKind::Stages) => Ok(Kind::Stages),
        Ok(v1::ScriptKind::Unspecified) | Err(_) => {
            let words = "say whether it is a pricing or a stages script";
            Err(status(Code::InvalidArgument, "SCRIPT", words))
        }
    }
}

pub(super) fn job<'a>(
    state: &'a State,
    skull: Option<&v1::Skull>,
) -> Result<&'a burrline_domain::fold::Job, Status> {
    let skull = skull.map(Skull::from_item).transpose();
    let skull = skull.map_err(|b| status(Code::InvalidArgument, "MALFORMED", b.to_string()))?;
    let skull = skull.ok_or_else(|| {
        status(Code::InvalidArgument, "MALFORMED", "say which skull: its tag or its job number")
    })?;
    view::which(state, &skull).map_err(|words| status(Code::NotFound, "NO_SUCH_JOB", words))
}
