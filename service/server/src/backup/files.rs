//! Copying a shop's folder file by file, in the one order in which a copy can be whole.

use std::{
    fs, io,
    path::{Path, PathBuf},
};

use burrline_ledger::{Engine, Ledger as _, MAX_BATCH_BYTES, SledLedger};

use super::manifest::files_below;

/// What is no part of a copy: what belongs to a running server, codes, drafts, and what a backup says.
const LEFT: [&str; 18] = [
    "log/lock",
    "log/copy-afresh",
    "log/store.new/",
    "log/store.old/",
    "photos/coming",
    "door",
    "invites",
    "put-back",
    "log/reserve",
    "copied",
    "folded",
    "metrics",
    "manifest",
    "check.txt",
    // The log is in the copy, wherever the shop keeps it.
    "elsewhere",
    "log.moved/",
    "log.draft/",
    ".",
];

/// What goes first, in this order: each may be behind what comes after it, and never ahead.
const FIRST: [&str; 5] = ["checkpoints", "photos/kept", "log/head", "log/format", "log/store/"];

/// Files whose names are their digests; a copy may share them with the copy before.
const UNCHANGING: [&str; 2] = ["photos/", "scripts/"];

/// How much a copy took.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Took {
    /// How many files were copied.
    pub copied: u64,
    /// How many bytes were copied.
    pub bytes: u64,
    /// How many files are shared with the copy before.
    pub shared: u64,
}

/// Copies a shop's folder, sharing what never changes with an earlier copy; on disk before it returns.
///
/// # Errors
/// If a file cannot be read or written. What a server moves away meanwhile is passed over.
pub(crate) fn copy(data: &Path, to: &Path, earlier: Option<&Path>) -> io::Result<Took> {
    copy_on(data, to, earlier, None)
}

/// The same, with the log of an engine if there is one: in the copy it is in the folder.
pub(crate) fn copy_on(
    data: &Path,
    to: &Path,
    earlier: Option<&Path>,
    engine: Option<&dyn Engine>,
) -> io::Result<Took> {
    copy_all(data, to, earlier, engine, "no such folder")
}

/// The same without what lies under one folder.
pub(crate) fn copy_but(
    data: &Path,
    to: &Path,
    earlier: Option<&Path>,
    without: &str,
) -> io::Result<Took> {
    copy_all(data, to, earlier, None, without)
}

fn copy_all(
    data: &Path,
    to: &Path,
    earlier: Option<&Path>,
    engine: Option<&dyn Engine>,
    without: &str,
) -> io::Result<Took> {
    let mut took = Took::default();
    make_private(to)?;
    let mut copied = std::collections::BTreeSet::new();
    for first in FIRST {
        for (path, from) in files_of(data)?.into_iter().filter(|(path, _)| is_of(first, path)) {
            one(&path, &from, to, None, &mut took)?;
            copied.insert(path);
        }
    }
    if let Some(engine) = engine {
        took.bytes = took.bytes.saturating_add(copy_log(engine, &to.join("log"))?);
    }
    // Listed anew: each script, photo and key was on disk before the record that needs it.
    for (path, from) in files_of(data)?.into_iter().filter(|(path, _)| !copied.contains(path)) {
        if !is_of("log/store/", &path) && !path.starts_with(without) {
            one(&path, &from, to, earlier, &mut took)?;
        }
    }
    // The folders last, so that every name in them is on disk.
    for folder in folders_below(to)? {
        burrline_disk::sync(&folder)?;
    }
    Ok(took)
}

