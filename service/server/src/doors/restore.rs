//! A bench gives back what a shop that was put back from a backup lost.

use std::sync::Arc;

use burrline_proto::v1::{self, restore_request::What};
use tonic::{Status, Streaming};

use super::{
    blocking, limits::Limited as _, malformed, record::sealing_keys, record_status,
    status::restore_status,
};
use crate::{
    recorder::Stretch,
    shop::{RecordError, RestoreError, Shop, Who},
};

/// How many scripts and how many keys one bench gives at most.
const MOST: usize = 10_000;

/// For how many lives one bench speaks at most.
const MOST_LIVES: usize = 100;

/// Takes what a bench offers, and says how far the shop is by then.
pub(super) async fn restore(
    shop: &Arc<Shop>,
    mut offers: Streaming<v1::RestoreRequest>,
) -> Result<v1::RestoreResponse, Status> {
    let Some(What::Hello(hello)) = offers.message().await?.and_then(|first| first.what) else {
        return Err(malformed("a bench says first who it is"));
    };
    hello.limited()?;
    let who = Who {
        lives: hello.earlier.iter().copied().chain([hello.life]).take(MOST_LIVES).collect(),
        proofs: hello.proofs.iter().take(MOST_LIVES).cloned().collect(),
    };
    let mut stretch = begin(shop, hello).await?;
    let (mut scripts, mut keys, mut kept) = (Vec::new(), Vec::new(), Vec::new());
    while let Some(next) = offers.message().await? {
        if scripts.len().max(keys.len()).max(kept.len()) >= MOST {
            return Err(malformed("too many scripts or keys at once"));
        }
        next.limited()?;
        match next.what {
            // A shop that goes on without them has others in their places.
            Some(What::Record(_)) if shop.restoring().is_none() => {}
            Some(What::Record(bytes)) => {
                stretch.offer(bytes).map_err(|unfit| restore_status(&unfit.into()))?;
            }
            Some(What::Script(source)) => scripts.push(source),
            Some(What::Key(key)) => keys.extend(sealing_keys(std::slice::from_ref(&key))?),
            Some(What::KeptKey(v1::KeptKey { key_id, closed })) => {
                let id = key_id.try_into().map_err(|_| malformed("a key's id has 16 bytes"))?;
                kept.push((id, closed));
            }
            Some(What::Hello(_)) | None => return Err(malformed("one of its parts is always set")),
        }
    }
    let owned = Arc::clone(shop);
    let taken = blocking(move || owned.take_back(&who, stretch, &scripts, &keys)).await?;
    let taken = taken.map_err(|error| restore_status(&error))?;
    if let Some(durable) = taken.durable {
        durable.await.map_err(|_| restore_status(&RestoreError::Closing))?;
    }
    let owned = Arc::clone(shop);
    let let_go = blocking(move || owned.take_kept(&kept)).await?;
    let let_go = let_go.map_err(|error| restore_status(&error))?;
    let owned = Arc::clone(shop);
    blocking(move || v1::RestoreResponse {
        let_go: let_go.iter().map(|id| id.to_vec()).collect(),
        records: owned.decided().state().records(),
        taken: taken.records,
        restoring: owned.restoring().unwrap_or_default(),
    })
    .await
}

/// Hears the heads, and waits until all that was decided is on disk.
async fn begin(shop: &Arc<Shop>, hello: v1::RestoreHello) -> Result<Stretch, Status> {
    let room = shop.room().await.map_err(|error| record_status(&error))?;
    let owned = Arc::clone(shop);
    let heard = move || {
        owned.hear_heads(&hello.notes, hello.losses, room)?;
        Ok(owned.decided().state().records())
    };
    let decided = blocking(heard).await?.map_err(|error| restore_status(&error))?;
    let on_disk = shop.durable().wait_for(|size| *size >= decided).await.map(|_| ());
    on_disk.map_err(|_| restore_status(&RestoreError::Closing))?;
    let owned = Arc::clone(shop);
    blocking(move || owned.stretch()).await?.map_err(|error| restore_status(&error))
}

/// Why a call other than these has to wait.
pub(super) fn restoring(words: String) -> Status {
    record_status(&RecordError::Restoring(words))
}
