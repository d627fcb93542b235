//! A shop that was put back from a backup: what it lost comes back from the copies of its benches.
//!
//! Two things are recorded anew, with other places and with times from clocks alone: what no
//! checkpoint was signed over when the shop was lost (at most a second's worth, where every
//! bench then fell silent), and what a declared loss leaves on benches.

use std::collections::BTreeMap;

use burrline_proto::{decode_record, v1};
use burrline_terms::EntryName;
use tokio_stream::StreamExt as _;

use super::{Bench, copy::Item};
use crate::Error;

/// What a copy has, in the order of the log: names, and entries as they were signed.
///
/// # Errors
/// If a newer version wrote it.
fn said(copy: &[Item]) -> Result<Vec<(EntryName, v1::SignedEntry)>, Error> {
    let mut said = Vec::new();
    for item in copy {
        let Item::Record(bytes) = item else { continue };
        let (record, signed) = decode_record(bytes).map_err(|e| Error::Nonsense(e.to_string()))?;
        said.push((record.entry.name, signed));
    }
    Ok(said)
}

impl Bench {
    /// Gives the shop back what this bench's copy has and the shop lost, of every bench and of the
    /// shop itself; how many lines. The copy is then put aside, and the next one begins anew.
    ///
    /// The shop takes each line as it would from its bench: by its signature, and once. When it
    /// happened is worked out anew.
    ///
    /// # Errors
    /// If the shop is out of reach, or does not take them; the copy stays.
    pub async fn give_back(&self) -> Result<usize, Error> {
        let said = said(&self.copy.read()?.items)?;
        let mut by_life: BTreeMap<u32, Vec<(u64, v1::SignedEntry)>> = BTreeMap::new();
        for (name, entry) in said {
            by_life.entry(name.life).or_default().push((name.n, entry));
        }
        let mut count = 0_usize;
        // Its own lines are in the outbox, and go with the keys of what they seal.
        by_life.remove(&self.life());
        for (life, entries) in by_life {
            count = count.saturating_add(self.give_life_back(life, entries).await?);
        }
        self.copy.put_aside()?;
        Ok(count.saturating_add(self.give_earlier_back().await?))
    }

    /// Gives back what this bench said under the lives that it had before: the shop had it when they
    /// ended, or it was said again, and no outbox sends it any more.
    pub(super) async fn give_earlier_back(&self) -> Result<usize, Error> {
        let mut count = 0_usize;
        for (life, entries) in self.earlier_lives()? {
            count = count.saturating_add(self.give_life_back(life, entries).await?);
        }
        Ok(count)
    }

    /// Gives back what the shop does not have of one life; how many lines.
    async fn give_life_back(
        &self,
        life: u32,
        entries: Vec<(u64, v1::SignedEntry)>,
    ) -> Result<usize, Error> {
        let greeted = self.connection.greet(v1::GreetRequest { life }).await?;
        // Once the shop has said what it lost, its own lines from before stand under names that it
        // has given out again.
        if life == 0 && !greeted.losses.is_empty() {
            return Ok(0);
        }
        if entries.iter().all(|(n, _)| *n <= greeted.held) {
            return Ok(0);
        }
        // The last one that it holds goes first: where it has other words there, another machine has
        // spoken under this life meanwhile, and what follows there does not belong behind that.
        let lost = entries.into_iter().filter(|(n, _)| *n >= greeted.held);
        let requests: Vec<v1::RecordRequest> = lost
            .map(|(_, entry)| v1::RecordRequest { entry: Some(entry), ..Default::default() })
            .collect();
        let stream = self.connection.record(tokio_stream::iter(requests)).await?;
        let mut stream = std::pin::pin!(stream);
        let mut count = 0_usize;
        while let Some(receipt) = self.connection.in_time("record", stream.next()).await? {
            match receipt {
                Ok(receipt) if receipt.entry.is_some_and(|entry| entry.n > greeted.held) => {
                    count = count.saturating_add(1);
                }
                Ok(_) => {}
                // A bench that the shop does not know any more has its lines on its own disk.
                Err(Error::Refused(why)) => {
                    self.tidings.tell(format!("not given back: {why}"));
                    break;
                }
                Err(error) => return Err(error),
            }
        }
        Ok(count)
    }
}
