//! The log at a start: from what was folded of it before, or from its first record.

use std::sync::{Arc, Mutex};

use burrline_domain::{
    State,
    fold::{ScriptChange, ScriptStep},
};
use burrline_evidence::merkle::{Hash, Tree};
use burrline_ledger::{Engine, Ledger, Opened, Opening, Reader, SledLedger};
use burrline_present::judge::{Judge, NoScript};
use burrline_proto::v1::SignedEntry;

use super::{
    Folder, NoKey, OpenError,
    fatal::{End, Fatal},
    notes::changes_scripts,
    opening::read_log,
    proving::{OnLog, Proved, prove},
};
use crate::{folded::Folded, recorder::Recorder};

/// How often what was folded is kept, in records: to fold so many takes a twentieth of a second.
const KEEP_EVERY: u64 = 5_000;

/// How a start goes about what was folded before.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Starting {
    /// It is passed over: the log is read and folded whole.
    pub refold: bool,
    /// Every record is hashed before anything is answered, and not behind that.
    pub verify_first: bool,
    /// What is folded is kept each time that so many records came.
    pub keep_every: u64,
}

impl Default for Starting {
    fn default() -> Self {
        Self { refold: false, verify_first: false, keep_every: KEEP_EVERY }
    }
}

/// A log that is open.
pub(super) struct Log {
    pub(super) ledger: Box<dyn Ledger>,
    /// How many records, from the first, were not read.
    unread: u64,
    kept: Option<Folded>,
}

/// Where a log is kept.
pub(super) struct Place<'a> {
    folder: &'a Folder,
    engine: Option<&'a dyn Engine>,
    /// The address that the folder does not have yet.
    note: Option<&'a str>,
    may_begin: bool,
    fatal: &'a Fatal,
}

impl<'a> Place<'a> {
    /// Where the log of a folder is: in it, or where the folder says and the hand too.
    pub(super) fn of(
        folder: &'a Folder,
        engine: Option<&'a dyn Engine>,
        may_begin: bool,
        fatal: &'a Fatal,
    ) -> Result<Self, OpenError> {
        let said = engine.map(Engine::address);
        let mut note = None;
        match (folder.elsewhere()?, said) {
            (None, None) => {}
            (Some(kept), None) => return Err(OpenError::Elsewhere { kept }),
            (Some(kept), Some(said)) if name_in(&kept) != name_in(said) => {
                if !may_begin {
                    return Err(OpenError::OtherLedger { kept, said: said.to_owned() });
                }
                // No shop has begun there.
                folder.is_here()?;
                folder.keep_elsewhere(said)?;
            }
            (None, Some(said)) if folder.has_own_log()? => {
                return Err(OpenError::LogIsHere { said: said.to_owned() });
            }
            // Before anything is recorded there.
            (_, Some(said)) if may_begin => folder.keep_elsewhere(said)?,
            (kept, Some(said)) => note = Some(said).filter(|said| kept.as_deref() != Some(*said)),
        }
        Ok(Self { folder, engine, note, may_begin, fatal })
    }

    /// Notes in the folder where its log is, once the shop's key and the log are known to belong together: a
    /// folder may come without its log, and the machines behind an engine may change. Else what the folder
    /// learned of a log that is none of its own is let go of.
    pub(super) fn settle<K>(&self, own_key: Result<K, NoKey>) -> Result<K, OpenError> {
        if let Some(said) = self.note {
            if own_key.is_ok() {
                self.folder.keep_elsewhere(said)?;
            } else if self.folder.elsewhere()?.is_none() {
                self.folder.is_here()?;
            }
        }
        Ok(own_key?)
    }

    fn open(&self, proved: Option<Tree>) -> Result<Opened, OpenError> {
        let Some(engine) = self.engine else {
            let ledger = SledLedger::open_behind(&self.folder.log(), proved)?;
            let unread = ledger.unread();
            return Ok(Opened { ledger: Box::new(ledger), unread });
        };
        let fatal = self.fatal.clone();
        let lost: Box<dyn FnOnce() + Send> = Box::new(move || fatal.end(End::Store));
        let may_begin = self.may_begin;
        Ok(engine.open(Opening { proved, may_begin, lost: Some(lost) })?)
    }
}

/// The name of a log at an address: what stands behind the machines.
fn name_in(address: &str) -> Option<&str> {
    address.split_once("://")?.1.split_once('/').map(|(_, name)| name)
}

