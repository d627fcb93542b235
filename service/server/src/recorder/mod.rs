//! The recorder: (input, now) to effects. No threads, sockets, clocks or disks in here.
//!
//! An entry that reaches it is named, signed and well formed. It gives it a position, works out
//! when it happened, decides it, and folds it into the decided head.

mod clock;
mod happened;
mod kept_clocks;
mod said;
mod stretch;

use std::{collections::BTreeMap, sync::Arc};

use burrline_domain::{
    Class, Entry, Outcome, Record, Refusal, Remark, ScriptNotes, State, Verb, decide, fold::Fact,
    verb::PutClockRight,
};
use burrline_evidence::sign::{PublicKey, Signature};
use burrline_proto::encode_record;
use burrline_terms::{EntryName, Happened, Moment, Name, Phrase, words::Role};
use thiserror::Error;

pub use clock::{Doubt, Doubted, MachineTime, Stamp};
pub use happened::{CarriedClocks, Clocks, Sent};
pub use said::SignedBytes;
pub use stretch::{Offered, Stretch, Unfit};

/// An entry as it came through the door.
#[derive(Debug, Clone)]
pub struct Submission {
    /// The entry, decoded.
    pub entry: Entry,
    /// Its exact bytes, as signed.
    pub bytes: Vec<u8>,
    /// The signature over them.
    pub signature: Vec<u8>,
    /// The bench's clocks as it sent this or wrote it into a file, if it said so.
    pub sent: Option<Sent>,
    /// What the rules remark, judged beforehand.
    pub remarks: Vec<Remark>,
    /// What scripts leave with the record for later.
    pub notes: ScriptNotes,
    /// Why the shell knows that a decision cannot be carried out, such as a script that fails.
    pub refusal: Option<Refusal>,
}

/// What became of a submission.
#[derive(Debug, Clone)]
pub struct Recorded {
    /// The record, now part of the decided head.
    pub record: Arc<Record>,
    /// Its bytes for the log; none if it is on the log already.
    pub bytes: Option<Vec<u8>>,
}

/// Why an entry was not taken; nothing was recorded.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum NotTaken {
    /// Earlier entries of the life are missing.
    #[error("entry {got} came before entry {wanted}; send from {wanted}")]
    Gap {
        /// The next number that the shop can take.
        wanted: u64,
        /// The number that came.
        got: u64,
    },
    /// The life said something else under this name before.
    #[error(
        "entry {0} is on the log with other words; this bench was copied or restored. \
         Nothing is lost: its entries stay on the bench until it is enrolled anew with \
         `burrline rejoin --code CODE`; the owner gets a CODE with `burrline-shop invite`"
    )]
    Frozen(EntryName),
    /// No bench with this life is enrolled.
    #[error("enrollment {0} is not known at this shop; join it with `burrline join`")]
    Unknown(u32),
    /// The bench was retired.
    #[error(
        "enrollment {0} was retired; ask the owner for a CODE, and enroll the bench anew with \
         `burrline rejoin --code CODE`"
    )]
    Retired(u32),
    /// The bench is a viewer, whose life is for reading alone.
    #[error(
        "enrollment {0} is a viewer's, which records nothing: say it at a bench, or ask the owner for a \
         CODE of another role and join with a new folder"
    )]
    Viewer(u32),
}

/// Whether a life may still decide, and what.
#[derive(Debug, Clone, Copy)]
enum Standing {
    In(Role),
    Retired,
}

/// The decided head: everything taken so far, on disk or about to be.
#[derive(Debug, Default)]
pub struct Recorder {
    state: State,
    clocks: Clocks,
    said: said::Said,
    /// Lives under which two benches spoke, and the number that they both said; 0 where it is not known.
    frozen: BTreeMap<u32, u64>,
    last_shop_time: Moment,
    benches: clock::BenchTimes,
    /// What the machine said last.
    machine: Option<Moment>,
    doubted: Option<Doubted>,
}

impl Recorder {
    /// A recorder for an empty log.
    pub fn new() -> Self {
        Self::default()
    }

