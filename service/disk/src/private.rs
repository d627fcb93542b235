//! Files and folders that are for their owner alone.

use std::{
    fs::{self, Metadata, Permissions},
    io,
    os::unix::fs::PermissionsExt as _,
    path::{Path, PathBuf},
};

/// What others on this machine must not do: read, write, or look into it.
const OTHERS: u32 = 0o077;

/// What this program makes from now on is for its own user alone, and its memory, which holds keys and
/// names, goes to no file when it ends badly. Called once, before anything is made.
pub fn keep_private() {
    rustix::process::umask(rustix::fs::Mode::RWXG | rustix::fs::Mode::RWXO);
    let none = rustix::process::Rlimit { current: Some(0), maximum: Some(0) };
    // Where that cannot be set, the unit still says so.
    let _ = rustix::process::setrlimit(rustix::process::Resource::Core, none);
}

/// The rights of a file that others may use in some way; none if it is for its owner alone.
///
/// # Errors
/// If nobody says what its rights are.
pub fn open_to_others(path: &Path) -> io::Result<Option<u32>> {
    let mode = mode_of(&fs::metadata(path)?);
    Ok((mode & OTHERS != 0).then_some(mode))
}

/// Takes from others whatever they may do with a folder and all that is in it; says where they could.
/// Links are left alone, and so is what goes away meanwhile.
///
/// # Errors
/// If a folder cannot be read, or rights cannot be changed.
pub fn tighten(root: &Path) -> io::Result<Vec<PathBuf>> {
    let mut loose = Vec::new();
    let mut waiting = vec![root.to_owned()];
    while let Some(path) = waiting.pop() {
        let Some(meta) = there(fs::symlink_metadata(&path))? else { continue };
        if meta.is_symlink() {
            continue;
        }
        let mode = mode_of(&meta);
        if mode & OTHERS != 0 {
            there(fs::set_permissions(&path, Permissions::from_mode(mode & !OTHERS)))?;
            loose.push(path.clone());
        }
        if meta.is_dir() {
            let Some(entries) = there(fs::read_dir(&path))? else { continue };
            for entry in entries {
                waiting.push(entry?.path());
            }
        }
    }
    loose.sort();
    Ok(loose)
}

fn mode_of(meta: &Metadata) -> u32 {
    meta.permissions().mode() & 0o777
}

fn there<T>(found: io::Result<T>) -> io::Result<Option<T>> {
    match found {
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
        found => found.map(Some),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_others_could_read_is_for_its_owner_alone_afterwards_and_is_told() {
        let dir = tempfile::tempdir().unwrap();
        let path = |name: &str| dir.path().join(name);
        fs::create_dir(path("photos")).unwrap();
        for (name, mode) in [("keyring", 0o600), ("log", 0o640), ("photos/1.jpg", 0o644)] {
            fs::write(path(name), "x").unwrap();
            fs::set_permissions(path(name), Permissions::from_mode(mode)).unwrap();
        }
        fs::set_permissions(path("photos"), Permissions::from_mode(0o755)).unwrap();
        let outside = tempfile::NamedTempFile::new().unwrap();
        fs::set_permissions(outside.path(), Permissions::from_mode(0o644)).unwrap();
        std::os::unix::fs::symlink(outside.path(), path("link")).unwrap();
        let loose = tighten(dir.path()).unwrap();
        assert_eq!(loose, [path("log"), path("photos"), path("photos/1.jpg")]);
        assert!(tighten(dir.path()).unwrap().is_empty());
        assert_eq!(open_to_others(&path("log")).unwrap(), None);
        assert_eq!(open_to_others(outside.path()).unwrap(), Some(0o644), "behind a link");
    }
}
