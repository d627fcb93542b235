//! Copying the store afresh after a failed sync.
//!
//! After a sync has failed, the kernel may show bytes that are not on disk, and a later sync
//! may succeed without them. So a failed sync leaves the marker `copy-afresh`. The next start
//! then reads all of the bytes, holds them against the head file and writes them to new files,
//! which makes them durable.

use std::{fs, io, path::Path};

use crate::{
    Damage, OpenError, StoreFailure,
    folder::{self, Folder},
    head_file::{HeadFile, Slots},
    parts::split,
    reserve,
    verify::{as_damage, guarded, open_store, survey},
};

/// Copies the store if the marker asks for it; gives the slots to go on with.
pub(crate) fn copy_if_marked(folder: &Folder, slots: Slots) -> Result<Slots, OpenError> {
    let (store, new, old) = (folder.store(), folder.new_store(), folder.old_store());
    let is_half_swapped = !store.exists() && old.exists();
    if !folder.marker().exists() && !is_half_swapped {
        folder::remove_folder(&old)?;
        folder::remove_folder(&new)?;
        return Ok(slots);
    }
    tracing::warn!("an earlier sync failed; copying the store afresh");
    if is_half_swapped {
        // An earlier copying ended between its two renames.
        rename(&old, &store)?;
    }
    if !store.join("db").exists() {
        if slots.newest().is_some_and(|head| head.size > 0) {
            return Err(folder.restore(Damage::StoreMissing));
        }
        // The log was still in the making when a sync failed.
        remove_marker(folder)?;
        return Ok(slots);
    }
    folder::remove_folder(&old)?;
    folder::remove_folder(&new)?;

    reserve::make_room(folder)?;
    copy(folder, &slots)?;
    rename(&store, &old)?;
    rename(&new, &store)?;
    folder::sync(folder.dir())?;

    let slots = Slots::read(&folder.head_file())?.map_err(|damage| folder.restore(damage))?;
    remove_marker(folder)?;
    folder::remove_folder(&old)?;
    Ok(slots)
}

/// Copies all whole records into a new store, and the head into a new file.
fn copy(folder: &Folder, slots: &Slots) -> Result<(), OpenError> {
    let restore = |failure| match as_damage(failure) {
        Ok(damage) => folder.restore(damage),
        Err(failure) => failure.into(),
    };
    let from = open_store(&folder.store()).map_err(restore)?;
    let found = survey(&from, Some(slots), |_, _| ()).map_err(restore)?;
    // A piece of an unanswered batch behind the whole records is left behind.
    found.judge(slots).map_err(|damage| folder.restore(damage))?;

    let new = folder.new_store();
    let to = open_store(&new)?;
    let mut outcome = Ok(());
    survey(&from, None, |position, record| {
        if outcome.is_ok() {
            outcome = insert(&to, position, record);
        }
    })
    .map_err(restore)?;
    outcome?;
    guarded(|| Ok(to.flush()?))?;
    folder::sync_store(&new)?;
    let copied = survey(&to, None, |_, _| ())?;
    if copied.head() != found.head() {
        return Err(folder.restore(Damage::RootDiffers { size: copied.head().size }));
    }
    HeadFile::create(&folder.head_file(), found.head())?;
    Ok(())
}

fn insert(db: &sled::Db, position: u64, record: &[u8]) -> Result<(), StoreFailure> {
    guarded(|| {
        for (key, value) in split(position, record) {
            db.insert(key, value)?;
        }
        Ok(())
    })
}

fn remove_marker(folder: &Folder) -> Result<(), StoreFailure> {
    match fs::remove_file(folder.marker()) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => {
            Err(StoreFailure::io("remove", folder.marker())(error))
        }
        _ => folder::sync(folder.dir()),
    }
}

fn rename(from: &Path, to: &Path) -> Result<(), StoreFailure> {
    fs::rename(from, to).map_err(StoreFailure::io("rename to", to))
}

#[cfg(test)]
mod tests {
    use std::{
        fs::File,
        io,
        os::unix::fs::MetadataExt as _,
        path::{Path, PathBuf},
    };

    use crate::{AppendError, Damage, Ledger, OpenError, SledLedger, check};

    const HEAD_FILE_BYTES: u64 = 8192;

    fn no_sync(_: &File) -> io::Result<()> {
        Err(io::Error::other("the disk is gone"))
    }

    fn no_sync_of_the_head_file(file: &File) -> io::Result<()> {
        if file.metadata()?.len() == HEAD_FILE_BYTES { no_sync(file) } else { file.sync_data() }
    }

