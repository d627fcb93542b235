//! Room that is set aside beside the store, in the file `reserve`. On a full disk it is given back, so
//! that the marker of a failed sync can be written, and the store can be copied afresh.

use std::{fs, io, path::Path};

use burrline_disk::{Room, room, set_aside};

use crate::{
    OpenError, StoreFailure,
    folder::{self, Folder},
};

/// What is set aside for a log that is still small, in bytes (16 MiB).
const LEAST: u64 = 16 * 1024 * 1024;

/// What is set aside, and what should be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Reserve {
    /// How many bytes are set aside.
    pub held: u64,
    /// How many should be: as many as copying the store afresh takes.
    pub wanted: u64,
}

/// Sets aside as much as copying the store of the log in `dir` afresh takes, unless the disk would
/// then have fewer than `spare` bytes left.
///
/// # Errors
/// If the disk does not say how much room it has, or does not take the file.
pub fn keep_reserve(dir: &Path, spare: u64) -> io::Result<Reserve> {
    let folder = Folder::new(dir);
    let held = held(&folder);
    let wanted = needed(&folder)?;
    let free = match room(dir) {
        Ok(Room { free, .. }) => free,
        Err(error) if error.kind() == io::ErrorKind::Unsupported => 0,
        Err(error) => return Err(error),
    };
    let more = wanted.saturating_sub(held);
    if more > 0 && free > spare.saturating_add(more) {
        set_aside(&folder.reserve(), wanted)?;
        return Ok(Reserve { held: wanted, wanted });
    }
    Ok(Reserve { held, wanted })
}

fn held(folder: &Folder) -> u64 {
    fs::metadata(folder.reserve()).map_or(0, |meta| meta.len())
}

/// What copying the store afresh takes: as much again, and something for files that grow in steps.
fn needed(folder: &Folder) -> io::Result<u64> {
    let mut bytes = LEAST;
    let entries = match fs::read_dir(folder.store()) {
        Ok(entries) => entries,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(bytes),
        Err(error) => return Err(error),
    };
    for entry in entries {
        bytes = bytes.saturating_add(entry?.metadata()?.len());
    }
    Ok(bytes)
}

/// Sees that there is room for copying the store afresh, if need be with what was set aside.
pub(crate) fn make_room(folder: &Folder) -> Result<(), OpenError> {
    let free = || match room(folder.dir()) {
        Ok(Room { free, .. }) => Ok(free),
        // Then only the copying itself can tell.
        Err(error) if error.kind() == io::ErrorKind::Unsupported => Ok(u64::MAX),
        Err(error) => Err(error),
    };
    let look = || -> io::Result<(u64, u64)> { Ok((needed(folder)?, free()?)) };
    let look = || look().map_err(StoreFailure::io("measure", folder.dir()));
    let (needs, free) = look()?;
    if free >= needs {
        return Ok(());
    }
    give_back(folder)?;
    let (needs, free) = look()?;
    if free >= needs {
        return Ok(());
    }
    Err(OpenError::NoRoom { dir: folder.dir().to_owned(), needs, free })
}

/// Gives back what was set aside.
pub(crate) fn give_back(folder: &Folder) -> Result<(), StoreFailure> {
    match fs::remove_file(folder.reserve()) {
        Ok(()) => {
            tracing::warn!("the disk is full; the room that was set aside is used now");
            folder::sync(folder.dir())
        }
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(()),
        Err(error) => Err(StoreFailure::io("remove", folder.reserve())(error)),
    }
}

#[cfg(test)]
mod tests {
    use crate::{Ledger as _, SledLedger};

    use super::*;

    #[test]
    fn room_is_set_aside_for_a_whole_copy_and_grows_with_the_store() {
        let dir = tempfile::tempdir().unwrap();
        let mut log = SledLedger::open(dir.path()).unwrap();
        let first = keep_reserve(dir.path(), 0).unwrap();
        assert!(first.held == first.wanted && first.held > LEAST, "{first:?}");
        for n in 0..40_u64 {
            log.append(n * 40, &vec![vec![7; 40_000]; 40]).unwrap();
        }
        let grown = keep_reserve(dir.path(), 0).unwrap();
        assert!(grown.held == grown.wanted && grown.held > first.held, "{grown:?}");
        let spare = u64::MAX / 2;
        fs::remove_file(dir.path().join("reserve")).unwrap();
        assert_eq!(keep_reserve(dir.path(), spare).unwrap().held, 0, "others need it more");
    }
}
