//! Why something was not said, and with which status the program ends.

use burrline_domain::BadWord;
use thiserror::Error;

/// How a command ended, as its exit status.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Ending {
    /// Done: 0.
    Done,
    /// Refused, or left off: 1.
    Refused,
    /// Typed wrong: 2.
    Usage,
    /// The shop was out of reach: 3. A fact is kept and sent later.
    Away,
    /// A fault of the program: 70.
    Bug,
}

impl Ending {
    /// The exit status.
    pub const fn status(self) -> u8 {
        match self {
            Self::Done => 0,
            Self::Refused => 1,
            Self::Usage => 2,
            Self::Away => 3,
            Self::Bug => 70,
        }
    }
}

/// Why something was not said.
#[derive(Debug, Error)]
pub enum Error {
    /// The line cannot be read; the words say what would be right.
    #[error("{0}")]
    Usage(String),
    /// A word of the line is wrong.
    #[error(transparent)]
    Word(#[from] BadWord),
    /// Refused, by the shop or by the bench.
    #[error("{0}")]
    Refused(String),
    /// The shop did not answer.
    #[error("the shop at {url} does not answer ({why})")]
    Away {
        /// What was wanted.
        what: &'static str,
        /// The shop's address.
        url: String,
        /// What the connection says.
        why: String,
    },
    /// A decision, and the shop did not answer; nothing was kept.
    #[error(
        "{what} needs the shop, and the shop at {url} does not answer; nothing was kept, so say it \
         again when the shop is in reach"
    )]
    NeedsShop {
        /// The decision's verb.
        what: &'static str,
        /// The shop's address.
        url: String,
    },
    /// The bench has another life now than the one that this was to be said under; nothing was kept.
    #[error(
        "this bench was given a new life meanwhile, {name} (life {life}); nothing was kept, so say it \
         again"
    )]
    NewLife {
        /// What it is called now.
        name: String,
        /// The life that it has now.
        life: u32,
    },
    /// The bench folder is missing or damaged.
    #[error("{0}")]
    Folder(String),
    /// A file of the bench cannot be read or written.
    #[error("{path}: {source}")]
    File {
        /// Which file.
        path: String,
        /// What the system says.
        source: std::io::Error,
    },
    /// The shop answered with something that makes no sense.
    #[error("the shop's answer makes no sense ({0}); is its version the same?")]
    Nonsense(String),
    /// A fault of the program.
    #[error("this is a fault of the program, please report it: {0}")]
    Bug(String),
}

impl Error {
    /// The exit status that the error ends with.
    pub const fn ending(&self) -> Ending {
        match self {
            Self::Usage(_) | Self::Word(_) => Ending::Usage,
            Self::Refused(_) | Self::NewLife { .. } | Self::Folder(_) | Self::File { .. } => {
                Ending::Refused
            }
            Self::Away { .. } | Self::NeedsShop { .. } => Ending::Away,
            Self::Nonsense(_) | Self::Bug(_) => Ending::Bug,
        }
    }

    pub(crate) fn file(path: &std::path::Path, source: std::io::Error) -> Self {
        let path = path.display().to_string();
        if source.kind() == std::io::ErrorKind::NotFound {
            return Self::Refused(format!("there is no {path} here; say where it lies"));
        }
        Self::File { path, source }
    }

    pub(crate) fn usage(text: impl Into<String>) -> Self {
        Self::Usage(text.into())
    }
}
