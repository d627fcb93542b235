//! Opening a shop: the log is replayed, and a new shop gets its first settings and scripts.
//!
//! A start goes on from what an earlier run folded (`folded`), and folds what came since. Every record
//! is hashed again behind it (`proving`), although the head file has the root, as hashing is what finds
//! a flipped bit. Signatures are checked when an entry arrives and by `check`. At each start they
//! would take several times as long.
//!
//! The decided present and the published one share what is equal. Records that the kept file covers
//! come into memory when somebody looks at them.

use std::{
    path::Path,
    sync::{Arc, Mutex, PoisonError, RwLock},
};

use burrline_disk::private::{open_to_others, tighten};
use burrline_domain::{Record, State, Verb, verb};
use burrline_host::{Kind, shipped};
use burrline_ledger::Engine;
use burrline_present::{judge::Judge, view};
use burrline_proto::{decode_record, v1::SignedEntry};
use burrline_terms::{
    Digest, EntryName, Moment, Name, Phrase, Typed,
    words::{Role, ScriptKind},
};
use burrline_tls::{code::JoinCode, fingerprint::Fingerprint};
use tokio::sync::{Semaphore, watch};

use super::{
    Clock, Disk, DiskLimits, Folder, FolderError, Frozen, Holds, IN_FLIGHT, NoKey, OpenError,
    RecordError, Shop,
    commit::{Committer, Present},
    fatal::{End, Fatal},
    files::{self, Finding, Grade},
    invites::Asked,
    keyless,
    keys::Keys,
    log::{Log, Place, ReadLog, Starting},
    own_key::{self, OwnKey},
    proving::Proving,
    put_back::PutBack,
    stripes::Stripes,
};
use crate::{
    folded::{Keep, Keeper},
    heads::Heads,
    keyring::{self, Keyring},
    metrics::Metrics,
    off_thread::{BrokeDown, off_thread},
    photos::{self, Photos},
    recorder::Recorder,
};

/// The folder of a shop, or of one that is begun there.
fn folder_for(path: &Path, zone: &str) -> Result<Folder, OpenError> {
    match Folder::look(path)? {
        Holds::Other(names) => Err(OpenError::NotEmpty { path: path.to_owned(), names }),
        Holds::Nothing | Holds::Begun => Ok(Folder::begin(path, zone)?),
        Holds::Shop => Ok(Folder::at(path)),
    }
}

/// Reads the log from a position on, in order.
///
/// # Errors
/// [`OpenError`] if it cannot be read or understood.
pub(crate) fn read_log(
    reader: &burrline_ledger::Reader,
    from: u64,
    mut each: impl FnMut(Record, SignedEntry),
) -> Result<(), OpenError> {
    const AT_ONCE: usize = 1024;
    let mut position = from;
    loop {
        let chunk = reader.read(position, AT_ONCE)?;
        if chunk.is_empty() {
            return Ok(());
        }
        for bytes in chunk {
            let (record, said) =
                decode_record(&bytes).map_err(|source| OpenError::Unknown { position, source })?;
            each(record, said);
            position = position.saturating_add(1);
        }
    }
}

/// Refolds the log: of what was known after `known` records, what had happened by `of`.
///
/// # Errors
/// [`OpenError`] if it cannot be read or understood.
pub fn read_until(
    reader: &burrline_ledger::Reader,
    of: Option<Moment>,
    known: Option<u64>,
) -> Result<State, OpenError> {
    let mut state = State::new();
    read_log(reader, 0, |record, _| {
        if view::was_known(&record, known) {
            state.apply(record);
        }
    })?;
    Ok(view::as_of(state, of))
}

/// Looks at every file of the folder.
fn look(
    folder: &Folder,
    state: &State,
    key: &Result<OwnKey, NoKey>,
) -> Result<Vec<Finding>, OpenError> {
    let mut found = files::look(folder.root(), &files::Known { state, key })?;
    let photos = photos::listed(&folder.photos())?;
    if !photos.gone.is_empty() {
        found.push(Finding {
            file: "photos".to_owned(),
            grade: Grade::Wrong,
            words: format!(
                "{} photos that were kept are gone; `check` names them",
                photos.gone.len()
            ),
        });
    }
    Ok(found)
}

