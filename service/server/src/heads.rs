//! The checkpoints (heads of the log) that the shop has signed, and the proofs that belong to
//! them.
//!
//! A checkpoint binds the shop. Once somebody has it, no record before it can change without
//! contradicting it. So each checkpoint is on disk before it is given out. One that contradicts
//! an earlier one is never signed.
//!
//! The shop signs on demand. The tree is filled when a checkpoint is first asked for, off the
//! path of recording.

use std::{
    io,
    path::{Path, PathBuf},
    sync::{Mutex, MutexGuard, PoisonError},
};

use burrline_disk::{
    lines::Proof,
    list::{self, Found, List},
};
use burrline_domain::fold::Loss;
use burrline_evidence::{
    checkpoint::{BadCheckpoint, Checkpoint, origin_of},
    merkle::{Hash, Tree, leaf_hash},
    note::BadNote,
    proof::{BadProof, WholeTree},
    sign::{BenchKey, PublicKey},
};
use burrline_ledger::{ReadError, Reader};
use burrline_terms::Moment;
use thiserror::Error;

/// At most one head is signed in so many milliseconds.
const BETWEEN_MS: i64 = 1000;

/// The file that the heads are kept in, a line each.
pub const FILE: &str = "checkpoints";

/// How many records are read at once.
const AT_ONCE: usize = 1024;

/// Why there is no head, or no proof.
#[derive(Debug, Error)]
pub enum HeadsError {
    /// The file of heads cannot be used.
    #[error("{}: {source}", path.display())]
    File {
        /// Which file.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
    /// What was shown is no head of this shop.
    #[error("this is no checkpoint of this shop: {0}")]
    Shown(#[from] BadCheckpoint),
    /// The log cannot be read.
    #[error(transparent)]
    Log(#[from] ReadError),
    /// The log has fewer records than a head that was given out: it was restored from a backup.
    #[error(
        "the log has {records} records, and a checkpoint over {signed} was given out: records are \
         missing"
    )]
    Behind {
        /// How many records the log has.
        records: u64,
        /// How many it had.
        signed: u64,
    },
    /// The log is not the one that an earlier head was signed over.
    #[error(
        "the log contradicts the checkpoint over {signed} records that was given out: it was changed"
    )]
    Changed {
        /// Over how many records that head was.
        signed: u64,
    },
    /// No such proof.
    #[error(transparent)]
    Proof(#[from] BadProof),
    /// A head could not be signed.
    #[error(transparent)]
    Sign(#[from] BadNote),
}

/// A head that was given out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Given {
    /// What it says.
    pub head: Checkpoint,
    /// The signed note, word for word.
    pub note: String,
}

/// The heads of one shop's log.
#[derive(Debug)]
pub struct Heads {
    path: PathBuf,
    kept: Mutex<Kept>,
}

#[derive(Debug)]
struct Kept {
    list: List,
    tree: WholeTree,
    /// Every head that was given out, the oldest first.
    given: Vec<Given>,
    /// How many of them were held against the log since the start.
    compared: usize,
    /// The last one that was signed since the start, and when.
    signed: Option<(Moment, Given)>,
    /// What the shop has said that it lost.
    losses: Vec<Loss>,
}

impl Heads {
    /// The heads of the shop in a folder, as far as any were given out. A line that is no head of this
    /// shop is set aside first.
    ///
    /// # Errors
    /// [`HeadsError`] if the file cannot be read or written.
    pub fn open(folder: &Path, shop: PublicKey) -> Result<Self, HeadsError> {
        let path = folder.join(FILE);
        let file = |source| HeadsError::File { path: path.clone(), source };
        let found = look(folder, shop).map_err(file)?;
        let list = List::open(&path, &found, 0o600, Proof::Own).map_err(file)?;
        let given = given_in(&found, shop);
        let kept = Kept {
            list,
            tree: WholeTree::new(),
            given,
            compared: 0,
            signed: None,
            losses: Vec::new(),
        };
        Ok(Self { path, kept: Mutex::new(kept) })
    }

    /// Every head that was given out, the oldest first.
    pub fn given(&self) -> Vec<Given> {
        self.kept().given.clone()
    }

