//! The shell around the recorder: the folder, the log, the committing thread, keys and scripts.

mod commit;
mod disk;
mod fatal;
pub mod files;
mod folder;
mod frozen;
mod go_on;
mod invites;
mod keyless;
mod keys;
mod log;
mod notes;
mod open_error;
mod opening;
pub(crate) mod own_key;
mod proving;
mod put_back;
mod restore;
mod stripes;

use std::sync::{
    Arc, Mutex, PoisonError, RwLock, RwLockReadGuard,
    atomic::{AtomicU64, Ordering},
};

use burrline_domain::{
    BenchClock, Class, Entry, Record, Refusal, State, Verb, verb::PutClockRight,
};
use burrline_evidence::sign::{BenchKey, PublicKey, Signature};
use burrline_ledger::Reader;
use burrline_present::judge::Judge;
use burrline_proto::{Malformed, decode_entry, encode_entry};
use burrline_terms::{EntryName, Moment, Phrase, Typed as _, words::Role};
use thiserror::Error;
use tokio::sync::{OwnedSemaphorePermit, Semaphore, oneshot, watch};

pub use burrline_disk::room as room_of;
pub use commit::StoreFailed;
pub use disk::{Disk, DiskLimits, Level, size};
pub use fatal::End;
pub use folder::{Folder, FolderError, Holds};
pub use frozen::Frozen;
pub use go_on::Wish;
pub use invites::{Asked, BadCode, Granted, Invites, Listed};
pub use log::Starting;
pub use open_error::OpenError;
pub(crate) use opening::read_log;
pub use opening::read_until;
pub use own_key::NoKey;
pub use proving::Proved;
pub use restore::{RestoreError, TakenBack, Who};

use notes::changes_scripts;

use crate::{
    folded::Keeper,
    heads::{Given, Heads, HeadsError},
    keyring::Keyring,
    looks::Looks,
    metrics::Metrics,
    photos::Photos,
    recorder::{Doubted, MachineTime, NotTaken, Recorder, Sent, Submission},
};

/// How many entries may be between taken and on disk.
const IN_FLIGHT: usize = 4096;

/// Tells the time; the one thing that makes a run differ from its replay.
pub trait Clock: Send + Sync {
    /// Now, by the shop's clock.
    fn now(&self) -> Moment;

    /// Whether a time server set it, as far as the machine says.
    fn is_synchronized(&self) -> bool {
        false
    }
}

/// The machine's clock.
#[derive(Debug, Clone, Copy, Default)]
pub struct MachineClock;

impl Clock for MachineClock {
    fn now(&self) -> Moment {
        Moment(jiff::Timestamp::now().as_millisecond())
    }

    /// The service that most machines set their clock by leaves this mark; without it nothing is
    /// known.
    fn is_synchronized(&self) -> bool {
        std::path::Path::new("/run/systemd/timesync/synchronized").exists()
    }
}

/// A key of sealed details: its id and itself.
pub type SealingKey = ([u8; 16], [u8; 32]);

/// How an entry is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Taking {
    /// As any.
    New,
    /// Its bench withdraws it.
    Withdrawn,
    /// The shop says it of itself, also while it takes nothing new otherwise.
    Own,
}

/// Why a decision that its bench withdraws is refused.
fn withdrawn(verb: &Verb) -> Option<Refusal> {
    (verb.spec().class == Class::Decision).then_some(Refusal::Withdrawn)
}

/// Why an entry did not get onto the log.
#[derive(Debug, Error)]
pub enum RecordError {
    /// The bytes are no entry.
    #[error("this is no entry: {0}")]
    Malformed(#[from] Malformed),
    /// The bench's key did not sign it.
    #[error(
        "the signature of entry {0} is not by the key of its life; if the bench's key was damaged, give \
         the bench a new life with `burrline rejoin --code CODE`"
    )]
    BadSignature(EntryName),
    /// The recorder did not take it.
    #[error(transparent)]
    NotTaken(#[from] NotTaken),
    /// Keys could not be kept.
    #[error("the keyring cannot be written")]
    Keyring(#[source] std::io::Error),
    /// That a life is frozen could not be kept.
    #[error("the shop's folder cannot be written")]
    Frozen(#[source] FolderError),
    /// The shop is closing or its store has failed.
    #[error("the shop is closing; the entry stays in the outbox")]
    Closing,
    /// The disk is full or failed.
    #[error("the shop takes nothing new: {0}")]
    Disk(String),
    /// The shop was put back from a backup and takes back first what it lost.
    #[error("the shop takes nothing new yet: {0}")]
    Restoring(String),
}

impl RecordError {
    /// A word for it, by which it is counted.
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Malformed(_) => "malformed",
            Self::BadSignature(_) => "bad-signature",
            Self::NotTaken(_) => "not-taken",
            Self::Keyring(_) => "keyring",
            Self::Frozen(_) => "folder",
            Self::Closing => "closing",
            Self::Disk(_) => "disk",
            Self::Restoring(_) => "restoring",
        }
    }
}

