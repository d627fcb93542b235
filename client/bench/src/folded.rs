//! What was folded of the copy, kept beside it: a cache, so that a command does not fold the whole
//! past again.
//!
//! The file `folded` holds a snapshot of the fold at a mark of the copy. It is bound to this life, to how
//! many positions it covers, to the root over them and to the sources of the fold. A command that needs
//! the present goes through the copy once, to see that every frame is whole. Then it puts the present
//! together from the snapshot and folds what came since. On any doubt the file is left alone and the copy
//! is folded from its first record. Nothing is ever lost with the file.
//!
//! It is written anew by whoever had to fold much that it does not cover.

use std::{
    fs::File,
    path::{Path, PathBuf},
    sync::Arc,
};

use burrline_domain::{Record, State, fold::Records};
use burrline_present::readings::Then;
use burrline_proto::{
    decode_record,
    snapshot::{Bound, decode, encode},
};
use burrline_terms::Moment;

use super::{
    Bench,
    alone::Fold,
    copy::{
        Item, Mark,
        file::CopyFile,
        scan::{Places, Scan},
    },
};
use crate::Error;

/// The file.
const FILE: &str = "folded";

/// How many records it may be behind before it is written anew. To fold so many takes a command about
/// as long as it takes to start.
const BEHIND: u64 = 2_000;

/// The present by the copy, for whoever stays as well: only what is new is read and folded.
#[derive(Debug)]
pub(super) struct Folded {
    scan: Scan,
    fold: Option<Fold>,
    /// How many positions the snapshot covers that is on disk.
    kept: u64,
    /// How many it may be behind.
    behind: u64,
}

impl Default for Folded {
    fn default() -> Self {
        Self::behind(BEHIND)
    }
}

impl Folded {
    /// What is written anew when it is so many records behind.
    pub(super) fn behind(behind: u64) -> Self {
        Self { scan: Scan::default(), fold: None, kept: 0, behind }
    }

    /// Brings it up to the copy: the fold, and what was last heard of the shop. None if there is no
    /// copy, or it is not whole from its first byte to its last.
    pub(super) fn bring_up(
        &mut self,
        copy: &CopyFile,
        life: u32,
        kept: PathBuf,
    ) -> Result<Option<(&Fold, Mark)>, Error> {
        let Some(file) = copy.open() else { return Ok(None) };
        let goes_on = self.fold.as_ref().is_some_and(|fold| fold.life() == life)
            && self.scan.go_on(&file).unwrap_or(false);
        if !goes_on && !self.begin(&file, life, &kept) {
            *self = Self::behind(self.behind);
            return Ok(None);
        }
        let Some(fold) = &mut self.fold else { return Ok(None) };
        while fold.position() < self.scan.size() {
            let Some(item) = self.scan.item(&file, fold.position()) else { return Ok(None) };
            fold.take(&item)?;
        }
        self.keep(&kept);
        let mark = self.scan.mark().cloned();
        Ok(self.fold.as_ref().zip(mark))
    }

    /// How many positions it took from the snapshot on disk, or wrote there.
    #[cfg(test)]
    pub(super) const fn kept(&self) -> u64 {
        self.kept
    }

    /// Goes through the copy from its first byte, and takes up the snapshot if that fits.
    fn begin(&mut self, file: &File, life: u32, kept: &Path) -> bool {
        let snapshot = std::fs::read(kept).ok().and_then(|bytes| decode(&bytes));
        let size = snapshot.as_ref().map(|(_, bound)| bound.size);
        *self = Self { scan: Scan::wanting(size), ..Self::behind(self.behind) };
        if !self.scan.go_on(file).unwrap_or(false) {
            return false;
        }
        self.fold = snapshot.and_then(|(snapshot, bound)| {
            let beside = Beside::read(&bound.beside).filter(|beside| beside.life == life)?;
            self.scan.wanted().filter(|root| root.0 == bound.root)?;
            let places = self.scan.places(file.try_clone().ok()?);
            let source: Arc<dyn Records> = Arc::new(OnDisk(places, kept.to_owned()));
            let state = State::restore(&snapshot, &source)?;
            let Beside { own, last_typed, .. } = beside;
            Some(Fold::restored(state, life, bound.size, own, last_typed))
        });
        self.kept = self.fold.as_ref().map_or(0, Fold::position);
        self.fold.get_or_insert_with(|| Fold::new(life, Then::default()));
        true
    }

    /// Writes the snapshot anew if it covers much less than was folded by now.
    fn keep(&mut self, kept: &Path) {
        let (Some(fold), Some(root)) = (&self.fold, self.scan.root()) else { return };
        let size = fold.position();
        if size.saturating_sub(self.kept) < self.behind {
            return;
        }
        let (own, last_typed) = fold.own();
        let beside = Beside { life: fold.life(), own, last_typed }.bytes();
        let bound = Bound { size, root: root.0, beside };
        // Whoever cannot write it folds again next time.
        match burrline_disk::replace(kept, &encode(&fold.state().snapshot(), &bound), 0o600) {
            Ok(()) => self.kept = size,
            Err(error) => tracing::debug!(%error, "the folded copy was not kept"),
        }
    }
}

/// What a bench knows of its own lines, beside the present.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Beside {
    life: u32,
    own: u64,
    last_typed: Moment,
}

impl Beside {
    fn bytes(self) -> Vec<u8> {
        let mut bytes = self.life.to_le_bytes().to_vec();
        bytes.extend(self.own.to_le_bytes());
        bytes.extend(self.last_typed.0.to_le_bytes());
        bytes
    }

    fn read(bytes: &[u8]) -> Option<Self> {
        let (life, rest) = bytes.split_first_chunk::<4>()?;
        let (own, rest) = rest.split_first_chunk::<8>()?;
        let last_typed = Moment(i64::from_le_bytes(rest.try_into().ok()?));
        let (life, own) = (u32::from_le_bytes(*life), u64::from_le_bytes(*own));
        Some(Self { life, own, last_typed })
    }
}

/// Records of the copy, read when somebody looks.
struct OnDisk(Places, PathBuf);

impl Records for OnDisk {
    #[allow(
        clippy::exit,
        clippy::disallowed_methods,
        reason = "the scan has just read this very frame whole; a disk that fails in between gives no present"
    )]
    fn record(&self, position: u64) -> Record {
        if let Some(Item::Record(bytes)) = self.0.item(position)
            && let Ok((record, _)) = decode_record(&bytes)
        {
            return record;
        }
        // The next command folds the copy from its first record, and cuts off what is damaged.
        let _ = std::fs::remove_file(&self.1);
        tracing::error!(
            position,
            "this bench's copy of the log was damaged while it was read; nothing of this command was \
             recorded: say it again"
        );
        std::process::exit(70)
    }
}

impl Bench {
    /// Where the snapshot of what was folded is kept.
    pub(super) fn folded(&self) -> PathBuf {
        self.folder.path(FILE)
    }
}
