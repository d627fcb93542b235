//! Backups: whole copies of a shop's folder, made while it serves, each proved before it counts.
//!
//! * [`files`]: what is copied, and in which order
//! * [`manifest`]: what a copy says of itself
//! * [`note`]: that a copy was made, for the shop to know how old it is
//! * [`place`]: the folder of copies; one backup at a time
//! * [`keep`]: which older copies go, and what is forgotten in those that stay
//! * [`keys`]: the keys of customers' details in a copy
//! * [`rehearse`](mod@rehearse): a copy is put into a temporary folder and opened as a shop
//!
//! A copy is a shop's folder as it stands: to restore one is to copy it back. Photos and scripts are
//! shared with the copy before by hard links, for they never change. A copy that a running shop wrote
//! into may be caught between two writes; then it is made again, from the beginning. The store is copied
//! whole each time.
//!
//! A copy is not sealed, as a link, a rehearsal and a restore by hand need plain files. As one stream it
//! goes into whatever seals it. A crate for that would bring 142 packages to the 360 there are, for what
//! a pipe does.

pub(crate) mod files;
mod keep;
mod keys;
mod manifest;
mod note;
mod place;
mod rehearse;

use std::{
    collections::BTreeMap,
    io,
    path::{Path, PathBuf},
    sync::Arc,
};

use burrline_ledger::Engine;
use burrline_terms::Moment;
use thiserror::Error;

pub use self::{
    files::Took,
    keep::Kept,
    manifest::Manifest,
    note::LastCopy,
    place::Copy,
    rehearse::{Rehearsed, rehearse},
};
use self::{manifest::digest_of_file, place::Place};
use crate::{
    check::{self, CheckError, Found},
    shop::{Folder, FolderError, Holds, NoKey, files::Grade},
};

/// How often a copy is made until one is whole.
const TRIES: u32 = 8;

