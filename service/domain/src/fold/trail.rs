//! One job's records in the order of happening, with what was struck, amended or refused.

use burrline_terms::name::EntryName;

use super::{Fact, State};
use crate::verb::Verb;

/// One line of a trail.
#[derive(Debug, Clone, Copy)]
pub struct TrailItem<'a> {
    /// The fact as recorded.
    pub fact: &'a Fact,
    /// What it means now.
    pub verb: &'a Verb,
    /// The entry that struck it.
    pub struck_by: Option<EntryName>,
    /// The entry that amended it.
    pub amended_by: Option<EntryName>,
}

impl State {
    /// The trail of a job.
    pub fn trail(&self, job: EntryName) -> Vec<TrailItem<'_>> {
        let facts = self.job(job).into_iter().flat_map(super::Job::facts);
        facts.filter_map(|(key, _)| self.trail_item(key.name)).collect()
    }

    /// One entry as a line of a trail.
    pub fn trail_item(&self, name: EntryName) -> Option<TrailItem<'_>> {
        let now = self.effective(name)?;
        Some(TrailItem {
            fact: self.facts.get(&name)?,
            verb: now.verb,
            struck_by: now.struck_by,
            amended_by: now.amended_by,
        })
    }
}
