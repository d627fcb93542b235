//! Files of the bench folder that cannot be read any more are set aside and made again. A bad
//! sector in a file that only helps must not keep anybody from work.
//!
//! The copy, the scripts and the small files beside them can be deleted at any time. What is
//! set aside stays in the folder, and the hand is told: loudly for a checkpoint, since it is
//! evidence. A lost `bench.toml` comes back from its spare or by `join` (`remains`). A bench
//! without `bench.key` still sends what is signed already (`own_key`).

use std::{
    fs,
    io::Write as _,
    os::unix::fs::OpenOptionsExt as _,
    path::{Path, PathBuf},
};

use super::{
    checked::{self, Checked},
    folder::Folder,
};
use crate::Error;

/// What is to be told, and was not yet.
const TO_TELL: &str = "to-tell";

/// Notes something that the hand is to be told with this command, or with the next.
pub(super) fn to_tell(dir: &Path, words: &str) {
    let mut options = fs::OpenOptions::new();
    let file = options.create(true).append(true).mode(0o600).open(dir.join(TO_TELL));
    // The words must not stop what they are about.
    if let Err(error) = file.and_then(|mut file| writeln!(file, "{words}")) {
        tracing::warn!(%error, words, "could not be noted");
    }
}

/// Gives a file a free name beside it, and says which.
pub(super) fn put_aside(path: &Path, how: &str) -> std::io::Result<PathBuf> {
    let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let named = |n: u32| path.with_file_name(format!("{name}-{how}-{n}"));
    // The last name of all is used over and over.
    let aside = named((1..100).find(|n| !named(*n).exists()).unwrap_or(100));
    fs::rename(path, &aside)?;
    Ok(aside)
}

impl Folder {
    /// Something that the hand is to be told with this command, or with the next.
    pub(super) fn tell(&self, words: &str) {
        to_tell(self.dir(), words);
    }

    /// Removes what processes that are gone had half written: it may hold a customer's key.
    pub(super) fn sweep(&self) -> Result<(), Error> {
        for draft in self.names_from(".")? {
            let Some((_, process)) = draft.rsplit_once('.') else { continue };
            let is_number = !process.is_empty() && process.bytes().all(|b| b.is_ascii_digit());
            if is_number && !Path::new("/proc").join(process).exists() {
                self.remove(&format!(".{draft}"))?;
            }
        }
        Ok(())
    }

    /// What is to be told since this was last asked.
    pub fn told(&self) -> Vec<String> {
        let path = self.path(TO_TELL);
        let Ok(bytes) = fs::read(&path) else { return Vec::new() };
        if fs::remove_file(&path).is_err() {
            return Vec::new();
        }
        let mut told: Vec<String> = Vec::new();
        for line in String::from_utf8_lossy(&bytes).lines() {
            if !told.iter().any(|known| known == line) {
                told.push(line.to_owned());
            }
        }
        told
    }

    /// Sets a damaged file aside; `words` say what comes of it.
    pub(super) fn set_aside(&self, name: &str, words: &str) {
        match put_aside(&self.path(name), "damaged") {
            Ok(aside) => {
                let aside = aside.file_name().unwrap_or_default().to_string_lossy().into_owned();
                let text = format!(
                    "{name} in the bench folder cannot be read any more and is kept as {aside}: {words}"
                );
                to_tell(self.dir(), &text);
            }
            Err(error) => tracing::warn!(%error, name, "could not be set aside"),
        }
    }

    /// A short text with a checksum; none if it was never kept.
    pub(super) fn checked(&self, name: &str) -> Option<Checked> {
        match fs::read(self.path(name)) {
            Ok(bytes) => Some(checked::read(&bytes)),
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => None,
            Err(_) => Some(Checked::Damaged),
        }
    }

    /// Keeps a short text with a checksum.
    ///
    /// # Errors
    /// If it cannot be written.
    pub(super) fn keep_checked(&self, name: &str, text: &str) -> Result<(), Error> {
        if self.checked(name) == Some(Checked::Sound(text.to_owned())) {
            return Ok(());
        }
        self.replace(name, format!("{}\n", checked::with_sum(text)).as_bytes())
    }

    /// A number that was kept; 0 if it was never kept, or cannot be read any more: then the file is
    /// set aside, and it is told.
    pub fn number(&self, name: &str) -> u64 {
        self.number_if(name, |_| true)
    }

    /// As [`Folder::number`]; one without a checksum must be likely too.
    pub(super) fn number_if(&self, name: &str, likely: impl Fn(u64) -> bool) -> u64 {
        let number = match self.checked(name) {
            None => return 0,
            Some(Checked::Sound(text)) => text.parse().ok(),
            Some(Checked::Bare(text)) => text.parse().ok().filter(|n| likely(*n)),
            Some(Checked::Damaged) => None,
        };
        number.unwrap_or_else(|| {
            self.set_aside(name, "it is begun anew, and the shop says what it holds");
            0
        })
    }

    /// Keeps a number.
    ///
    /// # Errors
    /// If it cannot be written.
    pub fn keep_number(&self, name: &str, number: u64) -> Result<(), Error> {
        self.keep_checked(name, &number.to_string())
    }
}
