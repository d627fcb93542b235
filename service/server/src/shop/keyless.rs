//! Keys that are known to be missing: a bench never sent them, or they were lost and that was told. So a
//! key that goes missing is news once, and a backup of what is left is whole.

use std::{collections::BTreeSet, io, path::Path};

use burrline_disk::lines::{self, Lines};

/// The name of the file.
pub(super) const FILE: &str = "keyless";

/// Reads the file of a folder; writes nothing.
///
/// # Errors
/// If it is there and cannot be read.
pub(super) fn look(dir: &Path) -> io::Result<Lines> {
    lines::read_whole(&dir.join(FILE), |_| false)
}

/// The keys that are known to be missing.
///
/// # Errors
/// As [`look`].
pub(super) fn known(dir: &Path) -> io::Result<BTreeSet<[u8; 16]>> {
    let read = |words: &String| {
        let mut id = [0; 16];
        hex::decode_to_slice(words, &mut id).ok().map(|()| id)
    };
    Ok(look(dir)?.sound.iter().filter_map(read).collect())
}

/// Notes keys that are missing and in what is known of them so far; what does not fit is set aside.
///
/// # Errors
/// If they cannot be written.
pub(super) fn note(dir: &Path, missing: impl Iterator<Item = [u8; 16]>) -> io::Result<()> {
    let path = dir.join(FILE);
    let read = look(dir)?;
    for piece in read.misfits.iter().filter(|piece| !piece.is_empty()) {
        lines::set_aside(&path, piece)?;
    }
    let before = known(dir)?;
    let mut all = before.clone();
    all.extend(missing);
    if all == before && read.is_sound() {
        return Ok(());
    }
    let words: Vec<String> = all.iter().map(hex::encode).collect();
    lines::replace_whole(&path, &words, 0o600)
}
