//! What can go wrong, by who has to act: the caller, the hand who restores, the
//! machine.

use std::{io, path::PathBuf};

use crate::{MAX_BATCH_BYTES, MAX_RECORD_BYTES};

/// Why a batch was not appended.
#[derive(Debug, thiserror::Error)]
pub enum AppendError {
    /// The log is not where the writer thought it was.
    #[error("the log has {size} records, not the expected {expected}")]
    HeadMoved {
        /// The size the writer expected.
        expected: u64,
        /// The size the log has.
        size: u64,
    },
    /// A record is over [`MAX_RECORD_BYTES`].
    #[error("record {index} of the batch has {bytes} bytes; the most is {MAX_RECORD_BYTES}")]
    RecordTooLarge {
        /// Which record of the batch, from 0.
        index: usize,
        /// Its length.
        bytes: usize,
    },
    /// The batch is over [`MAX_BATCH_BYTES`].
    #[error("the batch has {bytes} bytes; the most is {MAX_BATCH_BYTES}")]
    BatchTooLarge {
        /// The length of all its records.
        bytes: usize,
    },
    /// The store failed; whether the batch is on disk is not known. The process
    /// must end and start again.
    #[error("the store failed, the server has to stop: {0}")]
    Fatal(#[source] StoreFailure),
}

impl AppendError {
    /// Whether the process must end, since the store's state is not known.
    pub fn is_fatal(&self) -> bool {
        matches!(self, Self::Fatal(_))
    }
}

/// Why a record could not be read.
#[derive(Debug, thiserror::Error)]
pub enum ReadError {
    /// What lies at this position is not a whole record.
    #[error("the record at position {position} is missing or damaged")]
    Damaged {
        /// The position, from 0.
        position: u64,
    },
    /// The store failed.
    #[error("the store cannot be read: {0}")]
    Store(#[source] StoreFailure),
}

/// Why a folder was not opened.
#[derive(Debug, thiserror::Error)]
pub enum OpenError {
    /// Another server holds the log.
    #[error("another server has this folder open: {}", dir.display())]
    AnotherServer {
        /// The folder, or where else the log is.
        dir: PathBuf,
    },
    /// The folder was written by a later release.
    #[error(
        "{} has format {found}, this program knows only {}: upgrade the program",
        dir.display(),
        crate::folder::FORMAT
    )]
    UnknownFormat {
        /// The folder.
        dir: PathBuf,
        /// The number in its format file.
        found: u64,
    },
    /// The log in the folder is not whole. Serving it would lose records.
    #[error("{} is damaged: {damage}; restore it from a backup", dir.display())]
    Restore {
        /// The folder.
        dir: PathBuf,
        /// What is wrong.
        #[source]
        damage: Damage,
    },
    /// The log at this place was moved to another one, and goes on there.
    #[error("the log at {} was moved {to}, and goes on there", dir.display())]
    Moved {
        /// Where it was.
        dir: PathBuf,
        /// Where it went.
        to: String,
    },
    /// There is no room to copy the store afresh after a failed sync.
    #[error(
        "{} has to be copied afresh after a failed sync, and its disk is full: make room for {needs} \
         bytes ({free} are free), and never under `log`",
        dir.display()
    )]
    NoRoom {
        /// The folder.
        dir: PathBuf,
        /// How many bytes the copy takes.
        needs: u64,
        /// How many are free.
        free: u64,
    },
    /// The machine said no: rights, space, a broken disk.
    #[error(transparent)]
    Failed(#[from] StoreFailure),
}

impl OpenError {
    /// Whether the engine that the log is kept on does not answer, so that the same log may open later.
    pub const fn is_away(&self) -> bool {
        matches!(self, Self::Failed(StoreFailure::Away { .. }))
    }

