//! That a shop was put back from a backup, on disk. Nothing new is recorded until its benches
//! have given back what they have, since it would take the places of what was lost.
//!
//! The file `put-back` is made by `burrline-shop backup` in each copy, by `burrline-shop
//! restored`, or by the shop itself. The shop makes it when a bench shows a checkpoint that it
//! signed over more records than it has. The lines of the file are `records N` (how many the
//! backup had) and `heard LIFE` for each bench that has given.

use std::{
    collections::BTreeSet,
    io,
    path::Path,
    sync::{Mutex, MutexGuard, PoisonError},
};

use burrline_disk::{
    lines::Proof,
    list::{self, Found, List},
};

pub(super) const FILE: &str = "put-back";

/// What is known of it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Known {
    /// How many records the log had then; none if the file does not say.
    pub(super) records: Option<u64>,
    /// The lives of the benches that have given what they have.
    pub(super) heard: BTreeSet<u32>,
}

/// The list, and what it says.
#[derive(Debug)]
pub(super) struct PutBack {
    known: Mutex<(List, Option<Known>)>,
}

/// Reads the list of a shop's folder; writes nothing.
///
/// # Errors
/// If it is there and cannot be read.
pub(super) fn look(folder: &Path) -> io::Result<Found> {
    list::look(&folder.join(FILE), Proof::Sum, |words| {
        words.is_empty() || read(&mut Known::default(), words).is_some()
    })
}

impl PutBack {
    /// Opens the list of a shop's folder; one that is not there says that the shop is whole. Where lines
    /// are gone or damaged the shop waits: for all of its benches once more, if need be.
    ///
    /// # Errors
    /// If it cannot be read or written.
    pub(super) fn of(folder: &Path) -> io::Result<Self> {
        let found = look(folder)?;
        let is_put_back = found.lines.is_there || found.had.is_some() || found.note_is_damaged;
        let mut known = is_put_back.then(Known::default);
        if let Some(known) = &mut known {
            for words in &found.lines.sound {
                read(known, words);
            }
        }
        let path = folder.join(FILE);
        let list = List::open(&path, &found, 0o600, Proof::Sum)?;
        if is_put_back && !found.lines.is_there {
            burrline_disk::replace(&path, b"", 0o600)?;
        }
        Ok(Self { known: Mutex::new((list, known)) })
    }

    /// What is known; none if the shop is whole.
    pub(super) fn known(&self) -> Option<Known> {
        self.lock().1.clone()
    }

    /// From now on the shop counts as put back with so many records, on disk before it returns.
    ///
    /// # Errors
    /// If it cannot be written.
    pub(super) fn begin(&self, records: u64) -> io::Result<()> {
        let mut both = self.lock();
        let (list, known) = &mut *both;
        if known.as_ref().is_some_and(|known| known.records.is_some()) {
            return Ok(());
        }
        list.add(&format!("records {records}"), Proof::Sum)?;
        known.get_or_insert_default().records = Some(records);
        Ok(())
    }

    /// Benches have given what they have.
    ///
    /// # Errors
    /// If it cannot be written.
    pub(super) fn heard(&self, lives: &[u32]) -> io::Result<()> {
        let mut both = self.lock();
        let (list, Some(known)) = &mut *both else { return Ok(()) };
        for life in lives.iter().filter(|life| !known.heard.contains(life)) {
            list.add(&format!("heard {life}"), Proof::Sum)?;
        }
        known.heard.extend(lives);
        Ok(())
    }

    /// The shop is whole again.
    ///
    /// # Errors
    /// If the file cannot be removed.
    pub(super) fn end(&self) -> io::Result<()> {
        let mut both = self.lock();
        both.0.end()?;
        both.1 = None;
        Ok(())
    }

    fn lock(&self) -> MutexGuard<'_, (List, Option<Known>)> {
        self.known.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

fn read(known: &mut Known, words: &str) -> Option<()> {
    match words.trim().split_once(' ') {
        Some(("records", number)) => known.records = Some(number.trim().parse().ok()?),
        Some(("heard", life)) => drop(known.heard.insert(life.trim().parse().ok()?)),
        None if words.trim().is_empty() => {}
        Some(_) | None => return None,
    }
    Some(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_known_outlives_a_restart_and_an_end_is_one() {
        let dir = tempfile::tempdir().unwrap();
        let put_back = PutBack::of(dir.path()).unwrap();
        assert_eq!(put_back.known(), None);
        put_back.heard(&[3]).unwrap();
        assert_eq!(put_back.known(), None, "nobody asked");
        put_back.begin(9000).unwrap();
        put_back.begin(9100).unwrap();
        put_back.heard(&[3]).unwrap();
        let known = PutBack::of(dir.path()).unwrap().known().unwrap();
        assert_eq!((known.records, known.heard), (Some(9000), BTreeSet::from([3])));
        put_back.end().unwrap();
        assert_eq!(PutBack::of(dir.path()).unwrap().known(), None);
    }

    #[test]
    fn an_empty_file_is_enough_and_what_is_strange_or_gone_makes_the_shop_wait_longer() {
        let dir = tempfile::tempdir().unwrap();
        std::fs::write(dir.path().join(FILE), "").unwrap();
        assert_eq!(PutBack::of(dir.path()).unwrap().known(), Some(Known::default()));
        // As the backup script writes it, with a line that its disk damaged.
        std::fs::write(dir.path().join(FILE), "records 900\nheard #!\n").unwrap();
        let known = PutBack::of(dir.path()).unwrap().known().unwrap();
        assert_eq!((known.records, known.heard), (Some(900), BTreeSet::new()));
        // Removed while the shop still waits.
        std::fs::remove_file(dir.path().join(FILE)).unwrap();
        assert_eq!(PutBack::of(dir.path()).unwrap().known(), Some(Known::default()));
        assert!(dir.path().join(FILE).exists());
    }
}