    /// A recorder that goes on from a present, with how many entries of each life are in it, and the log
    /// that has their bytes.
    pub fn going_on(
        state: State,
        clocks: Clocks,
        before: BTreeMap<u32, u64>,
        log: Arc<dyn SignedBytes>,
    ) -> Self {
        let last_shop_time = state.last_shop_time();
        let said = said::Said::before(before, log);
        Self { state, clocks, said, last_shop_time, ..Self::default() }
    }

    /// What is known of the benches' clocks.
    pub const fn clocks(&self) -> &Clocks {
        &self.clocks
    }

    /// Takes in a record that is on the log already, with the bytes of its entry as they were signed.
    pub fn replay(&mut self, record: Record, said: &[u8]) {
        self.take_in(Arc::new(record), said);
    }

    /// Takes back a record that a head of this shop vouches for, as it was; `shop` is its key.
    ///
    /// # Errors
    /// [`Unfit`] if it is not the next one, or its entry is not by its bench; nothing was taken.
    pub fn take_back(&mut self, offered: &Offered, shop: PublicKey) -> Result<Arc<Record>, Unfit> {
        let record = &offered.record;
        let (name, wanted) = (record.entry.name, self.state.records());
        if record.position != wanted {
            return Err(Unfit::Position { wanted, got: record.position });
        }
        if name.n != self.held(name.life).saturating_add(1) {
            return Err(Unfit::Number(name));
        }
        let bench = self.state.shop().benches.get(&name.life);
        let key = if name.life == 0 { Some(shop) } else { bench.map(|b| PublicKey(b.key.0)) };
        let signature = <[u8; 64]>::try_from(offered.said.signature.as_slice()).map(Signature);
        let fits = key.zip(signature.ok());
        let fits = fits.is_some_and(|(key, by)| key.check_entry(&offered.said.entry, &by).is_ok());
        if !fits {
            return Err(Unfit::Signature(name));
        }
        let record = Arc::new(record.clone());
        self.take_in(Arc::clone(&record), &offered.said.entry);
        Ok(record)
    }

    /// The decided head.
    pub const fn state(&self) -> &State {
        &self.state
    }

    /// Takes nothing new of a life any more: two benches have spoken under its name.
    pub fn freeze(&mut self, life: u32) {
        self.frozen.entry(life).or_default();
    }

    /// The same, with the entry that both said.
    pub fn freeze_at(&mut self, clash: EntryName) {
        self.frozen.insert(clash.life, clash.n);
    }

    /// Whether a life takes nothing new any more.
    pub fn is_frozen(&self, life: u32) -> bool {
        self.frozen.contains_key(&life)
    }

    /// The last number that is taken of a life; 0 if none.
    pub fn held(&self, life: u32) -> u64 {
        self.said.last(life)
    }

    /// The role of a life that may record; the shop itself is an owner.
    ///
    /// # Errors
    /// [`NotTaken`] if it is unknown, retired or frozen.
    pub fn role(&self, name: EntryName) -> Result<Role, NotTaken> {
        match self.standing(name)? {
            Standing::In(role) => Ok(role),
            Standing::Retired => Err(NotTaken::Retired(name.life)),
        }
    }

    fn standing(&self, name: EntryName) -> Result<Standing, NotTaken> {
        if name.life == 0 {
            return Ok(Standing::In(Role::Owner));
        }
        if let Some(clash) = self.frozen.get(&name.life) {
            // Whichever of the two benches asks is told what really clashed.
            let n = if *clash > 0 { *clash } else { name.n };
            return Err(NotTaken::Frozen(EntryName::new(name.life, n)));
        }
        match self.state.shop().benches.get(&name.life) {
            None => Err(NotTaken::Unknown(name.life)),
            Some(bench) if bench.retired => Ok(Standing::Retired),
            Some(bench) => Ok(Standing::In(bench.role)),
        }
    }

