//! The folder of one log: what lies where, whose it is, and how it is synced.

use std::{
    fs::{self, File, OpenOptions, TryLockError},
    io,
    path::{Path, PathBuf},
};

use crate::{Damage, OpenError, StoreFailure};

/// The number of the layout that this release reads and writes.
///
/// Whoever changes the layout takes the next number, goes on reading every older one, and writes the new
/// one as `afresh` does: beside the old, proved record by record, and then renamed. So a start that is
/// cut off leaves the old layout. `tests/released` has a folder of each, opened for ever.
pub(crate) const FORMAT: u64 = 1;

const FORMAT_LINE: &str = "burrline ledger ";

/// The places in a log's folder.
#[derive(Debug, Clone)]
pub(crate) struct Folder {
    dir: PathBuf,
}

impl Folder {
    pub(crate) fn new(dir: &Path) -> Self {
        Self { dir: dir.to_owned() }
    }

    pub(crate) fn dir(&self) -> &Path {
        &self.dir
    }

    /// Held by the one process that may open the store.
    pub(crate) fn lock_file(&self) -> PathBuf {
        self.dir.join("lock")
    }

    /// Says how to read the rest; written last when a log is made.
    pub(crate) fn format_file(&self) -> PathBuf {
        self.dir.join("format")
    }

    pub(crate) fn head_file(&self) -> PathBuf {
        self.dir.join("head")
    }

    pub(crate) fn store(&self) -> PathBuf {
        self.dir.join("store")
    }

    /// A store in the making, while it is copied afresh.
    pub(crate) fn new_store(&self) -> PathBuf {
        self.dir.join("store.new")
    }

    /// The store that was copied, until the copy is in its place.
    pub(crate) fn old_store(&self) -> PathBuf {
        self.dir.join("store.old")
    }

    /// There after a failed sync: what can be read may not be on disk.
    pub(crate) fn marker(&self) -> PathBuf {
        self.dir.join("copy-afresh")
    }

    /// Room that is set aside for copying the store, and for that marker.
    pub(crate) fn reserve(&self) -> PathBuf {
        self.dir.join("reserve")
    }

    /// Takes the folder for this process, until the file is dropped.
    pub(crate) fn lock(&self) -> Result<File, OpenError> {
        let path = self.lock_file();
        let file = OpenOptions::new()
            .create(true)
            .truncate(false)
            .write(true)
            .open(&path)
            .map_err(StoreFailure::io("open", &path))?;
        match file.try_lock() {
            Ok(()) => Ok(file),
            Err(TryLockError::WouldBlock) => {
                Err(OpenError::AnotherServer { dir: self.dir.clone() })
            }
            Err(TryLockError::Error(error)) => Err(StoreFailure::io("lock", path)(error).into()),
        }
    }

    /// Whether the folder holds a finished log of a known format.
    pub(crate) fn has_known_format(&self) -> Result<bool, OpenError> {
        let path = self.format_file();
        let bytes = match fs::read(&path) {
            Ok(bytes) => bytes,
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(false),
            Err(error) => return Err(StoreFailure::io("read", path)(error).into()),
        };
        let found = str::from_utf8(&bytes)
            .ok()
            .and_then(|text| text.strip_prefix(FORMAT_LINE)?.strip_suffix('\n')?.parse().ok());
        match found {
            Some(FORMAT) => Ok(true),
            Some(found) => Err(OpenError::UnknownFormat { dir: self.dir.clone(), found }),
            None => Err(self.restore(Damage::FormatDamaged)),
        }
    }

    pub(crate) fn write_format(&self) -> Result<(), StoreFailure> {
        replace_file(&self.format_file(), format!("{FORMAT_LINE}{FORMAT}\n").as_bytes())
    }

    /// Makes the next start copy the store afresh.
    pub(crate) fn set_marker(&self) -> Result<(), StoreFailure> {
        replace_file(&self.marker(), b"A sync failed; what can be read may not be on disk.\n")
    }

    pub(crate) fn restore(&self, damage: Damage) -> OpenError {
        OpenError::Restore { dir: self.dir.clone(), damage }
    }
}

/// The name of a file in a store's `blobs`, if there is any.
///
/// sled moves what is too big for a leaf there and never syncs it.
pub(crate) fn outside_file(store: &Path) -> Result<Option<String>, StoreFailure> {
    let path = store.join("blobs");
    let mut entries = match fs::read_dir(&path) {
        Ok(entries) => entries,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(StoreFailure::io("list", path)(error)),
    };
    let first = entries.next().transpose().map_err(StoreFailure::io("list", path))?;
    Ok(first.map(|entry| entry.file_name().to_string_lossy().into_owned()))
}

/// Removes snapshots that a store was still writing when its process ended.
///
/// sled takes such a half for its newest snapshot and then does not open. The
/// snapshot only saves it time; the whole one before is still there.
pub(crate) fn remove_half_snapshots(store: &Path) -> Result<(), StoreFailure> {
    let entries = match fs::read_dir(store) {
        Ok(entries) => entries,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(()),
        Err(error) => return Err(StoreFailure::io("list", store)(error)),
    };
    for entry in entries {
        let path = entry.map_err(StoreFailure::io("list", store))?.path();
        if path.extension().is_some_and(|extension| extension == "generating") {
            fs::remove_file(&path).map_err(StoreFailure::io("remove", path))?;
        }
    }
    Ok(())
}

/// Writes a file so that after a power cut either the old or the new one is
/// there, whole.
pub(crate) fn replace_file(path: &Path, bytes: &[u8]) -> Result<(), StoreFailure> {
    burrline_disk::replace(path, bytes, 0o600).map_err(StoreFailure::io("write", path))
}

/// Makes a folder, and the name of it durable.
pub(crate) fn make(dir: &Path) -> Result<(), StoreFailure> {
    if dir.is_dir() {
        return Ok(());
    }
    let parent = match dir.parent() {
        Some(parent) if parent.as_os_str().is_empty() => Path::new("."),
        Some(parent) => parent,
        None => dir,
    };
    if parent != dir {
        make(parent)?;
    }
    fs::create_dir_all(dir).map_err(StoreFailure::io("make", dir))?;
    sync(parent)
}

/// Syncs every file in a store's folder, and the folder.
pub(crate) fn sync_store(store: &Path) -> Result<(), StoreFailure> {
    for entry in fs::read_dir(store).map_err(StoreFailure::io("list", store))? {
        sync(&entry.map_err(StoreFailure::io("list", store))?.path())?;
    }
    sync(store)
}

/// Syncs one file or folder, with the length and names that belong to it.
pub(crate) fn sync(path: &Path) -> Result<(), StoreFailure> {
    burrline_disk::sync(path).map_err(StoreFailure::io("sync", path))
}

/// Removes a folder with all that is in it; none is fine.
pub(crate) fn remove_folder(path: &Path) -> Result<(), StoreFailure> {
    match fs::remove_dir_all(path) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => {
            Err(StoreFailure::io("remove", path)(error))
        }
        _ => Ok(()),
    }
}
