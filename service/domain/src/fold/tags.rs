//! Which job wore which tag when.
//!
//! A tag is read as of the moment when the fact happened. [`Tags`] keeps when each tag went on
//! and came off each job, and when jobs ended. An entry may also carry the job that its bench
//! meant, which the ask before recording filled in. Then a fact lands as follows:
//!
//! | meant job | who wore the tag then | the fact lands on |
//! | --- | --- | --- |
//! | known | nobody, or that job | the job |
//! | known | another job | nothing: it is a clash, and nobody guesses |
//! | known, its take-in not here yet | anyone | nothing, until the take-in arrives |
//! | none | one job | that job |
//! | none | two jobs | nothing, until an `assign` |
//! | none | nobody | nothing, until a tag is clipped that covers that time |
//!
//! What outlives a job (pay, refund, charge, tell, disputes, bring-back) lands on the last
//! wearer where nobody wears the tag. "Nothing" means *unplaced*: the fact is on the log and in
//! `clashes`, and on no job.
//!
//! Leading zeros do not make another tag. A job's number has a check digit and a tag has none,
//! so a bench always answers a tag with the skull that it stands for.

use std::collections::{BTreeMap, BTreeSet};

use burrline_terms::name::{EntryName, Tag};
use imbl::OrdMap;

use super::{
    Key,
    shared::{Few, Shared},
};

/// What a fact does to the wearing of tags.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Wear {
    /// A job begins to wear a tag.
    On(Tag, EntryName),
    /// A job stops wearing a tag.
    Off(Tag, EntryName),
    /// A job ends, and wears nothing after that.
    End(EntryName),
}

#[derive(Debug, Clone, Default)]
struct TagLine {
    on: BTreeMap<Key, EntryName>,
    off: BTreeMap<Key, EntryName>,
    facts: BTreeSet<Key>,
}

/// The history of all tags.
#[derive(Debug, Clone, Default)]
pub(super) struct Tags {
    lines: Shared<Tag, TagLine>,
    by_job: Shared<EntryName, BTreeMap<Key, Tag>>,
    ends: OrdMap<EntryName, Few<Key>>,
}

impl Tags {
    /// The jobs that wear a tag at a point of the story; an end counts from just after it.
    pub(super) fn wearing(&self, tag: &Tag, at: Key) -> BTreeSet<EntryName> {
        let Some(line) = self.lines.get(tag) else { return BTreeSet::new() };
        line.on
            .range(..at)
            .filter(|&(&from, &job)| self.until(line, from, job).is_none_or(|end| at <= end))
            .map(|(_, job)| *job)
            .collect()
    }

    /// The job that wore a tag last before a point of the story.
    pub(super) fn last_before(&self, tag: &Tag, at: Key) -> Option<EntryName> {
        self.lines.get(tag)?.on.range(..at).next_back().map(|(_, job)| *job)
    }

    fn until(&self, line: &TagLine, from: Key, job: EntryName) -> Option<Key> {
        let after = (std::ops::Bound::Excluded(from), std::ops::Bound::Unbounded);
        let off = line.off.range(after).find(|&(_, j)| *j == job).map(|(key, _)| *key);
        let end = self.ends.get(&job).and_then(|ends| ends.range(after).next().copied());
        match (off, end) {
            (Some(off), Some(end)) => Some(off.min(end)),
            (off, end) => off.or(end),
        }
    }

    pub(super) fn ever(&self, tag: &Tag) -> BTreeSet<EntryName> {
        self.lines.get(tag).into_iter().flat_map(|line| line.on.values().copied()).collect()
    }

    pub(super) fn all(&self) -> impl Iterator<Item = &Tag> {
        self.lines.keys()
    }

    pub(super) fn worn_by(&self, job: EntryName) -> Vec<&Tag> {
        let worn = |(from, tag): (&Key, &Tag)| {
            self.lines.get(tag).is_some_and(|line| self.until(line, *from, job).is_none())
        };
        self.by_job
            .get(&job)
            .into_iter()
            .flatten()
            .filter(|(from, tag)| worn((from, tag)))
            .map(|(_, tag)| tag)
            .collect()
    }

