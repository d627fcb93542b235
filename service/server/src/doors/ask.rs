//! Asking: may I? No number, no signature, no record.

use burrline_domain::Verb;
use burrline_present::{ask::ruled_after, judge::By, private};
use burrline_proto::v1;
use burrline_terms::Moment;
use tonic::Status;

use super::status;
use crate::shop::Shop;

/// What the shop would say of each verb.
pub(super) fn ask(shop: &Shop, request: &v1::AskRequest) -> Result<v1::AskResponse, Status> {
    let records = shop.decided().state().records();
    let now = request.said_ms.map_or_else(|| shop.now(), Moment);
    let read = |message: &v1::Verb| {
        Verb::try_from(message).map_err(|bad| status(v1::Reason::Malformed, bad.to_string()))
    };
    // Each is held against the story and against those that are said before it.
    let mut before = request.before.iter().map(read).collect::<Result<Vec<_>, _>>()?;
    let ruled = request.verbs.iter().map(|message| {
        let verb = read(message)?;
        // The present is locked for one verb at a time: who records meanwhile waits for one alone.
        let mut one = {
            let head = shop.decided();
            let bench = head.state().shop().benches.get(&request.life);
            let by = By { hand: &request.hand, role: bench.map(|bench| bench.role) };
            ruled_after(shop.judge(), head.state(), &verb, &before, by, now)
        };
        // Names are looked for here, so that none has to leave the shop.
        let told = private::against(&shop.published(), &*shop.keyring(), &verb, now);
        one.objections.extend(told);
        before.push(verb);
        Ok(one)
    });
    Ok(v1::AskResponse { ruled: ruled.collect::<Result<_, Status>>()?, records })
}
