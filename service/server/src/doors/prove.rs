//! Signed heads of the log, and proofs for records.

use burrline_evidence::merkle::Hash;
use burrline_proto::v1;
use tonic::Status;

use super::{blocking, status, status::heads_status};
use crate::{
    heads::{Given, HeadsError},
    shop::Shop,
};

/// How many records are proved at once.
const MOST_AT_ONCE: usize = 1000;

/// How many leaves are given at once: 2 MiB of hashes.
const MOST_LEAVES: u64 = 65_536;

/// How long until the next head may be signed.
const NEXT_HEAD: std::time::Duration = std::time::Duration::from_millis(1010);

/// Gives the newest head that covers so many records.
pub(super) async fn checkpoint(
    shop: &std::sync::Arc<Shop>,
    request: v1::CheckpointRequest,
) -> Result<v1::CheckpointResponse, Status> {
    let given = covering(shop, request.covering.max(request.since)).await?;
    let consistency = if request.since == 0 {
        Vec::new()
    } else {
        let (owned, since, size) = (std::sync::Arc::clone(shop), request.since, given.head.size);
        let path = blocking(move || owned.heads().consistency(owned.reader(), since, size)).await?;
        bytes(&path.map_err(|error| heads_status(&error))?)
    };
    Ok(v1::CheckpointResponse { note: given.note, consistency })
}

/// Gives records and proves that each is on the log.
pub(super) async fn prove(
    shop: &std::sync::Arc<Shop>,
    request: v1::ProveRequest,
) -> Result<v1::ProveResponse, Status> {
    if request.positions.is_empty() || request.positions.len() > MOST_AT_ONCE {
        let words = format!("say 1 to {MOST_AT_ONCE} positions");
        return Err(status(v1::Reason::Positions, words));
    }
    let last = request.positions.iter().copied().max().unwrap_or(0);
    let given = covering(shop, last.saturating_add(1)).await?;
    let shop = std::sync::Arc::clone(shop);
    blocking(move || proved(&shop, given, &request.positions)).await?
}

fn proved(shop: &Shop, given: Given, positions: &[u64]) -> Result<v1::ProveResponse, Status> {
    let mut records = Vec::new();
    for position in positions.iter().copied() {
        let inclusion = shop.heads().inclusion(shop.reader(), position, given.head.size);
        let inclusion = bytes(&inclusion.map_err(|error| heads_status(&error))?);
        let record = shop.reader().read(position, 1).map_err(HeadsError::from);
        let record = record.map_err(|error| heads_status(&error))?.pop().unwrap_or_default();
        records.push(v1::ProvedRecord { record, position, inclusion });
    }
    Ok(v1::ProveResponse { note: given.note, records })
}

/// Gives the hashes of a stretch of records.
pub(super) fn leaves(
    shop: &Shop,
    request: &v1::LeavesRequest,
) -> Result<v1::LeavesResponse, Status> {
    let wanted = request.until.checked_sub(request.from);
    if wanted.is_none_or(|wanted| wanted > MOST_LEAVES) {
        let words = format!("say from where until where, at most {MOST_LEAVES} leaves at once");
        return Err(status(v1::Reason::Leaves, words));
    }
    let hashes = shop.heads().leaves(shop.reader(), request.from, request.until);
    let hashes = hashes.map_err(|error| heads_status(&error))?;
    Ok(v1::LeavesResponse { hashes: hashes.iter().flat_map(|hash| hash.0).collect() })
}

/// The newest head, once it covers so many records; waits for the next if the last is too fresh.
async fn covering(shop: &std::sync::Arc<Shop>, size: u64) -> Result<Given, Status> {
    let records = shop.reader().head().size;
    if size > records {
        let words = format!("the log has {records} records, not {size}");
        return Err(status(v1::Reason::TooFar, words));
    }
    for _ in 0..2 {
        let owned = std::sync::Arc::clone(shop);
        let given = blocking(move || owned.newest_head()).await?;
        let given = given.map_err(|error| heads_status(&error))?;
        if given.head.size >= size {
            return Ok(given);
        }
        tokio::time::sleep(NEXT_HEAD).await;
    }
    Err(status(v1::Reason::NoHead, "no head covers it yet; ask again"))
}

fn bytes(path: &[Hash]) -> Vec<Vec<u8>> {
    path.iter().map(|hash| hash.0.to_vec()).collect()
}
