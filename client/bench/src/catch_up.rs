//! The copy catches up with the shop: positions, the scripts in force, and whether it is the same.

use std::time::Duration;

use burrline_evidence::merkle::Hash;
use burrline_proto::v1::{self, follow_response::What};
use burrline_terms::Moment;
use tokio_stream::StreamExt as _;

use super::{
    Bench,
    copy::{Item, Mark, Verdict, file::Appending},
};
use crate::{Error, Silence, clock::Clock};

/// How many positions are written at once.
const AT_ONCE: usize = 256;

/// What came of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Caught {
    /// How many positions the copy had before.
    pub before: u64,
    /// How many it has now.
    pub now: u64,
    /// Whether it is the shop's log; `None` if it has not caught up, as time ran out.
    pub verdict: Option<Verdict>,
}

impl Bench {
    /// Brings the copy up to the shop. With a limit it stops there, and another process that is at
    /// it already is left to it.
    ///
    /// # Errors
    /// If the shop is out of reach or the copy cannot be written; what came by then is kept.
    pub async fn catch_up(
        &self,
        clock: &(dyn Clock + Sync),
        limit: Option<Duration>,
    ) -> Result<Option<Caught>, Error> {
        let greeted = self.hello().await?;
        let copy = self.copy.clone();
        let wait = limit.is_none();
        let appending = tokio::task::spawn_blocking(move || copy.append(wait)).await;
        let Some(mut copy) = appending.map_err(|e| Error::Bug(e.to_string()))?? else {
            return Ok(None);
        };
        let before = copy.edge().size();
        // Noted before the first position comes, so that a bench whose very first fetch is cut can go on
        // by what came.
        if copy.edge().mark().is_none() {
            let (records, shop_now) = (before, Moment(greeted.now_ms));
            copy.mark(Mark { records, shop_now, clock: clock.now() })?;
        }
        let time_is_up = async {
            match limit {
                Some(limit) => tokio::time::sleep(limit).await,
                None => std::future::pending().await,
            }
        };
        let verdict = tokio::select! {
            verdict = self.fill(&mut copy, clock) => Some(verdict?),
            () = time_is_up => None,
        };
        let now = copy.edge().size();
        drop(copy);
        let differs = verdict == Some(Verdict::Differs);
        let other = differs || verdict == Some(Verdict::ShopLost);
        let weigh = other || verdict == Some(Verdict::Same) && self.is_unsettled(&greeted);
        if weigh && self.excused(other).await? || differs && self.only_unsigned_differ().await? {
            return Box::pin(self.catch_up(clock, limit)).await;
        }
        if verdict == Some(Verdict::Same) {
            self.settled(&greeted)?;
        }
        if verdict == Some(Verdict::ShopLost) {
            self.give_back().await?;
        } else {
            self.fetch_scripts().await?;
        }
        if verdict == Some(Verdict::Differs) {
            let aside = self.copy.put_aside()?;
            tracing::warn!(aside = %aside.display(), "the copy is not the shop's log; begun anew");
        }
        Ok(Some(Caught { before, now, verdict }))
    }

    async fn fill(
        &self,
        copy: &mut Appending,
        clock: &(dyn Clock + Sync),
    ) -> Result<Verdict, Error> {
        let request = v1::FollowRequest {
            from: copy.edge().size(),
            stop_when_caught_up: true,
            for_copy: true,
        };
        let mut stream = std::pin::pin!(self.connection.follow(request).await?);
        let mut items = Vec::new();
        let mut shown = 0;
        while let Some(next) = stream.next().await {
            // What came before a line that breaks is good all the same.
            let what = match next {
                Ok(next) => next.what,
                Err(error) => {
                    self.write(copy, &mut items)?;
                    return Err(error);
                }
            };
            match what {
                Some(What::RecordBytes(bytes)) => items.push(Item::Record(bytes)),
                Some(What::LeafHash(hash)) => items.push(Item::Leaf(leaf(hash)?)),
                Some(What::CaughtUp(told)) => {
                    self.write(copy, &mut items)?;
                    let verdict = copy.edge().compare(told.records, &told.root);
                    if verdict == Verdict::Same {
                        let (records, shop_now) = (told.records, Moment(told.now_ms));
                        copy.mark(Mark { records, shop_now, clock: clock.now() })?;
                        self.keep_copied(&told.note, copy.edge()).await?;
                    }
                    return Ok(verdict);
                }
                Some(What::Record(_)) | None => {
                    return Err(Error::Nonsense("the shop is too old to fill a copy".into()));
                }
            }
            if items.len() >= AT_ONCE {
                self.write(copy, &mut items)?;
                shown = shown.max(copy.edge().size());
                self.progress("copied", shown, None);
            }
        }
        self.write(copy, &mut items)?;
        Err(Error::Away {
            what: "follow",
            url: self.connection.url().to_owned(),
            why: "the shop hung up".into(),
            silence: Silence::Silent,
        })
    }

    /// Appends positions; which scripts they put to use is noted first, so that none is forgotten.
    fn write(&self, copy: &mut Appending, items: &mut Vec<Item>) -> Result<(), Error> {
        if items.is_empty() {
            return Ok(());
        }
        self.want_scripts(items)?;
        copy.items(items)?;
        items.clear();
        Ok(())
    }
}

fn leaf(hash: Vec<u8>) -> Result<Hash, Error> {
    let hash = hash.try_into().map_err(|_| Error::Nonsense("a hash of a wrong length".into()))?;
    Ok(Hash(hash))
}
