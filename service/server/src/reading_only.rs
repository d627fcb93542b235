//! A shop whose disk is full, failed or takes nothing answers readings from a private copy of its
//! folder, and records nothing. The folder itself is only read meanwhile.

use std::{
    io,
    os::unix::fs::symlink,
    path::{Path, PathBuf},
    sync::Arc,
};

use tempfile::{Builder, TempDir};

use crate::{
    backup::files,
    shop::{Clock, DiskLimits, FolderError, OpenError, Shop, Starting},
};

/// Where there is room if the temporary folder lies on the disk that is full: the machine's memory.
const MEMORY: &str = "/dev/shm";

/// A shop that only reads, and the copy that it reads; the copy goes with it.
#[derive(Debug)]
pub struct ReadingOnly {
    /// The shop.
    pub shop: Arc<Shop>,
    _copy: TempDir,
}

/// Opens a private copy of a shop's folder for reading.
///
/// # Errors
/// [`OpenError`] if there is room for a copy nowhere, or the copy does not open as a shop.
pub async fn open_reading_only(
    data: &Path,
    clock: Arc<dyn Clock>,
    why: &str,
) -> Result<ReadingOnly, OpenError> {
    let copied = copy_into(&std::env::temp_dir(), data);
    let copy = copied.or_else(|_| copy_into(Path::new(MEMORY), data));
    let copy = copy.map_err(|source| FolderError { path: data.to_owned(), source })?;
    // What the copy has room for is no matter: it takes nothing.
    let limits = DiskLimits { warn: 0, floor: 0 };
    // It is gone with this process.
    let starting = Starting { keep_every: u64::MAX, ..Starting::default() };
    let opened =
        Shop::open_heeding(&copy.path().join("shop"), "UTC", clock, limits, starting, |_| {})
            .await?;
    opened.disk().only_read(why.to_owned());
    tracing::warn!(why, "the shop only reads");
    Ok(ReadingOnly { shop: opened, _copy: copy })
}

fn copy_into(place: &Path, data: &Path) -> io::Result<TempDir> {
    let copy = Builder::new().prefix("burrline-reading-").tempdir_in(place)?;
    let folder = copy.path().join("shop");
    files::copy_but(data, &folder, None, "photos/")?;
    // It may still wait for its benches.
    match std::fs::copy(data.join("put-back"), folder.join("put-back")) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(error),
        Ok(_) | Err(_) => {}
    }
    link_photos(&std::path::absolute(data)?.join("photos"), &folder.join("photos"))?;
    Ok(copy)
}

/// Photos are most of a folder, and are read where they are.
fn link_photos(from: &Path, to: &Path) -> io::Result<()> {
    std::fs::create_dir_all(to)?;
    let entries = match std::fs::read_dir(from) {
        Ok(entries) => entries,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(()),
        Err(error) => return Err(error),
    };
    for entry in entries {
        let entry = entry?;
        let is_photo = |path: &PathBuf| {
            let ending = path.extension().and_then(|ending| ending.to_str());
            matches!(ending, Some("jpg" | "png"))
        };
        if is_photo(&entry.path()) {
            symlink(entry.path(), to.join(entry.file_name()))?;
        }
    }
    Ok(())
}
