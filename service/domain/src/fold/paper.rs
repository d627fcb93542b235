//! What a job's papers hang on: what was measured twice, when it was done, who was told.

use std::collections::BTreeMap;

use burrline_terms::{
    inches::Eighths,
    name::{EntryName, Name},
    time::Happened,
    units::Length,
    words::{PlaceKind, ToldFor},
};

use super::{Job, Key, State};
use crate::{compare::Twice, verb::Verb};

/// A measurement of a skull.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Measured {
    /// When.
    pub happened: Happened,
    /// What, in small letters.
    pub name: String,
    /// How long, as typed.
    pub length: Length,
    /// Whether it was taken after work or heat that could have changed the skull.
    pub after_work: bool,
}

/// The moments that dates of the law and the storage clock start from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Milestones {
    /// Taken in.
    pub taken_in: Option<Happened>,
    /// Inspected without a fault after the last work, or else ended.
    pub completed: Option<Happened>,
    /// Left the shop.
    pub returned: Option<Happened>,
    /// The first notice that counts: that it is ready, once it was finished.
    pub notice: Option<Happened>,
}

impl State {
    /// Every measurement of a job in the order of happening.
    pub fn measures(&self, job: &Job) -> Vec<Measured> {
        let mut after_work = false;
        let mut measures = Vec::new();
        for (verb, happened) in self.told_of(job) {
            after_work |= changes(self, verb);
            if let Verb::Measure(v) = verb {
                measures.push(Measured {
                    happened,
                    name: v.what.as_str().to_lowercase(),
                    length: v.length,
                    after_work,
                });
            }
        }
        measures
    }

    /// What was measured at intake, and again after work: the last of each.
    pub fn measured_twice(&self, job: &Job) -> Vec<Twice> {
        let (after, before): (Vec<_>, Vec<_>) =
            self.measures(job).into_iter().partition(|measured| measured.after_work);
        let last = |all: Vec<Measured>| -> BTreeMap<String, Length> {
            all.into_iter().map(|measured| (measured.name, measured.length)).collect()
        };
        let (mut after, before) = (last(after), last(before));
        let pair = |(name, before)| {
            let after = after.remove(&name)?;
            Some(Twice { name, before, after })
        };
        before.into_iter().filter_map(pair).collect()
    }

    /// The latest measurement of each name that is whole eighths of an inch.
    pub fn eighths(&self, job: &Job) -> BTreeMap<String, Eighths> {
        let measures = self.measures(job).into_iter();
        measures.filter_map(|m| Some((m.name, Eighths::of_length(m.length)?))).collect()
    }

    /// When a job was taken in, done and returned, and since when its customer knows.
    pub fn milestones(&self, job: &Job) -> Milestones {
        let (mut completed, mut notice) = (None, None);
        let counts = self.settings().notice();
        for (key, verb, happened) in self.lines_of(job) {
            if changes(self, verb) {
                (completed, notice) = (None, None);
            }
            if let Verb::Inspect(v) = verb
                && v.faults.is_none()
            {
                completed = Some(happened);
            }
            if let Verb::Tell(v) = verb
                && counts.counts(v)
                && completed.is_some()
                && self.told_for(job, key.name) == ToldFor::Ready
            {
                notice = notice.or(Some(happened));
            }
        }
        let returned = job.ended.as_ref().map(|(happened, _)| *happened);
        let completed = completed.or(returned);
        Milestones { taken_in: job.taken_in, completed, returned, notice }
    }

    /// What a customer was told for, by what was said with a `tell` or of it later; what nobody said is
    /// something else.
    pub fn told_for(&self, job: &Job, tell: EntryName) -> ToldFor {
        self.told_for_as_said(job, tell).unwrap_or(ToldFor::Other)
    }

    /// The same, if anybody said it.
    #[allow(clippy::wildcard_enum_match_arm, reason = "one verb alone says it")]
    pub fn told_for_as_said(&self, job: &Job, tell: EntryName) -> Option<ToldFor> {
        let potful = |name: EntryName| self.fact(name).and_then(|fact| fact.record.entry.together);
        let together = potful(tell);
        let with_it = |name: EntryName| {
            let before = name.life == tell.life && name.n < tell.n;
            before && together.is_some() && potful(name) == together
        };
        let said = self.lines_of(job).filter_map(|(key, verb, _)| match verb {
            Verb::Purpose(v) => Some((key.name, v)),
            _ => None,
        });
        let (mut with, mut later) = (None, None);
        for (name, purpose) in said {
            match purpose.entry {
                Some(of) if of == tell => later = Some(purpose.what),
                None if with_it(name) && with.is_none_or(|(n, _)| n < name.n) => {
                    with = Some((name.n, purpose.what));
                }
                Some(_) | None => {}
            }
        }
        later.or(with.map(|(_, what)| what))
    }

    /// What counts of a job's story, in the order of happening.
    fn told_of<'a>(&'a self, job: &'a Job) -> impl Iterator<Item = (&'a Verb, Happened)> {
        self.lines_of(job).map(|(_, verb, happened)| (verb, happened))
    }

    fn lines_of<'a>(&'a self, job: &'a Job) -> impl Iterator<Item = (Key, &'a Verb, Happened)> {
        job.facts().filter(|(_, active)| *active).filter_map(|(key, _)| {
            Some((key, self.meaning(key.name)?, self.fact(key.name)?.happened()))
        })
    }
}

/// Whether a skull can measure otherwise after this, or is not finished any more: knife, jet, glue,
/// cream, coat and the like, or a water.
fn changes(state: &State, verb: &Verb) -> bool {
    let wet = |place: &Name| {
        let kind = state.shop().places.get(place).map(|place| place.kind);
        kind.is_some_and(PlaceKind::is_wet)
    };
    let into = if let Verb::In(v) = verb {
        Some(&v.place)
    } else if let Verb::FoundIn(v) = verb {
        Some(&v.place)
    } else {
        None
    };
    verb.needs_a_new_look() || into.is_some_and(wet)
}
