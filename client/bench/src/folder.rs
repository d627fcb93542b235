//! What a bench keeps on disk, apart from the outbox.

use std::{
    fs::{self, File, OpenOptions},
    os::unix::fs::{DirBuilderExt as _, OpenOptionsExt as _},
    path::{Path, PathBuf},
};

use burrline_disk::private;
use burrline_evidence::sign::BenchKey;
use serde::{Deserialize, Serialize};

use super::{heal_folder::to_tell, patience::Times};
use crate::Error;

/// What `bench.toml` says.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Settings {
    /// The shop's address, such as `192.168.1.20:7417`.
    pub shop: String,
    /// The key by which the shop is known, in hexadecimal; none of a shop that is spoken to in the clear.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shop_key: Option<String>,
    /// The life that the bench was enrolled as.
    pub life: u32,
    /// The bench's name.
    pub name: String,
    /// The shop's name.
    pub shop_name: String,
    /// The shop's time zone, such as `America/Denver`.
    pub zone: String,
    /// What the names of this life's files end in; empty for the folder's first life.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub files: String,
    /// The folder's first life, whose files have no number; unset while it is the only one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub first: Option<u32>,
    /// The folder that photos come into, for `photograph TAG latest`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub photos: Option<String>,
    /// Whether it only reads, and records nothing.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub viewer: bool,
    /// How many times as long as usual it waits for the shop, for a bench behind a slow line.
    #[serde(default, skip_serializing_if = "Times::is_once")]
    pub patience: Times,
}

/// The file that says which bench this is, and its spare copy.
const SETTINGS: &str = "bench.toml";
const SPARE: &str = "bench.toml.spare";

/// The bench folder.
#[derive(Debug, Clone)]
pub struct Folder {
    dir: PathBuf,
}

impl Folder {
    /// A folder, whatever is in it.
    pub fn at(dir: &Path) -> Self {
        Self { dir: dir.to_owned() }
    }

    /// A folder that has been joined.
    ///
    /// # Errors
    /// [`Error::Folder`] if it was never joined.
    pub fn open(dir: &Path) -> Result<Self, Error> {
        let folder = Self::at(dir);
        if folder.has_settings() { Ok(folder) } else { Err(folder.without_settings()) }
    }

    /// Whether it says which bench it is.
    pub(super) fn has_settings(&self) -> bool {
        self.path(SETTINGS).exists() || self.path(SPARE).exists()
    }

    /// A folder for a bench that is about to join; it must not have joined before.
    ///
    /// # Errors
    /// If it is a bench already, or cannot be made.
    pub fn create(dir: &Path) -> Result<Self, Error> {
        if Self::at(dir).has_settings() {
            return Err(Error::Folder(format!(
                "{} is a bench already; choose another folder with --bench DIR",
                dir.display()
            )));
        }
        let mut builder = fs::DirBuilder::new();
        builder.recursive(true).mode(0o700);
        builder.create(dir).map_err(|e| Error::file(dir, e))?;
        burrline_disk::sync_name(dir).map_err(|e| Error::file(dir, e))?;
        Ok(Self { dir: dir.to_owned() })
    }

    /// Takes from others on this machine whatever they may do with the folder, and tells a hand where they
    /// could.
    ///
    /// # Errors
    /// If others could read the key: whoever has it can pass for this bench, so somebody has to know.
    pub(super) fn keep_private(&self, key: &str) -> Result<(), Error> {
        let path = self.path(key);
        if let Ok(Some(rights)) = private::open_to_others(&path) {
            let path = path.display();
            return Err(Error::Folder(format!(
                "{path} can be read by others on this machine (its rights are {rights:03o}): whoever has it \
                 can pass for this bench. If nobody else uses this machine, `chmod 600 {path}`; if somebody \
                 may have taken it, enroll this bench anew: burrline rejoin --code CODE"
            )));
        }
        let loose = private::tighten(&self.dir).map_err(|e| Error::file(&self.dir, e))?;
        if let Some(first) = loose.first() {
            let words = format!(
                "others on this machine could read what is in this bench\u{2019}s folder, such as {}; it is \
                 yours alone now",
                first.display()
            );
            to_tell(&self.dir, &words);
        }
        Ok(())
    }

