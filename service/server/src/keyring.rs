//! The keys of sealed details: a file beside the log, so that what is forgotten stays forgotten.
//!
//! A line is `key-id key` in hexadecimal. The id is a digest of the key, so each line proves itself,
//! and one that lost a single byte on the disk is read all the same. What cannot be read is kept
//! beside the file and told; nothing is ever cut off because it looks wrong. Which keys should be
//! there, the log says (`shop/files.rs`).
//!
//! A key is synced before the entry that needs it is answered; dropping keys writes the file anew.

use std::{
    collections::{BTreeMap, BTreeSet},
    fs::{File, OpenOptions},
    io::{self, Write},
    os::unix::fs::OpenOptionsExt as _,
    path::{Path, PathBuf},
};

use burrline_disk::lines;
use burrline_evidence::seal::SealKey;
use burrline_present::Opens;

/// The name of the file.
pub const FILE: &str = "keyring";

/// The length of a line without its end: an id, a space, a key.
const LINE: usize = 32 + 1 + 64;

/// The digits that a line is written with.
const DIGITS: &[u8; 16] = b"0123456789abcdef";

/// What was read of a keyring's file.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Look {
    /// The keys by their ids.
    pub keys: BTreeMap<[u8; 16], [u8; 32]>,
    /// How many of them had a byte wrong, and are known all the same.
    pub mended: usize,
    /// What is no key, piece by piece.
    pub misfits: Vec<Vec<u8>>,
    /// Whether the last line lacks its end.
    unfinished: bool,
    /// Whether the file is there.
    pub is_there: bool,
}

impl Look {
    /// Reads the keyring of a folder; writes nothing.
    ///
    /// # Errors
    /// If it is there and cannot be read.
    pub fn at(dir: &Path) -> io::Result<Self> {
        match std::fs::read(dir.join(FILE)) {
            Ok(bytes) => Ok(Self::of(&bytes)),
            Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(Self::default()),
            Err(error) => Err(error),
        }
    }

    fn of(bytes: &[u8]) -> Self {
        let mut look = Self { is_there: true, ..Self::default() };
        look.unfinished = bytes.last().is_some_and(|last| *last != b'\n');
        let mut rest = bytes;
        while !rest.is_empty() {
            // By its length first: an end of line may be what was damaged, or come out of nothing.
            let (here, behind) = rest.split_at(LINE.min(rest.len()));
            let ends = behind.first().is_none_or(|end| *end == b'\n');
            if let Some((id, key)) = parse(here).filter(|_| ends || is_key_line(behind)) {
                look.mended = look.mended.saturating_add(usize::from(!ends));
                look.keys.insert(id, key);
                rest = behind.get(1..).unwrap_or_default();
            } else if let Some((id, key)) = one_byte_off(here).filter(|_| ends) {
                look.mended = look.mended.saturating_add(1);
                look.keys.insert(id, key);
                rest = behind.get(1..).unwrap_or_default();
            } else {
                let end = rest.iter().position(|byte| *byte == b'\n').unwrap_or(rest.len());
                let (piece, behind) = rest.split_at(end);
                look.misfits.push(piece.to_vec());
                rest = behind.get(1..).unwrap_or_default();
            }
        }
        look
    }

    /// Whether the file is as it was written.
    pub fn is_sound(&self) -> bool {
        self.misfits.is_empty() && self.mended == 0 && !self.unfinished
    }
}

/// The keys that the shop still has.
#[derive(Debug)]
pub struct Keyring {
    path: PathBuf,
    file: File,
    keys: BTreeMap<[u8; 16], [u8; 32]>,
}

impl Keyring {
    /// Opens the keyring in a folder, or begins one. What is no key is set aside first.
    ///
    /// # Errors
    /// If the file cannot be read or written.
    pub fn open(dir: &Path) -> io::Result<Self> {
        let look = Look::at(dir)?;
        let path = dir.join(FILE);
        // What a power cut left of a keyring without some keys may hold others that were dropped since.
        burrline_disk::sweep(&path)?;
        for piece in look.misfits.iter().filter(|piece| !piece.is_empty()) {
            lines::set_aside(&path, piece)?;
        }
        if look.is_there && !look.is_sound() {
            burrline_disk::replace(&path, text_of(&look.keys).as_bytes(), 0o600)?;
        }
        let file = OpenOptions::new().create(true).append(true).mode(0o600).open(&path)?;
        file.sync_all()?;
        // Its name too, or the first keys could be on disk in a file that nobody finds.
        burrline_disk::sync_name(&path)?;
        Ok(Self { path, file, keys: look.keys })
    }

