//! The shop's own signing key, held against the log: the shop's first line there is signed with it.
//!
//! It is drawn once, before the log is made, and never again where there is a log. A file in which one
//! byte is another than it was is read all the same, as the line tells when it is right again.

use std::{
    io,
    path::{Path, PathBuf},
};

use burrline_evidence::sign::{BenchKey, Signature};
use burrline_proto::v1::SignedEntry;
use thiserror::Error;

use super::FolderError;

/// The name of the file.
pub(super) const FILE: &str = "shop.key";

/// The length of the key in hexadecimal.
const LENGTH: usize = 64;

/// The key of a folder.
pub(crate) struct OwnKey {
    seed: [u8; 32],
    /// Whether the file is another than it was written, and the key is known all the same.
    pub(crate) is_mended: bool,
}

impl OwnKey {
    /// The key itself.
    pub(crate) fn key(&self) -> BenchKey {
        BenchKey::from_seed(self.seed)
    }
}

/// Why there is no key.
#[derive(Debug, Error)]
pub enum NoKey {
    /// The file is not there.
    #[error(
        "this folder has a shop's log and no shop.key: put shop.key back from a backup. No new one is \
         drawn, as every bench and every slip knows the shop by the old one"
    )]
    Gone,
    /// It holds no key.
    #[error("shop.key holds no signing key: put it back from a backup; the file is left as it is")]
    Unreadable,
    /// It holds the key of another shop.
    #[error(
        "shop.key is not the key that the shop's own lines on this log are signed with: put the right \
         one back from a backup; the file is left as it is"
    )]
    Other,
    /// Others on this machine could read it.
    #[error(
        "shop.key can be read by others on this machine (its rights are {0:03o}): whoever has it can pass for \
         the shop. If nobody else uses this machine, `chmod 600 shop.key` and start again; if somebody may \
         have taken it, put the machine right first"
    )]
    Open(u32),
    /// It could not be read.
    #[error(transparent)]
    File(#[from] FolderError),
}

/// Reads the key of a folder and holds it against a line that the shop signed, if there is one; writes
/// nothing.
///
/// # Errors
/// [`NoKey`] says what is wrong, and what to do.
pub(crate) fn find(dir: &Path, own: Option<&SignedEntry>) -> Result<OwnKey, NoKey> {
    let path = path_in(dir);
    let bytes = match std::fs::read(&path) {
        Ok(bytes) => bytes,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Err(NoKey::Gone),
        Err(source) => return Err(FolderError { path, source }.into()),
    };
    let rights = burrline_disk::private::open_to_others(&path);
    if let Some(rights) = rights.map_err(|source| FolderError { path: path.clone(), source })? {
        return Err(NoKey::Open(rights));
    }
    let written = bytes.get(..LENGTH.min(bytes.len())).unwrap_or_default();
    let read = seed_of(written);
    if let Some(seed) = read.filter(|seed| fits(*seed, own)) {
        return Ok(OwnKey { seed, is_mended: text_of(seed).as_bytes() != bytes });
    }
    // Without a line of the shop nothing tells which byte is wrong.
    let mended = own.and_then(|own| one_byte_off(written, own));
    match (mended, read) {
        (Some(seed), _) => Ok(OwnKey { seed, is_mended: true }),
        (None, Some(_)) => Err(NoKey::Other),
        (None, None) => Err(NoKey::Unreadable),
    }
}

/// Draws the key of a new shop, on disk before this returns.
///
/// # Errors
/// [`FolderError`] if it cannot be written.
pub(super) fn draw(dir: &Path) -> Result<(), FolderError> {
    let path = path_in(dir);
    let mut seed = [0; 32];
    let drawn = getrandom::fill(&mut seed).map_err(io::Error::other);
    let kept = drawn.and_then(|()| {
        burrline_disk::replace(&path, format!("{}\n", hex::encode(seed)).as_bytes(), 0o600)
    });
    kept.map_err(|source| FolderError { path, source })
}

/// Writes a key that was read from a file with a byte that is wrong.
///
/// # Errors
/// [`FolderError`] if it cannot be written.
pub(super) fn put_right(dir: &Path, own: &OwnKey) -> Result<(), FolderError> {
    if !own.is_mended {
        return Ok(());
    }
    let path = path_in(dir);
    let put = burrline_disk::replace(&path, text_of(own.seed).as_bytes(), 0o600);
    put.map_err(|source| FolderError { path, source })
}

fn path_in(dir: &Path) -> PathBuf {
    dir.join(FILE)
}

fn text_of(seed: [u8; 32]) -> String {
    format!("{}\n", hex::encode(seed))
}

fn seed_of(written: &[u8]) -> Option<[u8; 32]> {
    let mut seed = [0; 32];
    hex::decode_to_slice(written, &mut seed).ok()?;
    Some(seed)
}

fn fits(seed: [u8; 32], own: Option<&SignedEntry>) -> bool {
    own.is_none_or(|own| {
        let key = BenchKey::from_seed(seed).public();
        let signature: Result<[u8; 64], _> = own.signature.as_slice().try_into();
        signature.is_ok_and(|bytes| key.check_entry(&own.entry, &Signature(bytes)).is_ok())
    })
}

fn one_byte_off(written: &[u8], own: &SignedEntry) -> Option<[u8; 32]> {
    (0..written.len()).find_map(|at| {
        let mut tried = written.to_vec();
        b"0123456789abcdef".iter().find_map(|byte| {
            *tried.get_mut(at)? = *byte;
            seed_of(&tried).filter(|seed| fits(*seed, Some(own)))
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_byte_that_is_another_anywhere_is_mended_and_told_and_another_key_is_refused() {
        let dir = tempfile::tempdir().unwrap();
        let key = BenchKey::from_seed([7; 32]);
        let entry = b"the first line".to_vec();
        let own = SignedEntry { signature: key.sign_entry(&entry).0.to_vec(), entry };
        let whole = text_of([7; 32]).into_bytes();
        let path = dir.path().join(FILE);
        for at in [0, 1, 31, 63, 64] {
            let mut bytes = whole.clone();
            bytes[at] ^= 1;
            std::fs::write(&path, bytes).unwrap();
            let found = find(dir.path(), Some(&own)).unwrap();
            assert!(found.is_mended && found.key().public() == key.public(), "byte {at}");
        }
        put_right(dir.path(), &find(dir.path(), Some(&own)).unwrap()).unwrap();
        assert_eq!(std::fs::read(&path).unwrap(), whole);
        for (bytes, words) in [
            (&whole[..40], "holds no signing key"),
            (b"", "holds no signing key"),
            (text_of([8; 32]).as_bytes(), "is not the key"),
        ] {
            std::fs::write(&path, bytes).unwrap();
            let error = find(dir.path(), Some(&own)).err().unwrap().to_string();
            assert!(error.contains(words), "{error}");
        }
        std::fs::remove_file(&path).unwrap();
        assert!(matches!(find(dir.path(), Some(&own)), Err(NoKey::Gone)));
    }
}
