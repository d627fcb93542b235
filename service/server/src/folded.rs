//! What was folded of the log, kept beside it: a cache, so that a start does not fold the whole past.
//!
//! The file `folded` has a snapshot of the present at some size of the log, with the tree over the
//! records up to there and what is known of the benches' clocks. A start takes it up if the root over
//! that tree and the records behind it is the one in the head file. It is then bound to every record,
//! though none of those before has been read: they are hashed again (`shop/proving.rs`) right
//! behind the start. On any doubt the log is read and folded whole. Nothing is lost with the file.
//!
//! It is written beside what the shop does, by a thread of its own, each time that so many records came.

use std::{
    collections::BTreeMap,
    path::{Path, PathBuf},
    sync::{
        Arc, Mutex, PoisonError,
        atomic::{AtomicU64, Ordering},
        mpsc::{Sender, channel},
    },
    thread::JoinHandle,
};

use burrline_domain::{
    State,
    fold::{Records, Row, Snapshot},
};
use burrline_evidence::merkle::{Hash, Tree};
use burrline_ledger::Reader;
use burrline_proto::snapshot::{Bound, decode, encode};
use prost::Message;

use crate::recorder::{Clocks, Recorder, SignedBytes};

/// The file.
pub(crate) const FILE: &str = "folded";

/// What the file has.
pub(crate) struct Folded {
    snapshot: Snapshot,
    bound: Bound,
    /// The tree over the records that it covers.
    pub(crate) tree: Tree,
    clocks: Clocks,
    read: Vec<Vec<u8>>,
}

/// Whether a start reads the record of a line.
const fn is_read(row: &Row) -> bool {
    row.at_once || row.sealed
}

/// What is kept beside the snapshot.
#[derive(Clone, PartialEq, Message)]
struct Beside {
    #[prost(bytes = "vec", tag = "1")]
    peaks: Vec<u8>,
    #[prost(bytes = "vec", tag = "2")]
    clocks: Vec<u8>,
    /// The records that a start reads, in the order of their rows, so that it need not seek them on
    /// the log.
    #[prost(bytes = "vec", repeated, tag = "3")]
    read: Vec<Vec<u8>>,
}

impl Folded {
    /// What is kept in a folder; none if it cannot be used.
    pub(crate) fn read(root: &Path) -> Option<Self> {
        let (snapshot, bound) = decode(&std::fs::read(root.join(FILE)).ok()?)?;
        let beside = Beside::decode(bound.beside.as_slice()).ok()?;
        let (peaks, rest) = beside.peaks.as_chunks::<32>();
        let tree = Tree::of_parts(bound.size, peaks.iter().map(|peak| Hash(*peak)).collect())?;
        let clocks = Clocks::of_bytes(&beside.clocks)?;
        let fits = rest.is_empty()
            && tree.root().0 == bound.root
            && snapshot.records == bound.size
            && u64::try_from(snapshot.rows.len()).ok() == Some(bound.size);
        fits.then_some(Self { snapshot, bound, tree, clocks, read: beside.read })
    }

    /// The records that a start reads, by their positions.
    pub(crate) fn take_read(&mut self) -> BTreeMap<u64, Vec<u8>> {
        let positions = self.snapshot.rows.iter().filter(|row| is_read(row));
        positions.map(|row| row.position).zip(std::mem::take(&mut self.read)).collect()
    }

    /// How many records it covers, and the root over them.
    pub(crate) fn head(&self) -> (u64, Hash) {
        (self.bound.size, self.tree.root())
    }

    /// How many records it covers.
    pub(crate) const fn size(&self) -> u64 {
        self.bound.size
    }

    /// The present that it has; none if the log that has its records does not fit.
    pub(crate) fn state(&self, log: &Arc<dyn Records>) -> Option<State> {
        State::restore(&self.snapshot, log)
    }

    /// A recorder that goes on from it; none if the log does not fit.
    pub(crate) fn recorder<L>(&self, log: &Arc<L>) -> Option<Recorder>
    where
        L: Records + SignedBytes + 'static,
    {
        let (records, signed): (Arc<dyn Records>, Arc<dyn SignedBytes>) =
            (log.clone(), log.clone());
        let mut said: BTreeMap<u32, u64> = BTreeMap::new();
        for row in &self.snapshot.rows {
            let last = said.entry(row.name.life).or_default();
            // A log has each life's entries without gaps.
            if row.name.n != last.saturating_add(1) {
                return None;
            }
            *last = row.name.n;
        }
        Some(Recorder::going_on(self.state(&records)?, self.clocks.clone(), said, signed))
    }

