//! A small disk in memory, as a FUSE file system, that a test fills, breaks and mends while programs use it.

use std::{
    collections::BTreeMap,
    ffi::{OsStr, OsString},
    sync::{Arc, Mutex, MutexGuard},
    time::{Duration, SystemTime, UNIX_EPOCH},
};

use fuser::{
    BsdFileFlags, Errno, FileAttr, FileHandle, FileType, Filesystem, FopenFlags, Generation,
    INodeNo, LockOwner, OpenFlags, RenameFlags, ReplyAttr, ReplyCreate, ReplyData, ReplyDirectory,
    ReplyEmpty, ReplyEntry, ReplyOpen, ReplyStatfs, ReplyWrite, Request, TimeOrNow, WriteFlags,
};

const TTL: Duration = Duration::ZERO;
const ONLY: Generation = Generation(0);
const ROOT: u64 = 1;
const BLOCK: usize = 4096;

enum Node {
    File(Vec<u8>),
    Folder(BTreeMap<OsString, u64>),
}

/// What the disk does.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Mood {
    /// How many bytes somebody else takes.
    pub(crate) taken: usize,
    /// Every write is refused as on a full disk, although the disk says that it has room: a quota.
    pub(crate) quota: bool,
    /// No sync of a file comes through.
    pub(crate) no_sync: bool,
    /// Nothing may be changed.
    pub(crate) read_only: bool,
}

struct Disk {
    nodes: BTreeMap<u64, Node>,
    total: usize,
    mood: Mood,
}

impl Disk {
    fn free(&self) -> usize {
        let size = |number: &u64| match self.nodes.get(number) {
            Some(Node::File(bytes)) => bytes.len().next_multiple_of(BLOCK),
            Some(Node::Folder(_)) | None => BLOCK,
        };
        let folders = self.nodes.values().filter_map(|node| match node {
            Node::Folder(names) => Some(names),
            Node::File(_) => None,
        });
        let used: usize = folders.flat_map(BTreeMap::values).map(size).sum();
        self.total.saturating_sub(used + self.mood.taken)
    }

    /// Whether so many bytes more may be written.
    fn takes(&self, more: usize) -> Result<(), Errno> {
        if self.mood.read_only {
            Err(Errno::EROFS)
        } else if (self.mood.quota && more > 0) || more > self.free() {
            Err(Errno::ENOSPC)
        } else {
            Ok(())
        }
    }

    fn names(&mut self, folder: u64) -> Result<&mut BTreeMap<OsString, u64>, Errno> {
        match self.nodes.get_mut(&folder) {
            Some(Node::Folder(names)) => Ok(names),
            Some(Node::File(_)) => Err(Errno::ENOTDIR),
            None => Err(Errno::ENOENT),
        }
    }

    fn make(&mut self, folder: u64, name: &OsStr, node: Node) -> Result<u64, Errno> {
        self.takes(BLOCK)?;
        let number = self.nodes.keys().max().unwrap() + 1;
        self.names(folder)?.insert(name.to_owned(), number);
        self.nodes.insert(number, node);
        Ok(number)
    }

    fn remove(&mut self, folder: u64, name: &OsStr) -> Result<u64, Errno> {
        self.takes(0)?;
        self.names(folder)?.remove(name).ok_or(Errno::ENOENT)
    }

    fn resize(&mut self, number: u64, size: usize) -> Result<(), Errno> {
        let Some(Node::File(bytes)) = self.nodes.get(&number) else { return Err(Errno::EISDIR) };
        let more = size.next_multiple_of(BLOCK).saturating_sub(bytes.len().next_multiple_of(BLOCK));
        self.takes(more)?;
        let Some(Node::File(bytes)) = self.nodes.get_mut(&number) else {
            return Err(Errno::EISDIR);
        };
        bytes.resize(size, 0);
        Ok(())
    }

    fn write(&mut self, number: u64, at: usize, data: &[u8]) -> Result<(), Errno> {
        if self.mood.quota {
            return Err(Errno::ENOSPC);
        }
        let Some(Node::File(bytes)) = self.nodes.get(&number) else { return Err(Errno::EISDIR) };
        self.resize(number, bytes.len().max(at + data.len()))?;
        let Some(Node::File(bytes)) = self.nodes.get_mut(&number) else {
            return Err(Errno::EISDIR);
        };
        bytes[at..at + data.len()].copy_from_slice(data);
        Ok(())
    }
}

