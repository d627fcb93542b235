//! Why a paper was not made or not read.

use std::path::Path;

use burrline_terms::BadWord;
use thiserror::Error as ThisError;

/// Why a paper was not made or not read.
#[derive(Debug, ThisError)]
pub enum Error {
    /// What was asked for cannot be put on paper; the words say what would be right.
    #[error("{0}")]
    Usage(String),
    /// A word is wrong.
    #[error(transparent)]
    Word(#[from] BadWord),
    /// There is no such file or folder.
    #[error("there is no {0} here; say where it lies")]
    Missing(String),
    /// A file cannot be read or written.
    #[error("{path}: {source}")]
    File {
        /// Which file.
        path: String,
        /// What the system says.
        source: std::io::Error,
    },
    /// A fault of the program.
    #[error("this is a fault of the program, please report it: {0}")]
    Bug(String),
}

impl Error {
    /// What would be right.
    pub(crate) fn usage(text: impl Into<String>) -> Self {
        Self::Usage(text.into())
    }

    /// That a file cannot be read or written; where it is missing, that it is.
    pub(crate) fn file(path: &Path, source: std::io::Error) -> Self {
        let path = path.display().to_string();
        if source.kind() == std::io::ErrorKind::NotFound {
            return Self::Missing(path);
        }
        Self::File { path, source }
    }
}
