//! The keys of sealed details: a file beside the log, so that what is forgotten stays forgotten.
//!
//! A line is `key-id key` in hexadecimal. A key is synced before the entry that needs it is
//! answered; dropping keys writes the file anew.

use std::{
    collections::{BTreeMap, BTreeSet},
    fs::{File, OpenOptions},
    io::{self, Write},
    path::{Path, PathBuf},
};

use burrline_evidence::seal::SealKey;
use burrline_present::Opens;

/// The keys that the shop still has.
#[derive(Debug)]
pub struct Keyring {
    path: PathBuf,
    file: File,
    keys: BTreeMap<[u8; 16], [u8; 32]>,
}

impl Keyring {
    /// Opens the keyring in a folder, or begins one.
    ///
    /// # Errors
    /// If the file cannot be read or written, or holds something else.
    pub fn open(dir: &Path) -> io::Result<Self> {
        let path = dir.join("keyring");
        let mut options = OpenOptions::new();
        options.create(true).append(true).read(true);
        #[cfg(unix)]
        std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
        // What a power cut left of a keyring without some keys may hold others that were dropped since.
        burrline_disk::sweep(&path)?;
        let file = options.open(&path)?;
        let mut keys = BTreeMap::new();
        let text = std::fs::read_to_string(&path)?;
        // A last line without its end is a write that was cut; its entry was never answered.
        let whole = text.rfind('\n').map_or(0, |end| end.saturating_add(1));
        file.set_len(u64::try_from(whole).unwrap_or(u64::MAX))?;
        for line in text.get(..whole).unwrap_or_default().lines() {
            let (id, key) = parse(line).ok_or_else(|| {
                io::Error::new(
                    io::ErrorKind::InvalidData,
                    "the keyring holds a line that is no key",
                )
            })?;
            keys.insert(id, key);
        }
        file.sync_all()?;
        // Its name too, or the first keys could be on disk in a file that nobody finds.
        burrline_disk::sync_name(&path)?;
        Ok(Self { path, file, keys })
    }

    /// Keeps keys, on disk before it returns.
    ///
    /// # Errors
    /// If they cannot be written.
    pub fn keep(&mut self, new: &[([u8; 16], [u8; 32])]) -> io::Result<()> {
        let fresh: Vec<_> = new.iter().filter(|(id, _)| !self.keys.contains_key(id)).collect();
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

    /// Drops keys for ever: the file is written anew without them, synced, and put in its place.
    ///
    /// # Errors
    /// If the new file cannot be written; the old one then still stands.
    pub fn drop_keys(&mut self, ids: &BTreeSet<[u8; 16]>) -> io::Result<()> {
        if !ids.iter().any(|id| self.keys.contains_key(id)) {
            return Ok(());
        }
        let left: BTreeMap<_, _> =
            self.keys.iter().filter(|(id, _)| !ids.contains(*id)).map(|(i, k)| (*i, *k)).collect();
        let text: String = left.iter().map(|(id, key)| line(id, key)).collect();
        burrline_disk::replace(&self.path, text.as_bytes(), 0o600)?;
        self.file = OpenOptions::new().append(true).open(&self.path)?;
        self.keys = left;
        Ok(())
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

fn parse(line: &str) -> Option<([u8; 16], [u8; 32])> {
    let (id, key) = line.split_once(' ')?;
    let mut out = ([0; 16], [0; 32]);
    hex::decode_to_slice(id, &mut out.0).ok()?;
    hex::decode_to_slice(key, &mut out.1).ok()?;
    Some(out)
}

#[cfg(test)]
mod tests {
    use burrline_evidence::seal;
    use burrline_present::Details;
    use burrline_terms::Sealed;

    use super::*;

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
    fn a_torn_last_line_is_let_go() {
        let dir = tempfile::tempdir().unwrap();
        Keyring::open(dir.path()).unwrap().keep(&[([1; 16], [2; 32])]).unwrap();
        let path = dir.path().join("keyring");
        let mut text = std::fs::read_to_string(&path).unwrap();
        text.push_str("0102 03");
        std::fs::write(&path, text).unwrap();
        let mut keyring = Keyring::open(dir.path()).unwrap();
        keyring.keep(&[([3; 16], [4; 32])]).unwrap();
        assert_eq!(Keyring::open(dir.path()).unwrap().keys.len(), 2);
    }
}
