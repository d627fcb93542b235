//! The log in a folder, on sled, with what sled leaves out.
//!
//! sled is pinned to 0.34.7, since the newer ones are alphas of another design. These traps of
//! it were measured:
//!
//! * `flush()` hands the bytes to the kernel and, on Linux, does not make the disk keep them
//!   (its issues 1351 and 1452). In a power-cut test with `flush()` alone, 200 of 200 answered
//!   records were lost. So a batch is durable after: the batch → `flush` → `sync_data` on our
//!   own handle of sled's file `db` → the head file, synced. Only then is it answered. That
//!   order lost none.
//! * A leaf is split at 16 items, whatever their size, and a leaf over 128 KiB becomes a file
//!   in `blobs/` that is never synced. So records are cut into parts of at most 6 KiB
//!   (`parts`), and a file in `blobs/` is refused at a start.
//! * One flipped bit can open as a valid but *shorter* store, or panic. Hence the head file,
//!   the checksum of each record, the root over all of them, and `catch_unwind`.
//! * A process that ends while it writes a snapshot leaves `snap.*.generating`. The next open
//!   takes that for its newest snapshot and fails. So such halves are removed before opening;
//!   the whole snapshot before them is still there.
//! * Opening writes. So `check` copies first.
//! * A store that is dropped and opened again in one process may still be held by sled's
//!   threads for a moment. So opening waits.

use std::{
    fs::{self, File, OpenOptions},
    io,
    path::Path,
    sync::{Arc, PoisonError, RwLock},
};

use burrline_evidence::merkle::{Tree, leaf_hash};

use crate::{
    AppendError, Damage, Head, Ledger, OpenError, ReadError, Reader, StoreFailure, afresh,
    folder::{self, Folder},
    head_file::{HeadFile, Slots},
    ledger::{Source, check_batch},
    parts::{Joiner, key, split},
    reserve,
    verify::{Survey, as_damage, guarded, open_store, survey, survey_behind},
};

/// How a file is made durable; tests put a failing one in its place.
pub(crate) type SyncFile = fn(&File) -> io::Result<()>;

/// A log in a folder, open for appending.
pub struct SledLedger {
    store: Arc<Store>,
    folder: Folder,
    db_file: File,
    head_file: HeadFile,
    tree: Tree,
    sync_file: SyncFile,
    has_failed: bool,
    unread: u64,
}

/// What the writer and the readers share. The lock comes last, so that it is
/// let go of after the store.
struct Store {
    /// There until it is dropped.
    db: Option<sled::Db>,
    durable: RwLock<Head>,
    _lock: File,
}

impl Store {
    fn db(&self) -> Result<&sled::Db, StoreFailure> {
        self.db.as_ref().ok_or(StoreFailure::Stopped)
    }
}

impl Drop for Store {
    /// sled syncs once more as it goes, and panics if the disk fails then. All that was answered is on the
    /// disk by now, so that is no reason to end in another way than was meant.
    fn drop(&mut self) {
        let db = self.db.take();
        if let Err(failure) = guarded(|| {
            drop(db);
            Ok(())
        }) {
            tracing::error!(%failure, "the store failed as it was closed");
        }
    }
}

impl SledLedger {
    /// Opens the log in `dir`, or makes one if the folder is empty or not there.
    ///
    /// All records are read and held against the head file, and everything is
    /// synced, before this returns.
    ///
    /// # Errors
    ///
    /// [`OpenError`]; a folder in which a log was, and is not whole now, is
    /// never opened as an empty or a shorter one.
    pub fn open(dir: &Path) -> Result<Self, OpenError> {
        Self::open_behind(dir, None)
    }

    /// Whether a sync of the log in `dir` failed, so that the next opening proves it and copies it
    /// afresh, which may take a while.
    pub fn awaits_proof(dir: &Path) -> bool {
        Folder::new(dir).marker().exists()
    }

    /// The same, but the records under `proved` are not read: a tree over the first of them, as an
    /// earlier run had it. The root over it and what lies behind it must be that of the head file, or
    /// all records are read after all. Whoever opens it so reads them [behind](Self::unread) the start.
    ///
    /// # Errors
    ///
    /// As for [`SledLedger::open`].
    pub fn open_behind(dir: &Path, proved: Option<Tree>) -> Result<Self, OpenError> {
        Self::open_proved(dir, File::sync_data, proved)
    }

    /// How many records, from the first, this start did not read.
    pub const fn unread(&self) -> u64 {
        self.unread
    }

    /// Opens with another way to sync.
    #[cfg(test)]
    pub(crate) fn open_with(dir: &Path, sync_file: SyncFile) -> Result<Self, OpenError> {
        Self::open_proved(dir, sync_file, None)
    }

