//! What a log promises, whatever it is kept on.

use std::{fmt, sync::Arc};

use burrline_evidence::merkle::{Hash, Tree};

use crate::{AppendError, ReadError};

/// The longest record, in bytes (48 KiB). What is longer belongs in a file of
/// its own, named by its digest.
pub const MAX_RECORD_BYTES: usize = 48 * 1024;

/// The most bytes of records in one batch (16 MiB).
pub const MAX_BATCH_BYTES: usize = 16 * 1024 * 1024;

/// How far the log goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Head {
    /// The number of records; the next one gets this position.
    pub size: u64,
    /// The RFC 6962 root over all of them.
    pub root: Hash,
}

impl Head {
    /// The head of a log without records.
    pub fn of_empty_log() -> Self {
        Self { size: 0, root: Hash::of_empty_tree() }
    }
}

/// A log with one writer. Positions count from 0 without gaps.
///
/// This stays as small as it is: whatever can keep these promises can be put
/// in its place, a replicated log too.
pub trait Ledger: Send {
    /// Appends `records` as one batch if the log has exactly `expected_size`
    /// records, and returns once they are durable. An empty batch changes
    /// nothing.
    ///
    /// # Errors
    ///
    /// [`AppendError`]; if it [is fatal](AppendError::is_fatal) the batch may
    /// be on the log in whole or in part, and only a restart can tell.
    /// Otherwise nothing was appended.
    fn append(&mut self, expected_size: u64, records: &[Vec<u8>]) -> Result<Head, AppendError>;

    /// A handle for reading from any thread.
    fn reader(&self) -> Reader;

    /// The tree over the durable records, so that a later start can go on from it.
    fn tree(&self) -> Tree;

    /// The durable head.
    fn head(&self) -> Head {
        self.reader().head()
    }

    /// Reads as [`Reader::read`] does.
    ///
    /// # Errors
    ///
    /// [`ReadError`] if the log cannot be read there.
    fn read(&self, from: u64, limit: usize) -> Result<Vec<Vec<u8>>, ReadError> {
        self.reader().read(from, limit)
    }
}

/// A cheap copy of the right to read; shows durable records only.
#[derive(Clone)]
pub struct Reader(Arc<dyn Source>);

impl<L: Ledger + ?Sized> Ledger for Box<L> {
    fn append(&mut self, expected_size: u64, records: &[Vec<u8>]) -> Result<Head, AppendError> {
        (**self).append(expected_size, records)
    }

    fn reader(&self) -> Reader {
        (**self).reader()
    }

    fn tree(&self) -> Tree {
        (**self).tree()
    }
}

impl Reader {
    /// A reader of what a log is kept on.
    pub fn new(source: Arc<impl Source + 'static>) -> Self {
        Self(source)
    }

    /// The head up to which this reader can read now.
    pub fn head(&self) -> Head {
        self.0.durable_head()
    }

    /// The records from position `from` on, in order, at most `limit` of them.
    ///
    /// All of them are in memory at once, at most 48 KiB each. Fewer come back
    /// only at the end of the log; at or past the head, none.
    ///
    /// # Errors
    ///
    /// [`ReadError`] if a record that should be there cannot be read whole.
    pub fn read(&self, from: u64, limit: usize) -> Result<Vec<Vec<u8>>, ReadError> {
        let to = match u64::try_from(limit) {
            Ok(limit) => from.saturating_add(limit),
            Err(_) => u64::MAX,
        }
        .min(self.head().size);
        if from >= to { Ok(Vec::new()) } else { self.0.read_range(from, to) }
    }
}

impl fmt::Debug for Reader {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "Reader({:?})", self.head())
    }
}

/// What a reader reads from.
pub trait Source: Send + Sync {
    /// The head up to which all is durable.
    fn durable_head(&self) -> Head;

    /// The records in `from..to`, which the caller has held against the head.
    ///
    /// # Errors
    ///
    /// [`ReadError`] if one of them cannot be read whole.
    fn read_range(&self, from: u64, to: u64) -> Result<Vec<Vec<u8>>, ReadError>;
}

/// The part of an append that is the same for every log.
///
/// # Errors
///
/// [`AppendError`], never a fatal one, if the batch cannot be taken.
pub fn check_batch(head: Head, expected_size: u64, records: &[Vec<u8>]) -> Result<(), AppendError> {
    if head.size != expected_size {
        return Err(AppendError::HeadMoved { expected: expected_size, size: head.size });
    }
    let mut total = 0_usize;
    for (index, record) in records.iter().enumerate() {
        if record.len() > MAX_RECORD_BYTES {
            return Err(AppendError::RecordTooLarge { index, bytes: record.len() });
        }
        total = total.saturating_add(record.len());
    }
    if total > MAX_BATCH_BYTES {
        return Err(AppendError::BatchTooLarge { bytes: total });
    }
    Ok(())
}