/// A handle on a disk, for the test and for the file system.
#[derive(Clone)]
pub(crate) struct Small(Arc<Mutex<Disk>>);

impl Small {
    pub(crate) fn new(total: usize) -> Self {
        let nodes = BTreeMap::from([(ROOT, Node::Folder(BTreeMap::new()))]);
        Self(Arc::new(Mutex::new(Disk { nodes, total, mood: Mood::default() })))
    }

    /// From now on the disk does this.
    pub(crate) fn turns(&self, mood: Mood) {
        self.now().mood = mood;
    }

    /// How many bytes are free.
    pub(crate) fn free(&self) -> usize {
        self.now().free()
    }

    fn now(&self) -> MutexGuard<'_, Disk> {
        self.0.lock().unwrap()
    }

    fn attr(&self, number: u64) -> Result<FileAttr, Errno> {
        let guard = self.now();
        let (kind, size, perm) = match guard.nodes.get(&number).ok_or(Errno::ENOENT)? {
            Node::File(bytes) => (FileType::RegularFile, bytes.len(), 0o600),
            Node::Folder(_) => (FileType::Directory, 0, 0o700),
        };
        let size = u64::try_from(size).unwrap();
        Ok(FileAttr {
            ino: INodeNo(number),
            size,
            blocks: size.div_ceil(512),
            atime: UNIX_EPOCH,
            mtime: UNIX_EPOCH,
            ctime: UNIX_EPOCH,
            crtime: UNIX_EPOCH,
            kind,
            perm,
            nlink: 1,
            uid: 0,
            gid: 0,
            rdev: 0,
            blksize: 4096,
            flags: 0,
        })
    }
}

fn empty<T>(done: Result<T, Errno>, reply: ReplyEmpty) {
    match done {
        Ok(_) => reply.ok(),
        Err(error) => reply.error(error),
    }
}

fn entry(found: Result<FileAttr, Errno>, reply: ReplyEntry) {
    match found {
        Ok(attr) => reply.entry(&TTL, &attr, ONLY),
        Err(error) => reply.error(error),
    }
}

impl Filesystem for Small {
    fn lookup(&self, _: &Request, parent: INodeNo, name: &OsStr, reply: ReplyEntry) {
        let found = self
            .now()
            .names(parent.0)
            .and_then(|names| names.get(name).copied().ok_or(Errno::ENOENT));
        entry(found.and_then(|number| self.attr(number)), reply);
    }

    fn getattr(&self, _: &Request, ino: INodeNo, _: Option<FileHandle>, reply: ReplyAttr) {
        match self.attr(ino.0) {
            Ok(attr) => reply.attr(&TTL, &attr),
            Err(error) => reply.error(error),
        }
    }

    fn setattr(
        &self,
        _: &Request,
        ino: INodeNo,
        _: Option<u32>,
        _: Option<u32>,
        _: Option<u32>,
        size: Option<u64>,
        _: Option<TimeOrNow>,
        _: Option<TimeOrNow>,
        _: Option<SystemTime>,
        _: Option<FileHandle>,
        _: Option<SystemTime>,
        _: Option<SystemTime>,
        _: Option<SystemTime>,
        _: Option<BsdFileFlags>,
        reply: ReplyAttr,
    ) {
        let done = size.map_or_else(
            || self.now().takes(0),
            |size| self.now().resize(ino.0, usize::try_from(size).unwrap()),
        );
        match done.and_then(|()| self.attr(ino.0)) {
            Ok(attr) => reply.attr(&TTL, &attr),
            Err(error) => reply.error(error),
        }
    }

    fn mkdir(&self, _: &Request, parent: INodeNo, name: &OsStr, _: u32, _: u32, reply: ReplyEntry) {
        let made = self.now().make(parent.0, name, Node::Folder(BTreeMap::new()));
        entry(made.and_then(|number| self.attr(number)), reply);
    }

    fn create(
        &self,
        _: &Request,
        parent: INodeNo,
        name: &OsStr,
        _: u32,
        _: u32,
        _: i32,
        reply: ReplyCreate,
    ) {
        let made = self.now().make(parent.0, name, Node::File(Vec::new()));
        match made.and_then(|number| self.attr(number)) {
            // Straight through, so that the kernel keeps no pages of its own.
            Ok(attr) => {
                reply.created(&TTL, &attr, ONLY, FileHandle(0), FopenFlags::FOPEN_DIRECT_IO);
            }
            Err(error) => reply.error(error),
        }
    }

