//! A verb as a bench says it, and as the shop keeps it.

use burrline_terms::{
    name::{Digest, EntryName, Name, Phrase},
    parts::Sealed,
    time::{Happened, Moment, SaidTime},
};

use crate::{decide::Refusal, verb::Verb};

/// What a bench's clocks showed when the entry was typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BenchClock {
    /// The wall clock, which may be wrong by years.
    pub wall: Moment,
    /// Which start of the machine this was.
    pub boot: [u8; 16],
    /// Milliseconds since that start, asleep or awake.
    pub uptime_ms: u64,
}

/// What a stage rule said when a hand asked, and travels with the fact that was done anyway.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ruling {
    /// The rule's name.
    pub rule: Name,
    /// The digest of its script.
    pub script: Digest,
    /// What it said.
    pub words: Phrase,
}

/// A verb as a bench says it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// Which life said it, and its number there.
    pub name: EntryName,
    /// Who did the work.
    pub hand: Option<Name>,
    /// The bench's clocks.
    pub clock: BenchClock,
    /// The time that the hand said, if other than now: a moment, or from one until another.
    pub said: Option<SaidTime>,
    /// How many of the shop's records the bench had seen.
    pub seen: u64,
    /// The first entry of the potful that this belongs to.
    pub together: Option<EntryName>,
    /// Why it was done against a rule.
    pub anyway: Option<Phrase>,
    /// The rules that it was done against.
    pub rulings: Vec<Ruling>,
    /// Said on being asked, rather than seen.
    pub not_seen: bool,
    /// The name that it had in an earlier life of its bench, when it is said again.
    pub formerly: Option<EntryName>,
    /// What was said.
    pub verb: Verb,
}

/// Something that a rule says of a fact that is recorded all the same.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Remark {
    /// The rule's name.
    pub rule: Name,
    /// The digest of its script; none if the shop itself remarks.
    pub script: Option<Digest>,
    /// What it says, or where the rule failed: script, line and column.
    pub words: Phrase,
    /// The rule objected, as opposed to just remarking.
    pub objected: bool,
    /// The rule could not be checked.
    pub not_checked: bool,
}

/// What became of an entry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Outcome {
    /// Done, with what the rules remark.
    Done(Vec<Remark>),
    /// A decision that was refused.
    Refused(Refusal),
}

/// An entry as the shop keeps it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Record {
    /// Its place on the log, from 0.
    pub position: u64,
    /// The shop's time when it was recorded; never runs backwards along the log, but for a wrong
    /// clock that was put right since.
    pub shop_time: Moment,
    /// When it happened, as well as the shop can know.
    pub happened: Happened,
    /// The bench's clocks as it sent this, where they told the shop something new; with the shop's
    /// time they say when its machine started.
    pub contact: Option<BenchClock>,
    /// What the shop's machine took for the time, where the shop doubted it: that clock does not
    /// agree with the log or with the benches.
    pub doubted: Option<Moment>,
    /// What became of it.
    pub outcome: Outcome,
    /// What scripts left with it for later.
    pub notes: ScriptNotes,
    /// The jobs that it was of when it arrived, and which of their records it is.
    pub on_jobs: Vec<OnJob>,
    /// The entry.
    pub entry: Entry,
}

/// What scripts left with a record for later. Nothing follows from it in the fold.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ScriptNotes {
    /// What rules that are only shadowed would have remarked.
    pub shadow: Vec<Remark>,
    /// When a head that was put somewhere is first looked at, by a script.
    pub first_look: Option<FirstLook>,
    /// What the scripts of a price or of a remark read.
    pub read: Option<FactsRead>,
}

/// When a head that was put somewhere is first looked at, as a script said on the day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FirstLook {
    /// After how many minutes.
    pub minutes: u32,
    /// The script's name.
    pub rule: Name,
    /// The digest of its source.
    pub script: Digest,
}

impl ScriptNotes {
    /// Whether there is nothing in it.
    pub fn is_empty(&self) -> bool {
        self.shadow.is_empty() && self.first_look.is_none() && self.read.is_none()
    }
}

/// What scripts read of a job and of an act.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FactsRead {
    /// The version of what scripts see.
    pub version: u32,
    /// The version of the program that gathered it.
    pub host: Name,
    /// One JSON object with `job` and, for a remark, `act`.
    pub facts: String,
    /// What of the job is the customer's, sealed under the customer's key.
    pub customer: Option<Sealed>,
}

/// Which of the records of a job one is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OnJob {
    /// The job.
    pub job: EntryName,
    /// Its number among the records of the job, from 1, in the order of the log.
    pub nth: u64,
}
