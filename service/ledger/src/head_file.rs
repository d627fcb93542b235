//! The head file: the size and root of the log, kept beside the store.
//!
//! One flipped bit can make the store open as a valid but shorter one; this
//! file is what notices. It has two slots, each in a disk block of its own, and
//! the one with the older head is overwritten, so that a torn write leaves the
//! other. A slot is a mark, the size (little end first), the root and a CRC-32C
//! over these.

use std::{
    fs::{self, File, OpenOptions},
    io::{self, Seek as _, SeekFrom, Write as _},
    path::{Path, PathBuf},
};

use burrline_evidence::merkle::Hash;

use crate::{Damage, Head, StoreFailure, folder};

const MARK: &[u8; 8] = b"burrhead";
/// How long a slot is.
pub const SLOT_BYTES: usize = 52;
const BLOCK_BYTES: usize = 4096;

/// What was read from a head file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Slots {
    /// The heads in the two slots, where they can be read.
    heads: [Option<Head>; 2],
    /// A slot holds something that is not a head: a torn write, or damage.
    pub(crate) one_is_damaged: bool,
}

impl Slots {
    /// Reads both slots; `Ok(Err(_))` if there is nothing to go by.
    ///
    /// # Errors
    /// [`StoreFailure`] if the file is there and cannot be read.
    pub fn read(path: &Path) -> Result<Result<Self, Damage>, StoreFailure> {
        let bytes = match fs::read(path) {
            Ok(bytes) => bytes,
            Err(error) if error.kind() == io::ErrorKind::NotFound => {
                return Ok(Err(Damage::HeadMissing));
            }
            Err(error) => return Err(StoreFailure::io("read", path)(error)),
        };
        Ok(Self::parse(&bytes))
    }

    fn parse(bytes: &[u8]) -> Result<Self, Damage> {
        let mut one_is_damaged = bytes.len() != 2 * BLOCK_BYTES;
        let mut blocks = bytes.chunks(BLOCK_BYTES);
        let heads = [blocks.next(), blocks.next()].map(|block| {
            let slot = block?.first_chunk::<SLOT_BYTES>()?;
            let head = decode(slot);
            one_is_damaged |= head.is_none() && slot.iter().any(|byte| *byte != 0);
            head
        });
        let slots = Self { heads, one_is_damaged };
        if slots.newest().is_some() { Ok(slots) } else { Err(Damage::HeadDamaged) }
    }

    /// The readable heads.
    pub fn heads(&self) -> impl Iterator<Item = Head> {
        self.heads.iter().flatten().copied()
    }

    /// The readable head with the greater size.
    pub fn newest(&self) -> Option<Head> {
        self.heads().max_by_key(|head| head.size)
    }

    fn newest_is_second(&self) -> bool {
        let [first, second] = self.heads.map(|head| head.map(|head| head.size));
        second > first
    }
}

/// The open head file.
#[derive(Debug)]
pub struct HeadFile {
    path: PathBuf,
    file: File,
    write_second: bool,
}

impl HeadFile {
    /// Puts a head file with one head in the place of whatever is there.
    ///
    /// # Errors
    /// [`StoreFailure`] if it cannot be written.
    pub fn create(path: &Path, head: Head) -> Result<Self, StoreFailure> {
        let mut bytes = encode(head).to_vec();
        bytes.resize(2 * BLOCK_BYTES, 0);
        folder::replace_file(path, &bytes)?;
        Self::open(path, false)
    }

    /// Opens a head file of which `slots` was read.
    ///
    /// # Errors
    /// [`StoreFailure`] if it cannot be opened.
    pub fn resume(path: &Path, slots: &Slots) -> Result<Self, StoreFailure> {
        Self::open(path, slots.newest_is_second())
    }

    /// Writes `head` over the older slot. Not durable before the sync.
    ///
    /// # Errors
    /// [`StoreFailure`] if it cannot be written.
    pub fn write(&mut self, head: Head) -> Result<(), StoreFailure> {
        let at = if self.write_second { BLOCK_BYTES } else { 0 };
        let at = SeekFrom::Start(u64::try_from(at).unwrap_or_default());
        self.file
            .seek(at)
            .and_then(|_| self.file.write_all(&encode(head)))
            .map_err(StoreFailure::io("write", &self.path))?;
        self.write_second = !self.write_second;
        Ok(())
    }

    pub(crate) fn file(&self) -> &File {
        &self.file
    }

    pub(crate) fn path(&self) -> &Path {
        &self.path
    }

    fn open(path: &Path, newest_is_second: bool) -> Result<Self, StoreFailure> {
        let file =
            OpenOptions::new().write(true).open(path).map_err(StoreFailure::io("open", path))?;
        Ok(Self { path: path.to_owned(), file, write_second: !newest_is_second })
    }
}

/// A head as a slot has it.
pub fn encode(head: Head) -> [u8; SLOT_BYTES] {
    let mut slot = Vec::with_capacity(SLOT_BYTES);
    slot.extend_from_slice(MARK);
    slot.extend_from_slice(&head.size.to_le_bytes());
    slot.extend_from_slice(&head.root.0);
    slot.extend_from_slice(&crc32c::crc32c(&slot).to_le_bytes());
    let mut out = [0; SLOT_BYTES];
    for (to, from) in out.iter_mut().zip(slot) {
        *to = from;
    }
    out
}

/// The head in a slot, if it is whole.
pub fn decode(slot: &[u8; SLOT_BYTES]) -> Option<Head> {
    let (body, crc) = slot.split_last_chunk::<4>()?;
    if crc32c::crc32c(body) != u32::from_le_bytes(*crc) {
        return None;
    }
    let (size, root) = body.strip_prefix(MARK)?.split_first_chunk::<8>()?;
    Some(Head { size: u64::from_le_bytes(*size), root: Hash(*root.first_chunk::<32>()?) })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn head(size: u64) -> Head {
        Head { size, root: Hash([u8::try_from(size).unwrap(); 32]) }
    }

    #[test]
    fn heads_alternate_between_the_slots_also_over_a_reopening() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("head");
        let mut file = HeadFile::create(&path, head(0)).unwrap();
        for size in 1..6 {
            file.write(head(size)).unwrap();
            let slots = Slots::read(&path).unwrap().unwrap();
            assert_eq!(slots.newest(), Some(head(size)));
            assert_eq!(slots.heads().map(|head| head.size).min(), Some(size - 1));
            file = HeadFile::resume(&path, &slots).unwrap();
        }
    }

    #[test]
    fn a_torn_slot_leaves_the_other() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("head");
        HeadFile::create(&path, head(4)).unwrap().write(head(5)).unwrap();
        let bytes = fs::read(&path).unwrap();
        for at in 0..SLOT_BYTES {
            let mut torn = bytes.clone();
            torn[BLOCK_BYTES + at] ^= 1;
            let slots = Slots::parse(&torn).unwrap();
            assert_eq!((slots.newest(), slots.one_is_damaged), (Some(head(4)), true));
        }
        assert_eq!(Slots::parse(&[0; 2 * BLOCK_BYTES]), Err(Damage::HeadDamaged));
        assert_eq!(Slots::parse(&[]), Err(Damage::HeadDamaged));
    }
}
