//! Lines that are not on a job's trail and speak of it all the same.
//!
//! They were said of it and amended or assigned away, or said of a tag that two jobs wore. In a
//! mix-up the answer is in these, so neither a packet nor what it answers leaves them out.

use std::collections::BTreeSet;

use burrline_domain::{
    State, Verb,
    fold::{Fact, Job, Key, Route},
    verb::On,
};
use burrline_terms::{EntryName, Skull, Tag};

/// A time during which another job wore a tag of this one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shared {
    /// The tag.
    pub tag: Tag,
    /// The other job.
    pub other: EntryName,
    /// Since which line both wore it.
    pub from: Key,
    /// Until which; none if both still do.
    pub until: Option<Key>,
}

/// What a story of one job has beside its trail.
#[derive(Debug, Clone, Default)]
pub struct Beside {
    /// Lines that were said of it and are not on it.
    pub lines: BTreeSet<EntryName>,
    /// The lines that put its tags, or what was meant for it, on other jobs, and took them off.
    pub tags: BTreeSet<EntryName>,
    /// Its tags that other jobs wore meanwhile.
    pub shared: Vec<Shared>,
    /// Its tags that went to another skull, or came from one, while the one that wore it before was
    /// still in the shop: since when and until when the other wore it.
    pub passed: Vec<Shared>,
}

/// What speaks of a job beside its trail.
pub fn beside(state: &State, job: &Job) -> Beside {
    let worn: Vec<(&Tag, Key, Option<Key>)> = state.tag_spans(job.id);
    let shared = shared(state, job, &worn);
    let passed = passed(state, job, &worn);
    let assigned: BTreeSet<EntryName> = state.facts().filter_map(assigns).collect();
    let speaks = |fact: &&Fact| {
        let name = fact.record.entry.name;
        let verb = &fact.record.entry.verb;
        if verb.spec().on != On::Skull
            || fact.refused()
            || state.route(name) == Some(&Route::Job(job.id))
        {
            return false;
        }
        let Some(skull) = verb.skull() else { return false };
        let corrected = assigned.contains(&name)
            || state.trail_item(name).is_some_and(|item| item.amended_by.is_some());
        let unplaced = matches!(state.route(name), Some(Route::Unplaced(_)));
        (corrected || unplaced) && was_meant(skull, job.id, fact.key, &worn)
    };
    let lines: Vec<&Fact> = state.facts().filter(speaks).collect();
    let mut others: BTreeSet<EntryName> =
        shared.iter().chain(&passed).map(|shared| shared.other).collect();
    others.extend(lines.iter().filter_map(|fact| fact.record.entry.verb.skull()?.job));
    others.remove(&job.id);
    let tags = others.iter().flat_map(|other| tag_lines(state, *other)).collect();
    Beside {
        lines: lines.iter().map(|fact| fact.record.entry.name).collect(),
        tags,
        shared,
        passed,
    }
}

/// Whether a skull, as it was said, is this job's, or has a tag that the job wore then.
fn was_meant(skull: &Skull, job: EntryName, at: Key, worn: &[(&Tag, Key, Option<Key>)]) -> bool {
    let wore = |tag: &Tag| {
        let then = |(_, from, until): &&(&Tag, Key, Option<Key>)| {
            *from <= at && until.is_none_or(|until| at <= until)
        };
        worn.iter().filter(|(own, _, _)| *own == tag).any(|span| then(&span))
    };
    skull.job == Some(job) || skull.tag.as_ref().is_some_and(wore)
}

fn shared(state: &State, job: &Job, worn: &[(&Tag, Key, Option<Key>)]) -> Vec<Shared> {
    let mut found = Vec::new();
    for (tag, from, until) in worn {
        for other in state.ever_wore(tag).into_iter().filter(|other| *other != job.id) {
            for (_, since, end) in state.tag_spans(other).into_iter().filter(|(t, _, _)| t == tag) {
                let from = since.max(*from);
                let until = [*until, end].into_iter().flatten().min();
                if until.is_none_or(|until| from < until) {
                    found.push(Shared { tag: (*tag).clone(), other, from, until });
                }
            }
        }
    }
    found
}

/// Where a tag went on from one skull to another that was not gone yet. One that comes off with the end of
/// a job and is used again tells nothing of either.
fn passed(state: &State, job: &Job, worn: &[(&Tag, Key, Option<Key>)]) -> Vec<Shared> {
    let mut found = Vec::new();
    for (tag, from, until) in worn {
        for other in state.ever_wore(tag).into_iter().filter(|other| *other != job.id) {
            let Some(other_job) = state.job(other) else { continue };
            for (_, since, end) in state.tag_spans(other).into_iter().filter(|(t, _, _)| t == tag) {
                let went_on = until.is_some_and(|until| until <= since) && is_here(job, since);
                let came_from = end.is_some_and(|end| end <= *from) && is_here(other_job, *from);
                if went_on || came_from {
                    found.push(Shared { tag: (*tag).clone(), other, from: since, until: end });
                }
            }
        }
    }
    found
}

/// Whether a job had not ended by then.
fn is_here(job: &Job, at: Key) -> bool {
    job.ended.as_ref().is_none_or(|(ended, _)| ended.at > at.at)
}

fn assigns(fact: &Fact) -> Option<EntryName> {
    if let Verb::Assign(assign) = &fact.record.entry.verb { Some(assign.entry) } else { None }
}

/// The lines that say which tags a job wears, and until when.
fn tag_lines(state: &State, job: EntryName) -> Vec<EntryName> {
    let of_tags = |verb: &Verb| {
        verb.ends_job()
            || matches!(
                verb,
                Verb::TakeIn(_) | Verb::ClipTag(_) | Verb::SwapTag(_) | Verb::BringBack(_)
            )
    };
    let trail = state.trail(job).into_iter();
    trail.filter(|item| of_tags(item.verb)).map(|item| item.fact.record.entry.name).collect()
}
