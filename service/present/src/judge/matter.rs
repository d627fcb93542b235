//! What is put to the scripts: gathered from the present at once, and judged without it.

use std::sync::Arc;

use burrline_domain::{State, Verb, house::taxation::Taxation};
use burrline_host::{JobFacts, Ruling, VerbFacts};
use burrline_terms::{Digest, Moment, Money, Name, words::ScriptKind};

use super::{facts::job_facts, rules::Active};
use crate::taxes::taxation;

/// An entry with all that scripts may see of it.
#[derive(Debug)]
pub struct Matter {
    pub(super) seen: Option<Seen>,
    pub(super) heard: Option<Heard>,
}

/// An act, and the rules that are to judge it.
#[derive(Debug)]
pub(super) struct Seen {
    pub(super) active: Arc<Active>,
    pub(super) job: Arc<JobFacts>,
    pub(super) act: Arc<VerbFacts>,
}

impl Seen {
    /// One ruling for each rule that has something to say.
    pub(super) fn rulings(&self) -> Vec<Ruling> {
        let said = self.active.rules.check(&self.job, &self.act);
        let broken = self.active.broken.iter().cloned().map(Ruling::NotChecked);
        said.into_iter()
            .chain(broken)
            .filter(|ruling| !matches!(ruling, Ruling::Fine { .. }))
            .collect()
    }
}

/// A price that a customer heard, and the script or scripts that it was by.
#[derive(Debug)]
pub(super) struct Heard {
    /// The one script, if it was by one alone.
    pub(super) script: Option<(ScriptKind, Name)>,
    pub(super) digest: Digest,
    /// How the shop taxed on the day.
    pub(super) tax: Taxation,
    pub(super) job: Arc<JobFacts>,
    pub(super) amount: Money,
}

impl Heard {
    /// Nothing if it is no quote, or one of which it is not known by which script and for what.
    pub(super) fn of(state: &State, verb: &Verb, now: Moment) -> Option<Self> {
        let Verb::Quote(quote) = verb else { return None };
        let digest = quote.script?;
        let script = state.shop().scripts.get(&digest);
        let job = state.find_job_at(&quote.skull, now)?;
        let sum = || Money::sum(quote.lines.iter().map(|line| line.amount));
        Some(Self {
            script: script.map(|script| (script.kind, script.name.clone())),
            digest,
            tax: taxation(state, job, now),
            job: Arc::new(job_facts(state, job, now)),
            amount: quote.total.unwrap_or_else(sum),
        })
    }
}
