//! Corrections: amend, strike and assign.
//!
//! A correction works only on what was typed before it, so no chain of corrections can close a
//! circle. A correction of a correction is a strike of it; amending one changes nothing. A
//! strike counts only for lines of its own life. A decision is never amended: another decision
//! takes it back.
//!
//! An amendment that keeps part of a line is filled in at the bench, before it is signed. So
//! the fold always gets a whole line and knows nothing of what was left out.

use std::collections::{BTreeMap, BTreeSet};

use burrline_terms::{name::EntryName, time::Moment};

use super::{CannotCorrect, Cause, Clash, Fact, Key, State, Uncorrected};
use crate::{
    entry::{Entry, Outcome, Record, ScriptNotes},
    verb::{Class, Strike, Verb},
};

/// What a fact means after all corrections.
pub(super) struct Effective<'a> {
    pub(super) verb: &'a Verb,
    pub(super) struck_by: Option<EntryName>,
    pub(super) amended_by: Option<EntryName>,
    pub(super) assigned: Option<EntryName>,
}

const fn is_correction(verb: &Verb) -> bool {
    matches!(verb, Verb::Amend(_) | Verb::Strike(_) | Verb::Assign(_))
}

impl State {
    /// What an entry means now; `None` if it has not arrived.
    pub(super) fn effective(&self, name: EntryName) -> Option<Effective<'_>> {
        self.effective_by(name, u64::MAX)
    }

    /// The present as if a line had not been said: it is crossed out. For whoever asks what another line
    /// in its stead would be held against; nothing of it is recorded.
    #[must_use]
    pub fn without(&self, name: EntryName) -> Self {
        let mut without = self.clone();
        let Some(fact) = self.facts.get(&name) else { return without };
        let record = &*fact.record;
        let strike = Record {
            entry: Entry {
                name: EntryName::new(name.life, u64::MAX),
                said: None,
                together: None,
                anyway: None,
                rulings: Vec::new(),
                formerly: None,
                verb: Strike { entries: vec![name] }.into(),
                ..record.entry.clone()
            },
            shop_time: self.last_shop_time,
            outcome: Outcome::Done(Vec::new()),
            notes: ScriptNotes::default(),
            on_jobs: Vec::new(),
            ..record.clone()
        };
        without.apply(strike);
        without
    }

    /// What an entry meant after each record that changed its meaning, oldest first: that record, and
    /// the meaning, which is none once it was struck. The first is the entry's own.
    pub fn meanings(&self, name: EntryName) -> Vec<(&Fact, Option<&Verb>)> {
        let Some(fact) = self.facts.get(&name) else { return Vec::new() };
        let mut steps: Vec<&Fact> = self.corrections_upon(fact).into_values().collect();
        steps.sort_by_key(|step| step.record.position);
        let mut meanings: Vec<(&Fact, Option<&Verb>)> = Vec::new();
        for step in [fact].into_iter().chain(steps) {
            // A correction that arrived before what it corrects was known with it.
            let by = step.record.position.max(fact.record.position);
            let now = self.effective_by(name, by).filter(|now| now.struck_by.is_none());
            let now = now.map(|now| now.verb);
            if meanings.last().is_none_or(|(_, before)| *before != now) {
                meanings.push((step, now));
            }
        }
        meanings
    }

    /// The same by the corrections that were recorded up to a place on the log.
    #[allow(clippy::wildcard_enum_match_arm, reason = "only the three corrections come here")]
    fn effective_by(&self, name: EntryName, last: u64) -> Option<Effective<'_>> {
        let fact = self.facts.get(&name)?;
        let own = &fact.record.entry.verb;
        let mut now = Effective { verb: own, struck_by: None, amended_by: None, assigned: None };
        // Decisions are on the record as they were; another decision takes them back.
        if own.spec().class == Class::Decision {
            return Some(now);
        }
        let mut struck: BTreeMap<EntryName, EntryName> = BTreeMap::new();
        // Newest first, so that whatever strikes a correction is known before that one counts.
        for correction in self.corrections_upon(fact).into_values().rev() {
            let by = correction.record.entry.name;
            if struck.contains_key(&by) || correction.record.position > last {
                continue;
            }
            match &correction.record.entry.verb {
                Verb::Strike(strike) => {
                    // Said again under a new life, it still strikes what the old one said.
                    let lives = [by.life, self.first_name(by).life];
                    let own = strike.entries.iter().filter(|entry| lives.contains(&entry.life));
                    for entry in own.filter(|entry| self.is_typed_before(**entry, correction)) {
                        struck.entry(*entry).or_insert(by);
                    }
                }
                Verb::Amend(amend)
                    if amend.entry == name
                        && now.amended_by.is_none()
                        && may_stand_for(own, &amend.verb) =>
                {
                    now.verb = &amend.verb;
                    now.amended_by = Some(by);
                }
                Verb::Assign(assign) if assign.entry == name && now.assigned.is_none() => {
                    now.assigned = Some(assign.job);
                }
                _ => {}
            }
        }
        now.struck_by = struck.get(&name).copied();
        Some(now)
    }

    /// Every line that may name a job: those that mean it now, and those that were corrected, whatever they
    /// meant before. Far fewer than all lines.
    pub fn may_name(&self, job: EntryName) -> impl Iterator<Item = &Fact> {
        let mean = self.meant.get(&job).into_iter().flatten().map(|key| key.name);
        let corrected = self.corrections.keys().copied();
        let names: BTreeSet<EntryName> = mean.chain(corrected).chain([job]).collect();
        names.into_iter().filter_map(|name| self.facts.get(&name))
    }

    /// The lines that correct any of these, and those that correct them in turn, but for these themselves.
    pub fn correcting(&self, of: &BTreeSet<EntryName>) -> BTreeSet<EntryName> {
        let mut found: BTreeSet<EntryName> = BTreeSet::new();
        let mut waiting: Vec<EntryName> = of.iter().copied().collect();
        while let Some(next) = waiting.pop() {
            let upon = self.corrections.get(&next).into_iter().flatten().copied();
            waiting.extend(upon.filter(|name| !of.contains(name) && found.insert(*name)));
        }
        found
    }

    /// The corrections upon a fact, and those upon them, by when they were typed.
    fn corrections_upon(&self, fact: &Fact) -> BTreeMap<(Moment, EntryName), &Fact> {
        let mut found = BTreeMap::new();
        let mut waiting = vec![fact];
        while let Some(next) = waiting.pop() {
            let upon = self.corrections.get(&next.record.entry.name).into_iter().flatten();
            for correction in upon.filter_map(|name| self.facts.get(name)) {
                let later = correction.typed_key() > next.typed_key();
                if later && found.insert(correction.typed_key(), correction).is_none() {
                    waiting.push(correction);
                }
            }
        }
        found
    }

    fn is_typed_before(&self, entry: EntryName, correction: &Fact) -> bool {
        self.facts.get(&entry).is_some_and(|fact| fact.typed_key() < correction.typed_key())
    }

    /// Corrections that correct nothing, with what to do instead.
    pub(super) fn correction_clashes(&self) -> Vec<Clash> {
        let named = self.corrections.iter();
        let pairs = named.flat_map(|(target, all)| all.iter().map(move |by| (*target, *by)));
        pairs
            .filter(|(_, by)| self.landed.get(by).is_some_and(|landed| landed.active))
            .filter_map(|(target, by)| {
                let correction = self.facts.get(&by)?;
                let why = self.corrects_nothing(target, correction)?;
                let verb = correction.record.entry.verb.spec().word;
                let (entry, at) = (by, correction.key.at);
                let cause = Cause::Correction { verb, why };
                Some(Clash { job: None, tag: None, entry, at, cause })
            })
            .collect()
    }

    fn corrects_nothing(&self, target: EntryName, correction: &Fact) -> Option<Uncorrected> {
        let Some(fact) = self.facts.get(&target) else {
            let reason = CannotCorrect::NotArrived;
            return Some(Uncorrected { line: target, verb: None, reason });
        };
        let own = &fact.record.entry.verb;
        let verb = &correction.record.entry.verb;
        let other_bench = target.life != correction.record.entry.name.life;
        let reason = if own.spec().class == Class::Decision {
            CannotCorrect::Decision
        } else if correction.typed_key() <= fact.typed_key() {
            CannotCorrect::TypedAfter
        } else if matches!(verb, Verb::Strike(_)) && other_bench {
            CannotCorrect::OtherBench
        } else if matches!(verb, Verb::Amend(amend) if !may_stand_for(own, &amend.verb)) {
            CannotCorrect::CannotBecome
        } else if matches!(verb, Verb::Assign(_)) && own.skull().is_none() {
            CannotCorrect::NoSkull
        } else {
            return None;
        };
        Some(Uncorrected { line: target, verb: Some(own.spec().word), reason })
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
                waiting.extend(fact.record.entry.verb.corrects());
            }
        }
    }
}

fn may_stand_for(own: &Verb, amended: &Verb) -> bool {
    !is_correction(own) && !is_correction(amended) && amended.spec().class == Class::Fact
}
