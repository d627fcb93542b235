//! The copy's file: frames that are only ever appended.
//!
//! Nothing in it is lost for good, so it is not synced. What is torn or damaged is cut off from
//! there on and fetched again. A copy that is cut in the middle keeps the last mark, so that a
//! bench without a shop goes on with what is left. The tree's peaks in that mark let the root
//! go on from there, without hashing all of it again.

use std::{
    fs::{File, OpenOptions, TryLockError},
    io::{Read as _, Seek as _, SeekFrom, Write as _},
    os::unix::fs::OpenOptionsExt as _,
    path::{Path, PathBuf},
};

use burrline_evidence::merkle::Tree;

use super::{Edge, Item, Mark, Piece, piece};
use crate::{
    Error,
    frame::{frame_before, frames, push_frame},
    heal_folder::{put_aside, to_tell},
};

/// The file.
#[derive(Debug, Clone)]
pub struct CopyFile {
    path: PathBuf,
}

/// All that the file holds.
#[derive(Debug, Clone, Default)]
pub struct Contents {
    /// The positions, from 0.
    pub items: Vec<Item>,
    /// What was last heard of the shop.
    pub mark: Option<Mark>,
}

/// The file, held for appending: nobody else appends meanwhile.
#[derive(Debug)]
pub struct Appending {
    path: PathBuf,
    file: File,
    end: u64,
    edge: Edge,
}

impl CopyFile {
    /// The copy at a path; the file is made at the first append.
    pub fn at(path: &Path) -> Self {
        Self { path: path.to_owned() }
    }

    /// Everything, as far as it is whole; what is damaged is cut off.
    ///
    /// # Errors
    /// If the file cannot be read.
    pub fn read(&self) -> Result<Contents, Error> {
        let bytes = match std::fs::read(&self.path) {
            Ok(bytes) => bytes,
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
                return Ok(Contents::default());
            }
            Err(error) => return self.unreadable(error).map(|()| Contents::default()),
        };
        let (mut contents, whole) = whole(&bytes);
        if whole < bytes.len() {
            // Another process may be in the middle of an append; under the lock nobody is.
            contents.mark = self.cut_damaged()?.mark().cloned();
        }
        Ok(contents)
    }

    /// The file, to be gone through; none if there is none, or it cannot be opened.
    pub(crate) fn open(&self) -> Option<File> {
        File::open(&self.path).ok()
    }

    /// Every mark, in order.
    ///
    /// # Errors
    /// If the file cannot be read.
    pub fn marks(&self) -> Result<Vec<Mark>, Error> {
        let bytes = match std::fs::read(&self.path) {
            Ok(bytes) => bytes,
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(Vec::new()),
            Err(error) => return self.unreadable(error).map(|()| Vec::new()),
        };
        let mark = |body| match piece(body) {
            Some(Piece::Mark(mark, _)) => Some(mark),
            Some(Piece::Item(_)) | None => None,
        };
        Ok(frames(&bytes).filter_map(|(_, _, body)| mark(body)).collect())
    }

    /// How far the copy goes and what it last heard, from the end of the file alone.
    ///
    /// # Errors
    /// If the file cannot be read.
    pub fn edge(&self) -> Result<Edge, Error> {
        let mut file = match File::open(&self.path) {
            Ok(file) => file,
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
                return Ok(Edge::default());
            }
            Err(error) => return self.unreadable(error).map(|()| Edge::default()),
        };
        let edge = file.metadata().and_then(|file_is| edge_before(&mut file, file_is.len()));
        match edge {
            Ok(Some(edge)) => Ok(edge),
            // From the start, then; what cannot be read at all is put aside.
            Ok(None) | Err(_) => Ok(edge_of(&self.read()?)),
        }
    }

    /// Holds the file for appending; none if another process does and `wait` is false.
    ///
    /// # Errors
    /// If the file cannot be opened, read or locked.
    pub fn append(&self, wait: bool) -> Result<Option<Appending>, Error> {
        let mut options = OpenOptions::new();
        options.create(true).truncate(false).read(true).write(true).mode(0o600);
        let mut file = options.open(&self.path).map_err(|e| self.wrong(e))?;
        if wait {
            file.lock().map_err(|e| self.wrong(e))?;
        } else {
            match file.try_lock() {
                Ok(()) => {}
                Err(TryLockError::WouldBlock) => return Ok(None),
                Err(TryLockError::Error(error)) => return Err(self.wrong(error)),
            }
        }
        let end = file.metadata().map_err(|e| self.wrong(e))?.len();
        let (end, edge) = match edge_before(&mut file, end).map_err(|e| self.wrong(e))? {
            Some(edge) => (end, edge),
            None => cut(&mut file).map_err(|e| self.wrong(e))?,
        };
        Ok(Some(Appending { path: self.path.clone(), file, end, edge }))
    }

    /// Puts the file aside, for whoever wants to look at it; the next copy begins anew.
    ///
    /// # Errors
    /// If it cannot be moved.
    pub fn put_aside(&self) -> Result<PathBuf, Error> {
        let named = |n: u32| self.path.with_extension(format!("before-{n}"));
        let free = |n: &u32| !named(*n).exists();
        // The last name of all is used over and over.
        let aside = named((1..100).find(free).unwrap_or(100));
        std::fs::rename(&self.path, &aside).map_err(|e| self.wrong(e))?;
        Ok(aside)
    }

    /// Opens the file under its lock and cuts off what is not whole, wherever it is.
    fn cut_damaged(&self) -> Result<Edge, Error> {
        let mut options = OpenOptions::new();
        let mut file =
            options.read(true).write(true).open(&self.path).map_err(|e| self.wrong(e))?;
        file.lock().map_err(|e| self.wrong(e))?;
        let (_, edge) = cut(&mut file).map_err(|e| self.wrong(e))?;
        Ok(edge)
    }

    /// The disk gives it no more: it is put aside, and begun anew at the next contact.
    fn unreadable(&self, error: std::io::Error) -> Result<(), Error> {
        let Ok(aside) = put_aside(&self.path, "damaged") else { return Err(self.wrong(error)) };
        if let Some(dir) = self.path.parent() {
            let aside = aside.file_name().unwrap_or_default().display();
            to_tell(
                dir,
                &format!(
                    "this bench's copy of the log cannot be read any more ({error}) and is kept as \
                     {aside}: it is fetched anew from the shop"
                ),
            );
        }
        Ok(())
    }

    fn wrong(&self, source: std::io::Error) -> Error {
        Error::file(&self.path, source)
    }
}