/// An entry that is decided; it may be told once it is on disk.
#[derive(Debug)]
pub struct Taken {
    /// The record.
    pub record: Arc<Record>,
    /// Whether it was on the log already.
    pub repeat: bool,
    /// Comes when it is on disk; an error means that the store failed.
    pub durable: oneshot::Receiver<()>,
    _permit: OwnedSemaphorePermit,
}

/// The shop.
pub struct Shop {
    folder: Folder,
    clock: Arc<dyn Clock>,
    decided: Arc<RwLock<Recorder>>,
    published: Arc<RwLock<Arc<State>>>,
    judge: Judge,
    keyring: Arc<Mutex<Keyring>>,
    own_key: Arc<BenchKey>,
    keys: keys::Keys,
    own_turn: Mutex<()>,
    heads: Heads,
    put_back: put_back::PutBack,
    frozen: Frozen,
    photos: Photos,
    looks: Looks,
    going_on: Mutex<()>,
    /// How many keys of sealed details the log names and the shop lacks.
    missing: AtomicU64,
    reader: Reader,
    committer: commit::Committer,
    keeper: Arc<Keeper>,
    proving: proving::Proving,
    fatal: fatal::Fatal,
    durable: watch::Receiver<u64>,
    disk: Disk,
    metrics: Arc<Metrics>,
    stripes: stripes::Stripes,
    in_flight: Arc<Semaphore>,
    /// Why the machine's clock is doubted, and how far the best word for now is from it.
    held: Mutex<Option<(Doubted, i64)>>,
}

impl std::fmt::Debug for Shop {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Shop").field("folder", &self.folder).finish_non_exhaustive()
    }
}

impl Shop {
    /// Now: the machine's time, or where that is doubted the best word for it.
    pub fn now(&self) -> Moment {
        let machine = self.clock.now();
        let held = *self.held.lock().unwrap_or_else(PoisonError::into_inner);
        let held = held.filter(|(doubted, _)| doubted.still_holds(machine));
        held.map_or(machine, |(_, off_ms)| machine.plus(off_ms))
    }

    /// What the machine takes for the time; codes that are made beside the server go by it.
    pub fn machine_now(&self) -> Moment {
        self.clock.now()
    }

    fn machine_time(&self) -> MachineTime {
        MachineTime { at: self.clock.now(), is_synchronized: self.clock.is_synchronized() }
    }

    /// Why the shop's clock is doubted, and what an owner may decide of that.
    pub fn clock_doubt(&self) -> Option<(Doubted, Option<PutClockRight>)> {
        let head = self.decided();
        let machine = self.clock.now();
        let doubted = head.doubted().filter(|doubted| doubted.still_holds(machine))?;
        // Where the benches go on from the log, the machine is wrong and the log is not.
        let log_is_right = doubted.benches_agree_with_log();
        Some((doubted, head.put_clock_right(machine).filter(|_| !log_is_right)))
    }

    /// Tells, once, that the clock is doubted or no longer is; readings go by the best word for now.
    fn heed_clock(&self, before: Option<Doubted>, after: Option<Doubted>, off_ms: i64) {
        *self.held.lock().unwrap_or_else(PoisonError::into_inner) =
            after.map(|doubted| (doubted, off_ms));
        match (before, after) {
            (None, Some(Doubted { why, machine, log, benches })) => tracing::error!(
                ?why,
                machine = %machine.show(),
                log = %log.show(),
                benches = benches.map(|at| at.show()),
                "the shop's clock is in doubt; see the runbook, \u{201c}The clock is wrong\u{201d}"
            ),
            (Some(_), None) => tracing::warn!("the shop's clock is in doubt no longer"),
            (None, None) | (Some(_), Some(_)) => {}
        }
    }

    /// The folder.
    pub const fn folder(&self) -> &Folder {
        &self.folder
    }