/// Says what does not fit. The shop opens all the same, unless its log or its key is gone.
fn tell(found: &[Finding]) {
    for Finding { file, grade, words } in found {
        match grade {
            Grade::Wrong => tracing::error!(file, "a file is not as it was written: {words}"),
            Grade::Note => tracing::info!(file, "{words}"),
            Grade::Sound => {}
        }
    }
}

/// The lives that are frozen, also in the recorder.
fn frozen(folder: &Folder, recorder: &mut Recorder) -> Result<Frozen, FolderError> {
    let (frozen, lives) = Frozen::open(folder.root())?;
    for (life, clash) in lives {
        match clash {
            0 => recorder.freeze(life),
            n => recorder.freeze_at(EntryName::new(life, n)),
        }
    }
    Ok(frozen)
}

/// The keys, without those of customers who were forgotten: a keyring from a backup may have them.
fn keyring(folder: &Folder, state: &State) -> std::io::Result<Keyring> {
    let missing = files::missing(&keyring::Look::at(folder.root())?, state);
    let mut keyring = Keyring::open(folder.root())?;
    // They were told, and are no news to the next start.
    keyless::note(folder.root(), missing.into_keys())?;
    for (customer, _) in state.shop().customers.iter().filter(|(_, known)| known.forgotten) {
        keyring.drop_keys(&state.sealed_about(*customer))?;
    }
    Ok(keyring)
}

/// Takes from others on this machine whatever they may do with the folder. Of a shop that was there before
/// it is told; what was just made is nobody's news.
fn keep_private(path: &Path, was_there: bool) -> Result<(), OpenError> {
    // A key that others could read is not made private in silence: somebody has to know.
    if let Ok(Some(rights)) = open_to_others(&path.join(own_key::FILE)) {
        return Err(NoKey::Open(rights).into());
    }
    let loose = tighten(path).map_err(|source| FolderError { path: path.to_owned(), source })?;
    if let (true, Some(first)) = (was_there, loose.first()) {
        tracing::warn!(
            files = loose.len(),
            first = %first.display(),
            "others on this machine could read files of the shop; they are its own user's now"
        );
    }
    Ok(())
}

impl Shop {
    /// Opens the shop in a folder; a new one gets the shipped scripts and its zone.
    ///
    /// `failed` is called if the store fails later on, or the fold breaks down: it must end the
    /// process at once, for nothing can be answered after that.
    ///
    /// # Errors
    /// [`OpenError`] says what is wrong and what to do.
    pub async fn open(
        path: &Path,
        zone: &str,
        clock: Arc<dyn Clock>,
        failed: impl FnOnce() + Send + 'static,
    ) -> Result<Arc<Self>, OpenError> {
        let (limits, starting) = (DiskLimits::default(), Starting::default());
        Self::open_heeding(path, zone, clock, limits, starting, |_| failed()).await
    }

    /// The same, with so much room on its disk, and started so; `failed` is told what ended the shop.
    ///
    /// # Errors
    /// As for [`Shop::open`].
    pub async fn open_heeding(
        path: &Path,
        zone: &str,
        clock: Arc<dyn Clock>,
        limits: DiskLimits,
        starting: Starting,
        failed: impl FnOnce(End) + Send + 'static,
    ) -> Result<Arc<Self>, OpenError> {
        Self::open_on(path, zone, clock, limits, starting, None, failed).await
    }

