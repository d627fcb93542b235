//! Jobs and waters, and those among them that are folded when somebody looks.
//!
//! A job or a water is a function of its own facts. So of one that came from a snapshot the names of
//! its facts are enough until somebody asks. Whoever changes one has it folded first.

use std::sync::{Arc, OnceLock};

use burrline_terms::name::{EntryName, Name};
use imbl::OrdMap;

use super::{Fact, Job, Key, State, Water, shared::Shared};
use crate::verb::Verb;

/// Facts of an aggregate in their order, and whether each counts.
pub(super) type Story = Vec<(Key, bool)>;

/// An aggregate of a snapshot, folded once somebody looked.
#[derive(Debug)]
pub(super) struct Later<V> {
    folded: OnceLock<V>,
    story: Story,
    /// Whether it had ended.
    ended: bool,
}

impl<V> Later<V> {
    pub(super) const fn new(story: Story, ended: bool) -> Self {
        Self { folded: OnceLock::new(), story, ended }
    }

    fn get(&self, fold: impl FnOnce(&[(Key, bool)]) -> V) -> &V {
        self.folded.get_or_init(|| fold(&self.story))
    }
}

/// Aggregates by name: a copy shares all that stays as it is.
#[derive(Debug, Clone)]
pub(super) struct Aggregates<K: Ord, V> {
    /// Those that are folded.
    folded: Shared<K, V>,
    /// Those of a snapshot that nobody changed since; none of them is among the folded.
    later: OrdMap<K, Arc<Later<V>>>,
}

impl<K: Ord, V> Default for Aggregates<K, V> {
    fn default() -> Self {
        Self { folded: Shared::default(), later: OrdMap::default() }
    }
}

impl<K: Ord + Clone, V: Clone> Aggregates<K, V> {
    pub(super) fn restored(all: impl IntoIterator<Item = (K, Later<V>)>) -> Self {
        let later = all.into_iter().map(|(name, one)| (name, Arc::new(one))).collect();
        Self { folded: Shared::default(), later }
    }

    fn len(&self) -> usize {
        self.folded.len().saturating_add(self.later.len())
    }

    fn contains_key(&self, name: &K) -> bool {
        self.folded.contains_key(name) || self.later.contains_key(name)
    }

    fn get(&self, name: &K, fold: impl FnOnce(&[(Key, bool)]) -> V) -> Option<&V> {
        self.folded.get(name).or_else(|| Some(self.later.get(name)?.get(fold)))
    }

    /// Their names in order; of those that had ended only where they are wanted.
    fn names(&self, ended: bool) -> Vec<&K> {
        let later = self.later.iter().filter(|(_, one)| ended || !one.ended);
        let mut names: Vec<&K> = self.folded.keys().chain(later.map(|(name, _)| name)).collect();
        if !self.later.is_empty() {
            names.sort_unstable();
        }
        names
    }

    /// The names of those that had ended, in order; none of them is folded for it.
    pub(super) fn ended(&self, is: impl Fn(&V) -> bool) -> Vec<&K> {
        let later = self.later.iter().filter(|(_, one)| one.ended).map(|(name, _)| name);
        let folded = self.folded.iter().filter(|(_, one)| is(one)).map(|(name, _)| name);
        let mut names: Vec<&K> = later.chain(folded).collect();
        names.sort_unstable();
        names
    }

    /// Has one folded, to be changed.
    fn settle(&mut self, name: &K, fold: impl FnOnce(&[(Key, bool)]) -> V) {
        if let Some(one) = self.later.remove(name) {
            one.get(fold);
            let folded = match Arc::try_unwrap(one) {
                Ok(own) => own.folded.into_inner(),
                Err(shared) => shared.folded.get().cloned(),
            };
            if let Some(folded) = folded {
                self.folded.insert(name.clone(), folded);
            }
        }
    }

    /// One that was settled, to be changed; made if there is none.
    pub(super) fn change(&mut self, name: K, new: impl FnOnce() -> V) -> &mut V {
        self.folded.change(name, new)
    }

    /// One that was settled, to be changed.
    pub(super) fn get_mut(&mut self, name: &K) -> Option<&mut V> {
        self.folded.get_mut(name)
    }

    pub(super) fn insert(&mut self, name: K, value: V) {
        self.folded.insert(name, value);
    }

