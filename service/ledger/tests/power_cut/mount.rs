//! The disk as a FUSE file system.

use std::{
    ffi::OsStr,
    sync::{Arc, Mutex, MutexGuard},
    time::{Duration, SystemTime, UNIX_EPOCH},
};

use fuser::{
    BsdFileFlags, Errno, FileAttr, FileHandle, FileType, Filesystem, FopenFlags, Generation,
    INodeNo, LockOwner, OpenFlags, RenameFlags, ReplyAttr, ReplyCreate, ReplyData, ReplyDirectory,
    ReplyEmpty, ReplyEntry, ReplyOpen, ReplyWrite, Request, TimeOrNow, WriteFlags,
};

use crate::disk::{Disk, Node};

const TTL: Duration = Duration::ZERO;
const ONLY: Generation = Generation(0);

/// What is seen of each change to the disk, right after it.
pub(crate) type Watch = Box<dyn FnMut(&Disk) + Send>;

/// What may fail.
#[allow(dead_code, reason = "shared with the shop's soak, which uses all of it")]
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Does {
    Write,
    Sync,
    Make,
    Open,
    Rename,
    Unlink,
}

/// Which turn of what fails, and whether all later turns do too.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Fault {
    pub(crate) does: Does,
    pub(crate) turn: usize,
    pub(crate) stays: bool,
}

/// What is claimed to be synced and is not.
#[allow(dead_code, reason = "shared with the shop's soak, which uses all of it")]
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Lie {
    /// The store's own file.
    Store,
    /// All other files.
    SmallFiles,
    /// Folders.
    Folders,
}

/// A disk, who watches it, what it only claims to sync, and what fails.
pub(crate) struct Watched {
    pub(crate) disk: Disk,
    pub(crate) watch: Watch,
    pub(crate) lies: Option<Lie>,
    pub(crate) fault: Option<Fault>,
    /// How many turns of that there were.
    pub(crate) turns: usize,
}

impl Watched {
    /// A new disk on which nothing fails.
    pub(crate) fn new(watch: Watch) -> Self {
        Self { disk: Disk::new(), watch, lies: None, fault: None, turns: 0 }
    }

    fn may(&mut self, does: Does) -> Result<(), Errno> {
        let Some(fault) = self.fault.filter(|fault| fault.does == does) else { return Ok(()) };
        let turn = self.turns;
        self.turns += 1;
        let fails = turn == fault.turn || fault.stays && turn > fault.turn;
        if fails { Err(Errno::EIO) } else { Ok(()) }
    }
}

pub(crate) struct Mount(pub(crate) Arc<Mutex<Watched>>);

