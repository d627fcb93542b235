//! The owner's word that a shop goes on without what nobody could give back.
//!
//! `burrline-shop restored --go-on WORDS` leaves the file `put-back.go-on`. The shop finds it
//! at its start, or at the next word with a bench. It then records `lost` as bench 0, with the
//! place where the loss begins and the checkpoint up to which it reaches, and is whole.
//!
//! That record excuses checkpoints within the lost stretch, and nothing else: at the shop, in
//! `check` and at a bench.
//!
//! A bench that was not heard may come back with a head that reaches further than the shop could know.
//! It says how many losses it had when its copy was last the shop's log. What was declared since is
//! then recorded once more, as far as that head reaches (`Shop::hear_heads`).

use std::{
    io,
    path::{Path, PathBuf},
};

use burrline_disk::lines::{self, Lines};
use burrline_domain::{State, fold::Loss, verb};
use burrline_terms::Typed as _;
use burrline_terms::{Digest, Phrase};
use thiserror::Error;
use tokio::sync::OwnedSemaphorePermit;

use super::{RecordError, RestoreError, Shop};
use crate::off_thread::{BrokeDown, off_thread};

pub(super) const FILE: &str = "put-back.go-on";

/// Reads the lines of the owner's word; writes nothing.
///
/// # Errors
/// If it is there and cannot be read.
pub(super) fn look(folder: &Path) -> io::Result<Lines> {
    lines::read_whole(&Wish::path(folder), |_| false)
}

/// What the owner says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wish {
    /// How many records the log had when it was put back, if the shop cannot know it.
    pub from: Option<u32>,
    /// How it came about.
    pub words: Phrase,
}

