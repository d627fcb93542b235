//! What a bench has said, on its own disk: an append-only file that nothing is ever taken from.
//!
//! The bytes of a frame are a signed entry as it goes to the shop. An append holds the file's lock,
//! writes all of a potful with one write, and is done once the bytes are synced.

use std::{
    fs::{self, File, OpenOptions},
    io::{Read as _, Seek as _, SeekFrom, Write as _},
    os::unix::fs::{MetadataExt as _, OpenOptionsExt as _},
    path::{Path, PathBuf},
};

use burrline_disk::Draft;
use burrline_evidence::sign::PublicKey;

pub use super::frame::Frame as Kept;
use super::{
    frame::{Backwards, frame_before, push_frame},
    mend::{Mended, Own, file_of, mend},
    reached::Reached,
};
use crate::Error;

/// What became of lines whose place on the disk was damaged.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Damage {
    /// The numbers of those that are lost.
    pub lost: Vec<u64>,
    /// The numbers of those that were saved.
    pub saved: Vec<u64>,
    /// After which numbers a write was cut short.
    pub torn: Vec<u64>,
}

/// The file.
#[derive(Debug, Clone)]
pub struct Outbox {
    path: PathBuf,
    own: Option<Own>,
    reached: Reached,
}

/// How much further than an outbox goes an older program may have noted receipts.
const FAR: u64 = 100_000;

impl Outbox {
    /// The outbox at a path; the file is made at the first append.
    pub fn at(path: &Path) -> Self {
        let reached = Reached::at(path.with_extension("reached"));
        Self { path: path.to_owned(), own: None, reached }
    }

    /// The same, whose lines are signed with a key under a life: with that a line is known for one
    /// although its frame is damaged.
    #[must_use]
    pub fn signed_by(self, key: PublicKey, life: u32) -> Self {
        Self { own: Some(Own { key, life }), ..self }
    }

    /// Appends what `make` makes, given the number of the first, and says that number.
    ///
    /// `confirmed` is the highest number that the shop is known to hold: a torn last write is cut
    /// off only above it.
    ///
    /// # Errors
    /// What `make` says; or if the file cannot be written, or is gone though the shop has lines of it.
    pub fn append(
        &self,
        confirmed: u64,
        make: impl FnOnce(u64) -> Result<Vec<Vec<u8>>, Error>,
    ) -> Result<u64, Error> {
        let mut file = self.locked()?;
        let (end, last) = self.tail(&mut file, confirmed)?;
        let first = last.saturating_add(1);
        let mut out = Vec::new();
        let mut now = last;
        for (n, bytes) in (first..).zip(make(first)?) {
            now = n;
            push_frame(&mut out, n, &bytes).ok_or_else(|| {
                Error::usage("that is too long to say at once; say it in several lines")
            })?;
        }
        let new = end == 0 || self.reached.read().is_none();
        if new && let Err(error) = self.reached.note(last) {
            tracing::warn!(%error, "how far the outbox was confirmed could not be noted");
        }
        let write = |file: &mut File| {
            file.seek(SeekFrom::Start(end))?;
            file.write_all(&out)?;
            file.sync_data()?;
            // The first write makes the files: their names are on disk once their folder is.
            if new { burrline_disk::sync_name(&self.path) } else { Ok(()) }
        };
        if let Err(error) = write(&mut file) {
            // What cannot be promised must not be found later either.
            let _ = file.set_len(end);
            return Err(self.wrong(error));
        }
        if let Err(error) = self.reached.note(now) {
            tracing::warn!(%error, "how far the outbox was confirmed could not be noted");
        }
        Ok(first)
    }

    /// Brings onto the disk how far it was confirmed; for when the hand has its answer.
    pub fn settle(&self) {
        if let Err(error) = self.reached.settle() {
            tracing::warn!(%error, "how far the outbox was confirmed is not on the disk yet");
        }
    }

    /// Nothing was ever confirmed here: what an earlier try left is no part of this one.
    ///
    /// # Errors
    /// If that cannot be noted.
    pub fn begin_anew(&self) -> Result<(), Error> {
        self.reached.note(0).map_err(|e| self.wrong(e))
    }

    /// Whether the shop may have lines up to this number, by what is here.
    pub(super) fn is_likely(&self, n: u64) -> bool {
        match self.reached.read() {
            Some(reached) => n <= reached,
            None => self.last(0).is_ok_and(|last| n <= last.saturating_add(FAR)),
        }
    }

