//! A bench gives back what a shop that was put back from a backup lost.

use std::sync::Arc;

use burrline_proto::v1::{self, restore_request::What};
use tonic::{Status, Streaming};

use super::{blocking, record::sealing_keys, status};
use crate::{
    heads::HeadsError,
    recorder::{Stretch, Unfit},
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
    let wrong = |words: &str| status(v1::Reason::Malformed, words.to_owned());
    let Some(What::Hello(hello)) = offers.message().await?.and_then(|first| first.what) else {
        return Err(wrong("a bench says first who it is"));
    };
    let who = Who {
        lives: hello.earlier.iter().copied().chain([hello.life]).take(MOST_LIVES).collect(),
        proofs: hello.proofs.iter().take(MOST_LIVES).cloned().collect(),
    };
    let mut stretch = begin(shop, hello).await?;
    let (mut scripts, mut keys) = (Vec::new(), Vec::new());
    while let Some(next) = offers.message().await? {
        if scripts.len().max(keys.len()) >= MOST {
            return Err(wrong("too many scripts or keys at once"));
        }
        match next.what {
            Some(What::Record(bytes)) => {
                stretch.offer(bytes).map_err(|unfit| restore_status(&unfit.into()))?;
            }
            Some(What::Script(source)) => scripts.push(source),
            Some(What::Key(key)) => keys.extend(sealing_keys(std::slice::from_ref(&key))?),
            Some(What::Hello(_)) | None => return Err(wrong("one of its parts is always set")),
        }
    }
    let owned = Arc::clone(shop);
    let taken = blocking(move || owned.take_back(&who, stretch, &scripts, &keys)).await?;
    let taken = taken.map_err(|error| restore_status(&error))?;
    if let Some(durable) = taken.durable {
        durable.await.map_err(|_| restore_status(&RestoreError::Closing))?;
    }
    Ok(v1::RestoreResponse {
        records: shop.decided().state().records(),
        taken: taken.records,
        restoring: shop.restoring().unwrap_or_default(),
    })
}

/// Hears the heads, and waits until all that was decided is on disk.
async fn begin(shop: &Arc<Shop>, hello: v1::RestoreHello) -> Result<Stretch, Status> {
    let owned = Arc::clone(shop);
    let heard = blocking(move || owned.hear_heads(&hello.notes)).await?;
    heard.map_err(|error| restore_status(&error))?;
    let decided = shop.decided().state().records();
    let on_disk = shop.durable().wait_for(|size| *size >= decided).await.map(|_| ());
    on_disk.map_err(|_| restore_status(&RestoreError::Closing))?;
    let owned = Arc::clone(shop);
    blocking(move || owned.stretch()).await?.map_err(|error| restore_status(&error))
}

/// Paths and causes stay in the shop's own log.
fn restore_status(error: &RestoreError) -> Status {
    tracing::warn!(%error, "nothing was taken back from a bench");
    let reason = match error {
        RestoreError::Heads(HeadsError::Kept(_)) => v1::Reason::NoHeadOfThisShop,
        RestoreError::Unfit(Unfit::TooMuch) => v1::Reason::TooMuch,
        RestoreError::Unfit(_) => v1::Reason::Unfit,
        RestoreError::Closing => v1::Reason::Closing,
        RestoreError::Heads(_) | RestoreError::File(_) | RestoreError::Folder(_) => {
            return Status::internal("nothing can be taken back; see the shop's own log");
        }
    };
    status(reason, error.to_string())
}

/// Why a call other than these has to wait.
pub(super) fn restoring(words: String) -> Status {
    super::record_status(&RecordError::Restoring(words))
}