    /// Where it lies.
    pub fn dir(&self) -> &Path {
        &self.dir
    }

    /// A file in the folder.
    pub fn path(&self, name: &str) -> PathBuf {
        self.dir.join(name)
    }

    /// A folder within this one, made if it is not there.
    ///
    /// # Errors
    /// If it cannot be made.
    pub fn inside(&self, name: &str) -> Result<Self, Error> {
        let dir = self.path(name);
        fs::DirBuilder::new()
            .recursive(true)
            .mode(0o700)
            .create(&dir)
            .map_err(|e| Error::file(&dir, e))?;
        Ok(Self { dir })
    }

    /// The names of the files that end in `end`, without it, in order.
    ///
    /// # Errors
    /// If the folder cannot be read.
    pub fn names_with(&self, end: &str) -> Result<Vec<String>, Error> {
        self.names(|name| name.strip_suffix(end))
    }

    /// The names of the files that begin with `start`, without it, in order.
    ///
    /// # Errors
    /// If the folder cannot be read.
    pub fn names_from(&self, start: &str) -> Result<Vec<String>, Error> {
        self.names(|name| name.strip_prefix(start))
    }

    fn names(&self, part: impl Fn(&str) -> Option<&str>) -> Result<Vec<String>, Error> {
        let wrong = |e| Error::file(&self.dir, e);
        let mut names = Vec::new();
        for file in fs::read_dir(&self.dir).map_err(wrong)? {
            let name = file.map_err(wrong)?.file_name();
            names.extend(name.to_str().and_then(&part).map(str::to_owned));
        }
        names.sort();
        Ok(names)
    }

    /// Removes a file; one that is not there is no error.
    ///
    /// # Errors
    /// If it cannot be removed.
    pub fn remove(&self, name: &str) -> Result<(), Error> {
        let path = self.path(name);
        match fs::remove_file(&path) {
            Err(error) if error.kind() != std::io::ErrorKind::NotFound => {
                Err(Error::file(&path, error))
            }
            _ => Ok(()),
        }
    }

    /// Reads `bench.toml`; if it is gone or damaged, its spare copy takes its place, and it is told.
    ///
    /// # Errors
    /// If neither can be read, or says something unknown.
    pub fn settings(&self) -> Result<Settings, Error> {
        let error = match self.settings_in(SETTINGS) {
            Ok(settings) => return Ok(settings),
            Err(error) => error,
        };
        let Ok(settings) = self.settings_in(SPARE) else {
            if self.path(SETTINGS).exists() {
                return Err(Error::Folder(format!(
                    "{error}. Put the file right; or move it away and join with this folder and the \
                     bench's own name, which puts it together again"
                )));
            }
            return Err(self.without_settings());
        };
        let spare = "its spare copy took its place";
        if self.path(SETTINGS).exists() {
            self.set_aside(SETTINGS, spare);
        } else {
            to_tell(&self.dir, &format!("{SETTINGS} was gone from the bench folder: {spare}"));
        }
        self.keep_settings(&settings)?;
        Ok(settings)
    }

    fn settings_in(&self, name: &str) -> Result<Settings, Error> {
        let path = self.path(name);
        let text = fs::read_to_string(&path).map_err(|e| Error::file(&path, e))?;
        toml::from_str(&text).map_err(|e| Error::Folder(format!("{}: {e}", path.display())))
    }