    /// The same, with the log on an engine if there is one.
    ///
    /// # Errors
    /// As for [`Shop::open`].
    pub async fn open_on(
        path: &Path,
        zone: &str,
        clock: Arc<dyn Clock>,
        limits: DiskLimits,
        starting: Starting,
        engine: Option<&dyn Engine>,
        failed: impl FnOnce(End) + Send + 'static,
    ) -> Result<Arc<Self>, OpenError> {
        let folder = folder_for(path, zone)?;
        let begun_in = folder.beginning();
        // A copy of a folder may come without a log, if that is on an engine.
        if engine.is_none() && begun_in.is_none() && !folder.has_log()? {
            return Err(OpenError::LogGone);
        }
        let fatal = Fatal::new(failed);
        let place = Place::of(&folder, engine, begun_in.is_some(), &fatal)?;
        let mut log = Log::open(&place, starting)?;
        keep_private(path, begun_in.is_none())?;
        let reader = log.ledger.reader();
        let judge = Judge::new(folder.scripts());
        let ReadLog { mut recorder, own_line, unread, kept } =
            log.replay(&folder, starting, &judge, &fatal)?;
        let own_key = own_key::find(folder.root(), own_line.as_ref());
        tell(&look(&folder, recorder.state(), &own_key)?);
        let own_key = place.settle(own_key)?;
        // Everything was looked at. From here on what does not fit is set aside, and files are made.
        let folder = Folder::open(path)?;
        own_key::put_right(folder.root(), &own_key)?;
        let own_key = Arc::new(own_key.key());
        let frozen = frozen(&folder, &mut recorder)?;
        folder.invites().settle()?;
        let keyring = keyring(&folder, recorder.state()).map_err(OpenError::Keyring)?;
        let size = reader.head().size;
        let (tell, durable) = watch::channel(size);
        // All of it is on disk, so what is decided is what everybody may see.
        let published = Arc::new(RwLock::new(Arc::new(recorder.state().clone())));
        let keyring = Arc::new(Mutex::new(keyring));
        let heads = Heads::open(folder.root(), own_key.public())?;
        let keeper = Keeper::start(path.to_owned(), reader.clone(), kept, starting.keep_every);
        let keeper = Arc::new(keeper.map_err(OpenError::Thread)?);
        let proving = match unread {
            Some(unread) => Proving::start(reader.clone(), unread, fatal.clone()),
            None => Ok(Proving::default()),
        };
        let proving = proving.map_err(OpenError::Thread)?;
        let metrics = Arc::new(Metrics::default());
        recorder.state().shop().losses.values().for_each(|loss| heads.excuse(loss.clone()));
        let decided = Arc::new(RwLock::new(recorder));
        let present = Present {
            decided: Arc::clone(&decided),
            published: Arc::clone(&published),
            keyring: Arc::clone(&keyring),
            durable: tell,
            metrics: Arc::clone(&metrics),
            keeper: Arc::clone(&keeper),
        };
        let ledger = log.ledger;
        if keeper.is_due(size) {
            let head = decided.read().unwrap_or_else(PoisonError::into_inner);
            let state = Arc::new(head.state().clone());
            keeper.keep(Keep { state, tree: ledger.tree(), clocks: head.clocks().clone() });
        }
        let committer =
            Committer::start(ledger, present, fatal.clone()).map_err(OpenError::Thread)?;
        let put_back = PutBack::of(folder.root()).map_err(OpenError::PutBack)?;
        if heads.ahead_of(size).is_some() {
            put_back.begin(size).map_err(OpenError::PutBack)?;
        }
        let shop = Arc::new(Self {
            heads,
            put_back,
            frozen,
            photos: Photos::open(&folder.photos())?,
            looks: crate::looks::Looks::default(),
            going_on: Mutex::new(()),
            missing: std::sync::atomic::AtomicU64::new(0),
            clock,
            decided,
            published,
            judge,
            keyring,
            own_key,
            keys: Keys::default(),
            own_turn: Mutex::new(()),
            reader,
            committer,
            keeper,
            proving,
            fatal,
            durable,
            disk: Disk::under(path, limits),
            metrics,
            stripes: Stripes::new(),
            in_flight: Arc::new(Semaphore::new(IN_FLIGHT)),
            folder,
            held: Mutex::new(None),
        });
        shop.hold_clock();
        shop.heed_owner().await?;
        shop.settle()?;
        shop.count_missing();
        if let Some(words) = shop.restoring() {
            tracing::warn!("nothing new is recorded yet: {words}");
        } else if shop.decided().state().shop().benches.is_empty() {
            // A first start that was cut off is finished by the next.
            shop.begin(begun_in.as_deref().unwrap_or(zone)).await?;
        }
        shop.folder.has_begun()?;
        tracing::info!(records = size, data = %shop.folder.root().display(), "shop opened");
        Ok(shop)
    }