    /// When an entry would be taken to have happened, were it recorded at `now`.
    pub fn happened(
        &self,
        entry: &Entry,
        sent: Option<&Sent>,
        now: impl Into<MachineTime>,
    ) -> Happened {
        let now = now.into();
        let benches = self.benches.with(entry.name.life, sent, now.at);
        let stamp = benches.stamp(now, self.log_end());
        stamp.widen(self.clocks.came(entry, sent, stamp.came))
    }

    /// Why the shop's clock was doubted when a line last came, or when the shop opened.
    pub const fn doubted(&self) -> Option<Doubted> {
        self.doubted
    }

    /// Holds the machine's clock against the log and the benches: the best word for now.
    pub fn hold_clock(&mut self, now: impl Into<MachineTime>) -> Moment {
        let now = now.into();
        self.machine_says(now.at);
        let stamp = self.benches.stamp(now, self.log_end());
        self.doubted = stamp.doubted;
        stamp.came
    }

    /// What an owner decides if the machine is right and the log is ahead of it; none if it is not.
    pub fn put_clock_right(&self, machine: Moment) -> Option<PutClockRight> {
        let mut facts: Vec<_> = self.state.facts().collect();
        facts.sort_by_key(|fact| fact.record.position);
        let limit = machine.plus(clock::BEHIND_MS);
        let first = facts.iter().position(|fact| fact.record.shop_time > limit)?;
        let (before, ahead) = facts.split_at_checked(first)?;
        let from = ahead.first()?;
        let by_itself = |fact: &&&Fact| fact.record.doubted.is_none();
        let to = ahead.iter().rev().find(by_itself).unwrap_or(from);
        let earliest = before.last().map_or(Moment(i64::MIN), |fact| fact.record.shop_time);
        // The bench that sent it showed that.
        let wall = from.record.contact.as_ref().unwrap_or(&from.record.entry.clock).wall;
        let was = wall.min(machine).max(earliest);
        let (first, last) = (from.record.entry.name, to.record.entry.name);
        Some(PutClockRight { first, last, was })
    }

    /// What benches said of their clocks is forgotten where the machine's was set meanwhile, or may
    /// have been.
    fn machine_says(&mut self, at: Moment) {
        let before = self.machine.replace(at);
        let jumped = |before: Moment| {
            at.since(before) > clock::AHEAD_MS || before.since(at) > clock::BEHIND_MS
        };
        if before.is_some_and(jumped) {
            self.benches = clock::BenchTimes::default();
        }
    }

    fn log_end(&self) -> Option<Moment> {
        (self.state.records() > 0).then_some(self.last_shop_time)
    }

    /// Takes an entry, at the shop's time `now`.
    ///
    /// The same bytes under the same name are answered with the first record again.
    ///
    /// # Errors
    /// [`NotTaken`] says why nothing was recorded.
    pub fn record(
        &mut self,
        submission: Submission,
        now: impl Into<MachineTime>,
    ) -> Result<Recorded, NotTaken> {
        let now = now.into();
        let name = submission.entry.name;
        let held = self.held(name.life);
        // A life that may say nothing new may still ask for the receipts of what it said.
        if name.n <= held {
            return self.repeat(&submission);
        }
        let standing = self.standing(name)?;
        // What a viewer's key signs is no line of the shop's, whichever way it comes.
        if matches!(standing, Standing::In(Role::Viewer)) {
            return Err(NotTaken::Viewer(name.life));
        }
        let wanted = held.saturating_add(1);
        if name.n != wanted {
            return Err(NotTaken::Gap { wanted, got: name.n });
        }
        self.machine_says(now.at);
        self.benches = self.benches.with(name.life, submission.sent.as_ref(), now.at);
        let stamp = self.benches.stamp(now, self.log_end());
        self.doubted = stamp.doubted;
        // Nothing that was recorded came after now.
        let refusal = if let Verb::PutClockRight(said) = &submission.entry.verb
            && said.was > stamp.came
        {
            Some(Refusal::NotThen)
        } else {
            submission.refusal
        };
        let outcome = self.outcome(standing, &submission.entry, submission.remarks, refusal);
        let happened = self.clocks.came(&submission.entry, submission.sent.as_ref(), stamp.came);
        // Of a time that is in doubt nobody learns when a machine was started.
        let sent = submission.sent.filter(|_| stamp.shop_time == stamp.came);
        let mut record = Record {
            position: self.state.records(),
            shop_time: stamp.shop_time,
            happened: stamp.widen(happened),
            contact: sent
                .filter(|_| stamp.within.is_none())
                .and_then(Sent::now)
                .filter(|s| self.clocks.is_news(name.life, s, stamp.came)),
            doubted: stamp.doubted.map(|doubted| doubted.machine),
            // Of a decision that was refused nothing is kept but that.
            notes: match outcome {
                Outcome::Done(_) => submission.notes,
                Outcome::Refused(_) => ScriptNotes::default(),
            },
            outcome,
            on_jobs: Vec::new(),
            entry: submission.entry,
        };
        record.on_jobs = self.state.number(&record);
        let bytes = encode_record(&record, &submission.bytes, &submission.signature);
        let record = Arc::new(record);
        self.take_in(Arc::clone(&record), &submission.bytes);
        Ok(Recorded { record, bytes: Some(bytes) })
    }

