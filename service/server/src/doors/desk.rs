//! Readings of the desk: whom to call, what was taken, the register, how jobs ended, who collects.
//!
//! Names and money go to lives that are enrolled as a counter or as the owner. A call does not prove
//! which life it comes from, so this keeps what is read apart, and keeps nobody out.

use std::sync::Arc;

use burrline_present::desk::{self, Days, people::Eyes};
use burrline_proto::v1;
use burrline_terms::Day;
use burrline_terms::Typed as _;
use tonic::{Code, Response, Status};

use super::{blocking, read::job, status};
use crate::shop::Shop;

/// Answers a reading on a thread of its own.
pub(super) async fn read<Q: Send + 'static, A: Send + 'static>(
    shop: &Arc<Shop>,
    request: Q,
    answer: impl FnOnce(&Shop, &Q) -> Result<A, Status> + Send + 'static,
) -> Result<Response<A>, Status> {
    let shop = Arc::clone(shop);
    blocking(move || answer(&shop, &request)).await?.map(Response::new)
}

pub(super) fn calls(shop: &Shop, life: u32) -> v1::CallsResponse {
    let state = shop.published();
    let keyring = shop.keyring();
    let eyes = Eyes::new(&*keyring, desk::sees(&state, life));
    desk::calls(&state, eyes, shop.now())
}

pub(super) fn takings(
    shop: &Shop,
    request: &v1::TakingsRequest,
) -> Result<v1::TakingsResponse, Status> {
    let state = shop.published();
    if !desk::sees(&state, request.life) {
        return Err(status(Code::PermissionDenied, "ROLE", desk::NO_MONEY));
    }
    let day = |word: &str| Day::read(word).map_err(|bad| wrong(bad.to_string()));
    let (from, to) = (day(&request.from_day)?, day(&request.to_day)?);
    Days::read(&request.from_day, &request.to_day).map_err(wrong)?;
    let keyring = shop.keyring();
    Ok(desk::takings(&state, Eyes::new(&*keyring, true), from, to))
}

pub(super) fn register(
    shop: &Shop,
    request: &v1::RegisterRequest,
) -> Result<v1::RegisterResponse, Status> {
    let days = Days::read(&request.from_day, &request.to_day).map_err(wrong)?;
    let state = shop.published();
    let keyring = shop.keyring();
    let eyes = Eyes::new(&*keyring, desk::sees(&state, request.life));
    Ok(desk::register(&state, eyes, days))
}

pub(super) fn refused(
    shop: &Shop,
    request: &v1::RefusedRequest,
) -> Result<v1::RefusedResponse, Status> {
    burrline_present::refused::refused(&shop.published(), request).map_err(wrong)
}

pub(super) fn ends(shop: &Shop, request: &v1::EndsRequest) -> Result<v1::EndsResponse, Status> {
    let days = Days::read(&request.from_day, &request.to_day).map_err(wrong)?;
    let state = shop.published();
    let keyring = shop.keyring();
    let eyes = Eyes::new(&*keyring, desk::sees(&state, request.life));
    Ok(desk::ends(&state, eyes, days))
}

pub(super) fn collect(
    shop: &Shop,
    request: &v1::CollectRequest,
) -> Result<v1::CollectResponse, Status> {
    let state = shop.published();
    let job = job(&state, request.skull.as_ref())?;
    let keyring = shop.keyring();
    let eyes = Eyes::new(&*keyring, desk::sees(&state, request.life));
    Ok(desk::collect(&state, job, eyes))
}

fn wrong(words: String) -> Status {
    status(Code::InvalidArgument, "MALFORMED", words)
}
