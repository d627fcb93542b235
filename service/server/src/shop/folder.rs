//! The shop's folder and the small files in it.

use std::{
    io,
    path::{Path, PathBuf},
};

use burrline_evidence::sign::{BenchKey, PublicKey};
use thiserror::Error;

use super::invites::Invites;

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

impl Folder {
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

    /// Whether a shop was begun here.
    pub fn has_own_key(&self) -> bool {
        self.0.join("shop.key").exists()
    }

    /// Whether a path is the folder of a shop, or of what is left of one; nothing is made.
    pub fn holds_shop(path: &Path) -> bool {
        path.join("shop.key").exists() || path.join("log").exists()
    }

    /// The public half of a shop's own key, if the folder has one; nothing is made.
    ///
    /// # Errors
    /// [`FolderError`] if it is there and cannot be read.
    pub fn shop_key_in(path: &Path) -> Result<Option<PublicKey>, FolderError> {
        let folder = Self(path.to_owned());
        if folder.has_own_key() { Ok(Some(folder.own_key()?.public())) } else { Ok(None) }
    }

    /// Where the source of a script with this digest is.
    pub fn script_in(path: &Path, digest: &str) -> PathBuf {
        Self(path.to_owned()).scripts().join(format!("{digest}.rhai"))
    }

    /// The shop's own signing key, made on the first start.
    ///
    /// # Errors
    /// [`FolderError`] if it cannot be read or made.
    pub fn own_key(&self) -> Result<BenchKey, FolderError> {
        let path = self.0.join("shop.key");
        let seed = secret(&path, || {
            let mut seed = [0; 32];
            getrandom::fill(&mut seed).map_err(io::Error::other)?;
            Ok(hex::encode(seed))
        })?;
        let mut bytes = [0; 32];
        hex::decode_to_slice(seed.trim(), &mut bytes).map_err(|_| FolderError {
            path,
            source: io::Error::new(io::ErrorKind::InvalidData, "this is no signing key"),
        })?;
        Ok(BenchKey::from_seed(bytes))
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
        burrline_disk::replace(&path, b"", 0o644).map_err(|source| FolderError { path, source })
    }

    /// The codes that benches join with.
    pub fn invites(&self) -> Invites {
        Invites::of(&self.0)
    }

    /// Where the door of the server is that has this folder open, such as `http://127.0.0.1:7417`.
    pub fn door(&self) -> Option<String> {
        let url = std::fs::read_to_string(self.0.join("door")).ok()?;
        Some(url.trim().to_owned()).filter(|url| !url.is_empty())
    }

    /// Notes where the door is, for other programs on this machine. It means something only while a
    /// server holds the folder.
    ///
    /// # Errors
    /// [`FolderError`] if it cannot be written.
    pub fn keep_door(&self, url: &str) -> Result<(), FolderError> {
        let path = self.0.join("door");
        let kept = burrline_disk::replace(&path, format!("{url}\n").as_bytes(), 0o644);
        kept.map_err(|source| FolderError { path, source })
    }

    /// Lives under whose name two benches have spoken.
    ///
    /// # Errors
    /// [`FolderError`] if the list cannot be read.
    pub fn frozen(&self) -> Result<Vec<u32>, FolderError> {
        let path = self.0.join("frozen");
        match std::fs::read_to_string(&path) {
            Ok(text) => Ok(text.lines().filter_map(|line| line.trim().parse().ok()).collect()),
            Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(Vec::new()),
            Err(source) => Err(FolderError { path, source }),
        }
    }

    /// Remembers that a life is frozen, on disk before it returns.
    ///
    /// # Errors
    /// [`FolderError`] if it cannot be written.
    pub fn keep_frozen(&self, life: u32) -> Result<(), FolderError> {
        let mut lives = self.frozen()?;
        if lives.contains(&life) {
            return Ok(());
        }
        lives.push(life);
        let text: String = lives.iter().map(|life| format_line(*life)).collect();
        let path = self.0.join("frozen");
        burrline_disk::replace(&path, text.as_bytes(), 0o644)
            .map_err(|source| FolderError { path, source })
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
        burrline_disk::replace(&path, source, 0o644).map_err(|source| FolderError { path, source })
    }
}

/// Reads a secret, or makes and keeps it where there is none yet.
fn secret(path: &Path, make: impl FnOnce() -> io::Result<String>) -> Result<String, FolderError> {
    let secret = match std::fs::read_to_string(path) {
        Ok(secret) => Ok(secret),
        Err(error) if error.kind() == io::ErrorKind::NotFound => make().and_then(|secret| {
            burrline_disk::replace(path, format!("{secret}\n").as_bytes(), 0o600).map(|()| secret)
        }),
        Err(error) => Err(error),
    };
    secret.map_err(|source| FolderError { path: path.to_owned(), source })
}

fn format_line(life: u32) -> String {
    format!("{life}\n")
}
