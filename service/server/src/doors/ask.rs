//! Asking: may I? No number, no signature, no record.

use burrline_domain::{Moment, Verb};
use burrline_present::{ask::ruled, judge::By};
use burrline_proto::v1;
use tonic::{Code, Status};

use super::status;
use crate::shop::Shop;

/// What the shop would say of each verb.
pub(super) fn ask(shop: &Shop, request: &v1::AskRequest) -> Result<v1::AskResponse, Status> {
    let records = shop.decided().state().records();
    let now = request.said_ms.map_or_else(|| shop.now(), Moment);
    let ruled = request.verbs.iter().map(|message| {
        let verb = Verb::try_from(message)
            .map_err(|bad| status(Code::InvalidArgument, "MALFORMED", bad.to_string()))?;
        // The present is locked for one verb at a time: who records meanwhile waits for one alone.
        let head = shop.decided();
        let bench = head.state().shop().benches.get(&request.life);
        let by = By { hand: &request.hand, role: bench.map(|bench| bench.role) };
        Ok(ruled(shop.judge(), head.state(), &verb, by, now))
    });
    Ok(v1::AskResponse { ruled: ruled.collect::<Result<_, Status>>()?, records })
}
