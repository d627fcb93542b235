//! Asking: may I? No number, no signature, no record.

use burrline_domain::Verb;
use burrline_present::{ask::ruled_after, judge::By, private};
use burrline_proto::v1;
use burrline_terms::Moment;
use tonic::Status;

use super::{caller::Caller, status};
use crate::shop::Shop;

/// How many lines are asked about at once, with those before them.
const MOST_AT_ONCE: usize = 1_000;

/// What the shop would say of each verb.
pub(super) fn ask(
    shop: &Shop,
    caller: Caller,
    request: &v1::AskRequest,
) -> Result<v1::AskResponse, Status> {
    if request.before.len().saturating_add(request.verbs.len()) > MOST_AT_ONCE {
        return Err(status(v1::Reason::TooMuch, "ask about 1,000 lines at most"));
    }
    let life = caller.life(request.life);
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
            let bench = head.state().shop().benches.get(&life);
            let by = By { hand: &request.hand, role: bench.map(|bench| bench.role) };
            ruled_after(shop.judge(), head.state(), &verb, &before, by, now)
        };
        // Names are looked for here, so that none has to leave the shop.
        let told = private::against(&shop.published(), &*shop.keyring(), &verb, now);
        one.objections.extend(told);
        before.push(verb);
        Ok(one)
    });
    let ruled = shop.judge().for_one_line(|| ruled.collect::<Result<_, Status>>())?;
    Ok(v1::AskResponse { ruled, records })
}
