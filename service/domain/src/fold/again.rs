//! Lines that are said again under a new life of their bench, as its old one had ended.
//!
//! Such a line keeps the name that it had. Two machines with one disk may both say a line again, and
//! an old machine may turn up with it later: it is the same act, by its clocks, and counts once.

use burrline_terms::name::EntryName;

use super::State;
use crate::entry::Entry;

impl State {
    /// The record that has the very act of an entry under another name; none if it is new.
    pub fn said_already(&self, entry: &Entry) -> Option<EntryName> {
        let same = |name: &EntryName| {
            self.facts.get(name).is_some_and(|fact| {
                let known = &fact.record.entry;
                !fact.refused() && known.clock == entry.clock && known.hand == entry.hand
            })
        };
        let first = entry.formerly.unwrap_or(entry.name);
        self.names_since(first).find(|name| *name != entry.name && same(name))
    }

    /// The job that is meant by a take-in's name, where the take-in was said again under another.
    pub(super) fn known_as(&self, job: EntryName) -> EntryName {
        if self.is_job(job) {
            return job;
        }
        self.names_since(self.first_name(job)).find(|name| self.is_job(*name)).unwrap_or(job)
    }

    /// Every name that what was first said under this one has had.
    pub(super) fn names_since(&self, first: EntryName) -> impl Iterator<Item = EntryName> {
        std::iter::once(first).chain(self.again.get(&first).into_iter().flatten().copied())
    }

    /// The name under which something was said first.
    pub(super) fn first_name(&self, name: EntryName) -> EntryName {
        self.facts.get(&name).and_then(|fact| fact.record.entry.formerly).unwrap_or(name)
    }
}
