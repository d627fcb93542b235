//! The records that a start did not read, hashed again behind it.
//!
//! The root over them was held against the head file, so nothing can be appended to another log. What
//! is left open meanwhile is a byte that the disk lost since: whoever reads such a record ends the
//! process, as its checksum does not fit, and so does this thread once it comes to it.

use std::{
    collections::BTreeMap,
    sync::{
        Arc, Mutex, PoisonError,
        atomic::{AtomicBool, AtomicU64, Ordering},
    },
    thread::JoinHandle,
};

use burrline_domain::{Record, fold::Records};
use burrline_evidence::merkle::{Hash, Tree, leaf_hash};
use burrline_ledger::{ReadError, Reader};
use burrline_proto::{decode_record, v1::SignedEntry};

use super::fatal::{End, Fatal};
use crate::recorder::SignedBytes;

/// How many records are read at once.
const AT_ONCE: u64 = 1024;

/// How far the log was proved since the start.
#[derive(Debug, Default)]
pub struct Proved {
    done: AtomicU64,
    of: AtomicU64,
    stop: AtomicBool,
}

impl Proved {
    /// How many of the records that the start did not read were hashed since, and how many they are.
    pub fn so_far(&self) -> (u64, u64) {
        (self.done.load(Ordering::Relaxed), self.of.load(Ordering::Relaxed))
    }
}

/// The thread that proves it.
#[derive(Default)]
pub(super) struct Proving {
    pub(super) proved: Arc<Proved>,
    thread: Mutex<Option<JoinHandle<()>>>,
}

impl Proving {
    /// Hashes the first `size` records, whose root is to be this; on the first that is not what it was,
    /// the shop ends.
    pub(super) fn start(
        reader: Reader,
        (size, root): (u64, Hash),
        fatal: Fatal,
    ) -> std::io::Result<Self> {
        let proved = Arc::new(Proved { of: AtomicU64::new(size), ..Proved::default() });
        let watched = Arc::clone(&proved);
        let thread = std::thread::Builder::new().name("prove".to_owned()).spawn(move || {
            let proof = fatal.guard("proving the log", || prove(&reader, size, root, &watched));
            match proof {
                Some(Ok(true)) => tracing::info!(records = size, "every record was hashed again"),
                Some(Ok(false)) | None => {}
                Some(Err(words)) => {
                    tracing::error!("{words}: restore the folder `log` from a backup");
                    fatal.end(End::Log);
                }
            }
        })?;
        Ok(Self { proved, thread: Mutex::new(Some(thread)) })
    }

    /// Stops it, and waits until it lets go of the log.
    pub(super) fn close(&self) {
        self.proved.stop.store(true, Ordering::Relaxed);
        let thread = self.thread.lock().unwrap_or_else(PoisonError::into_inner).take();
        if let Some(thread) = thread {
            let _ = thread.join();
        }
    }
}

/// Whether all of it was proved; false if that was stopped before its end.
///
/// # Errors
/// What is wrong with the log, in words.
pub(super) fn prove(
    reader: &Reader,
    size: u64,
    root: Hash,
    proved: &Proved,
) -> Result<bool, String> {
    let mut tree = Tree::new();
    while tree.size() < size {
        if proved.stop.load(Ordering::Relaxed) {
            return Ok(false);
        }
        let limit = usize::try_from(AT_ONCE.min(size.saturating_sub(tree.size())));
        let records = reader.read(tree.size(), limit.unwrap_or(1)).map_err(|e| e.to_string())?;
        if records.is_empty() {
            return Err(format!("the log ends at record {}", tree.size()));
        }
        for record in &records {
            tree.append(leaf_hash(record));
        }
        proved.done.store(tree.size(), Ordering::Relaxed);
    }
    if tree.root() == root {
        return Ok(true);
    }
    Err(format!("the first {size} records are not those that the log had"))
}

/// Records of the log, read when somebody looks.
pub(super) struct OnLog {
    pub(super) reader: Reader,
    pub(super) fatal: Fatal,
    /// What a start reads, as the kept file has it.
    pub(super) at_hand: Mutex<BTreeMap<u64, Vec<u8>>>,
}

impl OnLog {
    fn bytes(&self, position: u64) -> Result<Option<Vec<u8>>, ReadError> {
        let at_hand = self.at_hand.lock().unwrap_or_else(PoisonError::into_inner).remove(&position);
        match at_hand {
            Some(bytes) => Ok(Some(bytes)),
            None => Ok(self.reader.read(position, 1)?.pop()),
        }
    }

    /// The record at a position, with its entry as it was signed.
    pub(super) fn read(&self, position: u64) -> (Record, SignedEntry) {
        let words = match self.bytes(position) {
            Ok(bytes) => match bytes.map(|bytes| decode_record(&bytes)) {
                Some(Ok((record, said))) if record.position == position => return (record, said),
                Some(Ok(_)) | None => "it is another record".to_owned(),
                Some(Err(error)) => error.to_string(),
            },
            Err(error) => error.to_string(),
        };
        tracing::error!(position, "a record of the log cannot be read: {words}");
        self.fatal.end(End::Log);
        // The process ends; nobody here goes on with a record that is none.
        loop {
            std::thread::park();
        }
    }
}

impl Records for OnLog {
    fn record(&self, position: u64) -> Record {
        self.read(position).0
    }
}

impl SignedBytes for OnLog {
    fn signed(&self, position: u64) -> Vec<u8> {
        self.read(position).1.entry
    }
}

#[cfg(test)]
mod tests {
    use burrline_ledger::{Ledger as _, MemoryLedger};

    use super::*;

    #[test]
    fn records_that_are_not_what_they_were_are_told() {
        let mut ledger = MemoryLedger::new();
        let records: Vec<Vec<u8>> = (0..3000_u32).map(|n| n.to_le_bytes().to_vec()).collect();
        ledger.append(0, &records[..2500]).unwrap();
        let root = ledger.head().root;
        ledger.append(2500, &records[2500..]).unwrap();
        let proved = Proved::default();
        assert_eq!(prove(&ledger.reader(), 2500, root, &proved), Ok(true));
        assert_eq!(proved.so_far().0, 2500);
        prove(&ledger.reader(), 2499, root, &Proved::default()).unwrap_err();
        prove(&ledger.reader(), 4000, root, &Proved::default()).unwrap_err();
        let stopped = Proved { stop: AtomicBool::new(true), ..Proved::default() };
        assert_eq!(prove(&ledger.reader(), 2500, root, &stopped), Ok(false));
    }

    #[test]
    fn the_shop_ends_at_the_first_damage() {
        let mut ledger = MemoryLedger::new();
        ledger.append(0, &[b"one".to_vec(), b"two".to_vec()]).unwrap();
        let (tell, ended) = std::sync::mpsc::channel();
        let fatal = Fatal::new(move |end| tell.send(end).unwrap());
        let root = Hash::of_empty_tree();
        let proving = Proving::start(ledger.reader(), (2, root), fatal).unwrap();
        assert_eq!(ended.recv(), Ok(End::Log));
        proving.close();
    }
}
