//! Opening a store, and holding what it says against the head file.

use std::{
    any::Any,
    io,
    panic::{AssertUnwindSafe, catch_unwind},
    path::Path,
    thread,
    time::Duration,
};

use burrline_evidence::merkle::{Tree, leaf_hash};

use crate::{
    Damage, Head, StoreFailure, folder,
    head_file::Slots,
    parts::{Broken, Joiner, key},
};

// The log is written once and read in order, so a large cache gains nothing.
const CACHE_BYTES: u64 = 8 * 1024 * 1024;

/// Runs what sled may panic in; its panics come back as failures.
pub(crate) fn guarded<T>(
    work: impl FnOnce() -> Result<T, StoreFailure>,
) -> Result<T, StoreFailure> {
    catch_unwind(AssertUnwindSafe(work))
        .unwrap_or_else(|panic| Err(StoreFailure::Panicked(panic_text(panic.as_ref()))))
}

/// Opens the sled store in `store`; this writes to it.
pub(crate) fn open_store(store: &Path) -> Result<sled::Db, StoreFailure> {
    folder::remove_half_snapshots(store)?;
    let config = sled::Config::new()
        .path(store)
        .cache_capacity(CACHE_BYTES)
        // A flush is asked for after each batch; nothing else may write.
        .flush_every_ms(None);
    // Threads of a store dropped a moment ago in this process may still hold
    // the file; the folder's own lock says that nobody else can.
    let mut tries = 100_u32;
    loop {
        match guarded(|| Ok(config.open()?)) {
            Err(StoreFailure::Store(sled::Error::Io(error)))
                if tries > 0 && error.to_string().contains("could not acquire lock") =>
            {
                tries = tries.saturating_sub(1);
                #[expect(
                    clippy::disallowed_methods,
                    reason = "sled tells nobody when its threads have let go of the file"
                )]
                thread::sleep(Duration::from_millis(10));
            }
            opened => return opened,
        }
    }
}

/// Whether it is the machine that failed, rather than the store's content.
///
/// # Errors
///
/// The failure, if it is the machine's.
pub(crate) fn as_damage(failure: StoreFailure) -> Result<Damage, StoreFailure> {
    match &failure {
        StoreFailure::Store(sled::Error::Io(error))
            if burrline_disk::is_of_the_disk(error)
                || error.kind() == io::ErrorKind::PermissionDenied
                || error.to_string().contains("could not acquire lock") =>
        {
            Err(failure)
        }
        StoreFailure::Io { .. }
        | StoreFailure::Engine { .. }
        | StoreFailure::Away { .. }
        | StoreFailure::TakenOver(_)
        | StoreFailure::Stopped => Err(failure),
        StoreFailure::Store(_) | StoreFailure::Panicked(_) | StoreFailure::OutsideFile(_) => {
            Ok(Damage::Unreadable { reason: failure.to_string() })
        }
    }
}

/// What a walk over all records of a store found.
#[derive(Debug)]
pub(crate) struct Survey {
    /// The tree over the whole records from the start.
    pub(crate) tree: Tree,
    /// Where the first record that is not whole should be.
    broken: Option<Broken>,
    /// The store goes on behind the last whole record.
    has_more: bool,
    /// The size at which the root is not the one in the head file.
    root_differs: Option<u64>,
}

/// Walks over all records in order, up to the first that is not whole.
pub(crate) fn survey(
    db: &sled::Db,
    slots: Option<&Slots>,
    each: impl FnMut(u64, &[u8]),
) -> Result<Survey, StoreFailure> {
    survey_behind(db, slots, Tree::new(), each)
}

/// The same from where a tree ends that was proved before.
pub(crate) fn survey_behind(
    db: &sled::Db,
    slots: Option<&Slots>,
    tree: Tree,
    mut each: impl FnMut(u64, &[u8]),
) -> Result<Survey, StoreFailure> {
    guarded(|| {
        let from = tree.size();
        let mut found = Survey { tree, broken: None, has_more: false, root_differs: None };
        let mut joiner = Joiner::at(from);
        found.compare(slots);
        for item in db.range(key(from, 0)..) {
            let (key, value) = item?;
            let position = joiner.position();
            match joiner.push(&key, &value) {
                Ok(None) => {}
                Ok(Some(record)) => {
                    found.tree.append(leaf_hash(&record));
                    found.compare(slots);
                    each(position, &record);
                }
                Err(broken) => {
                    found.broken = Some(broken);
                    found.has_more = true;
                    return Ok(found);
                }
            }
        }
        found.has_more = joiner.finish().is_err();
        found.broken = joiner.finish().err();
        Ok(found)
    })
}

impl Survey {
    pub(crate) fn head(&self) -> Head {
        Head { size: self.tree.size(), root: self.tree.root() }
    }

    /// Holds the store against the head file.
    ///
    /// `Some(position)`: the records are as they should be, but a piece of a
    /// batch that nobody was answered for lies behind them from `position` on.
    pub(crate) fn judge(&self, slots: &Slots) -> Result<Option<u64>, Damage> {
        let size = self.tree.size();
        let expected = slots.newest().ok_or(Damage::HeadDamaged)?.size;
        if let Some(size) = self.root_differs {
            return Err(Damage::RootDiffers { size });
        }
        if size < expected {
            return Err(if self.has_more {
                Damage::Record { position: size }
            } else {
                Damage::StoreShorter { store: size, head: expected }
            });
        }
        match self.broken {
            // A head that was being written had its whole batch synced before,
            // so a damaged slot and a piece of a batch do not go together.
            Some(broken) if slots.one_is_damaged => {
                Err(Damage::Record { position: broken.position })
            }
            broken => Ok(broken.map(|broken| broken.position)),
        }
    }

    /// Whether the store ends as the head file says, without any doubt.
    pub(crate) fn is_as_said(&self, slots: &Slots) -> bool {
        slots.newest() == Some(self.head())
            && !slots.one_is_damaged
            && self.judge(slots).is_ok_and(|cut| cut.is_none())
    }

    fn compare(&mut self, slots: Option<&Slots>) {
        let Some(slots) = slots else { return };
        let size = self.tree.size();
        for head in slots.heads().filter(|head| head.size == size) {
            if self.root_differs.is_none() && head.root != self.tree.root() {
                self.root_differs = Some(size);
            }
        }
    }
}

fn panic_text(panic: &(dyn Any + Send)) -> String {
    let text = panic.downcast_ref::<&str>().map(|text| (*text).to_owned());
    text.or_else(|| panic.downcast_ref::<String>().cloned()).unwrap_or_else(|| "no words".into())
}
