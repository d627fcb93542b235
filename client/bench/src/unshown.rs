//! What was kept and never shown: a process that was killed between the two.
//!
//! Before lines go into the outbox, a file `said-FIRST-LAST` is made and locked; it is removed once
//! a hand has been shown what became of them. One that nobody holds any more is the sign.

use std::{
    fs::{File, OpenOptions},
    os::unix::fs::OpenOptionsExt as _,
    sync::{Arc, Mutex, PoisonError},
};

use burrline_line::typed;
use burrline_proto::{decode_entry, v1};
use burrline_terms::EntryName;
use prost::Message as _;

use super::{Bench, outbox::Kept};
use crate::Error;

/// The lines that this process has kept and not shown yet.
#[derive(Debug, Default)]
pub(super) struct Unshown {
    for_a_hand: bool,
    held: Arc<Mutex<Vec<(String, File)>>>,
}

impl Unshown {
    /// The same, for the bench under a new life: what either keeps is shown by this process.
    pub(super) fn shared(&self) -> Self {
        Self { for_a_hand: self.for_a_hand, held: Arc::clone(&self.held) }
    }
}

impl Bench {
    /// From now on what is kept counts as unshown until [`Bench::shown`].
    pub const fn for_a_hand(&mut self) {
        self.unshown.for_a_hand = true;
    }

    /// What was kept so far has been shown.
    ///
    /// # Errors
    /// If that cannot be noted.
    pub fn shown(&self) -> Result<(), Error> {
        self.outbox.settle();
        let held =
            std::mem::take(&mut *self.unshown.held.lock().unwrap_or_else(PoisonError::into_inner));
        held.iter().try_for_each(|(name, _)| self.folder.remove(name))
    }

    /// Tells the lines that another process kept and was ended before it could show them. They count
    /// as shown after they were told, so that they are told again if this process is ended in between.
    ///
    /// # Errors
    /// If folder or outbox cannot be read.
    pub fn never_shown(&self, mut tell: impl FnMut(EntryName, &str)) -> Result<(), Error> {
        self.folder.sweep()?;
        for range in self.folder.names_from(&self.prefix())? {
            let name = format!("{}{range}", self.prefix());
            let path = self.folder.path(&name);
            let Ok(file) = File::open(&path) else { continue };
            // Held: the process is still at it. Gone by now: it has shown them.
            if file.try_lock().is_err() || !path.exists() {
                continue;
            }
            let numbers = range.split_once('-');
            let numbers = numbers.and_then(|(a, b)| Some((a.parse().ok()?, b.parse().ok()?)));
            if let Some((first, last)) = numbers {
                for (entry, line) in self.lines_between(first, last)? {
                    tell(entry, &line);
                }
            }
            self.folder.remove(&name)?;
        }
        Ok(())
    }

    /// Notes that these lines are about to be kept.
    pub(super) fn about_to_keep(&self, first: u64, count: usize) -> Result<(), Error> {
        if !self.unshown.for_a_hand || count == 0 {
            return Ok(());
        }
        let last = first.saturating_add(u64::try_from(count).unwrap_or(u64::MAX)).saturating_sub(1);
        let (name, path) = (format!("{}{first}-{last}", self.prefix()), self.folder.path("said"));
        // Locked before it has its name, so that nobody sees it without its lock.
        let draft = path.with_extension(std::process::id().to_string());
        let mut made = OpenOptions::new();
        made.create(true).truncate(true).write(true).mode(0o600);
        let file = made.open(&draft).map_err(|e| Error::file(&draft, e))?;
        file.lock().map_err(|e| Error::file(&draft, e))?;
        let place = self.folder.path(&name);
        std::fs::rename(&draft, &place).map_err(|e| Error::file(&place, e))?;
        self.unshown.held.lock().unwrap_or_else(PoisonError::into_inner).push((name, file));
        Ok(())
    }

    fn prefix(&self) -> String {
        format!("{}-", self.of_life("said"))
    }

    fn lines_between(&self, first: u64, last: u64) -> Result<Vec<(EntryName, String)>, Error> {
        let kept = self.outbox.after(first.saturating_sub(1), self.receipts())?;
        let shown = kept.iter().filter(|kept| kept.n <= last && kept.lost().is_none());
        shown.map(line).collect()
    }
}

fn line(kept: &Kept) -> Result<(EntryName, String), Error> {
    let entry = read(kept)?;
    Ok((entry.name, typed::typed(&entry.verb)))
}

/// A kept line as an entry.
///
/// # Errors
/// If the outbox holds something else.
pub(super) fn read(kept: &Kept) -> Result<burrline_domain::Entry, Error> {
    let damaged = |e: &dyn std::fmt::Display| {
        Error::Folder(format!("the outbox holds what is no entry: {e}"))
    };
    let signed = v1::SignedEntry::decode(kept.bytes.as_slice()).map_err(|e| damaged(&e))?;
    decode_entry(&signed.entry).map_err(|e| damaged(&e))
}