impl Mount {
    fn now(&self) -> MutexGuard<'_, Watched> {
        self.0.lock().unwrap()
    }

    /// Makes a change, then lets the watcher see it.
    fn change<T>(
        &self,
        does: Does,
        change: impl FnOnce(&mut Disk) -> Option<T>,
    ) -> Result<T, Errno> {
        let now = &mut *self.now();
        now.may(does)?;
        let Watched { disk, watch, .. } = now;
        let done = change(disk).ok_or(Errno::ENOENT)?;
        watch(disk);
        Ok(done)
    }

    fn attr(&self, number: u64) -> Result<FileAttr, Errno> {
        let guard = self.now();
        let (kind, size, perm) = match guard.disk.node(number).ok_or(Errno::ENOENT)? {
            Node::File { live, .. } => (FileType::RegularFile, live.len(), 0o600),
            Node::Folder { .. } => (FileType::Directory, 0, 0o700),
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

    fn make(&self, folder: INodeNo, name: &OsStr, is_folder: bool) -> Result<FileAttr, Errno> {
        self.attr(self.change(Does::Make, |disk| disk.make(folder.0, name, is_folder))?)
    }
}

/// The store's own file grows in steps of half a megabyte; all others are small.
fn is_store_file(node: Option<&Node>) -> bool {
    matches!(node, Some(Node::File { live, .. }) if live.len() > 100_000)
}

fn answer_empty<T>(done: Result<T, Errno>, reply: ReplyEmpty) {
    match done {
        Ok(_) => reply.ok(),
        Err(error) => reply.error(error),
    }
}

fn answer_entry(found: Result<FileAttr, Errno>, reply: ReplyEntry) {
    match found {
        Ok(attr) => reply.entry(&TTL, &attr, ONLY),
        Err(error) => reply.error(error),
    }
}

fn answer_attr(found: Result<FileAttr, Errno>, reply: ReplyAttr) {
    match found {
        Ok(attr) => reply.attr(&TTL, &attr),
        Err(error) => reply.error(error),
    }
}

impl Filesystem for Mount {
    fn lookup(&self, _: &Request, parent: INodeNo, name: &OsStr, reply: ReplyEntry) {
        let found = self.now().disk.find(parent.0, name).ok_or(Errno::ENOENT);
        answer_entry(found.and_then(|number| self.attr(number)), reply);
    }

    fn getattr(&self, _: &Request, ino: INodeNo, _: Option<FileHandle>, reply: ReplyAttr) {
        answer_attr(self.attr(ino.0), reply);
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
        let done = size.map_or(Ok(()), |size| {
            self.change(Does::Write, |disk| disk.set_length(ino.0, usize::try_from(size).unwrap()))
        });
        answer_attr(done.and_then(|()| self.attr(ino.0)), reply);
    }

    fn mkdir(&self, _: &Request, parent: INodeNo, name: &OsStr, _: u32, _: u32, reply: ReplyEntry) {
        answer_entry(self.make(parent, name, true), reply);
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
        match self.make(parent, name, false) {
            // Straight through, so that the kernel keeps no pages of its own.
            Ok(attr) => {
                reply.created(&TTL, &attr, ONLY, FileHandle(0), FopenFlags::FOPEN_DIRECT_IO);
            }
            Err(error) => reply.error(error),
        }
    }

    fn open(&self, _: &Request, _: INodeNo, _: OpenFlags, reply: ReplyOpen) {
        match self.now().may(Does::Open) {
            Ok(()) => reply.opened(FileHandle(0), FopenFlags::FOPEN_DIRECT_IO),
            Err(error) => reply.error(error),
        }
    }

    fn unlink(&self, _: &Request, parent: INodeNo, name: &OsStr, reply: ReplyEmpty) {
        answer_empty(self.change(Does::Unlink, |disk| disk.remove(parent.0, name)), reply);
    }

    fn rmdir(&self, _: &Request, parent: INodeNo, name: &OsStr, reply: ReplyEmpty) {
        answer_empty(self.change(Does::Unlink, |disk| disk.remove(parent.0, name)), reply);
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
        let rename = |disk: &mut Disk| disk.rename((parent.0, name), (newparent.0, newname));
        let done = self.change(Does::Rename, rename);
        answer_empty(done, reply);
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
        match self.now().disk.node(ino.0) {
            Some(Node::File { live, .. }) => {
                let from = usize::try_from(offset).unwrap().min(live.len());
                let to = live.len().min(from + usize::try_from(size).unwrap());
                reply.data(&live[from..to]);
            }
            Some(Node::Folder { .. }) | None => reply.error(Errno::ENOENT),
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
        let at = usize::try_from(offset).unwrap();
        match self.change(Does::Write, |disk| disk.write(ino.0, at, data)) {
            Ok(()) => reply.written(u32::try_from(data.len()).unwrap()),
            Err(error) => reply.error(error),
        }
    }

    fn flush(&self, _: &Request, _: INodeNo, _: FileHandle, _: LockOwner, reply: ReplyEmpty) {
        reply.ok();
    }

    fn fsync(&self, _: &Request, ino: INodeNo, _: FileHandle, _: bool, reply: ReplyEmpty) {
        let is_lie = {
            let now = self.now();
            let is_store = is_store_file(now.disk.node(ino.0));
            matches!(
                (now.lies, is_store),
                (Some(Lie::Store), true) | (Some(Lie::SmallFiles), false)
            )
        };
        if is_lie {
            return reply.ok();
        }
        answer_empty(self.change(Does::Sync, |disk| disk.sync(ino.0)), reply);
    }

    fn fsyncdir(&self, _: &Request, ino: INodeNo, _: FileHandle, _: bool, reply: ReplyEmpty) {
        if self.now().lies == Some(Lie::Folders) {
            return reply.ok();
        }
        answer_empty(self.change(Does::Sync, |disk| disk.sync(ino.0)), reply);
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
        let Some(Node::Folder { live, .. }) = guard.disk.node(ino.0) else {
            return reply.error(Errno::ENOENT);
        };
        for (at, (name, number)) in (1..).zip(live).skip(usize::try_from(offset).unwrap()) {
            let kind = match guard.disk.node(*number) {
                Some(Node::File { .. }) => FileType::RegularFile,
                Some(Node::Folder { .. }) | None => FileType::Directory,
            };
            if reply.add(INodeNo(*number), at, kind, name) {
                break;
            }
        }
        reply.ok();
    }
}
