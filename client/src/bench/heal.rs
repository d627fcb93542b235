//! A shop that was put back from a backup: what it lost comes back from the copies of its benches.

use std::collections::{BTreeMap, BTreeSet};

use burrline_domain::EntryName;
use burrline_proto::{decode_record, v1};
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
        let lives: BTreeSet<u32> = said.iter().map(|(name, _)| name.life).collect();
        let mut held = BTreeMap::new();
        for life in lives {
            let greeted = self.connection.greet(v1::GreetRequest { life }).await?;
            held.insert(life, greeted.held);
        }
        let lost = |name: &EntryName| held.get(&name.life).is_some_and(|held| name.n > *held);
        let lost = said.into_iter().filter(|(name, _)| lost(name));
        let requests: Vec<v1::RecordRequest> = lost
            .map(|(_, entry)| v1::RecordRequest { entry: Some(entry), ..Default::default() })
            .collect();
        let count = requests.len();
        let stream = self.connection.record(tokio_stream::iter(requests)).await?;
        let mut stream = std::pin::pin!(stream);
        while let Some(receipt) = self.connection.in_time("record", stream.next()).await? {
            receipt?;
        }
        self.copy.put_aside()?;
        Ok(count)
    }
}
