//! Lives under whose name two benches have spoken, and the number that both said: a list that only grows.

use std::{
    collections::BTreeMap,
    path::{Path, PathBuf},
    sync::{Mutex, PoisonError},
};

use burrline_disk::{
    lines::Proof,
    list::{self, Found, List},
};

use burrline_terms::EntryName;

use super::FolderError;

/// The name of the file.
pub(super) const FILE: &str = "frozen";

/// The list of a folder.
#[derive(Debug)]
pub struct Frozen {
    path: PathBuf,
    list: Mutex<(List, BTreeMap<u32, u64>)>,
}

/// What stands in a folder's list; nothing is written.
///
/// # Errors
/// [`FolderError`] if it is there and cannot be read.
pub(super) fn look(dir: &Path) -> Result<Found, FolderError> {
    let path = dir.join(FILE);
    list::look(&path, Proof::Sum, is_life).map_err(|source| FolderError { path, source })
}

fn is_life(words: &str) -> bool {
    read(words).is_some()
}

/// `LIFE N`; older programs wrote the life alone.
fn read(words: &str) -> Option<(u32, u64)> {
    let (life, n) = words.split_once(' ').unwrap_or((words, "0"));
    Some((life.parse().ok()?, n.parse().ok()?))
}

impl Frozen {
    /// Opens the list of a folder; gives the lives on it.
    ///
    /// # Errors
    /// [`FolderError`] if it cannot be read or written.
    pub fn open(dir: &Path) -> Result<(Self, BTreeMap<u32, u64>), FolderError> {
        let found = look(dir)?;
        let path = dir.join(FILE);
        let lives = found.lines.sound.iter().filter_map(|words| read(words));
        let lives: BTreeMap<u32, u64> = lives.collect();
        let list = List::open(&path, &found, 0o600, Proof::Sum);
        let list = list.map_err(|source| FolderError { path: path.clone(), source })?;
        Ok((Self { path, list: Mutex::new((list, lives.clone())) }, lives))
    }

    /// Remembers that a life is frozen, and by which entry, on disk before it returns.
    ///
    /// # Errors
    /// [`FolderError`] if it cannot be written.
    pub fn keep_at(&self, clash: EntryName) -> Result<(), FolderError> {
        let mut known = self.list.lock().unwrap_or_else(PoisonError::into_inner);
        let (list, lives) = &mut *known;
        if lives.contains_key(&clash.life) {
            return Ok(());
        }
        let kept = list.add(&format!("{} {}", clash.life, clash.n), Proof::Sum);
        kept.map_err(|source| FolderError { path: self.path.clone(), source })?;
        lives.insert(clash.life, clash.n);
        Ok(())
    }
}