/// Why a shop does not go on.
#[derive(Debug, Error)]
pub(super) enum CannotGoOn {
    /// Where the loss begins is not known.
    #[error(
        "other records stand in the places of those that were lost, and where they begin is not \
         known: say it again with --from N, how many records the backup had (its check.txt says)"
    )]
    FromWhere,
    /// A head contradicts the log before that.
    #[error("a checkpoint over {0} records contradicts the log as well: --from is too large")]
    Earlier(u64),
    /// The heads or the folder.
    #[error(transparent)]
    Restore(#[from] RestoreError),
    /// The loss could not be recorded.
    #[error(transparent)]
    Record(#[from] RecordError),
    /// The file.
    #[error("{FILE}: {0}")]
    File(#[from] io::Error),
}

impl Wish {
    fn path(folder: &Path) -> PathBuf {
        folder.join(FILE)
    }

    /// Leaves it in a shop's folder.
    ///
    /// # Errors
    /// If it cannot be written.
    pub fn leave(&self, folder: &Path) -> io::Result<()> {
        let from = self.from.map(|from| format!("from {from}"));
        let words = format!("words {}", self.words);
        let lines: Vec<String> = from.into_iter().chain([words]).collect();
        lines::replace_whole(&Self::path(folder), &lines, 0o600)
    }

    /// What the file says; none if there is none. One that is damaged is no word of the owner's: it is
    /// set aside, and the shop goes on waiting.
    fn read(folder: &Path) -> io::Result<Option<Self>> {
        let path = Self::path(folder);
        let read = look(folder)?;
        if !read.is_there {
            return Ok(None);
        }
        let value = |name: &str| read.sound.iter().find_map(|line| line.strip_prefix(name));
        let from = value("from ").map(|from| from.trim().parse()).transpose();
        let words = value("words ").and_then(|words| Phrase::read(words).ok());
        if let (true, Ok(from), Some(words)) = (read.is_sound(), from, words) {
            return Ok(Some(Self { from, words }));
        }
        let aside = lines::rename_aside(&path)?;
        let words = format!("it is damaged and kept as {}: say it again", aside.display());
        Err(io::Error::new(io::ErrorKind::InvalidData, words))
    }

    fn done(folder: &Path) -> io::Result<()> {
        std::fs::remove_file(Self::path(folder))?;
        burrline_disk::sync_name(&Self::path(folder))
    }
}

impl Shop {
    /// Goes on if the owner says so. What is wrong with it is in the shop's log; the shop then waits.
    ///
    /// # Errors
    /// [`RecordError::Closing`] if the shop is closing.
    pub async fn heed_owner(self: &std::sync::Arc<Self>) -> Result<(), RecordError> {
        if !Wish::path(self.folder.root()).exists() {
            return Ok(());
        }
        let room = self.room().await?;
        let shop = std::sync::Arc::clone(self);
        let done = off_thread(move || shop.go_on(room)).await;
        match done.map_err(|BrokeDown| RecordError::Closing)? {
            Ok(()) => Ok(()),
            Err(CannotGoOn::Record(error)) => Err(error),
            Err(error) => {
                tracing::error!(%error, "the shop does not go on as the owner says");
                Ok(())
            }
        }
    }

    /// Says what is lost, waits until that is on disk, and is whole.
    fn go_on(&self, room: OwnedSemaphorePermit) -> Result<(), CannotGoOn> {
        let _turn = self.going_on.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
        let folder = self.folder.root();
        let Some(wish) = Wish::read(folder)? else { return Ok(()) };
        if let Some(lost) = self.lost(&wish)? {
            let taken = self.say_of_itself(lost.into(), room)?;
            taken.durable.blocking_recv().map_err(|_| RecordError::Closing)?;
            for loss in self.decided().state().shop().losses.values() {
                self.heads.excuse(loss.clone());
            }
            let entry = taken.record.entry.name;
            tracing::warn!(%entry, "the shop said on its log what it lost, and goes on");
        }
        self.put_back.end()?;
        Ok(Wish::done(folder)?)
    }

    /// What is lost for good: what heads were signed over that the log does not agree with.
    fn lost(&self, wish: &Wish) -> Result<Option<verb::Lost>, CannotGoOn> {
        let unmet = self.heads.unmet(&self.reader).map_err(RestoreError::from)?;
        let head = self.decided();
        let (state, records) = (head.state(), head.state().records());
        let narrow = |size: u64| u32::try_from(size).unwrap_or(u32::MAX);
        let (Some(first), Some(last)) = (unmet.first(), unmet.last()) else {
            if self.is_restoring() {
                // A bench that comes later may hold more: then it is known from where on.
                let root = self.heads.edge(&self.reader).map_err(RestoreError::from)?.root();
                let (from, root, words) = (narrow(records), Digest(root.0), wish.words.clone());
                return Ok(Some(verb::Lost { from, to: from, root, words }));
            }
            return Ok(wider(state, wish));
        };
        // Nothing stands in their places yet: then all that is here is as it was.
        let whole = (first.size > records).then(|| narrow(records));
        let put_back = self.put_back.known().and_then(|known| known.records).map(narrow);
        let before = state.shop().losses.values().map(|loss: &Loss| loss.from).min();
        let from = wish.from.or(whole).or(put_back).or(before).ok_or(CannotGoOn::FromWhere)?;
        if first.size <= u64::from(from) {
            return Err(CannotGoOn::Earlier(first.size));
        }
        let root = Digest(last.root.0);
        Ok(Some(verb::Lost { from, to: narrow(last.size), root, words: wish.words.clone() }))
    }
}

/// The loss that explains a head over so many records, which a bench shows that had `known` of the losses
/// when its copy was last the shop's log: what was declared without it reaches as far as it has come.
pub(super) fn reaching(state: &State, size: u64, root: Digest, known: usize) -> Option<verb::Lost> {
    let later = state.shop().losses.values().skip(known);
    let first = later.min_by_key(|loss| loss.from).filter(|loss| size > u64::from(loss.from))?;
    let (from, to, words) = (first.from, u32::try_from(size).ok()?, first.words.clone());
    Some(verb::Lost { from, to, root, words })
}

/// The last loss over again from an earlier place, where the owner finds out that more was lost.
fn wider(state: &State, wish: &Wish) -> Option<verb::Lost> {
    let from = wish.from?;
    let last = state.shop().losses.values().max_by_key(|loss| loss.to)?;
    let (to, root, words) = (last.to, last.root, wish.words.clone());
    (from < last.from).then_some(verb::Lost { from, to, root, words })
}