    /// What becomes of an entry. What a retired bench did before it went is done all the same; it
    /// decides nothing more.
    fn outcome(
        &self,
        standing: Standing,
        entry: &Entry,
        mut remarks: Vec<Remark>,
        refusal: Option<Refusal>,
    ) -> Outcome {
        let refused = match standing {
            Standing::Retired if entry.verb.spec().class == Class::Decision => {
                Some(Refusal::Retired)
            }
            Standing::Retired => {
                remarks.push(retired_bench());
                None
            }
            Standing::In(role) => decide(&self.state, role, entry).err().or(refusal),
        };
        refused.map_or(Outcome::Done(remarks), Outcome::Refused)
    }

    /// The same bytes, that is: what decodes alike may still be other bytes, as of another program.
    fn repeat(&mut self, submission: &Submission) -> Result<Recorded, NotTaken> {
        let name = submission.entry.name;
        let fact = self.state.fact(name);
        let same = fact.is_some_and(|fact| {
            self.said.is(name.life, name.n, &submission.bytes, fact.record.position())
        });
        match fact {
            Some(fact) if same => Ok(Recorded { record: fact.record.shared(), bytes: None }),
            Some(_) | None => {
                self.frozen.insert(name.life, name.n);
                Err(NotTaken::Frozen(name))
            }
        }
    }

    fn take_in(&mut self, record: Arc<Record>, said: &[u8]) {
        let name = record.entry.name;
        self.said.push(name.life, said);
        self.clocks.note(&record);
        let enrols = matches!(
            (&record.entry.verb, &record.outcome),
            (Verb::EnrolBench(_), Outcome::Done(_))
        );
        let at = record.shop_time;
        let rights_clock = matches!(
            (&record.entry.verb, &record.outcome),
            (Verb::PutClockRight(_), Outcome::Done(_))
        );
        self.state.apply(record);
        self.last_shop_time = self.state.last_shop_time();
        if rights_clock {
            self.learn_clocks_anew();
        }
        if let (true, Some((life, _))) = (enrols, self.state.shop().benches.last_key_value()) {
            self.clocks.enrolled(*life, at);
        }
    }
}

impl Recorder {
    /// What was learned of the benches' clocks from times that were put right since.
    fn learn_clocks_anew(&mut self) {
        self.clocks = Clocks::default();
        let mut facts: Vec<_> = self.state.facts().collect();
        facts.sort_by_key(|fact| fact.record.position);
        let mut life = 0_u32;
        for fact in facts {
            self.clocks.note(&fact.record);
            if matches!(fact.record.entry.verb, Verb::EnrolBench(_)) && !fact.refused() {
                life = life.saturating_add(1);
                self.clocks.enrolled(life, fact.record.shop_time);
            }
        }
    }
}

fn retired_bench() -> Remark {
    Remark {
        rule: Name::clipped("retired-bench"),
        script: None,
        words: Phrase::clipped("this bench was retired before its line arrived"),
        objected: false,
        not_checked: false,
    }
}
