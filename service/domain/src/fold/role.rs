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

    /// Whether a bench said a fact that is not for its role.
    pub(super) fn is_beyond_role(&self, fact: &Fact) -> bool {
        let verb = &fact.record.entry.verb;
        let role = self.role_of(fact.record.entry.name);
        verb.spec().class == Class::Fact && role.is_some_and(|role| !verb.is_for(role))
    }

    /// The lines that still stand as a bench said them that may not.
    pub(super) fn role_clashes(&self, of: Option<EntryName>) -> Vec<Clash> {
        let marked = self.beyond_role.iter().filter_map(|name| self.role_clash(*name));
        marked.filter(|clash| of.is_none() || clash.job == of).collect()
    }

    fn role_clash(&self, name: EntryName) -> Option<Clash> {
        let fact = self.facts.get(&name)?;
        let said = &fact.record.entry.verb;
        // What counts is the line that stands: its own, or the one that it amends.
        let line = if let Verb::Amend(amend) = said { amend.entry } else { name };
        let now = self.effective(line)?;
        let stands = now.struck_by.is_none() && now.amended_by.unwrap_or(line) == name;
        let role = self.role_of(name).filter(|_| stands)?;
        let landed = self.landed.get(&line)?;
        let job = match landed.route {
            Route::Job(job) => Some(job),
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
