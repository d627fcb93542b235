//! Corrections: amend, strike and assign.
//!
//! A correction works only on what was typed before it, so no chain of them can close a circle.
//! A correction of a correction is a strike of it; amending one changes nothing.

use std::collections::BTreeSet;

use super::{Key, State};
use crate::{
    name::EntryName,
    verb::{Class, Verb},
};

/// What a fact means after all corrections.
pub(super) struct Effective<'a> {
    pub(super) verb: &'a Verb,
    pub(super) struck_by: Option<EntryName>,
    pub(super) amended_by: Option<EntryName>,
    pub(super) assigned: Option<EntryName>,
}

/// The entries that a verb corrects.
pub(super) fn targets(verb: &Verb) -> Vec<EntryName> {
    match verb {
        Verb::Amend(amend) => vec![amend.entry],
        Verb::Strike(strike) => strike.entries.clone(),
        Verb::Assign(assign) => vec![assign.entry],
        _ => Vec::new(),
    }
}

const fn is_correction(verb: &Verb) -> bool {
    matches!(verb, Verb::Amend(_) | Verb::Strike(_) | Verb::Assign(_))
}

impl State {
    /// What an entry means now; `None` if it has not arrived.
    pub(super) fn effective(&self, name: EntryName) -> Option<Effective<'_>> {
        let fact = self.facts.get(&name)?;
        let own = &fact.record.entry.verb;
        let mut now = Effective { verb: own, struck_by: None, amended_by: None, assigned: None };
        // Decisions are on the record as they were; another decision takes them back.
        if own.spec().class == Class::Decision {
            return Some(now);
        }
        let mut corrections: Vec<_> = self
            .corrections
            .get(&name)
            .into_iter()
            .flatten()
            .filter_map(|c| self.facts.get(c))
            .filter(|c| c.typed_key() > fact.typed_key())
            .collect();
        corrections.sort_by_key(|c| c.typed_key());
        for correction in corrections {
            let by = correction.record.entry.name;
            if self.effective(by).is_some_and(|c| c.struck_by.is_some()) {
                continue;
            }
            match &correction.record.entry.verb {
                Verb::Strike(_) if by.life == name.life => now.struck_by = Some(by),
                Verb::Amend(amend) if may_stand_for(own, &amend.verb) => {
                    now.verb = &amend.verb;
                    now.amended_by = Some(by);
                }
                Verb::Assign(assign) => now.assigned = Some(assign.job),
                _ => {}
            }
        }
        Some(now)
    }

    /// Adds the facts whose meaning an entry may change, through corrections of corrections.
    pub(super) fn corrected_by(&self, name: EntryName, dirty: &mut BTreeSet<Key>) {
        let mut waiting = vec![name];
        let mut seen = BTreeSet::new();
        while let Some(next) = waiting.pop() {
            if !seen.insert(next) {
                continue;
            }
            if let Some(fact) = self.facts.get(&next) {
                dirty.insert(fact.key);
                waiting.extend(targets(&fact.record.entry.verb));
            }
        }
    }
}

fn may_stand_for(own: &Verb, amended: &Verb) -> bool {
    !is_correction(own) && !is_correction(amended) && amended.spec().class == Class::Fact
}
