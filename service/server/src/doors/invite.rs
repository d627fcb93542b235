//! Codes that an owner's bench gives out, lists and takes back.

use std::sync::Arc;

use burrline_proto::{Wire as _, v1};
use burrline_terms::{Name, Typed as _, words::Role};
use burrline_tls::fingerprint::Fingerprint;
use tonic::Status;

use super::{blocking, malformed, status::codes_unreadable};
use crate::shop::{Asked, Shop};

/// The most that a code is good for: thirty days.
const MOST_MINUTES: u32 = 43_200;
const MOST_BENCHES: u32 = 1_000;

/// Makes a code.
pub(super) async fn invite(
    shop: &Arc<Shop>,
    request: v1::InviteRequest,
) -> Result<v1::InviteResponse, Status> {
    let role = Role::from_item(&request.role).map_err(|bad| malformed(bad.to_string()))?;
    let said = Some(request.bench_name.as_str()).filter(|name| !name.is_empty());
    let name = said.map(Name::read).transpose().map_err(|bad| malformed(bad.to_string()))?;
    let most = if name.is_some() { 1 } else { MOST_BENCHES };
    if !(1..=most).contains(&request.benches) || !(1..=MOST_MINUTES).contains(&request.minutes) {
        let words =
            "a code is for 1 to 1,000 benches, for 1 with a name, and good for 1 minute to 30 days";
        return Err(malformed(words));
    }
    let asked = Asked { role, benches: request.benches, name };
    let until = shop.machine_now().plus(i64::from(request.minutes).saturating_mul(60_000));
    let owned = Arc::clone(shop);
    let made = blocking(move || owned.invite(asked, until)).await?;
    let code = made.map_err(|error| codes_unreadable(&error))?;
    Ok(v1::InviteResponse {
        code: code.to_string(),
        spoken: Fingerprint::of(shop.key()).spoken(),
        addresses: shop.folder().addresses(),
        until_ms: until.0,
    })
}

/// Lists the codes that are good, after one was taken back.
pub(super) async fn invites(
    shop: &Arc<Shop>,
    request: v1::InvitesRequest,
) -> Result<v1::InvitesResponse, Status> {
    let (invites, now) = (shop.folder().invites(), shop.machine_now());
    let listed = blocking(move || {
        if request.withdraw > 0 && !invites.withdraw(request.withdraw)? {
            return Ok(None);
        }
        invites.list(now).map(Some)
    });
    let listed = listed.await?.map_err(|error| codes_unreadable(&error))?;
    let listed = listed.ok_or_else(|| malformed("there is no such code any more"))?;
    let invites = listed.into_iter().map(|one| v1::Invited {
        number: one.number,
        role: one.asked.role.number(),
        bench_name: one.asked.name.map(|name| name.to_string()).unwrap_or_default(),
        benches: one.asked.benches,
        until_ms: one.until.0,
    });
    Ok(v1::InvitesResponse { invites: invites.collect() })
}
