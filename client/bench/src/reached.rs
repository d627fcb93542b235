//! How far an outbox was confirmed: the highest number that a hand may have been told as kept.
//!
//! The end of the outbox alone does not say whether what is broken there is the half of a write that
//! was never confirmed, or lines that were. So the number is written beside it after each append, in
//! place and without a sync of its own, which costs a wet hand nothing: a process that is killed
//! loses nothing by that. It is synced once the hand has its answer. The number never runs ahead of what
//! is on the disk, so that no line is called lost that was never confirmed.

use std::{
    fs::{self, File, OpenOptions},
    io::{Seek as _, SeekFrom, Write as _},
    os::unix::fs::OpenOptionsExt as _,
    path::PathBuf,
};

use super::checked::{self, Checked};

/// The file.
#[derive(Debug, Clone)]
pub(super) struct Reached {
    path: PathBuf,
}

impl Reached {
    /// The file at a path; it is made with the first number.
    pub(super) const fn at(path: PathBuf) -> Self {
        Self { path }
    }

    /// The number; none if it was never noted, or cannot be read any more.
    pub(super) fn read(&self) -> Option<u64> {
        match checked::read(&fs::read(&self.path).ok()?) {
            Checked::Sound(text) => text.trim_start_matches('0').parse().ok().or(Some(0)),
            Checked::Bare(_) | Checked::Damaged => None,
        }
    }

    /// Notes a number; it is on the disk with the next [`Reached::settle`].
    pub(super) fn note(&self, n: u64) -> std::io::Result<()> {
        let mut file = self.open(true)?;
        file.seek(SeekFrom::Start(0))?;
        // Always as long, so that it is written in place, within one sector.
        let line = format!("{}\n", checked::with_sum(&format!("{n:020}")));
        file.write_all(line.as_bytes())
    }

    /// Brings it onto the disk.
    pub(super) fn settle(&self) -> std::io::Result<()> {
        if self.path.exists() { self.open(false)?.sync_data() } else { Ok(()) }
    }

    fn open(&self, create: bool) -> std::io::Result<File> {
        let mut options = OpenOptions::new();
        options.create(create).truncate(false).write(true).mode(0o600).open(&self.path)
    }
}
