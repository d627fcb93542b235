//! The folder that copies go to: one backup at a time, copies of one shop, and nothing half made.

use std::{
    fs::{self, File, TryLockError},
    io,
    path::{Path, PathBuf},
};

use burrline_terms::{Moment, Typed as _};

use super::{BackupError, manifest::Manifest};
use crate::shop::Folder;

const MARKER: &str = "burrline-backups";
const FIRST: &str = "burrline backups 1";
const NAMED: &str = "burrline-";
const PART: &str = ".part";

/// A place for copies, held by this process alone.
#[derive(Debug)]
pub(super) struct Place {
    dir: PathBuf,
    _lock: File,
}

/// A copy that lies there.
#[derive(Debug, Clone)]
pub struct Copy {
    /// Its folder.
    pub path: PathBuf,
    /// Its folder's name.
    pub name: String,
}

impl Place {
    /// Takes a place for the copies of a shop. It must be there already; so a disk that is not mounted
    /// is told, and never filled up in its stead.
    ///
    /// # Errors
    /// [`BackupError`] if it is not there, not writable, another shop's, or taken.
    pub(super) fn take(dir: &Path, shop: &str, begin: bool) -> Result<Self, BackupError> {
        if !dir.is_dir() {
            return Err(BackupError::NoPlace(dir.to_owned()));
        }
        let marker = dir.join(MARKER);
        let wrong = |source| BackupError::File { path: marker.clone(), source };
        let marked = match fs::read_to_string(&marker) {
            Ok(text) => {
                let of =
                    text.strip_prefix(FIRST).and_then(|rest| rest.trim().strip_prefix("shop "));
                Some(of.map(str::to_owned).ok_or_else(|| BackupError::NoMarker(marker.clone()))?)
            }
            Err(error) if error.kind() == io::ErrorKind::NotFound => None,
            Err(error) => return Err(wrong(error)),
        };
        // Copies of a release without markers say by their own key whose they are.
        let of = match marked.clone() {
            Some(of) => Some(of),
            None => copies_in(dir)?.iter().find_map(Copy::shop),
        };
        match of {
            Some(of) if of == shop => {}
            Some(_) => return Err(BackupError::OtherShop(dir.to_owned())),
            None if begin => {}
            None => return Err(BackupError::NotBegun(dir.to_owned())),
        }
        if marked.is_none() {
            let text = format!("{FIRST}\nshop {shop}\n");
            burrline_disk::replace(&marker, text.as_bytes(), 0o600).map_err(wrong)?;
        }
        let lock = File::open(&marker).map_err(wrong)?;
        match lock.try_lock() {
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => return Err(BackupError::Taken(dir.to_owned())),
            Err(TryLockError::Error(error)) => return Err(wrong(error)),
        }
        Ok(Self { dir: dir.to_owned(), _lock: lock })
    }

    /// Removes what an earlier backup left half made; says how many.
    pub(super) fn sweep(&self) -> Result<usize, BackupError> {
        let mut swept = 0_usize;
        for (name, path) in entries(&self.dir)? {
            if name.starts_with(NAMED) && name.ends_with(PART) {
                fs::remove_dir_all(&path).map_err(|source| BackupError::File { path, source })?;
                swept = swept.saturating_add(1);
            }
        }
        Ok(swept)
    }

    /// The copies, the oldest first.
    pub(super) fn copies(&self) -> Result<Vec<Copy>, BackupError> {
        copies_in(&self.dir)
    }

    /// The name of a new copy: later than all others, also where a clock was wrong once.
    pub(super) fn new_name(&self, now: Moment) -> Result<String, BackupError> {
        let copies = self.copies()?;
        let mut at = now;
        let newest = copies.last().map(|copy| copy.name.clone()).unwrap_or_default();
        if let Some(last) = moment_of(&newest).filter(|last| at.since(*last) < 1000) {
            at = last.plus(1000);
        }
        Ok(name_at(at))
    }

    /// Where a copy is made before it gets its name.
    pub(super) fn part(&self, name: &str) -> PathBuf {
        self.dir.join(format!("{name}{PART}"))
    }

    /// Gives a finished copy its name.
    pub(super) fn put(&self, name: &str) -> Result<Copy, BackupError> {
        let path = self.dir.join(name);
        let wrong = |source| BackupError::File { path: path.clone(), source };
        fs::rename(self.part(name), &path).map_err(wrong)?;
        burrline_disk::sync_name(&path).map_err(wrong)?;
        Ok(Copy { name: name.to_owned(), path })
    }

