//! Readings of past trails: by when a job is ready, how often something goes wrong, which place is
//! full.

use burrline_present::season;
use burrline_proto::v1;
use tonic::{Code, Status};

use super::{read, status};
use crate::shop::Shop;

pub(super) fn ready_by(
    shop: &Shop,
    request: &v1::ReadyByRequest,
) -> Result<v1::ReadyByResponse, Status> {
    let state = shop.published();
    let job = read::job(&state, request.skull.as_ref())?;
    season::ready_by(&state, job, &request.share_percent, shop.now()).map_err(wrong)
}

pub(super) fn rates(shop: &Shop) -> v1::RatesResponse {
    season::all_rates(&shop.published(), shop.now())
}

pub(super) fn load(shop: &Shop, request: &v1::LoadRequest) -> Result<v1::LoadResponse, Status> {
    season::full(&shop.published(), &request.times, shop.now()).map_err(wrong)
}

fn wrong(words: String) -> Status {
    status(Code::InvalidArgument, "MALFORMED", words)
}
