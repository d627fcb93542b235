//! A shop that was put back from a backup takes back from its benches what it lost.
//!
//! It takes records byte for byte and place by place. So the log has the root that it had, and
//! places, times, answers and every checkpoint that was given out fit again. Meanwhile nothing
//! new is recorded, as it would take the places of what was lost; the benches keep it. The gate
//! (`doors/gate.rs`) answers only what helps.
//!
//! 1. With each mark of its copy a bench keeps the newest signed checkpoint, and it shows the
//!    checkpoints that it holds. One over more records than the shop has proves that the shop
//!    was put back.
//! 2. `recorder/stretch.rs` takes the records of a bench's copy from the next place on, without
//!    a gap, as far as a checkpoint that this shop signed covers them. The shop's own signature
//!    vouches for its words.
//! 3. `Recorder::take_back` checks the signature of each entry once more, and takes it in as a
//!    replay does.
//! 4. A bench proves which lives it speaks for with a note by the key of each
//!    (`present/src/lives.rs`). Without that note the shop goes on waiting for the life.
//!
//! The shop is whole once it has everything that it is known to have signed, and has heard
//! every bench that is enrolled, not retired and not frozen.

use std::{collections::BTreeSet, io, sync::PoisonError};

use burrline_domain::{State, Verb};
use burrline_evidence::{
    checkpoint::Checkpoint,
    key_box,
    seal::{KeyId, SealKey},
    sign::PublicKey,
};
use burrline_host::digest_of;
use burrline_present::lives;
use burrline_terms::Typed as _;
use burrline_terms::{Digest, words::Role};
use thiserror::Error;
use tokio::sync::{OwnedSemaphorePermit, oneshot};

use super::{FolderError, SealingKey, Shop, StoreFailed, files, go_on::reaching};
use crate::{
    heads::HeadsError,
    recorder::{Offered, Recorded, Recorder, Stretch, Unfit},
};