    /// The highest number said; 0 if none.
    ///
    /// # Errors
    /// As for [`Outbox::append`].
    pub fn last(&self, confirmed: u64) -> Result<u64, Error> {
        let mut file = self.locked()?;
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
        let mut file = self.locked()?;
        let (mut end, mut last) = self.tail(&mut file, confirmed)?;
        let mut way = Backwards::default();
        let mut mended = false;
        while end > 0 {
            let found = way.frame_before(&mut file, end).map_err(|e| self.wrong(e))?;
            match found.filter(|(_, kept)| kept.n == last) {
                Some((start, kept)) => {
                    last = last.saturating_sub(1);
                    if !more(kept) {
                        break;
                    }
                    end = start;
                }
                None if mended => return Err(self.gone()),
                None => {
                    let frames = self.mend(&mut file, confirmed)?;
                    let before = frames.into_iter().take_while(|frame| frame.n <= last);
                    let before: Vec<Kept> = before.collect();
                    end = u64::try_from(file_of(&before).len()).unwrap_or(u64::MAX);
                    (way, mended) = (Backwards::default(), true);
                }
            }
        }
        Ok(())
    }

    /// Holds the file while `then` runs, so that nobody says a line meanwhile. `then` is given all that
    /// was said, and must not read this outbox.
    ///
    /// # Errors
    /// What `then` says; or as for [`Outbox::append`].
    pub fn holding<T>(
        &self,
        confirmed: u64,
        then: impl FnOnce(Vec<Kept>) -> Result<T, Error>,
    ) -> Result<T, Error> {
        let mut file = self.locked()?;
        self.tail(&mut file, confirmed)?;
        let frames = self.mend(&mut file, confirmed)?;
        let done = then(frames);
        drop(file);
        done
    }

    /// Puts other bytes in the place of the lost lines above a number. `make` is given the
    /// placeholder and the whole line nearest to it, the one before if there is any.
    ///
    /// # Errors
    /// What `make` says; or as for [`Outbox::append`].
    pub fn replace_lost(
        &self,
        above: u64,
        confirmed: u64,
        make: impl Fn(&Kept, Option<&Kept>) -> Result<Vec<u8>, Error>,
    ) -> Result<(), Error> {
        let mut file = self.locked()?;
        self.tail(&mut file, confirmed)?;
        let frames = self.mend(&mut file, confirmed)?;
        let mut new = frames.clone();
        for (i, lost) in
            frames.iter().enumerate().filter(|(_, f)| f.n > above && f.lost().is_some())
        {
            let (before, after) = frames.split_at_checked(i).unwrap_or_default();
            let whole = |frame: &&Kept| frame.lost().is_none();
            let near = before.iter().rev().find(whole).or_else(|| after.iter().find(whole));
            if let Some(frame) = new.get_mut(i) {
                frame.bytes = make(lost, near)?;
            }
        }
        if new != frames {
            self.put(&mut file, &new)?;
        }
        Ok(())
    }

    /// The numbers of lines that were lost, or saved out of damage, since that was last told.
    pub fn damage(&self) -> Damage {
        let text = fs::read_to_string(self.beside("mended")).unwrap_or_default();
        let numbers = |what: &str| {
            let of = text.lines().filter_map(|line| line.strip_prefix(what));
            of.filter_map(|n| n.trim().parse().ok()).collect()
        };
        Damage { lost: numbers("lost "), saved: numbers("saved "), torn: numbers("torn ") }
    }

    /// The damage was told.
    ///
    /// # Errors
    /// If that cannot be noted.
    pub fn damage_told(&self) -> Result<(), Error> {
        let path = self.beside("mended");
        match fs::remove_file(&path) {
            Err(error) if error.kind() != std::io::ErrorKind::NotFound => {
                Err(Error::file(&path, error))
            }
            _ => Ok(()),
        }
    }

    /// The file, locked: nobody else reads or writes it meanwhile.
    fn locked(&self) -> Result<File, Error> {
        loop {
            let file = open(&self.path)?;
            file.lock().map_err(|e| self.wrong(e))?;
            // While this waited, a mended file may have taken the place of the one that was opened.
            let (own, there) = (file.metadata(), fs::metadata(&self.path));
            let (own, there) = (own.map_err(|e| self.wrong(e))?, there.map_err(|e| self.wrong(e))?);
            if (own.dev(), own.ino()) == (there.dev(), there.ino()) {
                return Ok(file);
            }
        }
    }

    /// Where the last whole frame ends, and its number; what is damaged there is mended, and what was
    /// torn is cut off.
    fn tail(&self, file: &mut File, confirmed: u64) -> Result<(u64, u64), Error> {
        let length = file.metadata().map_err(|e| self.wrong(e))?.len();
        let confirmed = confirmed.max(self.reached.read().unwrap_or(0));
        if length == 0 && confirmed == 0 {
            return Ok((0, 0));
        }
        if let Some((_, kept)) = frame_before(file, length).map_err(|e| self.wrong(e))?
            && kept.n >= confirmed
        {
            return Ok((length, kept.n));
        }
        let last = self.mend(file, confirmed)?.last().map_or(0, |kept| kept.n);
        let length = file.metadata().map_err(|e| self.wrong(e))?.len();
        Ok((length, last))
    }

