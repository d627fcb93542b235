//! Why something was not said, and with which status the program ends.

use burrline_line::Unclear;
use burrline_present::readings::Unreadable;
use burrline_proto::v1::Reason;
use burrline_terms::BadWord;
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

/// How a shop did not answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Silence {
    /// It is out of reach, or says nothing in time.
    Silent,
    /// It was reached and takes nothing new: it was put back from a backup, or its disk is full.
    Waits,
    /// What answers there is another shop, or no shop: the words say which.
    NotTheShop,
    /// The bench cannot show who it is.
    NoKey,
}

/// How a shop did not answer, in words.
fn away(url: &str, why: &str, silence: Silence) -> String {
    match silence {
        Silence::Waits => {
            format!("the shop at {url}{}", why.strip_prefix("the shop").unwrap_or(why))
        }
        Silence::Silent => format!("the shop at {url} does not answer ({why})"),
        Silence::NotTheShop | Silence::NoKey => why.to_owned(),
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
    /// The line could be meant in more than one way; the hand is asked.
    #[error("{0}")]
    Unclear(Unclear),
    /// Refused, by the shop or by the bench.
    #[error("{0}")]
    Refused(String),
    /// The code names no bench, and nobody else did.
    #[error("{0}")]
    NameWanted(String),
    /// A reading has no answer, at the shop or by the bench's own copy alike.
    #[error(transparent)]
    Unread(#[from] Unreadable),
    /// The shop did not answer.
    #[error("{}", away(url, why, *silence))]
    Away {
        /// What was wanted.
        what: &'static str,
        /// The shop's address.
        url: String,
        /// What the connection says, or the shop where it waits for its benches.
        why: String,
        /// How it did not answer.
        silence: Silence,
    },
    /// A decision, and the shop did not answer; nothing was kept.
    #[error(
        "{what} needs the shop, and {why}; nothing was kept, so say it again when the shop takes it"
    )]
    NeedsShop {
        /// The decision's verb.
        what: &'static str,
        /// That the shop is out of reach, or waits for its benches.
        why: String,
    },
    /// The bench has another life now than the one that this was to be said under; nothing was kept.
    #[error(
        "this bench was enrolled anew meanwhile, {name} (enrollment {life}); nothing was kept, so say \
         it again"
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

impl From<burrline_line::Error> for Error {
    fn from(error: burrline_line::Error) -> Self {
        match error {
            burrline_line::Error::Usage(words) => Self::Usage(words),
            burrline_line::Error::Word(word) => Self::Word(word),
            burrline_line::Error::Unclear(unclear) => Self::Unclear(unclear),
            burrline_line::Error::Bug(words) => Self::Bug(words),
        }
    }
}

impl Error {
    /// The exit status that the error ends with.
    pub const fn ending(&self) -> Ending {
        match self {
            Self::Usage(_) | Self::Word(_) | Self::Unclear(_) | Self::NameWanted(_) => {
                Ending::Usage
            }
            Self::Unread(why) if matches!(why.reason, Reason::Malformed) => Ending::Usage,
            Self::Refused(_)
            | Self::Unread(_)
            | Self::NewLife { .. }
            | Self::Folder(_)
            | Self::File { .. } => Ending::Refused,
            Self::Away { .. } | Self::NeedsShop { .. } => Ending::Away,
            Self::Nonsense(_) | Self::Bug(_) => Ending::Bug,
        }
    }

    /// That a file cannot be read or written; where it is missing, that it is.
    pub fn file(path: &std::path::Path, source: std::io::Error) -> Self {
        let path = path.display().to_string();
        if source.kind() == std::io::ErrorKind::NotFound {
            return Self::Refused(format!("there is no {path} here; say where it lies"));
        }
        Self::File { path, source }
    }

    /// Whether the shop was reached and takes nothing new, as it was put back from a backup.
    pub fn is_restoring(&self) -> bool {
        match self {
            Self::Away { silence, .. } => *silence == Silence::Waits,
            Self::NeedsShop { .. }
            | Self::NewLife { .. }
            | Self::Usage(_)
            | Self::Unclear(_)
            | Self::Word(_)
            | Self::Refused(_)
            | Self::NameWanted(_)
            | Self::Unread(_)
            | Self::Folder(_)
            | Self::File { .. }
            | Self::Nonsense(_)
            | Self::Bug(_) => false,
        }
    }

    /// Why there was no answer, for a hand: no address and nothing that the system says, unless the
    /// shop was reached and says something itself.
    pub fn for_a_hand(&self) -> String {
        if matches!(self, Self::Away { silence: Silence::Silent, .. }) {
            "the shop is out of reach".to_owned()
        } else {
            self.to_string()
        }
    }

    /// What would be right.
    pub fn usage(text: impl Into<String>) -> Self {
        Self::Usage(text.into())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_shop_that_waits_for_its_benches_is_not_said_to_be_silent() {
        let url = "http://127.0.0.1:7417".to_owned();
        let away = |why: &str, silence| Error::Away {
            what: "greet",
            url: url.clone(),
            why: why.to_owned(),
            silence,
        };
        let silent = away("connection refused", Silence::Silent);
        assert_eq!(
            silent.to_string(),
            "the shop at http://127.0.0.1:7417 does not answer (connection refused)"
        );
        let restoring = away("the shop takes nothing new yet: it waits for yard-1", Silence::Waits);
        assert_eq!(
            restoring.to_string(),
            "the shop at http://127.0.0.1:7417 takes nothing new yet: it waits for yard-1"
        );
        assert!(restoring.is_restoring() && !silent.is_restoring());
        assert_eq!(silent.for_a_hand(), "the shop is out of reach");
        assert_eq!(restoring.for_a_hand(), restoring.to_string());
    }
}
