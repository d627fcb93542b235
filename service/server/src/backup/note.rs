//! The note of the last whole copy in the shop's folder, by which the shop knows how old it is.

use std::{io, path::Path};

use burrline_terms::{Moment, Typed as _};

use super::{BackupError, Made, Order};

const FILE: &str = "copied";

/// What is known of the last whole copy.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LastCopy {
    /// When it was made.
    pub at: Moment,
    /// How many records it has.
    pub records: u64,
    /// Where it lies.
    pub to: String,
}

impl LastCopy {
    /// The last copy of a shop's folder; none if none is known.
    pub fn of(data: &Path) -> Option<Self> {
        let text = std::fs::read_to_string(data.join(FILE)).ok()?;
        let mut lines = text.lines();
        let mut field = |word: &str| lines.next()?.strip_prefix(word)?.strip_prefix(' ');
        Some(Self {
            at: Moment::read(field("at")?).ok()?,
            records: field("records")?.parse().ok()?,
            to: field("to")?.to_owned(),
        })
    }

    pub(super) fn keep(order: &Order, made: &Made) -> Result<(), BackupError> {
        let path = order.data.join(FILE);
        let to = made.copy.path.display();
        let text = format!("at {}\nrecords {}\nto {to}\n", order.now.show(), made.manifest.records);
        let kept: io::Result<()> = burrline_disk::replace(&path, text.as_bytes(), 0o600);
        kept.map_err(|source| BackupError::File { path, source })
    }
}