    fn open_proved(
        dir: &Path,
        sync_file: SyncFile,
        proved: Option<Tree>,
    ) -> Result<Self, OpenError> {
        folder::make(dir)?;
        let folder = Folder::new(dir);
        let lock = folder.lock()?;
        let is_finished = folder.has_known_format()?;
        let slots = match (is_finished, Slots::read(&folder.head_file())?) {
            (_, Ok(slots)) if is_finished || slots.newest() == Some(Head::of_empty_log()) => slots,
            (false, Err(Damage::HeadMissing)) => make_head(&folder)?,
            (true, Err(damage)) => return Err(folder.restore(damage)),
            (_, Ok(_) | Err(_)) => return Err(folder.restore(Damage::FormatMissing)),
        };
        // What is copied afresh is proved record by record, so nothing is proved before.
        let proved = proved.filter(|_| is_finished && !folder.marker().exists());
        let slots = afresh::copy_if_marked(&folder, slots)?;
        if !is_finished && slots.newest() == Some(Head::of_empty_log()) {
            set_half_store_aside(&folder)?;
        }
        let ledger = Self::resume(folder, lock, &slots, sync_file, proved)?;
        if !is_finished {
            if ledger.head().size > 0 {
                return Err(ledger.folder.restore(Damage::FormatMissing));
            }
            ledger.folder.write_format()?;
        }
        tracing::info!(dir = %dir.display(), size = ledger.head().size, "ledger opened");
        Ok(ledger)
    }

    #[cfg(test)]
    pub(crate) fn set_sync(&mut self, sync_file: SyncFile) {
        self.sync_file = sync_file;
    }

    /// Opens the store of a log whose head file was read.
    fn resume(
        folder: Folder,
        lock: File,
        slots: &Slots,
        sync_file: SyncFile,
        proved: Option<Tree>,
    ) -> Result<Self, OpenError> {
        let restore = |failure| match as_damage(failure) {
            Ok(damage) => folder.restore(damage),
            Err(failure) => failure.into(),
        };
        let path = folder.store();
        let db_path = path.join("db");
        let expects_records = slots.newest().is_some_and(|head| head.size > 0);
        if expects_records && !fs::metadata(&db_path).is_ok_and(|data| data.len() > 0) {
            return Err(folder.restore(Damage::StoreMissing));
        }
        if let Some(name) = folder::outside_file(&path)? {
            return Err(folder.restore(Damage::OutsideFile { name }));
        }
        let db = open_store(&path).map_err(restore)?;
        let (found, unread) = surveyed(&db, slots, proved).map_err(restore)?;
        let cut = found.judge(slots).map_err(|damage| folder.restore(damage))?;
        if let Some(position) = cut {
            tracing::warn!(position, "dropped a piece of a batch that was never answered");
            remove_from(&db, position).map_err(restore)?;
        }
        let head = found.head();
        let settled = settle(&folder, &db, slots, head, sync_file);
        let (db_file, head_file) = settled.inspect_err(|failure| mark(&folder, failure))?;
        let store = Arc::new(Store { db: Some(db), durable: RwLock::new(head), _lock: lock });
        let tree = found.tree;
        Ok(Self { store, folder, db_file, head_file, tree, sync_file, has_failed: false, unread })
    }

    /// Brings one batch to the disk; on return the head file says so.
    fn make_durable(&mut self, batch: sled::Batch, head: Head) -> Result<(), StoreFailure> {
        let db = self.store.db()?;
        guarded(|| {
            db.apply_batch(batch)?;
            db.flush()?;
            Ok(())
        })?;
        let path = self.folder.store();
        if let Some(name) = folder::outside_file(&path)? {
            return Err(StoreFailure::OutsideFile(name));
        }
        (self.sync_file)(&self.db_file).map_err(StoreFailure::io("sync", path.join("db")))?;
        self.head_file.write(head)?;
        (self.sync_file)(self.head_file.file())
            .map_err(StoreFailure::io("sync", self.head_file.path()))
    }
}

impl Ledger for SledLedger {
    fn append(&mut self, expected_size: u64, records: &[Vec<u8>]) -> Result<Head, AppendError> {
        if self.has_failed {
            return Err(AppendError::Fatal(StoreFailure::Stopped));
        }
        let before = self.head();
        check_batch(before, expected_size, records)?;
        if records.is_empty() {
            return Ok(before);
        }
        let mut batch = sled::Batch::default();
        let mut tree = self.tree.clone();
        for record in records {
            for (key, value) in split(tree.size(), record) {
                batch.insert(&key, value);
            }
            tree.append(leaf_hash(record));
        }
        let head = Head { size: tree.size(), root: tree.root() };
        if let Err(failure) = self.make_durable(batch, head) {
            self.has_failed = true;
            mark(&self.folder, &failure);
            return Err(AppendError::Fatal(failure));
        }
        self.tree = tree;
        *self.store.durable.write().unwrap_or_else(PoisonError::into_inner) = head;
        Ok(head)
    }

