//! A log in memory, for tests of what is built on a log.

use std::sync::{Arc, PoisonError, RwLock};

use burrline_evidence::merkle::{Tree, leaf_hash};

use crate::{
    AppendError, Head, Ledger, ReadError, Reader,
    ledger::{Source, check_batch},
};

/// A log that is gone with the process.
#[derive(Debug, Default)]
pub struct MemoryLedger {
    kept: Arc<RwLock<Kept>>,
}

#[derive(Debug, Default)]
struct Kept {
    records: Vec<Vec<u8>>,
    tree: Tree,
}

impl MemoryLedger {
    /// A log without records.
    pub fn new() -> Self {
        Self::default()
    }
}

impl Ledger for MemoryLedger {
    fn append(&mut self, expected_size: u64, records: &[Vec<u8>]) -> Result<Head, AppendError> {
        let mut kept = self.kept.write().unwrap_or_else(PoisonError::into_inner);
        check_batch(kept.head(), expected_size, records)?;
        for record in records {
            kept.tree.append(leaf_hash(record));
            kept.records.push(record.clone());
        }
        Ok(kept.head())
    }

    fn reader(&self) -> Reader {
        Reader::new(Arc::clone(&self.kept))
    }

    fn tree(&self) -> Tree {
        self.kept.read().unwrap_or_else(PoisonError::into_inner).tree.clone()
    }
}

impl Kept {
    fn head(&self) -> Head {
        Head { size: self.tree.size(), root: self.tree.root() }
    }
}

impl Source for RwLock<Kept> {
    fn durable_head(&self) -> Head {
        self.read().unwrap_or_else(PoisonError::into_inner).head()
    }

    fn read_range(&self, from: u64, to: u64) -> Result<Vec<Vec<u8>>, ReadError> {
        let kept = self.read().unwrap_or_else(PoisonError::into_inner);
        (from..to)
            .map(|position| {
                usize::try_from(position)
                    .ok()
                    .and_then(|index| kept.records.get(index))
                    .cloned()
                    .ok_or(ReadError::Damaged { position })
            })
            .collect()
    }
}
