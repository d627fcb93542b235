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
    path::{Path, PathBuf},
    sync::{Mutex, MutexGuard, PoisonError},
};

const FILE: &str = "put-back";

/// What is known of it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Known {
    /// How many records the log had then; none if the file does not say.
    pub(super) records: Option<u64>,
    /// The lives of the benches that have given what they have.
    pub(super) heard: BTreeSet<u32>,
}

/// The file, and what it says.
#[derive(Debug)]
pub(super) struct PutBack {
    path: PathBuf,
    known: Mutex<Option<Known>>,
}

impl PutBack {
    /// Reads the file of a shop's folder; one that is not there says that the shop is whole.
    ///
    /// # Errors
    /// If it cannot be read, or says something else.
    pub(super) fn of(folder: &Path) -> io::Result<Self> {
        let path = folder.join(FILE);
        let known = match std::fs::read_to_string(&path) {
            Ok(text) => Some(read(&text).ok_or_else(|| {
                let words = "wanted: lines of `records N` and `heard LIFE`, or none";
                io::Error::new(io::ErrorKind::InvalidData, format!("{}: {words}", path.display()))
            })?),
            Err(error) if error.kind() == io::ErrorKind::NotFound => None,
            Err(error) => return Err(error),
        };
        Ok(Self { path, known: Mutex::new(known) })
    }

    /// What is known; none if the shop is whole.
    pub(super) fn known(&self) -> Option<Known> {
        self.lock().clone()
    }

    /// From now on the shop counts as put back with so many records, on disk before it returns.
    ///
    /// # Errors
    /// If it cannot be written.
    pub(super) fn begin(&self, records: u64) -> io::Result<()> {
        self.change(|known| {
            known.get_or_insert_default().records.get_or_insert(records);
        })
    }

    /// A bench has given what it has.
    ///
    /// # Errors
    /// If it cannot be written.
    pub(super) fn heard(&self, lives: &[u32]) -> io::Result<()> {
        self.change(|known| {
            if let Some(known) = known {
                known.heard.extend(lives);
            }
        })
    }

    /// The shop is whole again.
    ///
    /// # Errors
    /// If the file cannot be removed.
    pub(super) fn end(&self) -> io::Result<()> {
        let mut known = self.lock();
        match std::fs::remove_file(&self.path) {
            Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(error),
            Ok(()) | Err(_) => burrline_disk::sync_name(&self.path)?,
        }
        *known = None;
        Ok(())
    }

    fn change(&self, change: impl FnOnce(&mut Option<Known>)) -> io::Result<()> {
        let mut known = self.lock();
        let mut new = known.clone();
        change(&mut new);
        if *known != new {
            let text = new.as_ref().map(write).unwrap_or_default();
            burrline_disk::replace(&self.path, text.as_bytes(), 0o644)?;
            *known = new;
        }
        Ok(())
    }

    fn lock(&self) -> MutexGuard<'_, Option<Known>> {
        self.known.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

fn read(text: &str) -> Option<Known> {
    let mut known = Known::default();
    for line in text.lines().filter(|line| !line.trim().is_empty()) {
        match line.split_once(' ')? {
            ("records", number) => known.records = Some(number.trim().parse().ok()?),
            ("heard", life) => drop(known.heard.insert(life.trim().parse().ok()?)),
            _ => return None,
        }
    }
    Some(known)
}

fn write(known: &Known) -> String {
    let records = known.records.iter().map(|records| format!("records {records}\n"));
    let heard = known.heard.iter().map(|life| format!("heard {life}\n"));
    records.chain(heard).collect()
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
    fn an_empty_file_is_enough_and_a_strange_one_is_refused() {
        let dir = tempfile::tempdir().unwrap();
        std::fs::write(dir.path().join(FILE), "").unwrap();
        assert_eq!(PutBack::of(dir.path()).unwrap().known(), Some(Known::default()));
        std::fs::write(dir.path().join(FILE), "records many\n").unwrap();
        assert!(PutBack::of(dir.path()).is_err());
    }
}