/// Why the shop could not take back what was offered.
#[derive(Debug, Error)]
pub enum RestoreError {
    /// A head is not this shop's, or the log cannot be read.
    #[error(transparent)]
    Heads(#[from] HeadsError),
    /// A record does not fit.
    #[error(transparent)]
    Unfit(#[from] Unfit),
    /// A file of the shop's folder.
    #[error("the shop's folder cannot be written")]
    File(#[from] io::Error),
    /// A script could not be kept.
    #[error("the shop's folder cannot be written")]
    Folder(#[from] FolderError),
    /// The shop is closing or its store has failed.
    #[error("the shop is closing; ask again later")]
    Closing,
}

/// Who gives something back.
#[derive(Debug, Clone, Default)]
pub struct Who {
    /// The lives that it says it has and had.
    pub lives: Vec<u32>,
    /// Notes that prove it.
    pub proofs: Vec<String>,
}

/// What came back from one bench.
#[derive(Debug, Default)]
pub struct TakenBack {
    /// How many records.
    pub records: u64,
    /// Comes when the last of them is on disk.
    pub durable: Option<oneshot::Receiver<()>>,
}

impl Shop {
    /// Why nothing new is recorded for now; none if the shop is whole.
    pub fn restoring(&self) -> Option<String> {
        let known = self.put_back.known()?;
        let head = self.decided();
        let records = head.state().records();
        let then = known.records.map(|then| format!(" with {then} records")).unwrap_or_default();
        let mut words = format!("it was put back from a backup{then}");
        match self.heads.ahead_of(records) {
            Some(ahead) => {
                words = format!("{words}; {records} of the {} that it signed are back", ahead.size);
            }
            None => words = format!("{words} and has {records} now"),
        }
        let waits: Vec<String> = waits_for(head.state(), &known.heard, |life| head.is_frozen(life));
        if !waits.is_empty() {
            words = format!("{words}; it waits for {}", waits.join(", "));
        }
        Some(words)
    }

    /// Whether nothing new is recorded for now.
    pub(super) fn is_restoring(&self) -> bool {
        self.put_back.known().is_some()
    }

    /// Hears which heads of this shop a bench holds. One over more records than there are shows
    /// that the shop was put back.
    ///
    /// # Errors
    /// [`RestoreError`] if one is not this shop's, or cannot be kept.
    pub fn hear_heads(
        &self,
        notes: &[String],
        losses: Option<u32>,
        room: OwnedSemaphorePermit,
    ) -> Result<(), RestoreError> {
        self.reach_losses(notes, losses, room)?;
        for note in notes {
            let head = Checkpoint::check(note, self.key()).map_err(HeadsError::from)?;
            // Held for writing, so that no entry slips in between the look and the note of it.
            let decided = self.decided.write().unwrap_or_else(PoisonError::into_inner);
            let records = decided.state().records();
            if self.heads.is_excused(head.size) {
                continue;
            }
            if head.size > records {
                self.heads.shown(note, self.key())?;
                self.put_back.begin(records)?;
                tracing::warn!(records, signed = head.size, "put back from a backup");
                continue;
            }
            drop(decided);
            // One that the log contradicts is kept: no head is signed beside it until the owner has
            // said what was lost.
            if !self.heads.agrees(&self.reader, &head)? {
                self.heads.shown(note, self.key())?;
                tracing::error!(
                    signed = head.size,
                    "a bench holds a checkpoint that the log contradicts"
                );
            } else if !self.heads.knows(&head) {
                self.heads.shown(note, self.key())?;
                tracing::warn!(
                    signed = head.size,
                    "a bench holds a checkpoint that the file checkpoints did not have; it is added"
                );
            }
        }
        Ok(())
    }

    /// Where a bench was away while the owner said what was lost, says how far that reaches by what it
    /// holds.
    fn reach_losses(
        &self,
        notes: &[String],
        losses: Option<u32>,
        room: OwnedSemaphorePermit,
    ) -> Result<(), RestoreError> {
        let Some(known) = losses.and_then(|known| usize::try_from(known).ok()) else {
            return Ok(());
        };
        if self.is_restoring() || self.decided().state().shop().losses.len() <= known {
            return Ok(());
        }
        let mut furthest: Option<Checkpoint> = None;
        for note in notes {
            let head = Checkpoint::check(note, self.key()).map_err(HeadsError::from)?;
            let further = furthest.as_ref().is_none_or(|other| head.size > other.size);
            if further
                && !self.heads.is_excused(head.size)
                && !self.heads.agrees(&self.reader, &head)?
            {
                furthest = Some(head);
            }
        }
        let Some(head) = furthest else { return Ok(()) };
        let lost = {
            let decided = self.decided();
            reaching(decided.state(), head.size, Digest(head.root.0), known)
        };
        let Some(lost) = lost else { return Ok(()) };
        let taken = self.say_of_itself(lost.into(), room).map_err(|error| {
            tracing::error!(%error, "how far a loss reaches could not be recorded");
            RestoreError::Closing
        })?;
        taken.durable.blocking_recv().map_err(|_| RestoreError::Closing)?;
        for loss in self.decided().state().shop().losses.values() {
            self.heads.excuse(loss.clone());
        }
        tracing::warn!(
            signed = head.size,
            "a bench came back that was away while a loss was declared; the log says how far it reaches"
        );
        Ok(())
    }

    /// Takes keys that a bench kept back, closed to this shop's key: those that are missing. Says which it
    /// is to let go, as their customers were forgotten.
    ///
    /// # Errors
    /// [`RestoreError::File`] if they cannot be kept.
    pub fn take_kept(&self, kept: &[([u8; 16], Vec<u8>)]) -> Result<Vec<[u8; 16]>, RestoreError> {
        if kept.is_empty() {
            return Ok(Vec::new());
        }
        let (wanted, forgotten) = {
            let head = self.decided();
            (files::wanted(head.state()), files::forgotten(head.state()))
        };
        let mut keyring = self.keyring();
        let open = |(id, closed): &([u8; 16], Vec<u8>)| {
            let is_missing = wanted.contains_key(id) && !keyring.has(id);
            let key = is_missing.then(|| key_box::open(closed, KeyId(*id), &self.own_key));
            key.flatten().map(|key| (*id, key.0))
        };
        let back: Vec<SealingKey> = kept.iter().filter_map(open).collect();
        if !back.is_empty() {
            keyring.keep(&back)?;
            tracing::warn!(keys = back.len(), "a bench gave back keys that were missing");
        }
        drop(keyring);
        self.count_missing();
        Ok(kept.iter().map(|(id, _)| *id).filter(|id| forgotten.contains(id)).collect())
    }

    /// Counts the keys that the log names and that are not there.
    pub(super) fn count_missing(&self) {
        let head = self.decided();
        let keyring = self.keyring();
        let missing = files::wanted(head.state()).into_keys().filter(|id| !keyring.has(id)).count();
        let missing = u64::try_from(missing).unwrap_or(u64::MAX);
        self.missing.store(missing, std::sync::atomic::Ordering::Relaxed);
    }

    /// Where what a bench offers must begin. All that was decided is on disk by now.
    ///
    /// # Errors
    /// [`RestoreError::Heads`] if the log cannot be read.
    pub fn stretch(&self) -> Result<Stretch, RestoreError> {
        let edge = self.heads.edge(&self.reader)?;
        Ok(Stretch::after(edge, self.heads.given().into_iter().map(|given| given.head).collect()))
    }

    /// Takes back what a head vouches for of a stretch, with the scripts and keys that belong to
    /// it; from then on that bench counts as heard. Blocks.
    ///
    /// # Errors
    /// [`RestoreError`]; what was taken by then stays.
    pub fn take_back(
        &self,
        who: &Who,
        stretch: Stretch,
        scripts: &[Vec<u8>],
        keys: &[SealingKey],
    ) -> Result<TakenBack, RestoreError> {
        if !self.is_restoring() {
            return Ok(TakenBack::default());
        }
        let offered = stretch.vouched();
        let mut taken = TakenBack::default();
        let mut head = self.decided.write().unwrap_or_else(PoisonError::into_inner);
        self.keep_scripts(scripts, head.state(), &offered)?;
        for one in &offered {
            // Another bench may have given it meanwhile.
            if one.record.position < head.state().records() {
                continue;
            }
            taken.durable = Some(self.take_back_one(&mut head, one)?);
            taken.records = taken.records.saturating_add(1);
        }
        self.keep_keys(keys, head.state())?;
        let heard = self.proved(who, head.state());
        drop(head);
        let lives = &who.lives;
        if taken.records > 0 {
            tracing::info!(?lives, records = taken.records, "records were given back");
        }
        if heard.len() < lives.len() {
            tracing::warn!(?lives, ?heard, "a bench speaks for lives whose keys it does not show");
        }
        self.put_back.heard(&heard)?;
        self.settle()?;
        self.count_missing();
        Ok(taken)
    }

    /// The lives that whoever offers has the keys of. An unknown life has none to be held against:
    /// its bench is heard once its enrolment is back.
    fn proved(&self, who: &Who, state: &State) -> Vec<u32> {
        let (shop, now) = (self.key(), self.now());
        let proved = |life: &u32| {
            let Some(bench) = state.shop().benches.get(life) else { return false };
            let key = PublicKey(bench.key.0);
            who.proofs.iter().any(|proof| lives::proves(proof, *life, key, shop, now))
        };
        who.lives.iter().copied().filter(proved).collect()
    }

    /// The shop is whole once it has all that it is known to have signed, and every bench that it
    /// knows was heard.
    ///
    /// # Errors
    /// [`RestoreError::File`] if that cannot be noted.
    pub(super) fn settle(&self) -> Result<(), RestoreError> {
        let Some(known) = self.put_back.known() else { return Ok(()) };
        let head = self.decided();
        let waits = waits_for(head.state(), &known.heard, |life| head.is_frozen(life));
        if waits.is_empty() && self.heads.ahead_of(head.state().records()).is_none() {
            self.put_back.end()?;
            tracing::info!(records = head.state().records(), "the shop is whole again");
        }
        Ok(())
    }

    fn take_back_one(
        &self,
        head: &mut Recorder,
        one: &Offered,
    ) -> Result<oneshot::Receiver<()>, RestoreError> {
        let taken = self.fatal.guard("taking back", || head.take_back(one, self.key()));
        let record = taken.ok_or(RestoreError::Closing)??;
        self.decided_on(head, &record);
        let recorded = Recorded { record, bytes: Some(one.bytes.clone()) };
        self.committer.queue(recorded).map_err(|StoreFailed| RestoreError::Closing)
    }

    /// Keeps the sources that are named by their digest on the log, or in what comes back.
    fn keep_scripts(
        &self,
        scripts: &[Vec<u8>],
        state: &State,
        offered: &[Offered],
    ) -> Result<(), RestoreError> {
        let installs = |one: &Offered, digest: Digest| matches!(&one.record.entry.verb, Verb::InstallScript(v) if v.digest == digest);
        for source in scripts {
            let name = digest_of(source);
            let Ok(digest) = Digest::read(&name) else { continue };
            let known = state.shop().scripts.contains_key(&digest);
            if known || offered.iter().any(|one| installs(one, digest)) {
                self.folder.keep_script(&name, source)?;
            }
        }
        Ok(())
    }

    /// Keeps keys of what is sealed on the log, unless it was forgotten.
    fn keep_keys(&self, keys: &[SealingKey], state: &State) -> Result<(), RestoreError> {
        let genuine: Vec<SealingKey> =
            keys.iter().filter(|(id, key)| SealKey(*key).id().0 == *id).copied().collect();
        if genuine.is_empty() {
            return Ok(());
        }
        let wanted = files::wanted(state);
        let own: Vec<SealingKey> =
            genuine.into_iter().filter(|(id, _)| wanted.contains_key(id)).collect();
        Ok(self.keyring().keep(&own)?)
    }
}

/// The benches that have still to give what they have, by name.
fn waits_for(state: &State, heard: &BTreeSet<u32>, frozen: impl Fn(u32) -> bool) -> Vec<String> {
    let benches = state.shop().benches.iter();
    benches
        // A viewer has recorded nothing that it could give back.
        .filter(|(_, bench)| !bench.retired && bench.role != Role::Viewer)
        .filter(|(life, _)| !heard.contains(life) && !frozen(**life))
        .map(|(_, bench)| bench.name.to_string())
        .collect()
}
