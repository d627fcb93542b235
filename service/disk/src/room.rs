//! How much room a disk has, room that is set aside on it, and which failures are a disk's.

use std::{
    fs::OpenOptions,
    io::{self, Write as _},
    path::Path,
};

use rustix::{fs as sys, io::Errno};

/// How much room there is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Room {
    /// How many bytes this user may still write.
    pub free: u64,
    /// How many bytes the disk has.
    pub total: u64,
}

/// The room of the disk that a path lies on.
///
/// # Errors
/// If the disk does not say; some file systems answer, and know of no room at all.
pub fn room(path: &Path) -> io::Result<Room> {
    let disk = sys::statvfs(path)?;
    if disk.f_blocks == 0 {
        let words = "this file system does not say how much room it has";
        return Err(io::Error::new(io::ErrorKind::Unsupported, words));
    }
    let bytes = |blocks: u64| blocks.saturating_mul(disk.f_frsize);
    Ok(Room { free: bytes(disk.f_bavail), total: bytes(disk.f_blocks) })
}

/// Sets room aside in a file, so that it can be given back when it is needed. A file that is larger
/// already stays.
///
/// # Errors
/// If there is no such room; then what was set aside before still is.
pub fn set_aside(place: &Path, bytes: u64) -> io::Result<()> {
    let before = std::fs::metadata(place).map_or(0, |meta| meta.len());
    if before >= bytes {
        return Ok(());
    }
    let mut options = OpenOptions::new();
    options.create(true).append(true);
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let file = options.open(place)?;
    let wanted = bytes.saturating_sub(before);
    let set = match sys::fallocate(&file, sys::FallocateFlags::empty(), before, wanted) {
        // A file system that knows no such call gets the bytes.
        Err(Errno::OPNOTSUPP | Errno::NOSYS) => fill(&file, wanted),
        other => other.map_err(io::Error::from),
    };
    if set.is_err() {
        file.set_len(before)?;
    }
    set
}

fn fill(mut file: &std::fs::File, bytes: u64) -> io::Result<()> {
    const PART: usize = 256 * 1024;
    // No zeros, which a file system may leave out.
    let part = vec![0x5a_u8; PART];
    let mut left = bytes;
    while left > 0 {
        let now = usize::try_from(left).unwrap_or(PART).min(PART);
        file.write_all(part.get(..now).unwrap_or_default())?;
        left = left.saturating_sub(u64::try_from(now).unwrap_or(left));
    }
    Ok(())
}

/// Whether a failure says that the disk, or this user's share of it, is full.
pub fn is_full(error: &io::Error) -> bool {
    matches!(error.kind(), io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded)
}

/// Whether a failure is the disk's: it is full, takes nothing, or is broken.
pub fn is_of_the_disk(error: &io::Error) -> bool {
    is_full(error)
        || error.kind() == io::ErrorKind::ReadOnlyFilesystem
        || error.raw_os_error() == Some(Errno::IO.raw_os_error())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn room_is_set_aside_once_and_what_there_is_no_room_for_changes_nothing() {
        let dir = tempfile::tempdir().unwrap();
        let place = dir.path().join("reserve");
        let size = || std::fs::metadata(&place).unwrap().len();
        set_aside(&place, 100_000).unwrap();
        set_aside(&place, 5_000).unwrap();
        assert_eq!(size(), 100_000);
        let total = room(dir.path()).unwrap().total;
        set_aside(&place, total.saturating_mul(2)).unwrap_err();
        assert_eq!(size(), 100_000);
    }

    #[test]
    fn failures_of_a_disk_are_told_from_others() {
        let of = |errno: Errno| io::Error::from(errno);
        assert!(is_full(&of(Errno::NOSPC)) && is_full(&of(Errno::DQUOT)));
        for errno in [Errno::NOSPC, Errno::DQUOT, Errno::ROFS, Errno::IO] {
            assert!(is_of_the_disk(&of(errno)), "{errno}");
        }
        assert!(!is_of_the_disk(&of(Errno::ACCESS)) && !is_of_the_disk(&of(Errno::NOENT)));
    }
}
