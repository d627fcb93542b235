//! How many lines of a job are on record, counted so that nothing which comes later changes it.
//!
//! A paper says it, and whoever checks a packet counts again: lines that the paper had counted and that
//! are not there were left out. So a line counts by what its own bench signed: it names the job, or
//! corrects one that does. Where it lands is no matter, for that may change when another line arrives.

use std::collections::BTreeSet;

use burrline_domain::{Outcome, Record, State, Verb};
use burrline_terms::EntryName;

/// How many of these records are lines of a job. They are to be in the order of the log.
pub fn count<'a>(records: impl IntoIterator<Item = &'a Record>, job: EntryName) -> usize {
    let mut counted: BTreeSet<EntryName> = BTreeSet::new();
    for record in records {
        if matches!(record.outcome, Outcome::Refused(_)) {
            continue;
        }
        let (name, verb) = (record.entry.name, &record.entry.verb);
        let taken_in = name == job && matches!(verb, Verb::TakeIn(_));
        let names = verb.skull().is_some_and(|skull| skull.job == Some(job));
        let corrects = verb.corrects().iter().any(|target| counted.contains(target));
        if taken_in || names || corrects {
            counted.insert(name);
        }
    }
    counted.len()
}

/// How many lines of a job are on record so far.
pub fn lines_of(state: &State, job: EntryName) -> usize {
    let names = |verb: &Verb| verb.skull().is_some_and(|skull| skull.job == Some(job));
    let facts = state.may_name(job).map(|fact| (fact.record.entry.name, &fact.record.entry.verb));
    let naming = facts.filter(|(name, verb)| *name == job || names(verb)).map(|(name, _)| name);
    let naming: BTreeSet<EntryName> = naming.collect();
    let all = state.correcting(&naming).into_iter().chain(naming);
    let facts = all.filter_map(|name| state.fact(name));
    let mut records: Vec<&Record> = facts.map(|fact| &*fact.record).collect();
    records.sort_by_key(|record| record.position);
    count(records, job)
}