    /// Writes `bench.toml`, and before it the spare copy: all that either names is on disk by then.
    ///
    /// # Errors
    /// If it cannot be written.
    pub fn keep_settings(&self, settings: &Settings) -> Result<(), Error> {
        let text = toml::to_string(settings).map_err(|e| Error::Bug(e.to_string()))?;
        self.replace(SPARE, text.as_bytes())?;
        self.replace(SETTINGS, text.as_bytes())
    }

    /// Draws the bench's key and keeps its seed, for its owner's eyes alone; a key that is there
    /// already, from a join that did not get through, is used again.
    ///
    /// # Errors
    /// If there is no randomness, or it cannot be written.
    pub fn new_key(&self) -> Result<BenchKey, Error> {
        if self.path("bench.key").exists() {
            return self.key_at("bench.key");
        }
        let mut seed = [0; 32];
        getrandom::fill(&mut seed).map_err(|e| Error::Bug(e.to_string()))?;
        self.replace("bench.key", &seed)?;
        let key = BenchKey::from_seed(seed);
        self.keep_public("bench.key", &key)?;
        Ok(key)
    }

    /// Reads the key that is kept under a name.
    ///
    /// # Errors
    /// If it is missing or damaged.
    pub fn key_at(&self, name: &str) -> Result<BenchKey, Error> {
        let path = self.path(name);
        let bytes = fs::read(&path).map_err(|e| Error::file(&path, e))?;
        let seed = bytes.try_into().map_err(|_| {
            Error::Folder(format!("{}: not 32 bytes; join anew in another folder", path.display()))
        })?;
        Ok(BenchKey::from_seed(seed))
    }

    /// A short text that was kept, such as the hand; none if it was never kept.
    pub fn text(&self, name: &str) -> Option<String> {
        let text = fs::read_to_string(self.path(name)).ok()?;
        let text = text.trim();
        (!text.is_empty()).then(|| text.to_owned())
    }

    /// Keeps a short text.
    ///
    /// # Errors
    /// If it cannot be written.
    pub fn keep_text(&self, name: &str, text: &str) -> Result<(), Error> {
        if self.text(name).as_deref() == Some(text) {
            return Ok(());
        }
        self.replace(name, format!("{text}\n").as_bytes())
    }

    /// Makes sure that the names in the folder are on the disk.
    ///
    /// # Errors
    /// If it cannot be synced.
    pub fn sync(&self) -> Result<(), Error> {
        burrline_disk::sync(&self.dir).map_err(|e| Error::file(&self.dir, e))
    }

    /// Opens a lock file and waits until nobody else holds it; dropping the file lets go.
    ///
    /// # Errors
    /// If it cannot be opened or locked.
    pub fn lock(&self, name: &str) -> Result<File, Error> {
        let file = self.open_lock(name)?;
        file.lock().map_err(|e| Error::file(&self.path(name), e))?;
        Ok(file)
    }

    /// As [`Folder::lock`], without holding up the thread that waits.
    ///
    /// # Errors
    /// As [`Folder::lock`].
    pub async fn lock_aside(&self, name: &str) -> Result<File, Error> {
        let (folder, name) = (self.clone(), name.to_owned());
        let lock = tokio::task::spawn_blocking(move || folder.lock(&name)).await;
        lock.map_err(|e| Error::Bug(e.to_string()))?
    }

    /// Opens a lock file and locks nothing yet.
    ///
    /// # Errors
    /// If it cannot be opened.
    pub fn open_lock(&self, name: &str) -> Result<File, Error> {
        let path = self.path(name);
        OpenOptions::new()
            .create(true)
            .truncate(false)
            .write(true)
            .mode(0o600)
            .open(&path)
            .map_err(|e| Error::file(&path, e))
    }

    /// Puts a file in place whole: either the old bytes are there after a crash, or the new ones.
    ///
    /// # Errors
    /// If it cannot be written.
    pub fn replace(&self, name: &str, bytes: &[u8]) -> Result<(), Error> {
        let path = self.path(name);
        burrline_disk::replace(&path, bytes, 0o600).map_err(|e| Error::file(&path, e))
    }
}