    /// The newest head: signed now, unless the last is still true or too fresh. Blocks.
    ///
    /// # Errors
    /// [`HeadsError`]; then nothing was signed.
    pub fn newest(
        &self,
        reader: &Reader,
        shop: &BenchKey,
        now: Moment,
    ) -> Result<Given, HeadsError> {
        let mut kept = self.kept();
        kept.catch_up(reader)?;
        let head = Checkpoint::of(shop.public(), kept.tree.size(), kept.tree.root());
        if let Some(same) = kept.given.iter().rev().find(|given| given.head == head) {
            return Ok(same.clone());
        }
        if let Some((at, last)) = &kept.signed {
            // A clock that was set back must not keep the shop from signing.
            if (0..BETWEEN_MS).contains(&now.0.saturating_sub(at.0)) {
                return Ok(last.clone());
            }
        }
        let given = Given { note: head.sign(shop)?, head };
        self.keep(&mut kept, &given.note)?;
        kept.signed = Some((now, given.clone()));
        kept.given.push(given.clone());
        kept.compared = kept.given.len();
        Ok(given)
    }

    /// Keeps a head of this shop that a bench showed, if it is not known: a shop that was put back
    /// from a backup has forgotten what it signed since. On disk before it returns.
    ///
    /// # Errors
    /// [`HeadsError`] if it is no head of this shop, or cannot be kept.
    pub fn shown(&self, note: &str, shop: PublicKey) -> Result<Checkpoint, HeadsError> {
        // As it will be read again: what else may stand in the note is not kept.
        let given = read_line(&words_of(note), shop)?;
        let head = given.head.clone();
        let mut kept = self.kept();
        if !kept.given.iter().any(|given| given.head == head) {
            self.keep(&mut kept, &given.note)?;
            kept.given.push(given);
        }
        Ok(head)
    }

    /// Whether a head is among those that are known to have been given out.
    pub fn knows(&self, head: &Checkpoint) -> bool {
        self.kept().given.iter().any(|given| given.head == *head)
    }

    /// The largest head that was given out, if the log is shorter; what was said to be lost is not
    /// looked for any more.
    pub fn ahead_of(&self, records: u64) -> Option<Checkpoint> {
        let kept = self.kept();
        let ahead = kept.wanted().filter(|head| head.size > records);
        ahead.max_by_key(|head| head.size).cloned()
    }

    /// The shop has said on its log that it lost these: a head over them may contradict the log.
    pub fn excuse(&self, loss: Loss) {
        self.kept().losses.push(loss);
    }

    /// Whether the shop has said that what such a head covered was lost.
    pub fn is_excused(&self, size: u64) -> bool {
        self.kept().losses.iter().any(|loss| loss.excuses(size))
    }

    /// Whether the log begins with the one that a head was signed over.
    ///
    /// # Errors
    /// [`HeadsError::Log`] if the log cannot be read.
    pub fn agrees(&self, reader: &Reader, head: &Checkpoint) -> Result<bool, HeadsError> {
        let mut kept = self.kept();
        kept.grow(reader)?;
        Ok(kept.tree.root_at(head.size) == Ok(head.root))
    }

    /// Every head that was given out and that the log does not agree with, the largest last.
    ///
    /// # Errors
    /// [`HeadsError::Log`] if the log cannot be read.
    pub fn unmet(&self, reader: &Reader) -> Result<Vec<Checkpoint>, HeadsError> {
        let mut kept = self.kept();
        kept.grow(reader)?;
        let agrees = |head: &&Checkpoint| kept.tree.root_at(head.size) == Ok(head.root);
        let mut unmet: Vec<Checkpoint> =
            kept.wanted().filter(|head| !agrees(head)).cloned().collect();
        unmet.sort_by_key(|head| head.size);
        Ok(unmet)
    }

    /// The growing end of the tree, with all that is on disk.
    ///
    /// # Errors
    /// [`HeadsError::Log`] if the log cannot be read.
    pub fn edge(&self, reader: &Reader) -> Result<Tree, HeadsError> {
        let mut kept = self.kept();
        kept.grow(reader)?;
        Ok(kept.tree.edge().clone())
    }

    /// Proves that the log of `to` records begins with that of `from`.
    ///
    /// # Errors
    /// [`HeadsError::Proof`] if the log never had so many, or `from` is 0 or more than `to`.
    pub fn consistency(
        &self,
        reader: &Reader,
        from: u64,
        to: u64,
    ) -> Result<Vec<Hash>, HeadsError> {
        let mut kept = self.kept();
        kept.catch_up(reader)?;
        Ok(kept.tree.consistency(from, to)?)
    }

