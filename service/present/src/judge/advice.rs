//! What the scripts in use advise: what to remember, when to look first, by when a head is ready, how many
//! fit, and what a customer is told.

use std::sync::Arc;

use burrline_domain::{State, Verb, fold::Job};
use burrline_host::{Advice, JobFacts, ReadyBy, Reminder, Script, ScriptFailure, patiently};
use burrline_terms::{Happened, Moment};

use super::{
    By, Judge,
    facts::{job_facts_wanted, verb_facts},
    wants::Wants,
};

/// An answer, none, or why there is none.
pub(crate) type Advised<T> = Result<Option<Advice<T>>, ScriptFailure>;

impl Judge {
    /// What is to be remembered of a job now, and which scripts could not say.
    pub(crate) fn reminders(
        &self,
        state: &State,
        job: &Job,
        now: Moment,
    ) -> (Vec<Advice<Reminder>>, Vec<ScriptFailure>) {
        let active = self.active(0);
        let scripts = active.rules.that_remind();
        if scripts.is_empty() {
            return (Vec::new(), Vec::new());
        }
        let facts = facts_for(&scripts, state, job, now);
        patiently(|| active.rules.remind(&facts))
    }

    /// Whether any script in use says what to remember.
    pub(crate) fn reminds(&self) -> bool {
        !self.active(0).rules.that_remind().is_empty()
    }

    /// By when a job is ready, if a script says so.
    ///
    /// # Errors
    /// Why a script that should say it cannot.
    pub(crate) fn ready_by(&self, state: &State, job: &Job, now: Moment) -> Advised<ReadyBy> {
        let active = self.active(0);
        let scripts = active.rules.that_know_the_day();
        if scripts.is_empty() {
            return Ok(None);
        }
        let facts = facts_for(&scripts, state, job, now);
        patiently(|| active.rules.ready_by(&facts))
    }

    /// What a customer is told about a job, if a script words it.
    ///
    /// # Errors
    /// Why a script that should word it cannot.
    pub(crate) fn message(
        &self,
        state: &State,
        job: &Job,
        about: &str,
        now: Moment,
    ) -> Advised<String> {
        let active = self.active(0);
        let scripts = active.rules.that_write();
        if scripts.is_empty() {
            return Ok(None);
        }
        let facts = facts_for(&scripts, state, job, now);
        patiently(|| active.rules.message(&facts, about))
    }

    /// How many heads such as the one that an act puts somewhere fit there, if a script counts them. The
    /// place is taken for empty, as for a potful.
    ///
    /// # Errors
    /// Why a script that should count cannot.
    pub(crate) fn fits(&self, state: &State, job: &Job, act: &Verb, now: Moment) -> Advised<i64> {
        let active = self.active(0);
        let scripts = active.rules.that_count();
        if scripts.is_empty() {
            return Ok(None);
        }
        let facts = facts_for(&scripts, state, job, now);
        let mut act = verb_facts(state, Some(job), act, By::default(), now);
        if let Some(place) = &mut act.place {
            place.others.clear();
        }
        patiently(|| active.rules.fits(&facts, &Arc::new(act)))
    }
}

fn facts_for(
    scripts: &[&Script],
    state: &State,
    job: &Job,
    now: impl Into<Happened>,
) -> Arc<JobFacts> {
    let wants = Wants::of(scripts.iter().copied());
    Arc::new(job_facts_wanted(state, job, now, wants))
}