    /// Takes one away that was settled.
    pub(super) fn remove(&mut self, name: &K) -> Option<V> {
        self.folded.remove(name)
    }
}

/// Every job, by its take-in.
#[derive(Debug, Clone, Copy)]
pub struct Jobs<'a>(&'a State);

/// The water of each place that was ever filled.
#[derive(Debug, Clone, Copy)]
pub struct Waters<'a>(&'a State);

macro_rules! view {
    ($view:ident, $field:ident, $key:ty, $value:ty, $fold:ident) => {
        impl<'a> $view<'a> {
            /// How many there are.
            pub fn len(self) -> usize {
                self.0.$field.len()
            }

            /// Whether there are none.
            pub fn is_empty(self) -> bool {
                self.len() == 0
            }

            /// Whether there is one of this name.
            pub fn contains_key(self, name: &$key) -> bool {
                self.0.$field.contains_key(name)
            }

            /// The one of this name.
            pub fn get(self, name: &$key) -> Option<&'a $value> {
                let state = self.0;
                state.$field.get(name, |story| state.$fold(name, story))
            }

            /// All names, in order.
            pub fn keys(self) -> impl DoubleEndedIterator<Item = &'a $key> {
                self.0.$field.names(true).into_iter()
            }

            /// All of them with their names, in order.
            pub fn iter(self) -> impl DoubleEndedIterator<Item = (&'a $key, &'a $value)> {
                self.keys().filter_map(move |name| Some((name, self.get(name)?)))
            }

            /// All of them, in the order of their names.
            pub fn values(self) -> impl DoubleEndedIterator<Item = &'a $value> {
                self.iter().map(|(_, value)| value)
            }
        }

        impl<'a> IntoIterator for $view<'a> {
            type Item = (&'a $key, &'a $value);
            type IntoIter = std::vec::IntoIter<Self::Item>;

            fn into_iter(self) -> Self::IntoIter {
                self.iter().collect::<Vec<_>>().into_iter()
            }
        }
    };
}

view!(Jobs, jobs, EntryName, Job, fold_job);
view!(Waters, waters, Name, Water, fold_water);

impl<'a> Jobs<'a> {
    /// Those that have not ended, in order. Nothing of a job that ended long ago is read for it.
    pub fn open(self) -> impl DoubleEndedIterator<Item = &'a Job> {
        let open = self.0.jobs.names(false).into_iter().filter_map(move |name| self.get(name));
        open.filter(|job| job.ended.is_none())
    }
}

impl State {
    /// Every job, open or ended, by its take-in.
    pub const fn jobs(&self) -> Jobs<'_> {
        Jobs(self)
    }

    /// The water of each place that was ever filled.
    pub const fn waters(&self) -> Waters<'_> {
        Waters(self)
    }

    /// Has a job folded, to be changed.
    pub(super) fn settle_job(&mut self, job: EntryName) {
        let mut jobs = std::mem::take(&mut self.jobs);
        jobs.settle(&job, |story| self.fold_job(&job, story));
        self.jobs = jobs;
    }

    /// Has a water folded, to be changed.
    pub(super) fn settle_water(&mut self, place: &Name) {
        let mut waters = std::mem::take(&mut self.waters);
        waters.settle(place, |story| self.fold_water(place, story));
        self.waters = waters;
    }

    /// A fact with what it means now.
    pub(super) fn meant(&self, key: &Key) -> Option<(&Fact, &Verb)> {
        Some((self.facts.get(&key.name)?, &*self.landed.get(&key.name)?.verb))
    }

    /// A job from all of its facts.
    pub(super) fn fold_job(&self, id: &EntryName, facts: &[(Key, bool)]) -> Job {
        let active = facts.iter().filter(|(_, active)| *active);
        let story: Vec<(&Fact, &Verb)> = active.filter_map(|(key, _)| self.meant(key)).collect();
        let mut job = Job::folded(*id, &story);
        job.facts = facts.iter().copied().collect();
        if !self.is_job(*id) {
            self.end_as_struck(&mut job);
        }
        job
    }

    fn fold_water(&self, _: &Name, facts: &[(Key, bool)]) -> Water {
        let facts = facts.iter().map(|(key, _)| *key).collect();
        let mut water = Water { facts, ..Water::default() };
        water.refold(&self.facts, &self.landed, &self.shop);
        water
    }
}
