//! Photos: files in the shop's folder, named by their SHA-256 and never changed.
//!
//! The shop takes only a photo that an entry on its log names, within `photo-megabytes` and
//! `photos-gigabytes`. The photo is written under a temporary name and synced, gets its name,
//! and the folder is synced. Then its digest is noted in `kept`, which is synced too. Only then
//! does the shop answer. So what is noted is on the disk, and what is noted and not there was
//! lost.

use std::{
    collections::{BTreeMap, BTreeSet},
    fs::File,
    io::{self, Write as _},
    path::{Path, PathBuf},
    sync::{Arc, Mutex, MutexGuard, PoisonError},
};

use burrline_disk::{
    Draft,
    lines::Proof,
    list::{self, Found, List},
};
use burrline_photo::{Kind, NotTaken};
use burrline_terms::Digest;
use burrline_terms::Typed as _;
use sha2::{Digest as _, Sha256};
use thiserror::Error;
use tokio::sync::{OwnedSemaphorePermit, Semaphore};

/// How many photos are written or read at once.
const AT_ONCE: usize = 4;
/// What files are drafts of that are still coming.
const COMING: &str = "coming";
/// The file that notes what is answered for.
pub const KEPT: &str = "kept";

/// Why a photo is not kept.
#[derive(Debug, Error)]
pub enum PhotoError {
    /// It is larger than the shop takes.
    #[error("the photo has {size} bytes, and this shop keeps none above {most}")]
    TooLarge {
        /// How many it has.
        size: u64,
        /// How many it may have.
        most: u64,
    },
    /// All photos together would take more than they may.
    #[error(
        "photos take all the room that they may; the owner gives them more with \
         `burrline set-shop photos-gigabytes NUMBER`"
    )]
    NoRoom,
    /// It is of a kind that is not kept.
    #[error(transparent)]
    NotTaken(#[from] NotTaken),
    /// Other bytes came than were said.
    #[error("these are not the bytes that were said to come")]
    OtherBytes,
    /// A file could not be used.
    #[error("{}: {source}", path.display())]
    File {
        /// Which.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
}

/// The photos of a shop.
#[derive(Debug)]
pub struct Photos {
    dir: PathBuf,
    room: Arc<Semaphore>,
    held: Arc<Mutex<Held>>,
    /// What was answered for.
    kept: Arc<Mutex<List>>,
}

/// What is there, and what it takes.
#[derive(Debug, Default)]
struct Held {
    photos: BTreeMap<Digest, (Kind, u64)>,
    bytes: u64,
}

/// How much photos may take.
#[derive(Debug, Clone, Copy)]
pub struct Limits {
    /// One of them, in bytes.
    pub one: u64,
    /// All of them, in bytes.
    pub all: u64,
}

impl Photos {
    /// The photos in a folder, which is made if it is not there; what was coming as the shop last
    /// ended is removed.
    ///
    /// # Errors
    /// [`PhotoError::File`] if the folder cannot be read or made.
    pub fn open(dir: &Path) -> Result<Self, PhotoError> {
        let wrong = |source| PhotoError::File { path: dir.to_owned(), source };
        std::fs::create_dir_all(dir).map_err(wrong)?;
        burrline_disk::sync_name(dir).map_err(wrong)?;
        burrline_disk::sweep(&dir.join(COMING)).map_err(wrong)?;
        let kept = look_at_kept(dir).map_err(wrong)?;
        let kept = List::open(&dir.join(KEPT), &kept, 0o600, Proof::Sum).map_err(wrong)?;
        let mut held = Held::default();
        for (digest, kind, size) in files(dir)? {
            held.bytes = held.bytes.saturating_add(size);
            held.photos.insert(digest, (kind, size));
        }
        Ok(Self {
            dir: dir.to_owned(),
            room: Arc::new(Semaphore::new(AT_ONCE)),
            held: Arc::new(Mutex::new(held)),
            kept: Arc::new(Mutex::new(kept)),
        })
    }

    /// Waits until fewer than four photos are written or read.
    pub async fn turn(&self) -> Option<OwnedSemaphorePermit> {
        Arc::clone(&self.room).acquire_owned().await.ok()
    }

    /// Whether a photo is there, as large as it was.
    pub fn has(&self, digest: &Digest) -> bool {
        let Some((kind, size)) = self.held().photos.get(digest).copied() else { return false };
        let path = self.dir.join(file_name(digest, kind));
        std::fs::metadata(path).is_ok_and(|file| file.is_file() && file.len() == size)
    }

    /// The bytes of a photo; none if it is not there, or was altered.
    ///
    /// # Errors
    /// [`PhotoError`] if it cannot be read, or its bytes are others.
    pub fn read(&self, digest: &Digest) -> Result<Option<Vec<u8>>, PhotoError> {
        let Some((kind, _)) = self.held().photos.get(digest).copied() else { return Ok(None) };
        let path = self.dir.join(file_name(digest, kind));
        let bytes = match std::fs::read(&path) {
            Ok(bytes) => bytes,
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
            Err(source) => return Err(PhotoError::File { path, source }),
        };
        if Sha256::digest(&bytes).as_slice() == digest.0 {
            Ok(Some(bytes))
        } else {
            Err(PhotoError::OtherBytes)
        }
    }

    /// Begins to write a photo of so many bytes; their room is taken from now on.
    ///
    /// # Errors
    /// [`PhotoError`] if it is too large, or there is no room.
    pub fn begin(&self, digest: Digest, size: u64, limits: Limits) -> Result<Coming, PhotoError> {
        if size > limits.one {
            return Err(PhotoError::TooLarge { size, most: limits.one });
        }
        let mut held = self.held();
        let bytes = held.bytes.saturating_add(size);
        if bytes > limits.all {
            return Err(PhotoError::NoRoom);
        }
        held.bytes = bytes;
        drop(held);
        let mut coming = Coming {
            dir: self.dir.clone(),
            held: Arc::clone(&self.held),
            kept: Arc::clone(&self.kept),
            file: None,
            hash: Sha256::new(),
            head: Vec::new(),
            digest,
            size,
            got: 0,
            reserved: size,
        };
        // Made last, so that the room is given back if it cannot be made.
        let draft = Draft::beside(&self.dir.join(COMING), 0o600);
        coming.file = Some(draft.map_err(|e| coming.wrong(e))?);
        Ok(coming)
    }

    fn held(&self) -> MutexGuard<'_, Held> {
        self.held.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// A photo that is being written; dropped before it is finished, nothing is left of it.
#[derive(Debug)]
pub struct Coming {
    dir: PathBuf,
    held: Arc<Mutex<Held>>,
    kept: Arc<Mutex<List>>,
    file: Option<Draft>,
    hash: Sha256,
    /// The first bytes, which say what it is.
    head: Vec<u8>,
    digest: Digest,
    size: u64,
    got: u64,
    /// The room that is taken and not used by a photo yet.
    reserved: u64,
}

/// How many first bytes say what a photo is.
const HEAD: usize = 16;

impl Coming {
    /// Writes the next bytes.
    ///
    /// # Errors
    /// [`PhotoError`] if there are more than were said, or it turns out to be no photo.
    pub fn part(&mut self, bytes: &[u8]) -> Result<(), PhotoError> {
        let part = u64::try_from(bytes.len()).unwrap_or(u64::MAX);
        self.got = self.got.saturating_add(part);
        if self.got > self.size {
            return Err(PhotoError::OtherBytes);
        }
        let missing = HEAD.saturating_sub(self.head.len());
        if missing > 0 {
            self.head.extend_from_slice(bytes.get(..missing).unwrap_or(bytes));
            if self.head.len() == HEAD {
                Kind::of(&self.head)?;
            }
        }
        self.hash.update(bytes);
        let written = match &mut self.file {
            Some(file) => file.write_all(bytes),
            None => Ok(()),
        };
        written.map_err(|e| self.wrong(e))
    }

    /// Puts the whole photo in place, on disk before this returns.
    ///
    /// # Errors
    /// [`PhotoError`] if it is not the one that was said, or the disk fails.
    pub fn finish(mut self) -> Result<(), PhotoError> {
        let digest = std::mem::take(&mut self.hash).finalize();
        if self.got != self.size || digest.as_slice() != self.digest.0 {
            return Err(PhotoError::OtherBytes);
        }
        let kind = Kind::of(&self.head)?;
        let place = self.dir.join(file_name(&self.digest, kind));
        let file = self.file.take();
        let write = || {
            if let Some(file) = file {
                file.put(&place)?;
            }
            let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
            kept.add(&self.digest.to_string(), Proof::Sum)
        };
        write().map_err(|e| self.wrong(e))?;
        let mut held = self.held.lock().unwrap_or_else(PoisonError::into_inner);
        if held.photos.insert(self.digest, (kind, self.size)).is_none() {
            self.reserved = 0;
        }
        drop(held);
        Ok(())
    }

    fn wrong(&self, source: io::Error) -> PhotoError {
        PhotoError::File { path: self.dir.clone(), source }
    }
}

impl Drop for Coming {
    fn drop(&mut self) {
        let mut held = self.held.lock().unwrap_or_else(PoisonError::into_inner);
        held.bytes = held.bytes.saturating_sub(self.reserved);
    }
}

/// What a look at a folder's photos found.
#[derive(Debug, Default)]
pub struct Looked {
    /// How many are there as they were kept.
    pub sound: usize,
    /// How many bytes they take.
    pub bytes: u64,
    /// How many the log names and the shop never had: they are still at a bench.
    pub awaited: usize,
    /// What is wrong, a line each.
    pub strange: Vec<String>,
}

/// Reads every photo of a shop's folder and holds it against its digest, against what was answered
/// for, and against what the log names. Writes nothing.
///
/// # Errors
/// [`PhotoError::File`] if the folder cannot be read.
pub fn look(dir: &Path, named: &BTreeSet<Digest>) -> Result<Looked, PhotoError> {
    let mut looked = Looked::default();
    let kept =
        look_at_kept(dir).map_err(|source| PhotoError::File { path: dir.join(KEPT), source })?;
    let kept = digests(&kept);
    let mut there = BTreeSet::new();
    let files = if dir.is_dir() { files(dir)? } else { Vec::new() };
    for (digest, kind, size) in files {
        let path = dir.join(file_name(&digest, kind));
        let is = digest_of_file(&path).map_err(|source| PhotoError::File { path, source })?;
        there.insert(digest);
        if is == digest {
            looked.sound = looked.sound.saturating_add(1);
            looked.bytes = looked.bytes.saturating_add(size);
        } else {
            looked.strange.push(format!(
                "photo {digest} was altered: put it back from a backup, or remove the file and run \
                 `burrline sync` at the bench that took it"
            ));
        }
    }
    for digest in kept.difference(&there) {
        looked.strange.push(format!(
            "photo {digest} was kept and is gone: put it back from a backup, or run `burrline sync` \
             at the bench that took it"
        ));
    }
    looked.awaited = named.iter().filter(|d| !there.contains(d) && !kept.contains(d)).count();
    Ok(looked)
}

fn file_name(digest: &Digest, kind: Kind) -> String {
    format!("{digest}.{}", kind.ending())
}

/// The photos in a folder by their names; other files are passed over.
fn files(dir: &Path) -> Result<Vec<(Digest, Kind, u64)>, PhotoError> {
    let mut files = Vec::new();
    for name in names(dir)? {
        let Some((stem, ending)) = name.split_once('.') else { continue };
        let kind = [Kind::Jpeg, Kind::Png].into_iter().find(|kind| kind.ending() == ending);
        let (Ok(digest), Some(kind)) = (Digest::read(stem), kind) else { continue };
        let path = dir.join(&name);
        let meta = std::fs::metadata(&path);
        let meta = meta.map_err(|source| PhotoError::File { path, source })?;
        files.push((digest, kind, meta.len()));
    }
    Ok(files)
}

fn names(dir: &Path) -> Result<Vec<String>, PhotoError> {
    let read = || -> io::Result<Vec<String>> {
        let mut names = Vec::new();
        for file in std::fs::read_dir(dir)? {
            names.extend(file?.file_name().into_string().ok());
        }
        names.sort();
        Ok(names)
    };
    read().map_err(|source| PhotoError::File { path: dir.to_owned(), source })
}

/// What stands in the list of what was answered for; nothing is written.
fn look_at_kept(dir: &Path) -> io::Result<Found> {
    list::look(&dir.join(KEPT), Proof::Sum, |words| Digest::read(words).is_ok())
}

/// What is known of the photos without reading one: the list, and which of those on it are not there.
#[derive(Debug, Default)]
pub struct Listed {
    /// The list.
    pub list: Found,
    /// What was answered for and is gone.
    pub gone: Vec<Digest>,
}

/// Holds the list of what was answered for against the names of the files. Writes nothing.
///
/// # Errors
/// [`PhotoError::File`] if the folder cannot be read.
pub fn listed(dir: &Path) -> Result<Listed, PhotoError> {
    let list =
        look_at_kept(dir).map_err(|source| PhotoError::File { path: dir.join(KEPT), source })?;
    let there = if dir.is_dir() { files(dir)? } else { Vec::new() };
    let there: BTreeSet<Digest> = there.into_iter().map(|(digest, _, _)| digest).collect();
    let gone = digests(&list).difference(&there).copied().collect();
    Ok(Listed { list, gone })
}

fn digests(list: &Found) -> BTreeSet<Digest> {
    list.lines.sound.iter().filter_map(|words| Digest::read(words).ok()).collect()
}

pub(crate) fn digest_of_file(path: &Path) -> io::Result<Digest> {
    let mut hash = Sha256::new();
    let mut file = File::open(path)?;
    let mut part = vec![0; 256 * 1024];
    loop {
        let read = io::Read::read(&mut file, &mut part)?;
        if read == 0 {
            return Ok(Digest(hash.finalize().into()));
        }
        hash.update(part.get(..read).unwrap_or_default());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LIMITS: Limits = Limits { one: 1000, all: 1500 };

    fn jpeg(size: usize) -> (Digest, Vec<u8>) {
        let bytes = [&[0xFF, 0xD8, 0xFF], vec![7; size.saturating_sub(3)].as_slice()].concat();
        (Digest(Sha256::digest(&bytes).into()), bytes)
    }

    fn keep(photos: &Photos, size: usize) -> Result<Digest, PhotoError> {
        let (digest, bytes) = jpeg(size);
        let mut coming = photos.begin(digest, size.try_into().unwrap(), LIMITS)?;
        bytes.chunks(7).try_for_each(|part| coming.part(part))?;
        coming.finish().map(|()| digest)
    }

    #[test]
    fn room_is_taken_as_a_photo_begins_and_given_back_if_it_does_not_come() {
        let dir = tempfile::tempdir().unwrap();
        let photos = Photos::open(dir.path()).unwrap();
        keep(&photos, 800).unwrap();
        assert!(matches!(keep(&photos, 1001), Err(PhotoError::TooLarge { .. })));
        let (digest, _) = jpeg(600);
        let begun = photos.begin(digest, 600, LIMITS).unwrap();
        assert!(matches!(keep(&photos, 500), Err(PhotoError::NoRoom)));
        drop(begun);
        keep(&photos, 500).unwrap();
        // The same again takes no more room.
        keep(&photos, 200).unwrap();
        assert!(matches!(keep(&photos, 201), Err(PhotoError::NoRoom)));
        assert_eq!(names(dir.path()).unwrap().len(), 5);
    }

    #[test]
    fn what_was_coming_as_the_shop_ended_is_gone_at_the_next_start_and_what_was_kept_is_there() {
        let dir = tempfile::tempdir().unwrap();
        let photos = Photos::open(dir.path()).unwrap();
        let kept = keep(&photos, 300).unwrap();
        let (digest, bytes) = jpeg(400);
        let mut coming = photos.begin(digest, 400, LIMITS).unwrap();
        coming.part(&bytes[..100]).unwrap();
        // As a killed process leaves it: nothing is dropped, and a line is torn.
        std::mem::forget(coming);
        let mut torn = std::fs::read(dir.path().join(KEPT)).unwrap();
        torn.extend_from_slice(&digest.to_string().as_bytes()[..20]);
        std::fs::write(dir.path().join(KEPT), torn).unwrap();

        let photos = Photos::open(dir.path()).unwrap();
        assert!(photos.has(&kept) && !photos.has(&digest));
        // The torn line is set aside.
        let photo = format!("{kept}.jpg");
        let all = [photo.as_str(), KEPT, "kept.damaged-1", "kept.sum"];
        assert_eq!(names(dir.path()).unwrap(), all);
        let looked = look(dir.path(), &[kept, digest].into()).unwrap();
        assert_eq!((looked.sound, looked.awaited, looked.strange), (1, 1, Vec::new()));
    }
}
