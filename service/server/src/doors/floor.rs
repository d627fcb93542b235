//! What the floor asks: the next potful, and what to take out of the freezer.

use burrline_present::potful;
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

fn wrong(words: String) -> Status {
    status(Code::InvalidArgument, "MALFORMED", words)
}
