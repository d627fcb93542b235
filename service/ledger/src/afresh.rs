//! Copying the store afresh after a failed sync.
//!
//! After a sync has failed, the kernel may show bytes that are not on disk and
//! will never be written. Reading them all and writing them to new files makes
//! them durable, if the head file agrees that they are all there.

use std::{fs, path::Path};

use crate::{
    Damage, OpenError, StoreFailure,
    folder::{self, Folder},
    head_file::{HeadFile, Slots},
    parts::split,
    verify::{as_damage, guarded, open_store, survey},
};

/// Copies the store if the marker asks for it; gives the slots to go on with.
pub(crate) fn copy_if_marked(folder: &Folder, slots: Slots) -> Result<Slots, OpenError> {
    let (store, new, old) = (folder.store(), folder.new_store(), folder.old_store());
    if !folder.marker().exists() {
        if store.exists() {
            folder::remove_folder(&old)?;
        }
        return Ok(slots);
    }
    tracing::warn!("an earlier sync failed; copying the store afresh");
    if !store.exists() && old.exists() {
        // An earlier copying ended between its two renames.
        rename(&old, &store)?;
    }
    if !store.join("db").exists() {
        return Err(folder.restore(Damage::StoreMissing));
    }
    folder::remove_folder(&old)?;
    folder::remove_folder(&new)?;

    let head = copy(folder, &slots)?;
    rename(&store, &old)?;
    rename(&new, &store)?;
    folder::sync(folder.dir())?;
    drop(head);

    let slots = Slots::read(&folder.head_file())?.map_err(|damage| folder.restore(damage))?;
    fs::remove_file(folder.marker()).map_err(StoreFailure::io("remove", folder.marker()))?;
    folder::sync(folder.dir())?;
    folder::remove_folder(&old)?;
    Ok(slots)
}

/// Copies all whole records into a new store, and the head into a new file.
fn copy(folder: &Folder, slots: &Slots) -> Result<HeadFile, OpenError> {
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
    Ok(HeadFile::create(&folder.head_file(), found.head())?)
}

fn insert(db: &sled::Db, position: u64, record: &[u8]) -> Result<(), StoreFailure> {
    guarded(|| {
        for (key, value) in split(position, record) {
            db.insert(key, value)?;
        }
        Ok(())
    })
}

fn rename(from: &Path, to: &Path) -> Result<(), StoreFailure> {
    fs::rename(from, to).map_err(StoreFailure::io("rename to", to))
}
