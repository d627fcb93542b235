//! The one writer: drains what was decided, appends it as one batch, makes it durable, tells it.
//!
//! Records are folded once, as they are decided. What is drained is everything that was decided so
//! far, so the decided present of that moment is the one that everybody may see once it is on disk.
//! It is kept meanwhile as a copy, which costs next to nothing as it shares all that is equal.

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
use crate::{
    folded::{Keep, Keeper},
    keyring::Keyring,
    metrics::Metrics,
    recorder::{Clocks, Recorded, Recorder},
};

/// The writer has stopped: the store failed, or the shop is closing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error("the store takes nothing any more")]
pub struct StoreFailed;

/// What follows from records that are on disk.
pub(super) struct Present {
    pub(super) decided: Arc<RwLock<Recorder>>,
    pub(super) published: Arc<RwLock<Arc<State>>>,
    pub(super) keyring: Arc<Mutex<Keyring>>,
    pub(super) durable: watch::Sender<u64>,
    pub(super) metrics: Arc<Metrics>,
    pub(super) keeper: Arc<Keeper>,
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
            while let Some(drained) = drain(&waiting, &present) {
                match fatal.guard("committing", || commit(&mut ledger, drained, &present)) {
                    Some(Ok(())) => {}
                    Some(Err(StoreFailed)) => return fatal.end(End::Store),
                    None => return,
                }
            }
        })?;
        Ok(Self { queue: Mutex::new(Some(queue)), thread: Mutex::new(Some(thread)) })
    }

    /// Queues what was decided, with the decided present still locked for writing; the answer comes
    /// when it is on disk.
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

/// What is written at once.
struct Drained {
    batch: Vec<Pending>,
    /// The present once that is on disk.
    then: State,
    /// The benches' clocks as they are known then, where that present is to be kept.
    clocks: Option<Clocks>,
}

/// Everything that waits, at least one; none once the queue is closed and empty.
fn drain(waiting: &Receiver<Pending>, present: &Present) -> Option<Drained> {
    let mut batch = vec![waiting.recv().ok()?];
    // Nothing is decided meanwhile, and what was decided is queued: the two belong together.
    let head = present.decided.read().unwrap_or_else(PoisonError::into_inner);
    batch.extend(waiting.try_iter());
    let is_due = present.keeper.is_due(head.state().records());
    let clocks = is_due.then(|| head.clocks().clone());
    Some(Drained { batch, then: head.state().clone(), clocks })
}

/// Cuts a batch into ones that the store takes at once.
fn at_once(mut bytes: Vec<Vec<u8>>) -> impl Iterator<Item = Vec<Vec<u8>>> {
    std::iter::from_fn(move || {
        let mut sum = 0_usize;
        let mut fits = bytes.iter().take_while(|one| {
            let first = sum == 0;
            sum = sum.saturating_add(one.len());
            first || sum <= MAX_BATCH_BYTES / 2
        });
        let count = fits.by_ref().count();
        let rest = bytes.split_off(count);
        let now = std::mem::replace(&mut bytes, rest);
        (!now.is_empty()).then_some(now)
    })
}

fn commit(
    ledger: &mut impl Ledger,
    Drained { batch, then, clocks }: Drained,
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
        for bytes in at_once(bytes) {
            let expected = ledger.head().size;
            present.metrics.sync(|| ledger.append(expected, &bytes)).map_err(|error| {
                tracing::error!(%error, records = bytes.len(), "records could not be made durable");
                StoreFailed
            })?;
        }
        for record in &records {
            present.metrics.record(record);
        }
        let forgotten = forgotten_by(&records, &then);
        let then = Arc::new(then);
        if let Some(clocks) = clocks {
            present.keeper.keep(Keep { state: Arc::clone(&then), tree: ledger.tree(), clocks });
        }
        let was = std::mem::replace(
            &mut *present.published.write().unwrap_or_else(PoisonError::into_inner),
            then,
        );
        // Let go with nothing locked: it may be the last to hold what changed.
        drop(was);
        // Not before the records are on disk, or a crash would lose keys that nobody forgot; not
        // after the answer, or a crash would keep keys that the shop said are gone.
        let mut keyring = present.keyring.lock().unwrap_or_else(PoisonError::into_inner);
        keyring.forget(&forgotten).map_err(|error| {
            tracing::error!(%error, "the keyring cannot be written anew, so nothing is forgotten");
            StoreFailed
        })?;
        drop(keyring);
        let size = ledger.head().size;
        present.durable.send_replace(size);
        tracing::debug!(records = records.len(), size, "on disk");
    }
    for answer in told {
        // A bench that hung up will ask again.
        let _ = answer.send(());
    }
    Ok(())
}

/// The keys that go with these records, by the present that has them.
fn forgotten_by(records: &[Arc<Record>], then: &State) -> BTreeSet<[u8; 16]> {
    let mut forgotten = BTreeSet::new();
    for record in records {
        if let (Verb::ForgetCustomer(forget), Outcome::Done(_)) =
            (&record.entry.verb, &record.outcome)
        {
            forgotten.extend(then.sealed_about(forget.customer));
        }
        // What arrives late about somebody who was forgotten is forgotten as well.
        let sealed = record.entry.verb.sealed().map(|sealed| sealed.key_id);
        forgotten.extend(sealed.filter(|_| then.is_about_forgotten(record.entry.name)));
    }
    forgotten
}

#[cfg(test)]
#[path = "commit_tests.rs"]
mod tests;