/// Writes the log of an engine into a folder, and says how many bytes its records have.
fn copy_log(engine: &dyn Engine, to: &Path) -> io::Result<u64> {
    make_private(to)?;
    let mut log = SledLedger::open(to).map_err(io::Error::other)?;
    let (mut batch, mut sum, mut bytes) = (Vec::new(), 0_usize, 0_u64);
    let mut failed = None;
    let mut put = |batch: &mut Vec<Vec<u8>>| {
        let size = log.head().size;
        if let Err(error) = log.append(size, batch) {
            failed.get_or_insert(error);
        }
        batch.clear();
    };
    let report = engine.check(&mut |_, record| {
        sum = sum.saturating_add(record.len());
        batch.push(record.to_vec());
        if sum > MAX_BATCH_BYTES / 2 {
            put(&mut batch);
            bytes = bytes.saturating_add(u64::try_from(sum).unwrap_or(0));
            sum = 0;
        }
    });
    put(&mut batch);
    let report = report.map_err(io::Error::other)?;
    if let Some(error) = failed {
        return Err(io::Error::other(error));
    }
    if let Some(problem) = report.problems.first() {
        return Err(io::Error::other(format!("the log at {}: {problem}", engine.address())));
    }
    drop(log);
    fs::remove_file(to.join("lock"))?;
    Ok(bytes.saturating_add(u64::try_from(sum).unwrap_or(0)))
}

fn files_of(data: &Path) -> io::Result<Vec<(String, PathBuf)>> {
    let mut files = Vec::new();
    for entry in fs::read_dir(data)? {
        let entry = entry?;
        let Ok(name) = entry.file_name().into_string() else { continue };
        if entry.file_type()?.is_dir() {
            let below = files_below(&entry.path())?;
            files.extend(below.into_iter().map(|(path, full)| (format!("{name}/{path}"), full)));
        } else {
            files.push((name, entry.path()));
        }
    }
    let is_left = |path: &str| {
        let draft = path.rsplit('/').next().is_some_and(|name| name.starts_with('.'));
        // What a start set aside may hold a part of a key, and a note may be ahead of its list.
        let beside = burrline_disk::lines::is_aside(path) || burrline_disk::list::is_note(path);
        draft || beside || LEFT.iter().any(|left| path.starts_with(left))
    };
    files.retain(|(path, _)| !is_left(path));
    files.sort();
    Ok(files)
}

fn is_of(which: &str, path: &str) -> bool {
    path == which || (which.ends_with('/') && path.starts_with(which))
}

fn one(
    path: &str,
    from: &Path,
    to: &Path,
    earlier: Option<&Path>,
    took: &mut Took,
) -> io::Result<()> {
    let target = to.join(path);
    if let Some(folder) = target.parent() {
        make_private(folder)?;
    }
    let size = match fs::metadata(from) {
        Ok(meta) => meta.len(),
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(()),
        Err(error) => return Err(error),
    };
    // Every file is held against its digest afterwards, shared or not.
    let before = earlier.map(|earlier| earlier.join(path));
    let before = before.filter(|_| UNCHANGING.iter().any(|folder| path.starts_with(folder)));
    let is_as_large = |before: &PathBuf| fs::metadata(before).is_ok_and(|m| m.len() == size);
    if let Some(before) = before.filter(is_as_large)
        && fs::hard_link(&before, &target).is_ok()
    {
        took.shared = took.shared.saturating_add(1);
        return Ok(());
    }
    match fs::copy(from, &target) {
        Ok(bytes) => {
            took.copied = took.copied.saturating_add(1);
            took.bytes = took.bytes.saturating_add(bytes);
            burrline_disk::sync(&target)
        }
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(()),
        Err(error) => Err(error),
    }
}

/// Makes a folder that only its owner can look into.
fn make_private(folder: &Path) -> io::Result<()> {
    use std::os::unix::fs::DirBuilderExt as _;
    fs::DirBuilder::new().recursive(true).mode(0o700).create(folder)
}

fn folders_below(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let mut folders = vec![folder.to_owned()];
    let mut next = 0_usize;
    while let Some(folder) = folders.get(next).cloned() {
        for entry in fs::read_dir(folder)? {
            let entry = entry?;
            if entry.file_type()?.is_dir() {
                folders.push(entry.path());
            }
        }
        next = next.saturating_add(1);
    }
    Ok(folders)
}
