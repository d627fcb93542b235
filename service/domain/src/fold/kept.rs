//! Records that are at hand, and records that are read when somebody looks at them.
//!
//! A present that was folded has each record in memory. One that was restored from a snapshot knows
//! where each record landed, and has the record itself only once somebody asked for it.

use std::{
    fmt::{Debug, Formatter},
    ops::Deref,
    sync::{Arc, OnceLock},
};

use crate::entry::Record;

/// Where records are read that a snapshot names by their position alone.
pub trait Records: Send + Sync {
    /// The record at a position, as the log has it.
    ///
    /// Whoever restores a present checks these records first. If a read fails all the same, the process
    /// ends: a wrong record is never returned.
    fn record(&self, position: u64) -> Record;
}

/// A record of a fact.
#[derive(Clone)]
pub struct Kept(Held);

#[derive(Clone)]
enum Held {
    /// It is at hand.
    Here(Arc<Record>),
    /// It is read when somebody looks.
    Archived(Arc<Archived>),
}

struct Archived {
    position: u64,
    source: Arc<dyn Records>,
    read: OnceLock<Arc<Record>>,
}

impl Archived {
    fn get(&self) -> &Arc<Record> {
        self.read.get_or_init(|| Arc::new(self.source.record(self.position)))
    }
}

impl Kept {
    /// The record at a position, which is read when somebody looks.
    pub(super) fn archived(position: u64, source: &Arc<dyn Records>) -> Self {
        let (source, read) = (Arc::clone(source), OnceLock::new());
        Self(Held::Archived(Arc::new(Archived { position, source, read })))
    }

    /// The record, shared.
    pub fn shared(&self) -> Arc<Record> {
        Arc::clone(match &self.0 {
            Held::Here(record) => record,
            Held::Archived(archived) => archived.get(),
        })
    }

    /// The record for one look: what was not read yet is not kept in memory for the next look.
    pub(super) fn passing(&self) -> Arc<Record> {
        match &self.0 {
            Held::Archived(archived) if archived.read.get().is_none() => {
                Arc::new(archived.source.record(archived.position))
            }
            Held::Archived(_) | Held::Here(_) => self.shared(),
        }
    }

    /// Its position on the log, without reading it.
    pub fn position(&self) -> u64 {
        match &self.0 {
            Held::Here(record) => record.position,
            Held::Archived(archived) => archived.position,
        }
    }

    /// Whether both are the same record in memory.
    pub(super) fn is(&self, other: &Self) -> bool {
        match (&self.0, &other.0) {
            (Held::Here(one), Held::Here(other)) => Arc::ptr_eq(one, other),
            (Held::Archived(one), Held::Archived(other)) => Arc::ptr_eq(one, other),
            (Held::Here(_), Held::Archived(_)) | (Held::Archived(_), Held::Here(_)) => false,
        }
    }
}

impl From<Arc<Record>> for Kept {
    fn from(record: Arc<Record>) -> Self {
        Self(Held::Here(record))
    }
}

impl Deref for Kept {
    type Target = Record;

    fn deref(&self) -> &Record {
        match &self.0 {
            Held::Here(record) => record,
            Held::Archived(archived) => archived.get(),
        }
    }
}

impl Debug for Kept {
    fn fmt(&self, f: &mut Formatter<'_>) -> std::fmt::Result {
        Debug::fmt(&**self, f)
    }
}