    fn open(&self, _: &Request, _: INodeNo, flags: OpenFlags, reply: ReplyOpen) {
        // Access modes: reading is 0, and anything else writes.
        if flags.0 & 3 != 0 && self.now().mood.read_only {
            return reply.error(Errno::EROFS);
        }
        reply.opened(FileHandle(0), FopenFlags::FOPEN_DIRECT_IO);
    }

    fn unlink(&self, _: &Request, parent: INodeNo, name: &OsStr, reply: ReplyEmpty) {
        let done = self.now().remove(parent.0, name);
        empty(done, reply);
    }

    fn rmdir(&self, _: &Request, parent: INodeNo, name: &OsStr, reply: ReplyEmpty) {
        let done = self.now().remove(parent.0, name);
        empty(done, reply);
    }

    fn rename(
        &self,
        _: &Request,
        parent: INodeNo,
        name: &OsStr,
        newparent: INodeNo,
        newname: &OsStr,
        _: RenameFlags,
        reply: ReplyEmpty,
    ) {
        let mut disk = self.now();
        let done = disk.remove(parent.0, name).and_then(|number| {
            disk.names(newparent.0)?.insert(newname.to_owned(), number);
            Ok(())
        });
        drop(disk);
        empty(done, reply);
    }

    fn read(
        &self,
        _: &Request,
        ino: INodeNo,
        _: FileHandle,
        offset: u64,
        size: u32,
        _: OpenFlags,
        _: Option<LockOwner>,
        reply: ReplyData,
    ) {
        match self.now().nodes.get(&ino.0) {
            Some(Node::File(bytes)) => {
                let from = usize::try_from(offset).unwrap().min(bytes.len());
                let to = bytes.len().min(from + usize::try_from(size).unwrap());
                reply.data(&bytes[from..to]);
            }
            Some(Node::Folder(_)) | None => reply.error(Errno::ENOENT),
        }
    }

    fn write(
        &self,
        _: &Request,
        ino: INodeNo,
        _: FileHandle,
        offset: u64,
        data: &[u8],
        _: WriteFlags,
        _: OpenFlags,
        _: Option<LockOwner>,
        reply: ReplyWrite,
    ) {
        let done = self.now().write(ino.0, usize::try_from(offset).unwrap(), data);
        match done {
            Ok(()) => reply.written(u32::try_from(data.len()).unwrap()),
            Err(error) => reply.error(error),
        }
    }

    fn flush(&self, _: &Request, _: INodeNo, _: FileHandle, _: LockOwner, reply: ReplyEmpty) {
        reply.ok();
    }

    fn fsync(&self, _: &Request, ino: INodeNo, _: FileHandle, _: bool, reply: ReplyEmpty) {
        let disk = self.now();
        let is_there = disk.nodes.contains_key(&ino.0);
        let done = if disk.mood.no_sync && is_there { Err(Errno::EIO) } else { Ok(()) };
        drop(disk);
        empty(done, reply);
    }

    fn fsyncdir(&self, _: &Request, _: INodeNo, _: FileHandle, _: bool, reply: ReplyEmpty) {
        reply.ok();
    }

    fn statfs(&self, _: &Request, _: INodeNo, reply: ReplyStatfs) {
        let disk = self.now();
        let (total, free) = (disk.total, disk.free());
        drop(disk);
        let blocks = |bytes: usize| u64::try_from(bytes / BLOCK).unwrap();
        let block = u32::try_from(BLOCK).unwrap();
        reply.statfs(blocks(total), blocks(free), blocks(free), 0, 0, block, 255, block);
    }

    fn readdir(
        &self,
        _: &Request,
        ino: INodeNo,
        _: FileHandle,
        offset: u64,
        mut reply: ReplyDirectory,
    ) {
        let guard = self.now();
        let Some(Node::Folder(names)) = guard.nodes.get(&ino.0) else {
            return reply.error(Errno::ENOENT);
        };
        for (at, (name, number)) in (1..).zip(names).skip(usize::try_from(offset).unwrap()) {
            let kind = match guard.nodes.get(number) {
                Some(Node::File(_)) => FileType::RegularFile,
                Some(Node::Folder(_)) | None => FileType::Directory,
            };
            if reply.add(INodeNo(*number), at, kind, name) {
                break;
            }
        }
        reply.ok();
    }
}
