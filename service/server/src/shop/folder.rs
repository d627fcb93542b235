//! The shop's folder and the small files in it.

use std::{
    io,
    path::{Path, PathBuf},
};

use burrline_disk::lines::{self, Proof};
use burrline_evidence::sign::{BenchKey, PublicKey};
use thiserror::Error;

use super::{
    invites::Invites,
    own_key::{self, NoKey},
};
use crate::{heads, keyring};

/// A file of the shop's folder cannot be used.
#[derive(Debug, Error)]
#[error("{}: {source}", path.display())]
pub struct FolderError {
    /// Which file.
    pub path: PathBuf,
    /// Why.
    pub source: io::Error,
}

/// Where everything of one shop is.
#[derive(Debug, Clone)]
pub struct Folder(PathBuf);

/// What a path holds, by a look that makes nothing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Holds {
    /// Nothing: it is not there, or empty.
    Nothing,
    /// A shop whose first start was cut off.
    Begun,
    /// A shop, or what is left of one.
    Shop,
    /// Something else, such as these.
    Other(Vec<String>),
}

/// There while a new shop is begun; says in which zone.
pub(super) const BEGINNING: &str = "beginning";

/// There while the log is not in the folder; says where it is.
pub(super) const ELSEWHERE: &str = "elsewhere";

/// The head of the log that is elsewhere, as far as this folder knows it.
pub(super) const ELSEWHERE_HEAD: &str = "elsewhere-head";

/// What a new disk has by itself.
pub(super) const OF_DISK: &str = "lost+found";

