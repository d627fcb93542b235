//! Facts that were said by a bench whose role may not say them.
//!
//! What has happened is never refused, so such a line counts as any other. It is marked until somebody
//! who may say it amends it, or it is struck.

use burrline_terms::{name::EntryName, words::Role};

use super::{Cause, Clash, Fact, Route, State};
use crate::verb::{Class, Verb};

impl State {
    /// The role of the bench that said an entry; none for the shop itself and for one that is not known.
    fn role_of(&self, name: EntryName) -> Option<Role> {
        self.shop.benches.get(&name.life).map(|bench| bench.role)
    }

    /// Whether a fact of a bench is not for every bench. Which role the bench has may arrive later.
    pub(super) fn is_for_few(fact: &Fact) -> bool {
        let verb = &fact.record.entry.verb;
        let is_own = fact.record.entry.name.life == 0;
        verb.spec().class == Class::Fact && verb.for_role() != Role::Bench && !is_own
    }

    /// The lines that still stand as a bench said them that may not.
    pub(super) fn role_clashes(&self, of: Option<EntryName>) -> Vec<Clash> {
        let marked = self.for_few.iter().filter_map(|name| self.role_clash(*name));
        marked.filter(|clash| of.is_none() || clash.job == of).collect()
    }

    fn role_clash(&self, name: EntryName) -> Option<Clash> {
        let fact = self.facts.get(&name)?;
        let said = &fact.record.entry.verb;
        let role = self.role_of(name).filter(|role| !said.is_for(*role))?;
        // What counts is the line that stands: its own, or the one that it amends.
        let line = if let Verb::Amend(amend) = said { amend.entry } else { name };
        let now = self.effective(line)?;
        let stands = now.struck_by.is_none() && now.amended_by.unwrap_or(line) == name;
        let job = match self.route(line).filter(|_| stands)? {
            Route::Job(job) => Some(*job),
            Route::Place(_) | Route::Shop | Route::Unplaced(_) => None,
        };
        Some(Clash {
            job,
            tag: job.and_then(|job| self.tag_of(job)).cloned(),
            entry: name,
            at: fact.key.at,
            cause: Cause::NotForRole { verb: now.verb.spec().word, role, needs: said.for_role() },
        })
    }
}
