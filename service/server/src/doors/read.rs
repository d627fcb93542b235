//! Digests, the records that a story hangs on, and scripts.

use std::collections::BTreeSet;

use burrline_domain::{State, fold::Job};
use burrline_host::{Kind, Script, digest_of, run_cases};
use burrline_present::{
    judge::verbs_fit,
    looks::{EXPORT, PACKET},
    view,
};
use burrline_proto::{Wire, v1};
use burrline_terms::{Digest, Skull};
use tonic::Status;

use super::{caller::Caller, status};
use crate::shop::Shop;

pub(super) fn digest(shop: &Shop) -> v1::DigestResponse {
    let state = shop.published();
    v1::DigestResponse {
        records: state.records(),
        state_digest: state.digest().0.to_vec(),
        root: shop.reader().head().root.0.to_vec(),
    }
}

/// Names the records that a packet about a job is made of.
pub(super) fn evidence(
    shop: &Shop,
    caller: Caller,
    request: &v1::EvidenceRequest,
) -> Result<v1::EvidenceResponse, Status> {
    let state = shop.published();
    let job = job_by(&state, request.skull.as_ref(), view::which_ever)?;
    shop.looks().note(caller.life(0), shop.now(), PACKET, &BTreeSet::from([job.id]));
    Ok(v1::EvidenceResponse {
        job: Some(job.id.to_item()),
        positions: burrline_present::evidence::records(&state, job).into_iter().collect(),
        shop_key: shop.key().0.to_vec(),
    })
}

/// Notes that a bench wrote the shop's story into a file, from its own copy.
pub(super) fn exported(shop: &Shop, caller: Caller, request: v1::ExportedRequest) {
    shop.looks().note(caller.life(request.life), shop.now(), EXPORT, &BTreeSet::new());
}

/// Keeps a script's source, once it compiles and its own cases hold.
pub(super) fn put_script(
    shop: &Shop,
    request: v1::PutScriptRequest,
) -> Result<v1::PutScriptResponse, Status> {
    let wrong = |words: String| status(v1::Reason::Script, words);
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
        return Err(status(v1::Reason::NoSuchScript, "no script with that digest"));
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

/// What a script that was sent is for.
pub(super) fn script_kind(kind: i32) -> Result<Kind, Status> {
    match v1::ScriptKind::try_from(kind) {
        Ok(v1::ScriptKind::Pricing) => Ok(Kind::Pricing),
        Ok(v1::ScriptKind::Stages) => Ok(Kind::Stages),
        Ok(v1::ScriptKind::Unspecified) | Err(_) => {
            let words = "say whether it is a pricing or a stages script";
            Err(status(v1::Reason::Script, words))
        }
    }
}

pub(super) fn job<'a>(state: &'a State, skull: Option<&v1::Skull>) -> Result<&'a Job, Status> {
    job_by(state, skull, view::which)
}

fn job_by<'a>(
    state: &'a State,
    skull: Option<&v1::Skull>,
    which: impl Fn(&'a State, &Skull) -> Result<&'a Job, String>,
) -> Result<&'a Job, Status> {
    let skull = skull.map(Skull::from_item).transpose();
    let skull = skull.map_err(|b| status(v1::Reason::Malformed, b.to_string()))?;
    let skull = skull.ok_or_else(|| {
        status(v1::Reason::Malformed, "say which skull: its tag or its job number")
    })?;
    which(state, &skull).map_err(|words| status(v1::Reason::NoSuchJob, words))
}