/// Why no backup was made, or none could be used.
#[derive(Debug, Error)]
pub enum BackupError {
    /// The folder is no shop's.
    #[error("{} holds no shop", .0.display())]
    NoShop(PathBuf),
    /// The place is not there.
    #[error("{} is not there: is its disk mounted? A backup never makes that folder itself", .0.display())]
    NoPlace(PathBuf),
    /// The place has no copies yet, and nobody said to begin.
    #[error(
        "{} holds no copies of a shop: is its disk mounted? To begin there: add --begin",
        .0.display()
    )]
    NotBegun(PathBuf),
    /// The place is of another shop.
    #[error("{} holds the copies of another shop: give each shop a folder of its own", .0.display())]
    OtherShop(PathBuf),
    /// The marker of the place says something else.
    #[error("{} was altered, or a newer release wrote it", .0.display())]
    NoMarker(PathBuf),
    /// Another backup goes on.
    #[error("another backup to {} goes on; wait until it is done", .0.display())]
    Taken(PathBuf),
    /// There is no copy.
    #[error("{} is no copy of a shop and holds none", .0.display())]
    NoCopy(PathBuf),
    /// The log in the copy is not whole, however often it was copied.
    #[error(
        "no whole copy in {TRIES} tries ({0}); nothing was removed. Run: burrline-shop check --data \
         the shop's folder"
    )]
    NotWhole(String),
    /// A copy is not as it was made.
    #[error("{} is not as it was made: {}", copy.display(), what.join("; "))]
    Differs {
        /// Which.
        copy: PathBuf,
        /// What differs.
        what: Vec<String>,
    },
    /// A copy does not open as a shop.
    #[error("{} does not open as a shop: {why}", copy.display())]
    DoesNotOpen {
        /// Which.
        copy: PathBuf,
        /// Why.
        why: String,
    },
    /// A copy could not be looked at.
    #[error(transparent)]
    Check(#[from] CheckError),
    /// A file of the shop's folder.
    #[error(transparent)]
    Folder(#[from] FolderError),
    /// The shop's key, by which copies are known as its own.
    #[error(transparent)]
    Key(#[from] NoKey),
    /// A file could not be used.
    #[error("{}: {source}", path.display())]
    File {
        /// Which.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
}

/// What is to be copied, and where to.
#[derive(Debug, Clone)]
pub struct Order {
    /// The shop's folder.
    pub data: PathBuf,
    /// The engine that its log is on; none if that is in the folder.
    pub engine: Option<Arc<dyn Engine>>,
    /// The folder of copies.
    pub to: PathBuf,
    /// How many copies are kept at least.
    pub keep: usize,
    /// Whether copies begin there.
    pub begin: bool,
    /// Now.
    pub now: Moment,
}

/// What a backup did.
#[derive(Debug)]
pub struct Made {
    /// The new copy.
    pub copy: Copy,
    /// What it says of itself.
    pub manifest: Manifest,
    /// What it took.
    pub took: Took,
    /// How many half-made copies of earlier backups were removed.
    pub swept: usize,
    /// What became of the older ones.
    pub kept: Kept,
    /// What somebody has to look at.
    pub alarms: Vec<String>,
}

/// Makes a copy of a shop's folder, proves it, and lets go of copies that it stands for.
///
/// # Errors
/// [`BackupError`]; then no older copy was removed.
pub fn back_up(order: &Order) -> Result<Made, BackupError> {
    let shop = shop_of(&order.data)?;
    let place = Place::take(&order.to, &shop, order.begin)?;
    let swept = place.sweep()?;
    let older = place.copies()?;
    let name = place.new_name(order.now)?;
    let part = place.part(&name);
    let earlier = older.last().map(|copy| copy.path.as_path());
    let source = (order.data.as_path(), order.engine.as_deref());
    let made = make(source, &part, earlier, (shop, order.now));
    let (took, found, manifest) = made.inspect_err(|_| drop(std::fs::remove_dir_all(&part)))?;
    let copy = place.put(&name)?;
    let mut alarms: Vec<String> =
        manifest.problems.iter().map(|words| format!("the shop's folder: {words}")).collect();
    let kept = keep::tidy(&place, &older, &copy, &found, order.keep, &mut alarms)?;
    let mut made = Made { copy, manifest, took, swept, kept, alarms };
    if let Err(error) = LastCopy::keep(order, &made) {
        made.alarms.push(format!("the shop does not know of this copy: {error}"));
    }
    Ok(made)
}

/// What is wrong beside the log; which keys are missing is told by itself.
fn problems_of(found: &Found) -> Vec<String> {
    let files = found.files.iter().filter(|one| one.grade == Grade::Wrong);
    let files = files.filter(|one| one.file != crate::keyring::FILE);
    let files = files.map(|one| format!("{}: {}", one.file, one.words));
    found.strange.iter().cloned().chain(files).collect()
}

/// The public key of the shop in a folder.
fn shop_of(data: &Path) -> Result<String, BackupError> {
    if Folder::look(data)? != Holds::Shop {
        return Err(BackupError::NoShop(data.to_owned()));
    }
    Ok(Folder::shop_key_in(data)?.to_string())
}

/// Makes a whole copy with its manifest in a new folder.
fn make(
    (data, engine): (&Path, Option<&dyn Engine>),
    part: &Path,
    earlier: Option<&Path>,
    (shop, made): (String, Moment),
) -> Result<(Took, Found, Manifest), BackupError> {
    let (took, found) = copy_whole((data, engine), part, earlier)?;
    let manifest = Manifest {
        made,
        shop,
        records: found.report.found.size,
        root: found.report.found.root,
        digest: found.digest,
        problems: problems_of(&found),
        files: listed(part)?,
    };
    let wrong = |source| BackupError::File { path: part.to_owned(), source };
    manifest.keep(part).map_err(wrong)?;
    // A shop that is started from this copy takes nothing new before its benches were heard.
    let put_back = format!("records {}\n", manifest.records);
    burrline_disk::replace(&part.join("put-back"), put_back.as_bytes(), 0o600).map_err(wrong)?;
    Ok((took, found, manifest))
}

/// Writes a whole copy as one tar stream, by way of the temporary folder: what is written was proved.
///
/// # Errors
/// [`BackupError`]; before the copy was proved, nothing was written.
pub fn stream(
    data: &Path,
    engine: Option<&dyn Engine>,
    now: Moment,
    out: impl io::Write,
) -> Result<Manifest, BackupError> {
    let shop = shop_of(data)?;
    let wrong = |source| BackupError::File { path: std::env::temp_dir(), source };
    let scratch = tempfile::tempdir().map_err(wrong)?;
    let name = place::name_at(now);
    let part = scratch.path().join(&name);
    let (_, _, manifest) = make((data, engine), &part, None, (shop, now))?;
    let mut tar = tar::Builder::new(out);
    let written = tar.append_dir_all(&name, &part).and_then(|()| tar.into_inner()?.flush());
    written.map_err(|source| BackupError::File { path: part.clone(), source })?;
    Ok(manifest)
}

/// Copies until the log in the copy is whole.
fn copy_whole(
    (data, engine): (&Path, Option<&dyn Engine>),
    part: &Path,
    earlier: Option<&Path>,
) -> Result<(Took, Found), BackupError> {
    if let Some(kept) = Folder::at(data).elsewhere()?.filter(|_| engine.is_none()) {
        return Err(CheckError::Elsewhere { kept }.into());
    }
    let mut why = String::new();
    let mut share = earlier;
    for _ in 0..TRIES {
        let wrong = |source| BackupError::File { path: part.to_owned(), source };
        if part.exists() {
            std::fs::remove_dir_all(part).map_err(wrong)?;
        }
        let took = files::copy_on(data, part, share, engine).map_err(wrong)?;
        let found = check::read(part)?;
        if !found.report.is_sound() {
            let problems = found.report.problems.iter().map(ToString::to_string);
            why = problems.collect::<Vec<_>>().join("; ");
            continue;
        }
        // What the copy before shares may be what was altered.
        if !found.strange.is_empty() && share.is_some() {
            share = None;
            continue;
        }
        return Ok((took, found));
    }
    Err(BackupError::NotWhole(why))
}

/// The files of a copy with their digests; the keyring proves itself.
fn listed(part: &Path) -> Result<BTreeMap<String, (burrline_terms::Digest, u64)>, BackupError> {
    let wrong = |path: &Path| {
        let path = path.to_owned();
        move |source| BackupError::File { path, source }
    };
    let files = manifest::files_below(part).map_err(wrong(part))?;
    let files = files.into_iter().filter(|(path, _)| path != "keyring");
    files.map(|(path, full)| Ok((path, digest_of_file(&full).map_err(wrong(&full))?))).collect()
}