impl Appending {
    /// The growing end.
    pub const fn edge(&self) -> &Edge {
        &self.edge
    }

    /// Appends positions.
    ///
    /// # Errors
    /// If they cannot be written; the file is as it was.
    pub fn items(&mut self, items: &[Item]) -> Result<(), Error> {
        let mut edge = self.edge.clone();
        let mut out = Vec::new();
        for item in items {
            push_frame(&mut out, edge.size(), &item.framed())
                .ok_or_else(|| Error::Nonsense("a record of more than 64 KiB".into()))?;
            edge.take(item);
        }
        self.write(&out)?;
        self.edge = edge;
        Ok(())
    }

    /// Appends a mark.
    ///
    /// # Errors
    /// If it cannot be written; the file is as it was.
    pub fn mark(&mut self, mark: Mark) -> Result<(), Error> {
        let mut edge = self.edge.clone();
        edge.hear(mark);
        let mut out = Vec::new();
        let bytes = edge.marked().unwrap_or_default();
        push_frame(&mut out, edge.size(), &bytes)
            .ok_or_else(|| Error::Bug("a mark of more than 64 KiB".into()))?;
        self.write(&out)?;
        self.edge = edge;
        Ok(())
    }

    fn write(&mut self, bytes: &[u8]) -> Result<(), Error> {
        let written =
            self.file.seek(SeekFrom::Start(self.end)).and_then(|_| self.file.write_all(bytes));
        if let Err(error) = written {
            // Half a frame would be cut off at the next reading anyway.
            let _ = self.file.set_len(self.end);
            return Err(Error::file(&self.path, error));
        }
        self.end = self.end.saturating_add(u64::try_from(bytes.len()).unwrap_or(u64::MAX));
        Ok(())
    }
}

/// What is whole from the start, and how many bytes that are.
fn whole(bytes: &[u8]) -> (Contents, usize) {
    let mut contents = Contents::default();
    let mut end = 0;
    let mut size = 0_u64;
    for (after, n, body) in frames(bytes) {
        if n != size {
            break;
        }
        match piece(body) {
            Some(Piece::Item(item)) => {
                contents.items.push(item);
                size = size.saturating_add(1);
            }
            Some(Piece::Mark(mark, _)) => contents.mark = Some(mark),
            None => break,
        }
        end = after;
    }
    (contents, end)
}

fn edge_of(contents: &Contents) -> Edge {
    let mut edge = Edge::default();
    contents.items.iter().for_each(|item| edge.take(item));
    edge.mark.clone_from(&contents.mark);
    edge
}

/// Cuts off what is not whole.
fn cut(file: &mut File) -> std::io::Result<(u64, Edge)> {
    file.seek(SeekFrom::Start(0))?;
    let mut bytes = Vec::new();
    file.read_to_end(&mut bytes)?;
    let (contents, end) = whole(&bytes);
    let end = u64::try_from(end).unwrap_or(u64::MAX);
    let length = file.metadata()?.len();
    let mut edge = edge_of(&contents);
    if length <= end {
        return Ok((end, edge));
    }
    tracing::warn!(from = end, bytes = length.saturating_sub(end), "the copy was damaged");
    // What was last heard of the shop holds although what came before it is cut off.
    let last = frame_before(file, length)?.and_then(|(_, frame)| piece(&frame.bytes));
    file.set_len(end)?;
    if let Some(Piece::Mark(mark, _)) = last {
        edge.hear(mark);
        let mut out = Vec::new();
        let marked = push_frame(&mut out, edge.size(), &edge.marked().unwrap_or_default());
        if marked.is_some() {
            file.seek(SeekFrom::Start(end))?;
            file.write_all(&out)?;
        }
    }
    Ok((file.metadata()?.len(), edge))
}

/// The edge from the last mark on; none if the file does not end in whole frames after a mark.
fn edge_before(file: &mut File, end: u64) -> std::io::Result<Option<Edge>> {
    if end == 0 {
        return Ok(Some(Edge::default()));
    }
    let mut after = Vec::new();
    let mut at = end;
    while let Some((start, frame)) = frame_before(file, at)? {
        match piece(&frame.bytes) {
            Some(Piece::Item(item)) => after.push((frame.n, item)),
            Some(Piece::Mark(mark, peaks)) => {
                let Some(tree) = Tree::of_parts(frame.n, peaks) else { return Ok(None) };
                let mut edge = Edge { tree, mark: Some(mark) };
                for (n, item) in after.into_iter().rev() {
                    if n != edge.size() {
                        return Ok(None);
                    }
                    edge.take(&item);
                }
                return Ok(Some(edge));
            }
            None => return Ok(None),
        }
        at = start;
    }
    Ok(None)
}
