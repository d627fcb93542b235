//! Files that are put in place whole, and names that are on the disk. Shop, bench and log do it here
//! alone, so that no step is left out anywhere: written beside, synced, renamed, folder synced.
//! And small files of lines that each carry a checksum ([`lines`]).

pub mod lines;
pub mod list;
pub mod private;

mod room;

use std::{
    fs::{self, File, Permissions},
    io::{self, Write},
    os::unix::fs::{DirBuilderExt as _, PermissionsExt as _},
    path::Path,
};

pub use room::{Room, is_full, is_of_the_disk, room, set_aside};
use tempfile::{Builder, NamedTempFile};

/// How the names of drafts end.
const DRAFT: &str = ".draft";

/// Puts a file in place whole: after a power cut the old bytes are there, or the new ones. On disk
/// before it returns, with its name.
///
/// # Errors
/// If it cannot be written; what was there before still stands.
pub fn replace(place: &Path, bytes: &[u8], mode: u32) -> io::Result<()> {
    let mut draft = Draft::beside(place, mode)?;
    draft.write_all(bytes)?;
    draft.put(place).map(drop)
}

/// A file that is being written beside its place; dropped before it is put there, nothing is left.
#[derive(Debug)]
pub struct Draft(NamedTempFile);

impl Draft {
    /// Begins one. Its name is its own, so that two processes may write for the same place at once.
    ///
    /// # Errors
    /// If it cannot be made.
    pub fn beside(place: &Path, mode: u32) -> io::Result<Self> {
        let draft = Builder::new()
            .prefix(&beginning(place))
            .suffix(DRAFT)
            .permissions(Permissions::from_mode(mode))
            .tempfile_in(folder_of(place))?;
        Ok(Self(draft))
    }

    /// The file itself, such as to lock it before it has its name.
    pub fn file(&self) -> &File {
        self.0.as_file()
    }

    /// Puts it in a place of the folder that it was begun in, on disk before this returns; the file
    /// stays open, and locked if it was.
    ///
    /// # Errors
    /// If the disk fails.
    pub fn put(self, place: &Path) -> io::Result<File> {
        self.0.as_file().sync_all()?;
        let file = self.0.persist(place).map_err(|error| error.error)?;
        sync_name(place)?;
        Ok(file)
    }
}

impl Write for Draft {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.0.flush()
    }
}

/// Removes the drafts for a place that a power cut left, which may hold what was to be forgotten. For
/// whoever alone writes there.
///
/// # Errors
/// If the folder cannot be read, or a draft cannot be removed.
pub fn sweep(place: &Path) -> io::Result<()> {
    let beginning = beginning(place);
    for entry in fs::read_dir(folder_of(place))? {
        let entry = entry?;
        let name = entry.file_name();
        let name = name.to_string_lossy();
        if name.starts_with(&beginning) && name.ends_with(DRAFT) {
            fs::remove_file(entry.path())?;
        }
    }
    Ok(())
}

/// Makes a folder whose name is on disk before this returns.
///
/// # Errors
/// If it cannot be made.
pub fn make_folder(dir: &Path) -> io::Result<()> {
    if dir.is_dir() {
        return Ok(());
    }
    fs::DirBuilder::new().recursive(true).mode(0o700).create(dir)?;
    sync_name(dir)
}

/// Syncs the folder that a name stands in: only then the name is on disk.
///
/// # Errors
/// If it cannot be synced.
pub fn sync_name(path: &Path) -> io::Result<()> {
    sync(folder_of(path))
}

/// Syncs one file or folder, with the length and the names that belong to it.
///
/// # Errors
/// If it cannot be synced.
pub fn sync(path: &Path) -> io::Result<()> {
    File::open(path)?.sync_all()
}

fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(dir) if !dir.as_os_str().is_empty() => dir,
        Some(_) => Path::new("."),
        None => path,
    }
}

fn beginning(place: &Path) -> String {
    format!(".{}.", place.file_name().unwrap_or_default().to_string_lossy())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(dir: &Path) -> Vec<String> {
        let entries = fs::read_dir(dir).unwrap();
        let mut names: Vec<String> =
            entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    #[test]
    fn a_file_is_replaced_whole_with_its_mode_and_nothing_is_left_beside_it() {
        let dir = tempfile::tempdir().unwrap();
        let place = dir.path().join("keys");
        replace(&place, b"a longer text", 0o600).unwrap();
        replace(&place, b"short", 0o600).unwrap();
        assert_eq!(fs::read(&place).unwrap(), b"short");
        assert_eq!(fs::metadata(&place).unwrap().permissions().mode() & 0o777, 0o600);
        assert_eq!(names(dir.path()), ["keys"]);
    }

    #[test]
    fn what_cannot_be_put_leaves_what_was_there() {
        let dir = tempfile::tempdir().unwrap();
        let place = dir.path().join("taken");
        fs::create_dir(&place).unwrap();
        replace(&place, b"text", 0o600).unwrap_err();
        assert_eq!(names(dir.path()), ["taken"], "no draft is left");
    }

    #[test]
    fn drafts_of_a_power_cut_are_swept_and_others_stay() {
        let dir = tempfile::tempdir().unwrap();
        let place = dir.path().join("keys");
        for name in [".keys.x1.draft", ".other.x1.draft", "keys"] {
            fs::write(dir.path().join(name), "").unwrap();
        }
        sweep(&place).unwrap();
        assert_eq!(names(dir.path()), [".other.x1.draft", "keys"]);
    }
}