    fn records(from: usize, to: usize) -> Vec<Vec<u8>> {
        (from..to).map(|n| n.to_string().repeat(900).into_bytes()).collect()
    }

    /// A folder with twenty answered records and ten whose sync failed.
    fn failed(sync_file: super::super::sled_store::SyncFile) -> tempfile::TempDir {
        let dir = tempfile::tempdir().unwrap();
        SledLedger::open(dir.path()).unwrap().append(0, &records(0, 20)).unwrap();
        let mut log = SledLedger::open(dir.path()).unwrap();
        log.set_sync(sync_file);
        let before = log.head();
        let error = log.append(20, &records(20, 30)).unwrap_err();
        assert!(error.is_fatal() && error.to_string().contains("the disk is gone"), "{error}");
        assert_eq!((log.head(), log.read(0, 99).unwrap()), (before, records(0, 20)));
        let again = log.append(20, &records(20, 30));
        assert!(matches!(again, Err(AppendError::Fatal(crate::StoreFailure::Stopped))));
        assert!(dir.path().join("copy-afresh").exists());
        dir
    }

    fn db(dir: &Path) -> PathBuf {
        dir.join("store/db")
    }

    /// Opens the folder and expects a fresh, tidy copy with all answered records.
    fn expect_copied(dir: &Path, old_file: u64) {
        let log = SledLedger::open(dir).unwrap();
        let found = log.read(0, 99).unwrap();
        // The failed batch may be there or not, but never in part.
        assert!(found == records(0, 20) || found == records(0, 30), "{} records", found.len());
        assert_ne!(std::fs::metadata(db(dir)).unwrap().ino(), old_file, "not copied");
        for gone in ["copy-afresh", "store.old", "store.new"] {
            assert!(!dir.join(gone).exists(), "{gone} was left behind");
        }
        assert!(check(dir, |_, _| ()).unwrap().is_sound());
    }

    #[test]
    fn after_a_failed_sync_the_next_start_copies_the_store() {
        for sync_file in [no_sync, no_sync_of_the_head_file] {
            let dir = failed(sync_file);
            // Held open, so that its number cannot be given to the new file.
            let old = File::open(db(dir.path())).unwrap();
            expect_copied(dir.path(), old.metadata().unwrap().ino());
        }
    }

    #[test]
    fn a_failed_sync_at_a_start_is_remembered_too() {
        let dir = tempfile::tempdir().unwrap();
        let Err(error) = SledLedger::open_with(dir.path(), no_sync) else { panic!("opened") };
        assert!(matches!(error, OpenError::Failed(_)), "{error}");
        SledLedger::open(dir.path()).unwrap().append(0, &records(0, 20)).unwrap();

        let old = File::open(db(dir.path())).unwrap();
        assert!(SledLedger::open_with(dir.path(), no_sync).is_err());
        assert!(dir.path().join("copy-afresh").exists());
        expect_copied(dir.path(), old.metadata().unwrap().ino());
    }

    #[test]
    fn a_copying_that_was_cut_short_is_done_again() {
        let dir = failed(no_sync);
        let old = File::open(db(dir.path())).unwrap();
        let number = old.metadata().unwrap().ino();
        std::fs::create_dir(dir.path().join("store.new")).unwrap();
        std::fs::write(dir.path().join("store.new/db"), b"half a copy").unwrap();
        expect_copied(dir.path(), number);

        let dir = failed(no_sync);
        let old = File::open(db(dir.path())).unwrap();
        let number = old.metadata().unwrap().ino();
        std::fs::rename(dir.path().join("store"), dir.path().join("store.old")).unwrap();
        expect_copied(dir.path(), number);
    }

    #[test]
    fn a_store_that_lost_answered_records_is_not_copied() {
        let dir = failed(no_sync);
        let bytes = std::fs::read(db(dir.path())).unwrap();
        std::fs::write(db(dir.path()), vec![0; bytes.len()]).unwrap();
        for _ in 0..2 {
            let Err(error) = SledLedger::open(dir.path()) else { panic!("opened") };
            assert!(error.to_string().contains("restore"), "{error}");
            assert!(dir.path().join("copy-afresh").exists());
        }
        std::fs::remove_dir_all(dir.path().join("store")).unwrap();
        let Err(error) = SledLedger::open(dir.path()) else { panic!("opened") };
        assert!(matches!(error, OpenError::Restore { damage: Damage::StoreMissing, .. }));
    }
}
