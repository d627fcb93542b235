//! What a bench has said, on its own disk: an append-only file that nothing is ever taken from.
//!
//! The bytes of a frame are a signed entry as it goes to the shop. An append holds the file's lock,
//! writes all of a potful with one write, and is done once the bytes are synced.

use std::{
    fs::{self, File, OpenOptions},
    io::{Read as _, Seek as _, SeekFrom, Write as _},
    os::unix::fs::OpenOptionsExt as _,
    path::{Path, PathBuf},
};

pub use super::frame::Frame as Kept;
use super::frame::{frame_before, push_frame, whole_frames};
use crate::Error;

/// The file.
#[derive(Debug, Clone)]
pub struct Outbox {
    path: PathBuf,
}

impl Outbox {
    /// The outbox at a path; the file is made at the first append.
    pub fn at(path: &Path) -> Self {
        Self { path: path.to_owned() }
    }

    /// Appends what `make` makes, given the number of the first, and says that number.
    ///
    /// `confirmed` is the highest number that the shop is known to hold: a torn last write is cut
    /// off only above it.
    ///
    /// # Errors
    /// What `make` says; or if the file cannot be written, or is damaged where the shop has it.
    pub fn append(
        &self,
        confirmed: u64,
        make: impl FnOnce(u64) -> Result<Vec<Vec<u8>>, Error>,
    ) -> Result<u64, Error> {
        let mut file = self.open()?;
        file.lock().map_err(|e| self.wrong(e))?;
        let (end, last) = self.tail(&mut file, confirmed)?;
        let first = last.saturating_add(1);
        let mut out = Vec::new();
        for (n, bytes) in (first..).zip(make(first)?) {
            push_frame(&mut out, n, &bytes).ok_or_else(|| {
                Error::usage("that is too long to say at once; say it in several lines")
            })?;
        }
        let write = |file: &mut File| {
            file.seek(SeekFrom::Start(end))?;
            file.write_all(&out)?;
            file.sync_data()?;
            // The first write makes the file: its name is on disk once its folder is.
            if end == 0 { self.sync_name() } else { Ok(()) }
        };
        if let Err(error) = write(&mut file) {
            // What cannot be promised must not be found later either.
            let _ = file.set_len(end);
            return Err(self.wrong(error));
        }
        Ok(first)
    }

    /// The highest number said; 0 if none.
    ///
    /// # Errors
    /// As for [`Outbox::append`].
    pub fn last(&self, confirmed: u64) -> Result<u64, Error> {
        let mut file = self.open()?;
        file.lock().map_err(|e| self.wrong(e))?;
        Ok(self.tail(&mut file, confirmed)?.1)
    }

    /// Everything said above a number, in order.
    ///
    /// # Errors
    /// As for [`Outbox::append`].
    pub fn after(&self, n: u64, confirmed: u64) -> Result<Vec<Kept>, Error> {
        let mut kept = Vec::new();
        self.walk_back(confirmed, |one| {
            let wanted = one.n > n;
            if wanted {
                kept.push(one);
            }
            wanted
        })?;
        kept.reverse();
        Ok(kept)
    }

    /// Everything that was said.
    ///
    /// # Errors
    /// As for [`Outbox::append`].
    pub fn whole(&self) -> Result<Vec<Kept>, Error> {
        self.after(0, 0)
    }

    /// Shows what was said, the last first, until `more` says no.
    ///
    /// # Errors
    /// As for [`Outbox::append`].
    pub fn walk_back(
        &self,
        confirmed: u64,
        mut more: impl FnMut(Kept) -> bool,
    ) -> Result<(), Error> {
        let mut file = self.open()?;
        file.lock().map_err(|e| self.wrong(e))?;
        let (mut end, _) = self.tail(&mut file, confirmed)?;
        while end > 0 {
            let (start, kept) = frame_before(&mut file, end)
                .map_err(|e| self.wrong(e))?
                .ok_or_else(|| self.damaged(end))?;
            if !more(kept) {
                break;
            }
            end = start;
        }
        Ok(())
    }

    fn open(&self) -> Result<File, Error> {
        OpenOptions::new()
            .create(true)
            .truncate(false)
            .read(true)
            .write(true)
            .mode(0o600)
            .open(&self.path)
            .map_err(|e| self.wrong(e))
    }

    fn sync_name(&self) -> std::io::Result<()> {
        match self.path.parent() {
            Some(dir) => File::open(dir)?.sync_all(),
            None => Ok(()),
        }
    }

    /// Where the last whole frame ends, and its number; cuts off what was torn after it.
    fn tail(&self, file: &mut File, confirmed: u64) -> Result<(u64, u64), Error> {
        let length = file.metadata().map_err(|e| self.wrong(e))?.len();
        if length == 0 {
            return if confirmed == 0 { Ok((0, 0)) } else { Err(self.damaged(0)) };
        }
        if let Some((_, kept)) = frame_before(file, length).map_err(|e| self.wrong(e))? {
            return if kept.n >= confirmed {
                Ok((length, kept.n))
            } else {
                Err(self.damaged(length))
            };
        }
        let (end, last) = whole_frames(file).map_err(|e| self.wrong(e))?;
        if last < confirmed {
            return Err(self.damaged(end));
        }
        self.cut_off(file, end).map_err(|e| self.wrong(e))?;
        tracing::warn!(from = end, bytes = length.saturating_sub(end), "cut off a torn last write");
        Ok((end, last))
    }

    /// Cuts the file off at `end`; what was there stays beside it, should a person want to look.
    fn cut_off(&self, file: &mut File, end: u64) -> std::io::Result<()> {
        file.seek(SeekFrom::Start(end))?;
        let mut torn = Vec::new();
        file.read_to_end(&mut torn)?;
        fs::write(self.path.with_extension(format!("torn-{end}")), torn)?;
        file.set_len(end)?;
        file.sync_data()
    }

    fn damaged(&self, at: u64) -> Error {
        Error::Folder(format!(
            "{} is damaged at byte {at}, in a part that the shop has; nothing was changed. \
             Keep the folder, and join anew in another one with `burrline --bench DIR join`",
            self.path.display()
        ))
    }

    fn wrong(&self, source: std::io::Error) -> Error {
        Error::file(&self.path, source)
    }
}
