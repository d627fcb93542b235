//! A rehearsal: a copy is put back into a temporary folder, opened there as a shop, and proved to be
//! what it was. Nothing of the copy is touched, and nothing of the rehearsal is left.

use std::{path::Path, sync::Arc};

use burrline_evidence::merkle::Hash;
use burrline_terms::Digest;

use super::{BackupError, Copy, Manifest, files, keys};
use crate::{
    check,
    shop::{Clock, Shop},
};

/// What a rehearsal found.
#[derive(Debug)]
pub struct Rehearsed {
    /// Which copy.
    pub copy: Copy,
    /// What it says of itself; none if it is of the first release.
    pub manifest: Option<Manifest>,
    /// How many records came back.
    pub records: u64,
    /// The root over them.
    pub root: Hash,
    /// The digest of the present.
    pub digest: Digest,
    /// How many keys of customers' details it has.
    pub keys: usize,
    /// How many it lacks.
    pub lacking: usize,
    /// How many photos it has.
    pub photos: u64,
    /// What the restored shop waits for before it takes new lines; none if it would take them at once.
    pub waits: Option<String>,
    /// What is wrong with it.
    pub problems: Vec<String>,
}

/// Puts a copy back into a temporary folder and opens it there.
///
/// # Errors
/// [`BackupError`] if it is not as it was made, or does not open.
pub async fn rehearse(copy: Copy, clock: Arc<dyn Clock>) -> Result<Rehearsed, BackupError> {
    let manifest = Manifest::of(&copy.path);
    let manifest =
        manifest.map_err(|source| BackupError::File { path: copy.path.clone(), source })?;
    if let Some(manifest) = &manifest {
        let what = manifest.differs(&copy.path);
        if !what.is_empty() {
            return Err(BackupError::Differs { copy: copy.path, what });
        }
    }
    let scratch = tempfile::tempdir()
        .map_err(|source| BackupError::File { path: std::env::temp_dir(), source })?;
    let folder = scratch.path().join("shop");
    let file = |source| BackupError::File { path: folder.clone(), source };
    files::copy(&copy.path, &folder, None).map_err(file)?;
    std::fs::copy(copy.path.join("put-back"), folder.join("put-back")).map_err(file)?;
    let found = check::read(&folder)?;
    let mut problems: Vec<String> =
        found.report.problems.iter().map(ToString::to_string).chain(found.strange).collect();
    let held = keys::held(&folder).map_err(file)?;
    let lacking = keys::wanted(&found.state).difference(&held).count();
    let opened = open(&folder, clock).await;
    let (records, root, waits) =
        opened.map_err(|why| BackupError::DoesNotOpen { copy: copy.path.clone(), why })?;
    let (was, is) = (found.report.found, (records, root));
    if (was.size, was.root) != is {
        problems.push(format!("it opened with {records} records, and check found {}", was.size));
    }
    if let Some(manifest) = &manifest
        && (manifest.records, manifest.root, manifest.digest) != (records, root, found.digest)
    {
        problems.push("it is not the log that it says it is".to_owned());
    }
    let photos = u64::try_from(found.photos.sound).unwrap_or(u64::MAX);
    let digest = found.digest;
    Ok(Rehearsed {
        copy,
        manifest,
        records,
        root,
        digest,
        keys: held.len(),
        lacking,
        photos,
        waits,
        problems,
    })
}

/// Opens a folder as the server does, and closes it again.
async fn open(folder: &Path, clock: Arc<dyn Clock>) -> Result<(u64, Hash, Option<String>), String> {
    let shop = Shop::open(folder, "UTC", clock, || {}).await.map_err(|error| error.to_string())?;
    let head = shop.reader().head();
    let waits = shop.restoring();
    let closing = crate::off_thread::off_thread(move || shop.close()).await;
    closing.map_err(|error| error.to_string())?;
    Ok((head.size, head.root, waits))
}