/// What was read of it.
pub(super) struct ReadLog {
    pub(super) recorder: Recorder,
    /// The first line that the shop signed.
    pub(super) own_line: Option<SignedEntry>,
    /// How many records were not read, and the root over them.
    pub(super) unread: Option<(u64, Hash)>,
    /// The head of the log that the kept file covers, if it was of any use.
    pub(super) kept: Option<(u64, Hash)>,
}

impl Log {
    pub(super) fn open(place: &Place<'_>, starting: Starting) -> Result<Self, OpenError> {
        let kept = (!starting.refold).then(|| Folded::read(place.folder.root())).flatten();
        let tree = kept.as_ref().map(|kept| kept.tree.clone());
        let Opened { mut ledger, mut unread } = place.open(tree)?;
        let mut kept = kept.filter(|kept| kept.size() == unread);
        if let Some(folded) = kept.as_ref().filter(|_| starting.verify_first) {
            tracing::info!(records = folded.size(), "every record is hashed before the door opens");
            let (size, root) = (folded.size(), folded.tree.root());
            if let Err(words) = prove(&ledger.reader(), size, root, &Proved::default()) {
                tracing::warn!("{words}");
                kept = None;
                // It says exactly what is wrong.
                drop(ledger);
                Opened { ledger, unread } = place.open(None)?;
            }
        }
        Ok(Self { ledger, unread, kept })
    }

    /// Folds what is behind the kept file, or all of it. The scripts that were ever active are taken up
    /// in their order.
    pub(super) fn replay(
        &mut self,
        folder: &Folder,
        starting: Starting,
        judge: &Judge,
        fatal: &Fatal,
    ) -> Result<ReadLog, OpenError> {
        let reader = self.ledger.reader();
        let (mut own_line, mut problem) = (None, None);
        let mut kept = self.kept.take();
        let gone_on = kept.as_mut().and_then(|kept| {
            let at_hand = Mutex::new(kept.take_read());
            let on_log = OnLog { reader: reader.clone(), fatal: fatal.clone(), at_hand };
            let on_log = Arc::new(on_log);
            let recorder = kept.recorder(&on_log)?;
            own_line = kept.first_of(0).map(|position| on_log.read(position).1);
            Some((recorder, kept.head()))
        });
        let (mut recorder, covers) = if let Some((recorder, head)) = gone_on {
            problem = scripts_so_far(judge, recorder.state());
            (recorder, Some(head))
        } else {
            self.prove_after_all(&reader, kept.as_ref())?;
            (Recorder::new(), None)
        };
        let size = covers.map_or(0, |(size, _)| size);
        read_log(&reader, size, |record, said| {
            let activated = changes_scripts(&record.entry.verb);
            let is_own = record.entry.name.life == 0;
            recorder.replay(record, &said.entry);
            if is_own && own_line.is_none() {
                own_line = Some(said);
            }
            if activated {
                problem = judge.activated(recorder.state(), recorder.state().records()).err();
            }
        })?;
        if let Some(problem) = problem {
            // A shop that does not open helps nobody; every act says that this rule was not asked.
            tracing::error!(%problem, "an active script cannot be used and is not asked");
        }
        let records = recorder.state().records();
        tracing::debug!(kept = size, records, data = %folder.root().display(), "the log is folded");
        let unread = covers.filter(|_| !starting.verify_first);
        Ok(ReadLog { recorder, own_line, unread, kept: covers })
    }
}

impl Log {
    /// What was left unread is read after all, as what was kept of it cannot be used.
    fn prove_after_all(&self, reader: &Reader, kept: Option<&Folded>) -> Result<(), OpenError> {
        let records = self.unread;
        if records == 0 {
            return Ok(());
        }
        tracing::warn!("what was kept of the fold does not fit; all of it is folded");
        let root = kept.map(|kept| kept.tree.root());
        let proof = root.map(|root| prove(reader, records, root, &Proved::default()));
        let whole = matches!(proof, Some(Ok(true)));
        whole.then_some(()).ok_or(OpenError::Damaged { records })
    }
}

/// The scripts that were active after each decision about them, by those decisions alone; what is wrong
/// with the last.
fn scripts_so_far(judge: &Judge, state: &State) -> Option<NoScript> {
    let (mut then, mut problem) = (State::new(), None);
    for ScriptStep { entry, change, .. } in &state.shop().script_steps {
        let Some(fact) = state.fact(*entry) else { continue };
        then.apply(fact.record.shared());
        if *change != ScriptChange::Installed {
            problem = judge.activated(&then, fact.record.position().saturating_add(1)).err();
        }
    }
    problem
}