    /// Whether there is a key of this id.
    pub fn has(&self, id: &[u8; 16]) -> bool {
        self.keys.contains_key(id)
    }

    /// How many keys there are.
    pub fn len(&self) -> usize {
        self.keys.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.keys.is_empty()
    }

    /// Keeps keys, on disk before it returns. One that does not fit its id opens nothing, and is passed
    /// over.
    ///
    /// # Errors
    /// If they cannot be written.
    pub fn keep(&mut self, new: &[([u8; 16], [u8; 32])]) -> io::Result<()> {
        let fresh: Vec<_> = new
            .iter()
            .filter(|(id, key)| !self.keys.contains_key(id) && is_genuine(id, key))
            .collect();
        if fresh.is_empty() {
            return Ok(());
        }
        let mut text = String::new();
        for (id, key) in &fresh {
            text.push_str(&line(id, key));
        }
        let whole = self.file.metadata()?.len();
        let written = self.file.write_all(text.as_bytes()).and_then(|()| self.file.sync_data());
        if let Err(error) = written {
            // Half a line would run into the next one.
            self.file.set_len(whole)?;
            return Err(error);
        }
        self.keys.extend(fresh.into_iter().copied());
        Ok(())
    }

    /// Drops keys for ever: the file is written anew without them, synced, and put in its place. What
    /// was set aside goes first, as it may hold a part of one of them.
    ///
    /// # Errors
    /// If the new file cannot be written; the old one then still stands.
    pub fn drop_keys(&mut self, ids: &BTreeSet<[u8; 16]>) -> io::Result<()> {
        if !ids.iter().any(|id| self.keys.contains_key(id)) {
            return Ok(());
        }
        self.drop_pieces()?;
        let left: BTreeMap<_, _> =
            self.keys.iter().filter(|(id, _)| !ids.contains(*id)).map(|(i, k)| (*i, *k)).collect();
        burrline_disk::replace(&self.path, text_of(&left).as_bytes(), 0o600)?;
        self.file = OpenOptions::new().append(true).open(&self.path)?;
        self.keys = left;
        Ok(())
    }

    /// Drops keys of what was forgotten just now, also where they are only in what was set aside.
    ///
    /// # Errors
    /// As [`Keyring::drop_keys`].
    pub fn forget(&mut self, ids: &BTreeSet<[u8; 16]>) -> io::Result<()> {
        if ids.iter().any(|id| !self.keys.contains_key(id)) {
            self.drop_pieces()?;
        }
        self.drop_keys(ids)
    }

    fn drop_pieces(&self) -> io::Result<()> {
        for piece in lines::pieces_of(&self.path)? {
            std::fs::remove_file(piece)?;
        }
        burrline_disk::sync_name(&self.path)
    }
}

impl Opens for Keyring {
    fn key(&self, id: &[u8; 16]) -> Option<SealKey> {
        self.keys.get(id).copied().map(SealKey)
    }
}

fn line(id: &[u8; 16], key: &[u8; 32]) -> String {
    format!("{} {}\n", hex::encode(id), hex::encode(key))
}

fn text_of(keys: &BTreeMap<[u8; 16], [u8; 32]>) -> String {
    keys.iter().map(|(id, key)| line(id, key)).collect()
}

fn is_genuine(id: &[u8; 16], key: &[u8; 32]) -> bool {
    SealKey(*key).id().0 == *id
}

/// Whether what stands behind a byte that should have been an end of line is a line.
fn is_key_line(behind: &[u8]) -> bool {
    behind
        .get(1..)
        .is_some_and(|next| next.is_empty() || next.get(..LINE).is_some_and(|l| parse(l).is_some()))
}

/// The key of a line, if it fits its id.
fn parse(line: &[u8]) -> Option<([u8; 16], [u8; 32])> {
    let (id, rest) = line.split_at_checked(32)?;
    // Both would be read as the same digit, and only one was written.
    if line.iter().any(u8::is_ascii_uppercase) {
        return None;
    }
    let mut out = ([0; 16], [0; 32]);
    hex::decode_to_slice(id, &mut out.0).ok()?;
    hex::decode_to_slice(rest.strip_prefix(b" ")?, &mut out.1).ok()?;
    is_genuine(&out.0, &out.1).then_some(out)
}