    /// The decided head: what evaluators see.
    pub fn decided(&self) -> RwLockReadGuard<'_, Recorder> {
        self.decided.read().unwrap_or_else(PoisonError::into_inner)
    }

    /// The present as it is on disk: what everybody else sees.
    pub fn published(&self) -> Arc<State> {
        Arc::clone(&self.published.read().unwrap_or_else(PoisonError::into_inner))
    }

    /// The judge.
    pub const fn judge(&self) -> &Judge {
        &self.judge
    }

    /// The log, as far as it is on disk.
    pub const fn reader(&self) -> &Reader {
        &self.reader
    }

    /// The heads that were signed.
    pub const fn heads(&self) -> &Heads {
        &self.heads
    }

    /// The disk under the folder.
    pub const fn disk(&self) -> &Disk {
        &self.disk
    }

    /// What it counts and measures of itself.
    pub fn metrics(&self) -> &Metrics {
        &self.metrics
    }

    /// How many entries are between taken and on disk.
    pub fn queued(&self) -> usize {
        IN_FLIGHT.saturating_sub(self.in_flight.available_permits())
    }

    /// How many keys of sealed details the log names and the shop lacks.
    pub fn missing_keys(&self) -> u64 {
        self.missing.load(Ordering::Relaxed)
    }

    /// The photos.
    pub const fn photos(&self) -> &Photos {
        &self.photos
    }

    /// Who looked at what, as far as the shop did not say it yet.
    pub const fn looks(&self) -> &Looks {
        &self.looks
    }

    /// Says who looked at what: what is over, or all of it. What the log does not take now is kept for the
    /// next time. Blocks.
    pub fn say_looks(&self, all: bool) {
        let _turn = self.looks.turn();
        for looked in self.looks.take(self.now(), all) {
            let room = Arc::clone(&self.in_flight).try_acquire_owned();
            let said = room.map_err(|_| RecordError::Closing);
            let said = said.and_then(|room| self.say(looked.clone().into(), room));
            if let Err(error) = said {
                tracing::warn!(%error, life = looked.life, "who looked at what is not on the log yet");
                self.looks.put_back(&looked);
            }
        }
    }

    /// The shop's own public key, which its heads are signed by.
    pub fn key(&self) -> PublicKey {
        self.own_key.public()
    }

    /// The newest signed head. Blocks.
    ///
    /// # Errors
    /// [`HeadsError`]; nothing was signed.
    pub fn newest_head(&self) -> Result<Given, HeadsError> {
        // A head is on disk before it is given out; so on a disk that takes nothing, the last one is
        // the newest.
        if self.disk.why_not().is_some()
            && let Some(last) = self.heads.given().pop()
        {
            return Ok(last);
        }
        self.heads.newest(&self.reader, &self.own_key, self.now())
    }

    /// How many records are on disk, as it grows.
    pub fn durable(&self) -> watch::Receiver<u64> {
        self.durable.clone()
    }

    /// The keyring.
    pub fn keyring(&self) -> std::sync::MutexGuard<'_, Keyring> {
        self.keyring.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Waits for room between taken and on disk.
    ///
    /// # Errors
    /// [`RecordError::Closing`] if the shop is closing.
    pub async fn room(&self) -> Result<OwnedSemaphorePermit, RecordError> {
        Arc::clone(&self.in_flight).acquire_owned().await.map_err(|_| RecordError::Closing)
    }

    /// Waits for room for several entries at once, so that no two callers each hold a part of what
    /// the other waits for.
    ///
    /// # Errors
    /// [`RecordError::Closing`] if the shop is closing.
    pub async fn room_for(&self, entries: usize) -> Result<OwnedSemaphorePermit, RecordError> {
        let entries = u32::try_from(entries.min(IN_FLIGHT)).unwrap_or(1);
        let room = Arc::clone(&self.in_flight).acquire_many_owned(entries).await;
        room.map_err(|_| RecordError::Closing)
    }

    /// Takes a signed entry: checks it, judges it and decides it. Blocks; runs scripts.
    ///
    /// # Errors
    /// [`RecordError`]; nothing was recorded.
    pub fn take(
        &self,
        bytes: Vec<u8>,
        signature: Vec<u8>,
        keys: &[SealingKey],
        sent: Option<Sent>,
        permit: OwnedSemaphorePermit,
    ) -> Result<Taken, RecordError> {
        self.takes_new()?;
        self.take_now((bytes, signature), keys, sent, permit, Taking::New)
    }

    /// Takes a signed entry whose bench withdraws it, if it is a decision: what is on the log already
    /// stands, and else it is refused. Blocks.
    ///
    /// # Errors
    /// As for [`Shop::take`].
    pub fn take_withdrawn(
        &self,
        bytes: Vec<u8>,
        signature: Vec<u8>,
        keys: &[SealingKey],
        sent: Option<Sent>,
        permit: OwnedSemaphorePermit,
    ) -> Result<Taken, RecordError> {
        self.takes_new()?;
        self.take_now((bytes, signature), keys, sent, permit, Taking::Withdrawn)
    }

    /// Takes a signed entry.
    fn take_now(
        &self,
        (bytes, signature): (Vec<u8>, Vec<u8>),
        keys: &[SealingKey],
        sent: Option<Sent>,
        permit: OwnedSemaphorePermit,
        taking: Taking,
    ) -> Result<Taken, RecordError> {
        let entry = decode_entry(&bytes)?;
        self.check_signature(&entry, &bytes, &signature)?;
        self.keep_key(&entry, keys)?;
        // Entries about the same skull or place are judged and decided one after the other, so that
        // no rule is judged by a present that another entry has just changed.
        let _keys = self.stripes.lock(self.touches(&entry.verb));
        let matter = {
            let head = self.decided();
            let happened = head.happened(&entry, sent.as_ref(), self.machine_time());
            self.judge.matter(head.state(), &entry, happened)
        };
        // Scripts run while nothing but the stripes is locked: others go on meanwhile.
        let judged = self.judge.judged(&matter);
        let notes = self.notes(&entry, &judged, bytes.len());
        let remarks = judged.remarks;
        let refusal = match taking {
            Taking::Withdrawn => withdrawn(&entry.verb),
            Taking::New | Taking::Own => self.cannot_use(&entry.verb),
        };
        let submission = Submission { entry, bytes, signature, sent, remarks, notes, refusal };
        let mut head = self.decided.write().unwrap_or_else(PoisonError::into_inner);
        if self.fatal.is_over() {
            return Err(RecordError::Closing);
        }
        // Looked at with the head locked: a bench may have shown meanwhile that records are missing.
        if taking != Taking::Own && self.is_restoring() {
            drop(head);
            return self.takes_new().and(Err(RecordError::Closing));
        }
        let before = head.doubted();
        let decided = self.fatal.guard("deciding", || {
            let now = self.machine_time();
            (now, head.record(submission, now))
        });
        let (now, decided) = decided.ok_or(RecordError::Closing)?;
        let off_ms = head.hold_clock(now).since(now.at);
        self.heed_clock(before, head.doubted(), off_ms);
        let recorded = match decided {
            Ok(recorded) => recorded,
            Err(NotTaken::Frozen(clash)) => {
                drop(head);
                self.frozen.keep_at(clash).map_err(RecordError::Frozen)?;
                return Err(NotTaken::Frozen(clash).into());
            }
            Err(other) => return Err(other.into()),
        };
        let (record, repeat) = (Arc::clone(&recorded.record), recorded.bytes.is_none());
        self.decided_on(&head, &record);
        // Queued while the head is locked, so that the log has the order of the decisions.
        let durable = self.committer.queue(recorded).map_err(|StoreFailed| RecordError::Closing)?;
        drop(head);
        Ok(Taken { record, repeat, durable, _permit: permit })
    }

    /// The shop itself says something, as bench 0.
    ///
    /// # Errors
    /// [`RecordError`]; nothing was recorded.
    pub fn say(&self, verb: Verb, permit: OwnedSemaphorePermit) -> Result<Taken, RecordError> {
        self.takes_new()?;
        self.say_of_itself(verb, permit)
    }

    /// The shop says something of itself, whether it takes anything new or not.
    fn say_of_itself(
        &self,
        verb: Verb,
        permit: OwnedSemaphorePermit,
    ) -> Result<Taken, RecordError> {
        // One after the other, so that no two lines of the shop get one number.
        let _turn = self.own_turn.lock().unwrap_or_else(PoisonError::into_inner);
        let now = self.clock.now();
        let clock = BenchClock { wall: now, boot: [0; 16], uptime_ms: 0 };
        let n = self.decided().held(0).saturating_add(1);
        let entry = Entry {
            name: EntryName::new(0, n),
            hand: None,
            clock: clock.clone(),
            said: None,
            seen: 0,
            together: None,
            anyway: None,
            rulings: Vec::new(),
            not_seen: false,
            formerly: None,
            verb,
        };
        let bytes = encode_entry(&entry);
        let signature = self.own_key.sign_entry(&bytes).0.to_vec();
        self.take_now((bytes, signature), &[], Some(clock.into()), permit, Taking::Own)
    }

    /// The shop's own key, by which a bench knows that it speaks with this shop.
    pub fn own_key(&self) -> Arc<BenchKey> {
        Arc::clone(&self.own_key)
    }

    /// Says who looked at what, waits until all that was taken is on disk, and stops the committing thread.
    pub fn close(&self) {
        self.say_looks(true);
        self.in_flight.close();
        self.committer.close();
        self.keeper.close();
        self.proving.close();
    }

    /// How far the records that this start did not read were hashed again.
    pub fn hashed_again(&self) -> (u64, u64) {
        self.proving.proved.so_far()
    }

    /// The role of a life, for readings.
    pub fn role(&self, life: u32) -> Option<Role> {
        self.decided().role(EntryName::new(life, 0)).ok()
    }

    fn takes_new(&self) -> Result<(), RecordError> {
        if let Some(words) = self.restoring() {
            return Err(RecordError::Restoring(words));
        }
        self.disk.why_not().map_or(Ok(()), |words| Err(RecordError::Disk(words)))
    }

    /// Keeps the key of what the entry seals, before the entry is decided: a new entry's own key.
    fn keep_key(&self, entry: &Entry, keys: &[SealingKey]) -> Result<(), RecordError> {
        let Some(sealed) = entry.verb.sealed() else { return Ok(()) };
        let own: Vec<SealingKey> =
            keys.iter().filter(|(id, _)| *id == sealed.key_id).copied().collect();
        // A repeat must not bring back a key that was dropped since.
        if entry.name.n <= self.decided().held(entry.name.life) {
            return Ok(());
        }
        let mut keyring = self.keyring();
        keyring.keep(&own).map_err(RecordError::Keyring)?;
        if keyring.has(&sealed.key_id) {
            return Ok(());
        }
        // It never came, so its lack is no damage later.
        let id = std::iter::once(sealed.key_id);
        keyless::note(self.folder.root(), id).map_err(RecordError::Keyring)
    }

    /// Why a script that is to be activated cannot be used.
    fn cannot_use(&self, verb: &Verb) -> Option<Refusal> {
        let digest = if let Verb::ActivateScript(activate) = verb {
            activate.digest
        } else if let Verb::ShadowScript(shadow) = verb {
            shadow.digest
        } else {
            return None;
        };
        let head = self.decided();
        let problem = self.judge.is_usable(head.state(), digest).err()?;
        Some(Refusal::UnusableScript(Phrase::clipped(&problem.to_string())))
    }

    fn check_signature(
        &self,
        entry: &Entry,
        bytes: &[u8],
        signature: &[u8],
    ) -> Result<(), RecordError> {
        let name = entry.name;
        let key = if name.life == 0 {
            self.own_key.public()
        } else {
            let head = self.decided();
            // A frozen or retired life may still get its first receipts again.
            let bench = head.state().shop().benches.get(&name.life);
            PublicKey(bench.ok_or(NotTaken::Unknown(name.life))?.key.0)
        };
        let wrong = |_| RecordError::BadSignature(name);
        let signature: [u8; 64] =
            signature.try_into().map_err(|_| RecordError::BadSignature(name))?;
        let key = self.keys.ready(key).map_err(wrong)?;
        key.check_entry(bytes, &Signature(signature)).map_err(wrong)
    }

    /// What the shop does at once when something was decided.
    fn decided_on(&self, head: &Recorder, record: &Record) {
        if matches!(record.outcome, burrline_domain::Outcome::Refused(_)) {
            return;
        }
        if changes_scripts(&record.entry.verb) {
            let at = record.position.saturating_add(1);
            if let Err(problem) = self.judge.activated(head.state(), at) {
                tracing::error!(%problem, "an active script cannot be used and is not asked");
            }
        }
    }

    fn touches(&self, verb: &Verb) -> Vec<u64> {
        let head = self.decided();
        let job = verb.skull().and_then(|skull| head.state().find_job(skull));
        let ticket = job.and_then(burrline_domain::fold::Job::ticket);
        let ticket = ticket.map(|ticket| stripes::hash(&("ticket", ticket)));
        let job = job.map(|job| stripes::hash(&("job", job.id)));
        let place = verb.place().map(|place| stripes::hash(&("place", place.as_str())));
        [ticket, job, place].into_iter().flatten().collect()
    }
}