    /// Whether the disk is full, takes nothing, or is broken, so that the same log may open later.
    pub fn is_of_the_disk(&self) -> bool {
        match self {
            Self::NoRoom { .. } => true,
            Self::Failed(failure) => failure.is_of_the_disk(),
            Self::AnotherServer { .. }
            | Self::UnknownFormat { .. }
            | Self::Restore { .. }
            | Self::Moved { .. } => false,
        }
    }
}

/// How a log is found not to be whole.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Damage {
    /// There is a log but no head file.
    #[error("the head file is missing")]
    HeadMissing,
    /// Neither slot of the head file can be read.
    #[error("the head file cannot be read")]
    HeadDamaged,
    /// There is a log but no format file.
    #[error("the format file is missing")]
    FormatMissing,
    /// The format file does not hold a format number.
    #[error("the format file cannot be read")]
    FormatDamaged,
    /// The head file speaks of a store that is not there.
    #[error("the store is missing")]
    StoreMissing,
    /// Records that were answered for are gone.
    #[error("the store ends at {store} records, the head file says {head}")]
    StoreShorter {
        /// How many whole records the store has.
        store: u64,
        /// How many it should have.
        head: u64,
    },
    /// No record, or not a whole one, at a position that has one.
    #[error("the record at position {position} is missing or damaged")]
    Record {
        /// The position, from 0.
        position: u64,
    },
    /// All records are there, but not the ones that were answered for.
    #[error("the root over the first {size} records is not the one in the head file")]
    RootDiffers {
        /// Over how many records the root was taken.
        size: u64,
    },
    /// The store put a part of itself into a file that it never syncs.
    #[error("the store has an outside file, {name}, that was never made durable")]
    OutsideFile {
        /// Its name in the folder `blobs`.
        name: String,
    },
    /// The store itself does not open or read.
    #[error("the store does not open: {reason}")]
    Unreadable {
        /// What it said.
        reason: String,
    },
}

/// The world broke: disk, rights, space, or the store's own code.
#[derive(Debug, thiserror::Error)]
pub enum StoreFailure {
    /// A file operation failed.
    #[error("cannot {doing} {}: {source}", path.display())]
    Io {
        /// What was tried, as a verb.
        doing: &'static str,
        /// With which file or folder.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// The store returned an error.
    #[error("the store says: {0}")]
    Store(#[from] sled::Error),
    /// The store panicked.
    #[error("the store panicked: {0}")]
    Panicked(String),
    /// The store put a part of itself into a file that it never syncs.
    #[error("the store made an outside file, {0}, that it does not make durable")]
    OutsideFile(String),
    /// The engine that the log is kept on refuses.
    #[error("{engine}: {reason}")]
    Engine {
        /// Where it is.
        engine: String,
        /// What it said.
        reason: String,
    },
    /// The engine that the log is kept on does not answer.
    #[error("{engine}: {reason}")]
    Away {
        /// Where it is.
        engine: String,
        /// For how long it was asked, and what was heard last.
        reason: String,
    },
    /// Another server has the right to append now.
    #[error("another server has taken over the log at {0}")]
    TakenOver(String),
    /// An earlier append failed; nothing is taken since.
    #[error("an earlier append failed")]
    Stopped,
}

impl StoreFailure {
    /// Whether the disk is full, takes nothing, or is broken.
    pub fn is_of_the_disk(&self) -> bool {
        match self {
            Self::Io { source, .. } | Self::Store(sled::Error::Io(source)) => {
                burrline_disk::is_of_the_disk(source)
            }
            Self::Store(_)
            | Self::Panicked(_)
            | Self::OutsideFile(_)
            | Self::Engine { .. }
            | Self::Away { .. }
            | Self::TakenOver(_)
            | Self::Stopped => false,
        }
    }

    /// Turns an error of the file system into one that says what was tried.
    pub(crate) fn io(
        doing: &'static str,
        path: impl Into<PathBuf>,
    ) -> impl FnOnce(io::Error) -> Self {
        let path = path.into();
        move |source| Self::Io { doing, path, source }
    }
}