/// The key of a line in which one byte is another than it was.
fn one_byte_off(line: &[u8]) -> Option<([u8; 16], [u8; 32])> {
    if line.len() != LINE {
        return None;
    }
    (0..LINE).find_map(|at| {
        let mut tried = line.to_vec();
        let written: &[u8] = if at == 32 { b" " } else { DIGITS };
        written.iter().find_map(|byte| {
            *tried.get_mut(at)? = *byte;
            parse(&tried)
        })
    })
}

#[cfg(test)]
mod tests {
    use burrline_evidence::seal;
    use burrline_present::Details;
    use burrline_terms::Sealed;

    use super::*;

    fn key(byte: u8) -> ([u8; 16], [u8; 32]) {
        let key = SealKey([byte; 32]);
        (key.id().0, key.0)
    }

    #[test]
    fn a_kept_key_opens_after_a_restart_and_a_dropped_one_does_not() {
        let dir = tempfile::tempdir().unwrap();
        let key = SealKey([7; 32]);
        let details = Details { name: "Ada Fenn".to_owned(), ..Details::default() };
        let plain = serde_json::to_vec(&details).unwrap();
        let sealed = seal::seal(&key, [9; 24], &plain).unwrap();
        let sealed = Sealed {
            key_id: key.id().0,
            nonce: sealed.nonce.to_vec(),
            ciphertext: sealed.ciphertext,
        };
        Keyring::open(dir.path()).unwrap().keep(&[(key.id().0, key.0)]).unwrap();

        let mut again = Keyring::open(dir.path()).unwrap();
        assert_eq!(again.open_details(&sealed), Some(details));
        again.drop_keys(&BTreeSet::from([key.id().0])).unwrap();
        assert_eq!(Keyring::open(dir.path()).unwrap().open_details(&sealed), None);
    }

    #[test]
    fn a_torn_last_line_is_set_aside_and_the_next_key_is_whole() {
        let dir = tempfile::tempdir().unwrap();
        Keyring::open(dir.path()).unwrap().keep(&[key(2)]).unwrap();
        let path = dir.path().join("keyring");
        let mut text = std::fs::read_to_string(&path).unwrap();
        text.push_str("0102 03");
        std::fs::write(&path, text).unwrap();
        let mut keyring = Keyring::open(dir.path()).unwrap();
        keyring.keep(&[key(4)]).unwrap();
        assert_eq!(Keyring::open(dir.path()).unwrap().keys.len(), 2);
        assert_eq!(lines::pieces_of(&path).unwrap().len(), 1);
        // It goes with the next customer who is forgotten.
        keyring.forget(&BTreeSet::from([key(9).0])).unwrap();
        assert_eq!(lines::pieces_of(&path).unwrap().len(), 0);
        assert_eq!(Keyring::open(dir.path()).unwrap().keys.len(), 2);
    }

    #[test]
    fn a_byte_that_is_another_anywhere_costs_no_key() {
        let keys = BTreeMap::from([key(1), key(2), key(3)]);
        let text = text_of(&keys).into_bytes();
        assert_eq!(text.len(), 3 * (LINE + 1));
        for at in 0..text.len() {
            // The lowest bit, an end of line, a zero, and another digit.
            for other in [text[at] ^ 1, text[at] ^ 0x20, b'\n', 0, b'e']
                .into_iter()
                .filter(|o| *o != text[at])
            {
                let mut bytes = text.clone();
                bytes[at] = other;
                let look = Look::of(&bytes);
                assert_eq!(look.keys, keys, "byte {at} is {other}");
                assert!(!look.is_sound(), "byte {at} is {other}");
            }
        }
    }

    #[test]
    fn a_keyring_that_was_cut_or_zeroed_keeps_what_is_whole_and_sets_the_rest_aside() {
        let keys = BTreeMap::from([key(1), key(2), key(3)]);
        let text = text_of(&keys).into_bytes();
        for at in 0..text.len() {
            let look = Look::of(&text[..at]);
            assert_eq!(look.keys.len(), at.div_ceil(LINE + 1).min((at + 1) / (LINE + 1)), "{at}");
            let mut zeroed = text.clone();
            zeroed[at..].fill(0);
            assert!(Look::of(&zeroed).keys.len() >= at / (LINE + 1), "zeroed from {at}");
        }
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("keyring");
        std::fs::write(&path, &text[..150]).unwrap();
        assert_eq!(Keyring::open(dir.path()).unwrap().len(), 1);
        let pieces = lines::pieces_of(&path).unwrap();
        assert_eq!(std::fs::read(&pieces[0]).unwrap(), &text[LINE + 1..150]);
    }
}
