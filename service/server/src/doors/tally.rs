//! The past counted by a word of the trail.

use burrline_present::tally::{self, Asked, By};
use burrline_proto::v1;
use tonic::{Code, Status};

use super::status;
use crate::shop::Shop;

pub(super) fn tally(shop: &Shop, request: &v1::TallyRequest) -> Result<v1::TallyResponse, Status> {
    let wrong = |words: String| status(Code::InvalidArgument, "MALFORMED", words);
    let asked = Asked::read(&request.what, &request.by, request.season).map_err(wrong)?;
    if asked.by == By::Hand {
        // A reading does not prove who asks, and this one is for the owner alone.
        let words =
            "by hand is answered at an owner's own bench, from its copy, and not over the wire";
        return Err(status(Code::PermissionDenied, "OWNER_ONLY", words));
    }
    tally::tally(&shop.published(), asked, shop.now()).map_err(wrong)
}