    /// Proves that the record at a position is among the first `size`.
    ///
    /// # Errors
    /// [`HeadsError::Proof`] if it is not, or the log has fewer.
    pub fn inclusion(
        &self,
        reader: &Reader,
        position: u64,
        size: u64,
    ) -> Result<Vec<Hash>, HeadsError> {
        let mut kept = self.kept();
        kept.catch_up(reader)?;
        Ok(kept.tree.inclusion(position, size)?)
    }

    /// The hashes of the records from one position until before another.
    ///
    /// # Errors
    /// [`HeadsError::Proof`] if the log has fewer.
    pub fn leaves(&self, reader: &Reader, from: u64, until: u64) -> Result<Vec<Hash>, HeadsError> {
        let mut kept = self.kept();
        kept.catch_up(reader)?;
        let leaf = |at| kept.tree.leaf(at).ok_or(BadProof::Outside);
        Ok((from..until).map(leaf).collect::<Result<_, _>>()?)
    }

    /// Appends a head to the file, on disk before it returns.
    fn keep(&self, kept: &mut Kept, note: &str) -> Result<(), HeadsError> {
        let file = |source| HeadsError::File { path: self.path.clone(), source };
        kept.list.add(&words_of(note), Proof::Own).map_err(file)
    }

    fn kept(&self) -> MutexGuard<'_, Kept> {
        self.kept.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Kept {
    /// The heads that the log must agree with.
    fn wanted(&self) -> impl Iterator<Item = &Checkpoint> {
        let lost = |size| self.losses.iter().any(|loss| loss.excuses(size));
        self.given.iter().map(|given| &given.head).filter(move |head| !lost(head.size))
    }

    /// Takes in what the log has gained.
    fn grow(&mut self, reader: &Reader) -> Result<(), HeadsError> {
        loop {
            let chunk = reader.read(self.tree.size(), AT_ONCE)?;
            if chunk.is_empty() {
                return Ok(());
            }
            for record in chunk {
                self.tree.append(leaf_hash(&record));
            }
        }
    }

    /// Takes in what the log has gained, and holds it against the heads that were given out.
    fn catch_up(&mut self, reader: &Reader) -> Result<(), HeadsError> {
        self.grow(reader)?;
        let records = self.tree.size();
        for given in self.given.iter().skip(self.compared) {
            let signed = given.head.size;
            if self.losses.iter().any(|loss| loss.excuses(signed)) {
                continue;
            }
            if signed > records {
                return Err(HeadsError::Behind { records, signed });
            }
            if self.tree.root_at(signed)? != given.head.root {
                return Err(HeadsError::Changed { signed });
            }
        }
        self.compared = self.given.len();
        Ok(())
    }
}

/// Reads the file of heads in a shop's folder: which of its lines are heads of this shop. Writes nothing.
///
/// # Errors
/// If the file is there and cannot be read.
pub fn look(folder: &Path, shop: PublicKey) -> io::Result<Found> {
    list::look(&folder.join(FILE), Proof::Own, |words| read_line(words, shop).is_ok())
}

/// The heads among what was read, the oldest first.
pub fn given_in(found: &Found, shop: PublicKey) -> Vec<Given> {
    found.lines.sound.iter().filter_map(|words| read_line(words, shop).ok()).collect()
}

/// Reads a line of the file: size, root and signature as they stand in the note.
fn read_line(words: &str, shop: PublicKey) -> Result<Given, BadCheckpoint> {
    let origin = origin_of(shop);
    let mut parts = words.split(' ');
    let mut part = || parts.next().ok_or(BadCheckpoint::Form);
    let (size, root, signature) = (part()?, part()?, part()?);
    let note = format!("{origin}\n{size}\n{root}\n\n\u{2014} {origin} {signature}\n");
    let head = Checkpoint::check(&note, shop)?;
    // One head has one line.
    if words_of(&note) == words { Ok(Given { head, note }) } else { Err(BadCheckpoint::Form) }
}

/// The line of a note: what is different in each of them.
fn words_of(note: &str) -> String {
    let lines: Vec<&str> = note.lines().collect();
    match lines.as_slice() {
        [_, size, root, .., signature] => {
            let signature = signature.rsplit(' ').next().unwrap_or_default();
            format!("{size} {root} {signature}")
        }
        _ => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use burrline_evidence::proof::{check_consistency, check_inclusion};
    use burrline_ledger::{Ledger, MemoryLedger};

    use super::*;

    fn key() -> BenchKey {
        BenchKey::from_seed([3; 32])
    }

    fn grow(log: &mut MemoryLedger, records: u8) {
        let size = log.head().size;
        let records: Vec<Vec<u8>> = (0..records).map(|n| vec![n; 9]).collect();
        log.append(size, &records).unwrap();
    }

    #[test]
    fn a_head_is_on_disk_before_it_is_given_and_is_true_after_a_restart() {
        let dir = tempfile::tempdir().unwrap();
        let mut log = MemoryLedger::default();
        grow(&mut log, 5);
        let heads = Heads::open(dir.path(), key().public()).unwrap();
        let first = heads.newest(&log.reader(), &key(), Moment(1_000)).unwrap();
        assert_eq!((first.head.size, first.head.root), (5, log.head().root));
        // Nothing new: the same head. Too fresh: the same head.
        assert_eq!(heads.newest(&log.reader(), &key(), Moment(9_000)).unwrap(), first);
        grow(&mut log, 3);
        let second = heads.newest(&log.reader(), &key(), Moment(10_000)).unwrap();
        assert_eq!(second.head.size, 8);
        grow(&mut log, 1);
        assert_eq!(heads.newest(&log.reader(), &key(), Moment(10_999)).unwrap(), second);
        drop(heads);

        let heads = Heads::open(dir.path(), key().public()).unwrap();
        assert_eq!(heads.given(), [first.clone(), second.clone()]);
        let third = heads.newest(&log.reader(), &key(), Moment(12_000)).unwrap();
        assert_eq!(third.head.size, 9);
        let path = heads.consistency(&log.reader(), 5, 9).unwrap();
        assert_eq!(check_consistency(5, first.head.root, 9, third.head.root, &path), Ok(()));
        let path = heads.inclusion(&log.reader(), 6, 9).unwrap();
        let record = log.read(6, 1).unwrap().remove(0);
        assert_eq!(check_inclusion(leaf_hash(&record), 6, 9, &path, third.head.root), Ok(()));
    }

    #[test]
    fn a_log_that_was_changed_or_cut_is_never_signed_again() {
        let dir = tempfile::tempdir().unwrap();
        let mut log = MemoryLedger::default();
        grow(&mut log, 5);
        let heads = Heads::open(dir.path(), key().public()).unwrap();
        heads.newest(&log.reader(), &key(), Moment(0)).unwrap();

        let mut other = MemoryLedger::default();
        other.append(0, &vec![vec![1, 2, 3]; 7]).unwrap();
        let heads = Heads::open(dir.path(), key().public()).unwrap();
        let changed = heads.newest(&other.reader(), &key(), Moment(5_000)).unwrap_err();
        assert!(matches!(changed, HeadsError::Changed { signed: 5 }), "{changed}");

        let mut shorter = MemoryLedger::default();
        grow(&mut shorter, 4);
        let heads = Heads::open(dir.path(), key().public()).unwrap();
        let behind = heads.newest(&shorter.reader(), &key(), Moment(5_000)).unwrap_err();
        assert!(matches!(behind, HeadsError::Behind { records: 4, signed: 5 }), "{behind}");
        // The missing record comes back as it was, and all is well.
        shorter.append(4, &[vec![4; 9]]).unwrap();
        assert_eq!(heads.newest(&shorter.reader(), &key(), Moment(6_000)).unwrap().head.size, 5);
    }

    #[test]
    fn half_a_line_and_a_strange_one_are_set_aside_and_the_others_stand() {
        let dir = tempfile::tempdir().unwrap();
        let mut log = MemoryLedger::default();
        grow(&mut log, 5);
        let heads = Heads::open(dir.path(), key().public()).unwrap();
        let first = heads.newest(&log.reader(), &key(), Moment(0)).unwrap();
        let path = dir.path().join("checkpoints");
        let good = std::fs::read_to_string(&path).unwrap();
        std::fs::write(&path, format!("{good}9 abc")).unwrap();
        let heads = Heads::open(dir.path(), key().public()).unwrap();
        assert_eq!(heads.given(), [first]);
        grow(&mut log, 5);
        heads.newest(&log.reader(), &key(), Moment(5_000)).unwrap();
        assert_eq!(Heads::open(dir.path(), key().public()).unwrap().given().len(), 2);

        std::fs::write(&path, good.replace("5 ", "6 ")).unwrap();
        let found = look(dir.path(), key().public()).unwrap();
        assert_eq!((found.lines.misfits.len(), found.had), (1, Some(2)), "it had two lines");
        assert_eq!(Heads::open(dir.path(), key().public()).unwrap().given(), []);
        let pieces = burrline_disk::lines::pieces_of(&path).unwrap();
        assert_eq!(pieces.len(), 2);
    }
}
