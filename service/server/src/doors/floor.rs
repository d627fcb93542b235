//! What the floor asks: the next potful, closing, what went astray, recipes.

use burrline_present::{astray, closing, potful, view};
use burrline_proto::v1;
use tonic::{Code, Status};

use super::status;
use crate::shop::Shop;

pub(super) fn next(shop: &Shop, place: &str) -> Result<v1::NextResponse, Status> {
    potful::next_answer(shop.judge(), &shop.published(), place, shop.now()).map_err(wrong)
}

pub(super) fn take_out(shop: &Shop, potfuls: u32) -> Result<v1::TakeOutResponse, Status> {
    potful::tomorrow_answer(shop.judge(), &shop.published(), potfuls, shop.now()).map_err(wrong)
}

pub(super) fn lock_up(shop: &Shop) -> v1::LockUpResponse {
    closing::lock_up(shop.judge(), &shop.published(), shop.now())
}

pub(super) fn strays(shop: &Shop, all: bool) -> v1::StraysResponse {
    astray::strays(&shop.published(), all)
}

pub(super) fn check_roll(
    shop: &Shop,
    request: &v1::CheckRollRequest,
) -> Result<v1::CheckRollResponse, Status> {
    let state = shop.published();
    astray::check_roll(&state, &request.place, &request.tags, shop.now()).map_err(wrong)
}

pub(super) fn recipes(shop: &Shop, name: &str) -> Result<v1::RecipesResponse, Status> {
    view::recipes(&shop.published(), name).map_err(wrong)
}

fn wrong(words: String) -> Status {
    status(Code::InvalidArgument, "MALFORMED", words)
}

pub(super) fn words(shop: &Shop) -> v1::WordsResponse {
    view::words(&shop.published())
}