    fn reader(&self) -> Reader {
        Reader::new(Arc::clone(&self.store))
    }

    fn tree(&self) -> Tree {
        self.tree.clone()
    }
}

impl Source for Store {
    fn durable_head(&self) -> Head {
        *self.durable.read().unwrap_or_else(PoisonError::into_inner)
    }

    fn read_range(&self, from: u64, to: u64) -> Result<Vec<Vec<u8>>, ReadError> {
        let mut joiner = Joiner::at(from);
        let mut records = Vec::new();
        let db = self.db().map_err(ReadError::Store)?;
        guarded(|| {
            for item in db.range(key(from, 0)..key(to, 0)) {
                let (key, value) = item?;
                match joiner.push(&key, &value) {
                    Ok(record) => records.extend(record),
                    Err(_) => break,
                }
            }
            Ok(())
        })
        .map_err(ReadError::Store)?;
        match joiner.position() {
            position if position == to => Ok(records),
            position => Err(ReadError::Damaged { position }),
        }
    }
}

/// What the store has, and how many records of it were not read.
fn surveyed(
    db: &sled::Db,
    slots: &Slots,
    proved: Option<Tree>,
) -> Result<(Survey, u64), StoreFailure> {
    if let Some(tree) = proved {
        let unread = tree.size();
        let found = survey_behind(db, Some(slots), tree, |_, _| ())?;
        if found.is_as_said(slots) {
            return Ok((found, unread));
        }
        tracing::warn!("what an earlier run proved of the log does not fit; all of it is read");
    }
    Ok((survey(db, Some(slots), |_, _| ())?, 0))
}

/// Sets aside a store that was cut off in the making and does not open: no record was ever answered from
/// it, as the head file says.
fn set_half_store_aside(folder: &Folder) -> Result<(), StoreFailure> {
    let path = folder.store();
    if !path.is_dir() || open_store(&path).is_ok() {
        return Ok(());
    }
    tracing::warn!("a first start was cut off; its store is set aside");
    burrline_disk::lines::rename_aside(&path).map_err(StoreFailure::io("rename", &path))?;
    Ok(())
}

/// The head file of a log in the making.
fn make_head(folder: &Folder) -> Result<Slots, OpenError> {
    HeadFile::create(&folder.head_file(), Head::of_empty_log())?;
    Slots::read(&folder.head_file())?.map_err(|damage| folder.restore(damage))
}

/// Makes durable what was found at the start, and the head file agree with it.
fn settle(
    folder: &Folder,
    db: &sled::Db,
    slots: &Slots,
    head: Head,
    sync_file: SyncFile,
) -> Result<(File, HeadFile), StoreFailure> {
    guarded(|| Ok(db.flush()?))?;
    let path = folder.store().join("db");
    let db_file =
        OpenOptions::new().write(true).open(&path).map_err(StoreFailure::io("open", &path))?;
    sync_file(&db_file).map_err(StoreFailure::io("sync", path))?;
    folder::sync_store(&folder.store())?;
    folder::sync(folder.dir())?;
    let head_file = if slots.newest() == Some(head) && !slots.one_is_damaged {
        HeadFile::resume(&folder.head_file(), slots)?
    } else {
        tracing::warn!(size = head.size, "the head file was behind; rewrote it");
        HeadFile::create(&folder.head_file(), head)?
    };
    folder::sync(head_file.path())?;
    Ok((db_file, head_file))
}

/// After a failed sync a later one may succeed though bytes were lost; so the
/// next start must not trust what it reads.
fn mark(folder: &Folder, failure: &StoreFailure) {
    tracing::error!(%failure, "the store failed; the next start copies it afresh");
    let marked = folder.set_marker().or_else(|_| {
        // On a full disk there is room for it once what was set aside is given back.
        reserve::give_back(folder)?;
        folder.set_marker()
    });
    // Where nothing can be synced at all, a name that only the kernel knows outlives this process.
    let marked = marked.or_else(|failure| {
        fs::write(folder.marker(), b"Nothing could be synced.\n").map_err(|_| failure)
    });
    if let Err(failure) = marked {
        tracing::error!(%failure, "could not mark the store for copying");
    }
}

/// Removes every part from `position` on.
fn remove_from(db: &sled::Db, position: u64) -> Result<(), StoreFailure> {
    guarded(|| {
        for item in db.range(key(position, 0)..) {
            db.remove(item?.0)?;
        }
        Ok(())
    })
}
