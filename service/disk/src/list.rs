//! A list that only grows, with a note beside it (`FILE.sum`) of how many lines it had and their
//! running checksum. So a list that was removed, cut or changed is noticed, as one of its lines is.
//!
//! A line is synced before the note that counts it: after a power cut the list is as long as the note
//! says, or longer. A note that is missing says nothing: a backup may have none, and an older program
//! wrote none.

use std::{
    fs, io,
    path::{Path, PathBuf},
};

use crate::lines::{self, Lines, Proof};

/// What the note beside a list says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
struct Note {
    count: u64,
    sum: u32,
}

impl Note {
    fn with(self, words: &str) -> Self {
        let sum = crc32c::crc32c_append(self.sum, words.as_bytes());
        Self { count: self.count.saturating_add(1), sum: crc32c::crc32c_append(sum, b"\n") }
    }

    fn words(self) -> String {
        format!("{} {:08x}", self.count, self.sum)
    }

    fn read(words: &str) -> Option<Self> {
        let (count, sum) = words.split_once(' ')?;
        Some(Self { count: count.parse().ok()?, sum: u32::from_str_radix(sum, 16).ok()? })
    }
}

/// What a look at a list found.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Found {
    /// What was read of it.
    pub lines: Lines,
    /// How many lines it had by its note, if they are not all there as they were.
    pub had: Option<u64>,
    /// Whether there is a note that can be read.
    pub is_noted: bool,
    /// Whether there is a note that cannot be read.
    pub note_is_damaged: bool,
}

impl Found {
    /// Whether all of it is as it was written.
    pub fn is_sound(&self) -> bool {
        self.lines.is_sound() && self.had.is_none() && !self.note_is_damaged
    }
}

/// An open list.
#[derive(Debug)]
pub struct List {
    path: PathBuf,
    mode: u32,
    note: Note,
}

/// Looks at a list and writes nothing; `bare` says which words count without a checksum.
///
/// # Errors
/// If a file is there and cannot be read.
pub fn look(path: &Path, proof: Proof, bare: impl Fn(&str) -> bool) -> io::Result<Found> {
    let lines = lines::read(path, proof, bare)?;
    let noted = lines::read(&note_of(path), Proof::Sum, |_| false)?;
    let note = match noted.sound.as_slice() {
        [words] if noted.is_sound() => Note::read(words),
        _ => None,
    };
    let mut had = None;
    if let Some(note) = note {
        let mut running = Note::default();
        for words in lines.sound.iter().take(usize::try_from(note.count).unwrap_or(usize::MAX)) {
            running = running.with(words);
        }
        had = Some(note.count).filter(|_| running != note);
    }
    let is_noted = note.is_some();
    Ok(Found { lines, had, is_noted, note_is_damaged: noted.is_there && !is_noted })
}

impl List {
    /// Opens a list that was looked at: what does not fit is set aside first, and the note is put right.
    /// A list without lines is not made.
    ///
    /// # Errors
    /// If it cannot be written.
    pub fn open(path: &Path, found: &Found, mode: u32, proof: Proof) -> io::Result<Self> {
        crate::sweep(path)?;
        for piece in found.lines.misfits.iter().filter(|piece| !piece.is_empty()) {
            lines::set_aside(path, piece)?;
        }
        if found.lines.is_there && !found.lines.is_sound() {
            match proof {
                Proof::Sum => lines::replace(path, &found.lines.sound, mode)?,
                Proof::Own => {
                    let text: String =
                        found.lines.sound.iter().flat_map(|words| [words.as_str(), "\n"]).collect();
                    crate::replace(path, text.as_bytes(), mode)?;
                }
            }
        }
        let note = found.lines.sound.iter().fold(Note::default(), |note, words| note.with(words));
        let list = Self { path: path.to_owned(), mode, note };
        let is_right = found.is_noted && found.had.is_none();
        if note != Note::default() || !is_right && (found.is_noted || found.note_is_damaged) {
            list.keep_note()?;
        }
        Ok(list)
    }