    /// Mends the file, if it is not whole, and gives all its frames. A mended file takes the place of
    /// the damaged one, which stays beside it.
    fn mend(&self, file: &mut File, confirmed: u64) -> Result<Vec<Kept>, Error> {
        let mut bytes = Vec::new();
        let confirmed = confirmed.max(self.reached.read().unwrap_or(0));
        file.seek(SeekFrom::Start(0)).map_err(|e| self.wrong(e))?;
        file.read_to_end(&mut bytes).map_err(|e| self.wrong(e))?;
        let Mended { frames, torn_from, lost, saved } = mend(&bytes, self.own.as_ref(), confirmed);
        if let Some(end) = torn_from {
            let end = u64::try_from(end).unwrap_or(u64::MAX);
            let last = frames.last().map_or(0, |frame| frame.n);
            self.note_damage(&format!("torn {last}\n"))?;
            self.cut_off(file, end).map_err(|e| self.wrong(e))?;
            tracing::info!(from = end, bytes = bytes.len(), "cut off a torn last write");
            return Ok(frames);
        }
        if file_of(&frames) == bytes {
            return Ok(frames);
        }
        tracing::info!(?lost, ?saved, "the outbox was damaged and is mended");
        let aside = |n: u32| self.beside(&format!("damaged-{n}"));
        // The last name of all is used over and over.
        let aside = (1..100).map(aside).find(|path| !path.exists());
        let aside = aside.unwrap_or_else(|| self.beside("damaged-100"));
        let kept = open(&aside)?;
        let kept = (&kept).write_all(&bytes).and_then(|()| kept.sync_all());
        kept.map_err(|e| Error::file(&aside, e))?;
        let lost = lost.iter().map(|n| format!("lost {n}\n"));
        let words = lost.chain(saved.iter().map(|n| format!("saved {n}\n"))).collect::<String>();
        self.note_damage(&words)?;
        self.put(file, &frames)?;
        Ok(frames)
    }

    /// Notes what was lost before the mended file is there, so that it is told in any case.
    fn note_damage(&self, text: &str) -> Result<(), Error> {
        let path = self.beside("mended");
        let noted = OpenOptions::new().create(true).append(true).mode(0o600).open(&path);
        let noted = noted
            .and_then(|mut file| file.write_all(text.as_bytes()).and_then(|()| file.sync_data()));
        noted.map_err(|e| Error::file(&path, e))
    }

    /// Puts a file with these frames in place of the one that is held, and holds it.
    fn put(&self, held: &mut File, frames: &[Kept]) -> Result<(), Error> {
        let write = || {
            let mut draft = Draft::beside(&self.path, 0o600)?;
            // Held before it has its name, so that nobody gets in between.
            draft.file().lock()?;
            draft.write_all(&file_of(frames))?;
            draft.put(&self.path)
        };
        let file = write().map_err(|e| self.wrong(e))?;
        *held = file;
        Ok(())
    }

    /// The name of a file beside this one.
    fn beside(&self, end: &str) -> PathBuf {
        self.path.with_extension(end)
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

    fn gone(&self) -> Error {
        Error::Folder(format!(
            "{} is gone or cannot be read, though the shop has lines of it; nothing was changed. \
             Enroll this bench anew with `burrline rejoin --code CODE`",
            self.path.display()
        ))
    }

    fn wrong(&self, source: std::io::Error) -> Error {
        Error::file(&self.path, source)
    }
}

/// What is left of an outbox whose file has these bytes, as it is mended: plain, for whoever plays a
/// disk that fails. `confirmed` is the highest number that the shop is known to hold.
pub fn left_of(bytes: &[u8], key: PublicKey, life: u32, confirmed: u64) -> Vec<Kept> {
    mend(bytes, Some(&Own { key, life }), confirmed).frames
}

/// The bytes of a file with these lines.
pub fn bytes_of(kept: &[Kept]) -> Vec<u8> {
    file_of(kept)
}

fn open(path: &Path) -> Result<File, Error> {
    let mut options = OpenOptions::new();
    let file = options.create(true).truncate(false).read(true).write(true).mode(0o600).open(path);
    let file = match file {
        // An old disk that is only read: what is whole on it can still be carried out.
        Err(error) if error.kind() == std::io::ErrorKind::ReadOnlyFilesystem => File::open(path),
        other => other,
    };
    file.map_err(|e| Error::file(path, e))
}
