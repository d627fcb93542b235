//! The one writer: drains what was decided, appends it as one batch, makes it durable, tells it.

use std::{
    collections::BTreeSet,
    sync::{
        Arc, Mutex, PoisonError, RwLock,
        mpsc::{Receiver, Sender, channel},
    },
    thread::JoinHandle,
};

use burrline_domain::{Outcome, Record, State, Verb};
use burrline_ledger::{Ledger, MAX_BATCH_BYTES};
use thiserror::Error;
use tokio::sync::{oneshot, watch};

use super::fatal::{End, Fatal};
use crate::{keyring::Keyring, metrics::Metrics, recorder::Recorded};

/// The writer has stopped: the store failed, or the shop is closing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error("the store takes nothing any more")]
pub struct StoreFailed;

/// What follows from records that are on disk.
pub(super) struct Present {
    pub(super) published: Arc<RwLock<State>>,
    pub(super) keyring: Arc<Mutex<Keyring>>,
    pub(super) durable: watch::Sender<u64>,
    pub(super) metrics: Arc<Metrics>,
}

struct Pending {
    record: Option<(Arc<Record>, Vec<u8>)>,
    told: oneshot::Sender<()>,
}

/// The way to the committing thread.
pub(super) struct Committer {
    queue: Mutex<Option<Sender<Pending>>>,
    thread: Mutex<Option<JoinHandle<()>>>,
}

impl Committer {
    /// Starts the thread. If the store fails or the thread breaks down, the shop ends, and nothing
    /// is told any more.
    pub(super) fn start(
        mut ledger: impl Ledger + 'static,
        present: Present,
        fatal: Fatal,
    ) -> std::io::Result<Self> {
        let (queue, waiting) = channel::<Pending>();
        let thread = std::thread::Builder::new().name("commit".to_owned()).spawn(move || {
            while let Some(batch) = drain(&waiting) {
                match fatal.guard("committing", || commit(&mut ledger, batch, &present)) {
                    Some(Ok(())) => {}
                    Some(Err(StoreFailed)) => return fatal.end(End::Store),
                    None => return,
                }
            }
        })?;
        Ok(Self { queue: Mutex::new(Some(queue)), thread: Mutex::new(Some(thread)) })
    }

    /// Queues what was decided; the answer comes when it is on disk.
    pub(super) fn queue(&self, recorded: Recorded) -> Result<oneshot::Receiver<()>, StoreFailed> {
        let (told, durable) = oneshot::channel();
        let Recorded { record, bytes } = recorded;
        let record = bytes.map(|bytes| (record, bytes));
        let queue = self.queue.lock().unwrap_or_else(PoisonError::into_inner);
        let sender = queue.as_ref().ok_or(StoreFailed)?;
        sender.send(Pending { record, told }).map_err(|_| StoreFailed)?;
        Ok(durable)
    }

    /// Lets the thread finish what is queued, and waits for it.
    pub(super) fn close(&self) {
        drop(self.queue.lock().unwrap_or_else(PoisonError::into_inner).take());
        let thread = self.thread.lock().unwrap_or_else(PoisonError::into_inner).take();
        if let Some(thread) = thread
            && thread.join().is_err()
        {
            tracing::error!("the committing thread died");
        }
    }
}

/// Everything that waits, at least one; none once the queue is closed and empty.
fn drain(waiting: &Receiver<Pending>) -> Option<Vec<Pending>> {
    let mut batch = vec![waiting.recv().ok()?];
    let mut bytes = 0_usize;
    while bytes < MAX_BATCH_BYTES / 2 {
        let Ok(next) = waiting.try_recv() else { break };
        bytes = bytes.saturating_add(next.record.as_ref().map_or(0, |(_, bytes)| bytes.len()));
        batch.push(next);
    }
    Some(batch)
}

fn commit(
    ledger: &mut impl Ledger,
    batch: Vec<Pending>,
    present: &Present,
) -> Result<(), StoreFailed> {
    let mut records = Vec::new();
    let mut bytes = Vec::new();
    let mut told = Vec::new();
    for pending in batch {
        if let Some((record, encoded)) = pending.record {
            records.push(record);
            bytes.push(encoded);
        }
        told.push(pending.told);
    }
    if !bytes.is_empty() {
        let expected = ledger.head().size;
        let head = present.metrics.sync(|| ledger.append(expected, &bytes)).map_err(|error| {
            tracing::error!(%error, records = bytes.len(), "records could not be made durable");
            StoreFailed
        })?;
        for record in &records {
            present.metrics.record(record);
        }
        let forgotten = publish(records, &present.published);
        // Not before the records are on disk, or a crash would lose keys that nobody forgot; not
        // after the answer, or a crash would keep keys that the shop said are gone.
        let mut keyring = present.keyring.lock().unwrap_or_else(PoisonError::into_inner);
        keyring.forget(&forgotten).map_err(|error| {
            tracing::error!(%error, "the keyring cannot be written anew, so nothing is forgotten");
            StoreFailed
        })?;
        drop(keyring);
        present.durable.send_replace(head.size);
        tracing::debug!(records = bytes.len(), size = head.size, "on disk");
    }
    for answer in told {
        // A bench that hung up will ask again.
        let _ = answer.send(());
    }
    Ok(())
}

/// Takes records into the published present; says which keys go with them.
fn publish(records: Vec<Arc<Record>>, published: &RwLock<State>) -> BTreeSet<[u8; 16]> {
    let mut state = published.write().unwrap_or_else(PoisonError::into_inner);
    let mut forgotten = BTreeSet::new();
    for record in records {
        let name = record.entry.name;
        let sealed = record.entry.verb.sealed().map(|sealed| sealed.key_id);
        let forgets = match (&record.entry.verb, &record.outcome) {
            (Verb::ForgetCustomer(forget), Outcome::Done(_)) => Some(forget.customer),
            _ => None,
        };
        state.apply(record);
        if let Some(customer) = forgets {
            forgotten.extend(state.sealed_about(customer));
        }
        // What arrives late about somebody who was forgotten is forgotten as well.
        forgotten.extend(sealed.filter(|_| state.is_about_forgotten(name)));
    }
    forgotten
}

#[cfg(test)]
#[path = "commit_tests.rs"]
mod tests;
