//! Which of a job's records an entry is as it arrives.
//!
//! Each record says of which jobs it was when it arrived, and its number there. So whoever has some
//! records of a job sees from them alone which others there are. A line that lands on another job later
//! keeps its number. What moved it is a record of its own, and is numbered on both jobs.
//!
//! A number is written once and never worked out again: where a later version of the fold lands a line
//! elsewhere, the numbers of old records stay as they are. Records of before there were numbers have
//! none. A line that no job takes as it arrives gets none either, even if a job takes it later.

use std::{
    collections::{BTreeMap, BTreeSet},
    fmt::{Display, Formatter},
};

use burrline_terms::name::EntryName;

use super::{Key, Route, State, route::outlives_job};
use crate::{
    entry::{OnJob, Outcome, Record},
    verb::On,
};

/// A record whose number among those of a job is not the next one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Misnumbered {
    /// Its place on the log.
    pub position: u64,
    /// The job.
    pub job: EntryName,
    /// The next number of the job.
    pub wanted: u64,
    /// The number that it has.
    pub got: u64,
}

impl Display for Misnumbered {
    fn fmt(&self, f: &mut Formatter<'_>) -> std::fmt::Result {
        let Self { position, job, wanted, got } = self;
        let job = job.job_number();
        write!(
            f,
            "record {position} is number {got} of job {job} by its own word; {wanted} comes next"
        )
    }
}

/// The last number of each job, going along a whole log.
#[derive(Debug, Clone, Default)]
pub struct Numbering(BTreeMap<EntryName, u64>);

impl Numbering {
    /// Goes on to the next record of the log.
    ///
    /// # Errors
    /// [`Misnumbered`] if a number of it is not the next one of its job.
    pub fn check(&mut self, record: &Record) -> Result<(), Misnumbered> {
        for OnJob { job, nth: got } in record.on_jobs.iter().copied() {
            let last = self.0.entry(job).or_default();
            let wanted = last.saturating_add(1);
            *last = got;
            if got != wanted {
                return Err(Misnumbered { position: record.position, job, wanted, got });
            }
        }
        Ok(())
    }
}

impl State {
    /// The jobs that a record is of, which is to be the next one, with its number on each.
    pub fn number(&self, record: &Record) -> Vec<OnJob> {
        let jobs = self.jobs_of_next(record);
        let next = |job| self.numbered.get(&job).copied().unwrap_or_default().saturating_add(1);
        jobs.into_iter().map(|job| OnJob { job, nth: next(job) }).collect()
    }

    /// The jobs on which a record lands as it arrives, and those of the lines that it corrects, as they
    /// landed before and as they land by it.
    fn jobs_of_next(&self, record: &Record) -> BTreeSet<EntryName> {
        let entry = &record.entry;
        let key = Key { at: record.happened.at, name: entry.name };
        let corrects = entry.verb.corrects();
        let mut jobs: BTreeSet<EntryName> = match (entry.verb.spec().on, entry.verb.skull()) {
            // One that was refused is on the log already under another name, and that one has the job.
            (On::TakeIn, _) if matches!(record.outcome, Outcome::Refused(_)) => BTreeSet::new(),
            (On::TakeIn, _) => [key.name].into(),
            (On::Skull, Some(skull)) => {
                let route = self.resolve(skull, key, outlives_job(&entry.verb));
                route.job().into_iter().collect()
            }
            (On::Skull | On::Place | On::Shop, _) => BTreeSet::new(),
        };
        // A correction may also have come before the line that it corrects.
        if !corrects.is_empty() || self.corrections.contains_key(&entry.name) {
            let mut after = self.clone();
            after.apply(record.clone());
            jobs.extend(after.route(entry.name).and_then(Route::job));
            jobs.extend(self.of_corrected(corrects));
            jobs.extend(after.of_corrected(corrects));
        }
        jobs
    }

    /// The jobs of the lines that are corrected: a correction among them is of the job of the line that it
    /// corrects in turn.
    fn of_corrected(&self, corrected: &[EntryName]) -> BTreeSet<EntryName> {
        let mut jobs = BTreeSet::new();
        let mut seen: BTreeSet<EntryName> = BTreeSet::new();
        let mut waiting: Vec<EntryName> = corrected.to_vec();
        while let Some(name) = waiting.pop() {
            let Some(fact) = self.facts.get(&name).filter(|_| seen.insert(name)) else { continue };
            jobs.extend(self.route(name).and_then(Route::job));
            waiting.extend(fact.record.entry.verb.corrects().iter().copied());
        }
        jobs
    }
}