    /// Holds the machine's clock against the log, before any bench is heard.
    fn hold_clock(&self) {
        let now = self.machine_time();
        let mut head = self.decided.write().unwrap_or_else(PoisonError::into_inner);
        let best = head.hold_clock(now);
        self.heed_clock(None, head.doubted(), best.since(now.at));
    }

    /// The first lines of a new shop.
    async fn begin(self: &Arc<Self>, zone: &str) -> Result<(), OpenError> {
        let setting = |name: &str, value: &str| verb::SetShop {
            setting: Name::clipped(name),
            value: Phrase::clipped(value),
        };
        if self.decided().state().settings().zone().is_none() {
            self.decide(setting("zone", zone).into()).await?;
        }
        for script in shipped().iter().filter(|script| script.in_use) {
            let digest = burrline_host::digest_of(script.source.as_bytes());
            self.folder.keep_script(&digest, script.source.as_bytes())?;
            let Ok(digest) = Digest::read(&digest) else { continue };
            let kind = match script.kind {
                Kind::Pricing => ScriptKind::Pricing,
                Kind::Stages => ScriptKind::Stages,
            };
            let (installed, active) = {
                let head = self.decided();
                let known = head.state().shop();
                (known.scripts.contains_key(&digest), known.active.values().any(|d| *d == digest))
            };
            let name = Name::clipped(script.name);
            if !installed {
                self.decide(verb::InstallScript { kind, name, digest }.into()).await?;
            }
            if !active {
                self.decide(verb::ActivateScript { digest }.into()).await?;
            }
        }
        Ok(())
    }

    /// Whether an owner's bench has joined.
    pub fn has_owner(&self) -> bool {
        let head = self.decided();
        let mut benches = head.state().shop().benches.values();
        benches.any(|bench| bench.role == Role::Owner && !bench.retired)
    }

    /// A code for the first owner's bench, good for a day; none once an owner's bench has joined.
    ///
    /// # Errors
    /// [`FolderError`] if it cannot be kept.
    pub fn first_code(&self) -> Result<Option<JoinCode>, FolderError> {
        const DAY_MS: i64 = 86_400_000;
        if self.has_owner() {
            return Ok(None);
        }
        self.invite(Asked::of(Role::Owner, 1), self.machine_now().plus(DAY_MS)).map(Some)
    }

    /// Makes a code, good until a moment.
    ///
    /// # Errors
    /// [`FolderError`] if it cannot be kept.
    pub fn invite(&self, asked: Asked, until: Moment) -> Result<JoinCode, FolderError> {
        let secret = self.folder.invites().make(asked, until)?;
        Ok(JoinCode { secret, shop: Some(Fingerprint::of(self.key())) })
    }

    /// The shop decides something and waits until it is on disk.
    ///
    /// # Errors
    /// [`OpenError::Record`] or [`OpenError::Store`].
    pub async fn decide(self: &Arc<Self>, verb: Verb) -> Result<Record, OpenError> {
        let permit = self.room().await?;
        let shop = Arc::clone(self);
        let taken = off_thread(move || shop.say(verb, permit)).await;
        let taken = taken.map_err(|BrokeDown| RecordError::Closing)??;
        taken.durable.await.map_err(|_| OpenError::Store)?;
        Ok(Arc::unwrap_or_clone(taken.record))
    }
}