    /// Adds a line, on disk before this returns.
    ///
    /// # Errors
    /// If it cannot be written.
    pub fn add(&mut self, words: &str, proof: Proof) -> io::Result<()> {
        match proof {
            Proof::Sum => lines::append(&self.path, words, self.mode)?,
            Proof::Own => lines::append_text(&self.path, &format!("{words}\n"), self.mode)?,
        }
        self.note = self.note.with(words);
        self.keep_note()
    }

    /// Removes the list and its note, the note first: it must not speak of a list that is meant to be
    /// gone.
    ///
    /// # Errors
    /// If a file cannot be removed.
    pub fn end(&mut self) -> io::Result<()> {
        for path in [note_of(&self.path), self.path.clone()] {
            match fs::remove_file(&path) {
                Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(error),
                Ok(()) | Err(_) => crate::sync_name(&path)?,
            }
        }
        self.note = Note::default();
        Ok(())
    }

    fn keep_note(&self) -> io::Result<()> {
        lines::replace(&note_of(&self.path), [&self.note.words()], self.mode)
    }
}

/// How the name of a note ends.
pub const NOTE: &str = ".sum";

/// Whether a name is that of a note.
pub fn is_note(name: &str) -> bool {
    name.ends_with(NOTE)
}

/// The note beside a list.
pub fn note_of(path: &Path) -> PathBuf {
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(NOTE);
    path.with_file_name(name)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn none(_: &str) -> bool {
        false
    }

    fn open(path: &Path) -> (List, Found) {
        let found = look(path, Proof::Sum, none).unwrap();
        (List::open(path, &found, 0o600, Proof::Sum).unwrap(), found)
    }

    #[test]
    fn a_list_that_was_removed_cut_or_changed_is_noticed_and_keeps_what_fits() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("heard");
        let (mut list, found) = open(&path);
        assert!(found.is_sound() && !path.exists() && !note_of(&path).exists());
        for words in ["3", "4", "17"] {
            list.add(words, Proof::Sum).unwrap();
        }
        let whole = fs::read(&path).unwrap();
        assert!(look(&path, Proof::Sum, none).unwrap().is_sound());

        fs::remove_file(&path).unwrap();
        assert_eq!(look(&path, Proof::Sum, none).unwrap().had, Some(3));
        for cut in 0..whole.len() {
            fs::write(&path, &whole[..cut]).unwrap();
            assert!(!look(&path, Proof::Sum, none).unwrap().is_sound(), "cut at {cut}");
        }
        for at in 0..whole.len() {
            let mut bytes = whole.clone();
            bytes[at] ^= 1;
            fs::write(&path, bytes).unwrap();
            let found = look(&path, Proof::Sum, none).unwrap();
            assert!(!found.is_sound() && !found.lines.sound.is_empty(), "byte {at}: {found:?}");
        }
        // A swap of two whole lines is a change too.
        fs::write(&path, ["4", "3", "17"].map(lines::line).concat()).unwrap();
        assert_eq!(look(&path, Proof::Sum, none).unwrap().had, Some(3));

        let (mut list, _) = open(&path);
        list.add("5", Proof::Sum).unwrap();
        let (mut list, found) = open(&path);
        assert!(found.is_sound());
        assert_eq!(found.lines.sound, ["4", "3", "17", "5"]);
        list.end().unwrap();
        assert_eq!(look(&path, Proof::Sum, none).unwrap(), Found::default());
    }

    #[test]
    fn a_list_without_its_note_and_one_with_a_line_more_are_whole() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("heard");
        let (mut list, _) = open(&path);
        list.add("3", Proof::Sum).unwrap();
        let note = fs::read(note_of(&path)).unwrap();
        list.add("4", Proof::Sum).unwrap();
        fs::write(note_of(&path), &note).unwrap();
        assert!(look(&path, Proof::Sum, none).unwrap().is_sound());
        fs::remove_file(note_of(&path)).unwrap();
        let found = look(&path, Proof::Sum, none).unwrap();
        assert!(found.is_sound() && !found.is_noted);
        for at in 0..note.len() {
            let mut bytes = note.clone();
            bytes[at] ^= 1;
            fs::write(note_of(&path), bytes).unwrap();
            assert!(look(&path, Proof::Sum, none).unwrap().note_is_damaged, "byte {at}");
        }
    }
}