impl Folder {
    /// What is at a path.
    ///
    /// # Errors
    /// [`FolderError`] if it is there and cannot be read: that is no empty folder.
    pub fn look(path: &Path) -> Result<Holds, FolderError> {
        let wrong = |source| FolderError { path: path.to_owned(), source };
        let names = match names_in(path) {
            Ok(names) => names,
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Holds::Nothing),
            Err(source) => return Err(wrong(source)),
        };
        let has = |name: &str| names.iter().any(|known| known == name);
        if has(BEGINNING) {
            return Ok(Holds::Begun);
        }
        // A folder without a log in it is a place where a disk should be, as likely as not.
        let log = Self(path.to_owned()).has_log()?;
        if log || [own_key::FILE, heads::FILE, keyring::FILE].into_iter().any(has) {
            return Ok(Holds::Shop);
        }
        let draft = |name: &String| name.starts_with(&format!(".{BEGINNING}."));
        let other: Vec<String> =
            names.into_iter().filter(|name| name != OF_DISK && !draft(name)).collect();
        Ok(if other.is_empty() { Holds::Nothing } else { Holds::Other(other) })
    }

    /// A folder that is there; nothing is made.
    pub fn at(path: &Path) -> Self {
        Self(path.to_owned())
    }

    /// Begins a shop, or goes on where that was cut off: notes it first, so that nobody takes the half
    /// of it for the rest of a shop, and draws the shop's key if there is no log yet.
    ///
    /// # Errors
    /// [`FolderError`] if it cannot be made.
    pub fn begin(path: &Path, zone: &str) -> Result<Self, FolderError> {
        burrline_disk::make_folder(path)
            .map_err(|source| FolderError { path: path.to_owned(), source })?;
        let note = path.join(BEGINNING);
        let there =
            note.try_exists().map_err(|source| FolderError { path: note.clone(), source })?;
        if !there {
            lines::replace(&note, [&zone.to_owned()], 0o600)
                .map_err(|source| FolderError { path: note, source })?;
        }
        let folder = Self::open(path)?;
        let key = path.join(own_key::FILE);
        let has_key = key.try_exists().map_err(|source| FolderError { path: key, source })?;
        if !has_key && !folder.has_log()? {
            own_key::draw(path)?;
        }
        Ok(folder)
    }

    /// The zone that a shop is being begun in; none once it has begun.
    pub fn beginning(&self) -> Option<String> {
        let read = lines::read(&self.0.join(BEGINNING), Proof::Sum, |_| false);
        read.ok()?.sound.into_iter().next()
    }

    /// The shop has begun.
    ///
    /// # Errors
    /// [`FolderError`] if that cannot be noted.
    pub fn has_begun(&self) -> Result<(), FolderError> {
        let path = self.0.join(BEGINNING);
        let removed = match std::fs::remove_file(&path) {
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(()),
            removed => removed.and_then(|()| burrline_disk::sync_name(&path)),
        };
        removed.map_err(|source| FolderError { path, source })
    }

    /// Whether there is a log, or a part of one, here or elsewhere.
    ///
    /// # Errors
    /// [`FolderError`] if its folder is there and cannot be read.
    pub fn has_log(&self) -> Result<bool, FolderError> {
        Ok(self.elsewhere()?.is_some() || self.has_own_log()?)
    }

    /// Whether there is a log, or a part of one, in the folder itself.
    ///
    /// # Errors
    /// [`FolderError`] if its folder is there and cannot be read.
    pub fn has_own_log(&self) -> Result<bool, FolderError> {
        match names_in(&self.log()) {
            Ok(names) => Ok(names.iter().any(|name| name != "lock")),
            Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(false),
            Err(source) => Err(FolderError { path: self.log(), source }),
        }
    }

    /// Where the log is, if it is not in the folder.
    ///
    /// # Errors
    /// [`FolderError`] if the note of it is there and cannot be read.
    pub fn elsewhere(&self) -> Result<Option<String>, FolderError> {
        let path = self.0.join(ELSEWHERE);
        let wrong = |source| FolderError { path: path.clone(), source };
        if !path.try_exists().map_err(wrong)? {
            return Ok(None);
        }
        let read = lines::read(&path, Proof::Sum, |_| false).map_err(wrong)?;
        let why = "it does not say where the log is; write the address after --ledger into it anew with \
                   `burrline-shop move-log`";
        let damaged = || io::Error::new(io::ErrorKind::InvalidData, why);
        read.sound.into_iter().next().map(Some).ok_or_else(|| wrong(damaged()))
    }

    /// Notes where the log is, on disk before this returns. From then on it is there and nowhere else.
    ///
    /// # Errors
    /// [`FolderError`] if that cannot be noted.
    pub fn keep_elsewhere(&self, address: &str) -> Result<(), FolderError> {
        let path = self.0.join(ELSEWHERE);
        lines::replace(&path, [&address.to_owned()], 0o600)
            .map_err(|source| FolderError { path, source })
    }

    /// Takes that note back: the log is in the folder.
    ///
    /// # Errors
    /// [`FolderError`] if that cannot be noted.
    pub fn is_here(&self) -> Result<(), FolderError> {
        for name in [ELSEWHERE, ELSEWHERE_HEAD] {
            let path = self.0.join(name);
            let removed = match std::fs::remove_file(&path) {
                Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(()),
                removed => removed.and_then(|()| burrline_disk::sync_name(&path)),
            };
            removed.map_err(|source| FolderError { path, source })?;
        }
        Ok(())
    }

    /// Where the folder keeps the head of a log that is elsewhere.
    pub fn elsewhere_head(&self) -> PathBuf {
        self.0.join(ELSEWHERE_HEAD)
    }

    /// The folder, made if it is not there.
    ///
    /// # Errors
    /// [`FolderError`] if it cannot be made.
    pub fn open(path: &Path) -> Result<Self, FolderError> {
        let folder = Self(path.to_owned());
        for dir in [folder.root().to_owned(), folder.scripts()] {
            burrline_disk::make_folder(&dir).map_err(|source| FolderError { path: dir, source })?;
        }
        Ok(folder)
    }

    /// The folder itself.
    pub fn root(&self) -> &Path {
        &self.0
    }

    /// The log.
    pub fn log(&self) -> PathBuf {
        self.0.join("log")
    }

    /// Script sources by digest.
    pub fn scripts(&self) -> PathBuf {
        self.0.join("scripts")
    }

    /// Photos by digest.
    pub fn photos(&self) -> PathBuf {
        Self::photos_in(&self.0)
    }

    /// Where the photos of a shop's folder are.
    pub fn photos_in(path: &Path) -> PathBuf {
        path.join("photos")
    }

    /// The folder of a shop, or of what is left of one.
    ///
    /// # Errors
    /// [`FolderError`] if it cannot be read, or holds no shop.
    pub fn of_shop(path: &Path) -> Result<Self, FolderError> {
        match Self::look(path)? {
            Holds::Shop | Holds::Begun => Ok(Self(path.to_owned())),
            Holds::Nothing | Holds::Other(_) => {
                let source = io::Error::new(io::ErrorKind::NotFound, "this folder holds no shop");
                Err(FolderError { path: path.to_owned(), source })
            }
        }
    }

    /// The public key of the shop in a folder, by its file alone; nothing is made.
    ///
    /// # Errors
    /// [`NoKey`] says what is wrong, and what to do.
    pub fn shop_key_in(path: &Path) -> Result<PublicKey, NoKey> {
        own_key::find(path, None).map(|own| own.key().public())
    }

    /// The key of the shop in a folder, by its file alone: for a command at the server, which is let in
    /// by it.
    ///
    /// # Errors
    /// [`NoKey`] says what is wrong, and what to do.
    pub fn own_key_in(path: &Path) -> Result<BenchKey, NoKey> {
        own_key::find(path, None).map(|own| own.key())
    }

    /// Where the source of a script with this digest is.
    pub fn script_in(path: &Path, digest: &str) -> PathBuf {
        Self(path.to_owned()).scripts().join(format!("{digest}.rhai"))
    }

    /// Notes that this folder was put back from a backup: its shop takes nothing new until its
    /// benches have given back what they have.
    ///
    /// # Errors
    /// [`FolderError`] if it cannot be noted.
    pub fn mark_put_back(&self) -> Result<(), FolderError> {
        let path = self.0.join("put-back");
        if path.exists() {
            return Ok(());
        }
        burrline_disk::replace(&path, b"", 0o600).map_err(|source| FolderError { path, source })
    }

    /// The codes that benches join with.
    pub fn invites(&self) -> Invites {
        Invites::of(&self.0)
    }

    /// Where the door of the server is that has this folder open, such as `127.0.0.1:7417`, for a command
    /// on this machine.
    pub fn door(&self) -> Option<String> {
        self.door_lines().into_iter().next()
    }

    /// Where a bench may find it, the likeliest first.
    pub fn addresses(&self) -> Vec<String> {
        let mut lines = self.door_lines();
        if lines.len() > 1 {
            lines.remove(0);
        }
        lines
    }

    fn door_lines(&self) -> Vec<String> {
        let text = std::fs::read_to_string(self.0.join("door")).unwrap_or_default();
        text.lines().map(str::trim).filter(|line| !line.is_empty()).map(str::to_owned).collect()
    }

    /// Notes where the door is, for other programs on this machine, and below it where benches may find
    /// it. It means something only while a server holds the folder.
    ///
    /// # Errors
    /// [`FolderError`] if it cannot be written.
    pub fn keep_door(&self, door: &str, addresses: &[String]) -> Result<(), FolderError> {
        let path = self.0.join("door");
        let lines = std::iter::once(door).chain(addresses.iter().map(String::as_str));
        let text: String = lines.flat_map(|line| [line, "\n"]).collect();
        let kept = burrline_disk::replace(&path, text.as_bytes(), 0o600);
        kept.map_err(|source| FolderError { path, source })
    }

    /// Keeps a script's source under its digest, on disk before it returns.
    ///
    /// # Errors
    /// [`FolderError`] if it cannot be written.
    pub fn keep_script(&self, digest: &str, source: &[u8]) -> Result<(), FolderError> {
        let path = self.scripts().join(format!("{digest}.rhai"));
        // What was altered on disk is put right.
        if std::fs::read(&path).is_ok_and(|there| there == source) {
            return Ok(());
        }
        burrline_disk::replace(&path, source, 0o600).map_err(|source| FolderError { path, source })
    }
}

pub(super) fn names_in(dir: &Path) -> io::Result<Vec<String>> {
    let mut names = Vec::new();
    for entry in std::fs::read_dir(dir)? {
        names.push(entry?.file_name().to_string_lossy().into_owned());
    }
    names.sort();
    Ok(names)
}