    /// Removes a copy: first its name goes, so that no half of it looks like one.
    pub(super) fn remove(&self, copy: &Copy) -> Result<(), BackupError> {
        let part = self.part(&copy.name);
        let wrong = |source| BackupError::File { path: copy.path.clone(), source };
        fs::rename(&copy.path, &part).map_err(wrong)?;
        fs::remove_dir_all(&part).map_err(wrong)
    }
}

impl Copy {
    /// The copy in a folder.
    ///
    /// # Errors
    /// [`BackupError::NoCopy`] if there is none.
    pub fn at(path: &Path) -> Result<Self, BackupError> {
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        if path.join("log").is_dir() {
            Ok(Self { path: path.to_owned(), name })
        } else {
            Err(BackupError::NoCopy(path.to_owned()))
        }
    }

    /// The newest copy in a folder of copies, or the copy that the folder is.
    ///
    /// # Errors
    /// [`BackupError::NoCopy`] if there is none.
    pub fn newest(path: &Path) -> Result<Self, BackupError> {
        if path.join("log").is_dir() {
            return Self::at(path);
        }
        if !path.is_dir() {
            return Err(BackupError::NoPlace(path.to_owned()));
        }
        copies_in(path)?.pop().ok_or_else(|| BackupError::NoCopy(path.to_owned()))
    }

    /// The public key of its shop; none if it cannot be told.
    pub(super) fn shop(&self) -> Option<String> {
        if let Ok(Some(manifest)) = Manifest::of(&self.path) {
            return Some(manifest.shop);
        }
        Folder::shop_key_in(&self.path).ok().map(|key| key.to_string())
    }
}

fn copies_in(dir: &Path) -> Result<Vec<Copy>, BackupError> {
    let named = |name: &String| name.starts_with(NAMED) && name.ends_with('Z');
    let all = entries(dir)?.into_iter().filter(|(name, path)| named(name) && path.is_dir());
    Ok(all.map(|(name, path)| Copy { path, name }).collect())
}

fn entries(dir: &Path) -> Result<Vec<(String, PathBuf)>, BackupError> {
    let read = || -> io::Result<Vec<(String, PathBuf)>> {
        let mut found = Vec::new();
        for entry in fs::read_dir(dir)? {
            let entry = entry?;
            found.extend(entry.file_name().into_string().ok().map(|name| (name, entry.path())));
        }
        found.sort();
        Ok(found)
    };
    read().map_err(|source| BackupError::File { path: dir.to_owned(), source })
}

/// `burrline-20261129T023000Z`.
pub(super) fn name_at(at: Moment) -> String {
    let digits: String = at.show().chars().filter(|c| !matches!(c, '-' | ':')).collect();
    let whole = digits.split(['.', 'Z']).next().unwrap_or_default();
    format!("{NAMED}{whole}Z")
}

fn moment_of(name: &str) -> Option<Moment> {
    let digits = name.strip_prefix(NAMED)?.strip_suffix('Z')?;
    Moment::read(&format!("{digits}Z")).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_its_moment_and_is_read_back() {
        let at = Moment::read("2026-11-29T02:30:00.250Z").unwrap();
        assert_eq!(name_at(at), "burrline-20261129T023000Z");
        assert_eq!(moment_of(&name_at(at)), Some(Moment::read("2026-11-29T02:30:00Z").unwrap()));
    }

    #[test]
    fn a_place_is_begun_once_and_is_one_shops_alone_and_one_backups_at_a_time() {
        let dir = tempfile::tempdir().unwrap();
        let gone = dir.path().join("gone");
        assert!(matches!(Place::take(&gone, "ab", true), Err(BackupError::NoPlace(_))));
        assert!(!gone.exists());
        assert!(matches!(Place::take(dir.path(), "ab", false), Err(BackupError::NotBegun(_))));
        let held = Place::take(dir.path(), "ab", true).unwrap();
        assert!(matches!(Place::take(dir.path(), "ab", false), Err(BackupError::Taken(_))));
        drop(held);
        assert!(matches!(Place::take(dir.path(), "cd", true), Err(BackupError::OtherShop(_))));
        let place = Place::take(dir.path(), "ab", false).unwrap();
        fs::create_dir_all(place.part("burrline-x").join("log")).unwrap();
        assert_eq!((place.sweep().unwrap(), place.sweep().unwrap()), (1, 0));
    }

    #[test]
    fn a_new_copy_is_later_than_all_others_whatever_the_clock_says() {
        let dir = tempfile::tempdir().unwrap();
        let place = Place::take(dir.path(), "ab", true).unwrap();
        fs::create_dir(dir.path().join("burrline-20301129T023000Z")).unwrap();
        let now = Moment::read("2026-11-29T02:30:00Z").unwrap();
        assert_eq!(place.new_name(now).unwrap(), "burrline-20301129T023001Z");
    }
}