    /// The tags that were taken off a job, in the order in which they had gone on.
    pub(super) fn came_off(&self, job: EntryName) -> Vec<&Tag> {
        let worn = self.worn_by(job);
        let mut off: Vec<&Tag> = Vec::new();
        for tag in self.by_job.get(&job).into_iter().flatten().map(|(_, tag)| tag) {
            let taken = self.lines.get(tag).is_some_and(|l| l.off.values().any(|by| *by == job));
            if taken && !worn.contains(&tag) && !off.contains(&tag) {
                off.push(tag);
            }
        }
        off
    }

    /// When a job wore which tag: since which line, and until which; its end counts as one.
    pub(super) fn spans(&self, job: EntryName) -> Vec<(&Tag, Key, Option<Key>)> {
        let mut spans = Vec::new();
        for (from, tag) in self.by_job.get(&job).into_iter().flatten() {
            let until = self.lines.get(tag).and_then(|line| self.until(line, *from, job));
            spans.push((tag, *from, until));
        }
        spans
    }

    pub(super) fn last_of(&self, job: EntryName) -> Option<&Tag> {
        self.by_job.get(&job)?.last_key_value().map(|(_, tag)| tag)
    }

    /// Notes that a fact names a tag, or no longer does.
    pub(super) fn names(&mut self, tag: &Tag, key: Key, named: bool) {
        let facts = &mut self.lines.change(tag.clone(), TagLine::default).facts;
        if named {
            facts.insert(key);
        } else {
            facts.remove(&key);
        }
    }

    /// Notes all facts of a snapshot that name a tag.
    pub(super) fn named(&mut self, tag: &Tag, facts: Vec<Key>) {
        // All at once, which is faster than one by one.
        self.lines.change(tag.clone(), TagLine::default).facts = facts.into_iter().collect();
    }

    /// Adds or removes what a fact does, and says which later facts may land elsewhere now.
    pub(super) fn change(&mut self, wear: &Wear, key: Key, add: bool) -> Vec<Key> {
        match wear {
            Wear::On(tag, job) => {
                let line = self.lines.change(tag.clone(), TagLine::default);
                let by_job = self.by_job.change(*job, BTreeMap::default);
                if add {
                    line.on.insert(key, *job);
                    by_job.insert(key, tag.clone());
                } else {
                    line.on.remove(&key);
                    by_job.remove(&key);
                }
                self.later(std::slice::from_ref(tag), key)
            }
            Wear::Off(tag, job) => {
                let line = self.lines.change(tag.clone(), TagLine::default);
                if add {
                    line.off.insert(key, *job);
                } else {
                    line.off.remove(&key);
                }
                self.later(std::slice::from_ref(tag), key)
            }
            Wear::End(job) => {
                let ends = self.ends.entry(*job).or_default();
                if add {
                    ends.put(key);
                } else {
                    ends.take(&key);
                }
                let tags: Vec<Tag> =
                    self.by_job.get(job).into_iter().flatten().map(|(_, t)| t.clone()).collect();
                self.later(&tags, key)
            }
        }
    }

    fn later(&self, tags: &[Tag], key: Key) -> Vec<Key> {
        let after = (std::ops::Bound::Excluded(key), std::ops::Bound::Unbounded);
        tags.iter()
            .filter_map(|tag| self.lines.get(tag))
            .flat_map(|line| line.facts.range(after).copied())
            .collect()
    }

    /// Two jobs that wear a tag now, with the line that put it on the later one.
    pub(super) fn overlap(&self, tag: &Tag) -> Option<(EntryName, EntryName, Key)> {
        let line = self.lines.get(tag)?;
        let worn = line.on.iter().filter(|&(from, job)| self.until(line, *from, *job).is_none());
        let mut worn = worn.map(|(from, job)| (*job, *from));
        let (first, _) = worn.next()?;
        let (second, from) = worn.find(|(job, _)| *job != first)?;
        Some((first, second, from))
    }
}