    /// Where the first record of a life lies.
    pub(crate) fn first_of(&self, life: u32) -> Option<u64> {
        self.snapshot.rows.iter().find(|row| row.name.life == life).map(|row| row.position)
    }
}

/// What is to be kept: a present, the tree over its records, and the clocks as they were then.
pub(crate) struct Keep {
    pub(crate) state: Arc<State>,
    pub(crate) tree: Tree,
    pub(crate) clocks: Clocks,
}

impl Keep {
    /// Writes the file in a folder; what the one that is there has is taken from it, if that is the one
    /// of this head.
    fn write(&self, root: &Path, before: Option<(u64, Hash)>, log: &Reader) -> std::io::Result<()> {
        let mut before = Folded::read(root).filter(|folded| Some(folded.head()) == before);
        let mut known = before.as_mut().map(Folded::take_read).unwrap_or_default();
        let before = before.map(|folded| folded.snapshot).unwrap_or_default();
        let snapshot = self.state.snapshot_after(&before);
        drop(before);
        let mut read = Vec::new();
        for row in snapshot.rows.iter().filter(|row| is_read(row)) {
            let record = match known.remove(&row.position) {
                Some(record) => Some(record),
                None => log.read(row.position, 1).map_err(std::io::Error::other)?.pop(),
            };
            read.push(record.ok_or_else(|| std::io::Error::other("a record is gone"))?);
        }
        let peaks = self.tree.peaks().iter().flat_map(|peak| peak.0).collect();
        let beside = Beside { peaks, clocks: self.clocks.to_bytes(), read }.encode_to_vec();
        let (size, root_hash) = (self.tree.size(), self.tree.root().0);
        let bound = Bound { size, root: root_hash, beside };
        burrline_disk::replace(&root.join(FILE), &encode(&snapshot, &bound), 0o600)
    }
}

/// The thread that writes the file.
pub(crate) struct Keeper {
    queue: Mutex<Option<Sender<Keep>>>,
    thread: Mutex<Option<JoinHandle<()>>>,
    /// How many records the file covers, or will once it is written.
    kept: AtomicU64,
    every: u64,
}

impl Keeper {
    /// Starts it: the file in the folder covers the records up to a head of the log, if it is of any use,
    /// and is written each time that `every` more came.
    pub(crate) fn start(
        root: PathBuf,
        log: Reader,
        kept: Option<(u64, Hash)>,
        every: u64,
    ) -> std::io::Result<Self> {
        // What a power cut left half written is of no use.
        if let Err(error) = burrline_disk::sweep(&root.join(FILE)) {
            tracing::debug!(%error, "a draft of what was folded is left");
        }
        let covers = kept.map_or(0, |(size, _)| size);
        let mut before = kept;
        let (queue, waiting) = channel::<Keep>();
        let thread = std::thread::Builder::new().name("keep".to_owned()).spawn(move || {
            while let Ok(keep) = waiting.recv() {
                let head = (keep.tree.size(), keep.tree.root());
                match keep.write(&root, before, &log) {
                    Ok(()) => {
                        before = Some(head);
                        tracing::debug!(records = head.0, "what was folded is kept");
                    }
                    // The next start folds more.
                    Err(error) => tracing::warn!(%error, "what was folded could not be kept"),
                }
            }
        })?;
        let (queue, thread) = (Mutex::new(Some(queue)), Mutex::new(Some(thread)));
        Ok(Self { queue, thread, kept: AtomicU64::new(covers), every })
    }

    /// Whether a present of so many records is to be kept.
    pub(crate) fn is_due(&self, size: u64) -> bool {
        size.saturating_sub(self.kept.load(Ordering::Relaxed)) >= self.every
    }

    /// Keeps it, some time later.
    pub(crate) fn keep(&self, keep: Keep) {
        self.kept.store(keep.tree.size(), Ordering::Relaxed);
        let queue = self.queue.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(queue) = queue.as_ref() {
            let _ = queue.send(keep);
        }
    }

    /// Lets the thread finish what it writes, and waits for it.
    pub(crate) fn close(&self) {
        drop(self.queue.lock().unwrap_or_else(PoisonError::into_inner).take());
        let thread = self.thread.lock().unwrap_or_else(PoisonError::into_inner).take();
        if let Some(thread) = thread
            && thread.join().is_err()
        {
            tracing::error!("the thread that keeps what was folded died");
        }
    }
}
