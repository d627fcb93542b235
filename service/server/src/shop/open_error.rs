//! Why a shop does not open.

use std::path::PathBuf;

use burrline_proto::Malformed;
use thiserror::Error;

use super::{FolderError, NoKey, RecordError};
use crate::photos;

/// Why a shop does not open. Nothing was changed.
#[derive(Debug, Error)]
pub enum OpenError {
    /// A file of the folder.
    #[error(transparent)]
    Folder(#[from] FolderError),
    /// The log.
    #[error(transparent)]
    Log(#[from] burrline_ledger::OpenError),
    /// The folder has files of a shop and no log.
    #[error("this folder has a shop's key and no log: restore the folder `log` from a backup")]
    LogGone,
    /// The log is not in the folder.
    #[error("the log of this shop is not in its folder: say --ledger {kept}")]
    Elsewhere {
        /// Where it is.
        kept: String,
    },
    /// The log is in the folder.
    #[error(
        "the log of this shop is in its folder: leave --ledger out, or move it while the shop is stopped: \
         burrline-shop move-log --to {said}"
    )]
    LogIsHere {
        /// Where it was said to be.
        said: String,
    },
    /// The log is elsewhere, and not there.
    #[error("the log of this shop is at {kept}, not at {said}: say --ledger {kept}")]
    OtherLedger {
        /// Where it is.
        kept: String,
        /// Where it was said to be.
        said: String,
    },
    /// The folder has something else.
    #[error(
        "{} holds no shop, and is not empty (it has {}): a shop is begun in an empty folder alone",
        path.display(), .names.join(", ")
    )]
    NotEmpty {
        /// The folder.
        path: PathBuf,
        /// What is in it.
        names: Vec<String>,
    },
    /// The shop's key.
    #[error(transparent)]
    Key(#[from] NoKey),
    /// The log cannot be read.
    #[error(transparent)]
    Read(#[from] burrline_ledger::ReadError),
    /// The log is damaged where an earlier run had found it whole.
    #[error("the first {records} records of the log are damaged: restore `log` from a backup")]
    Damaged {
        /// How many records are not what they were.
        records: u64,
    },
    /// A record that this version does not understand.
    #[error("record {position} cannot be understood ({source}); a newer version wrote it: upgrade")]
    Unknown {
        /// Which record.
        position: u64,
        /// Why.
        source: Malformed,
    },
    /// The heads that were given out.
    #[error(transparent)]
    Heads(#[from] crate::heads::HeadsError),
    /// The photos.
    #[error(transparent)]
    Photos(#[from] photos::PhotoError),
    /// The keyring.
    #[error("the keyring cannot be opened: {0}")]
    Keyring(#[source] std::io::Error),
    /// The note that the shop was put back from a backup.
    #[error("the file `put-back` cannot be used: {0}")]
    PutBack(#[source] std::io::Error),
    /// What was put back could not be settled.
    #[error(transparent)]
    Restore(#[from] super::RestoreError),
    /// The first settings could not be recorded.
    #[error(transparent)]
    Record(#[from] RecordError),
    /// A thread could not be started.
    #[error("a thread could not be started: {0}")]
    Thread(#[source] std::io::Error),
    /// The store failed while the first settings were written.
    #[error("the store failed while the first settings were written")]
    Store,
}

impl OpenError {
    /// Whether the engine that the log is on does not answer, so that the same folder may open later.
    pub const fn is_away(&self) -> bool {
        matches!(self, Self::Log(error) if error.is_away())
    }

    /// Whether the disk is full, takes nothing, or is broken, so that the same folder may open later.
    pub fn is_of_the_disk(&self) -> bool {
        use burrline_disk::is_of_the_disk;
        match self {
            Self::Log(error) => error.is_of_the_disk(),
            Self::Folder(error) | Self::Key(NoKey::File(error)) => is_of_the_disk(&error.source),
            Self::Keyring(source)
            | Self::PutBack(source)
            | Self::Heads(crate::heads::HeadsError::File { source, .. })
            | Self::Photos(photos::PhotoError::File { source, .. }) => is_of_the_disk(source),
            Self::Record(RecordError::Disk(_)) | Self::Store => true,
            Self::Record(_)
            | Self::NotEmpty { .. }
            | Self::Key(_)
            | Self::Heads(_)
            | Self::Photos(_)
            | Self::LogGone
            | Self::Elsewhere { .. }
            | Self::LogIsHere { .. }
            | Self::OtherLedger { .. }
            | Self::Read(_)
            | Self::Unknown { .. }
            | Self::Damaged { .. }
            | Self::Restore(_)
            | Self::Thread(_) => false,
        }
    }
}
