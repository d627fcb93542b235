//! What is put to the scripts: gathered from the present at once, and judged without it.

use std::sync::Arc;

use burrline_domain::{FirstLook, Remark, State, Verb, house::taxation::Taxation};
use burrline_host::{Advice, JobFacts, Ruling, Script, ScriptFailure, Stages, VerbFacts};
use burrline_terms::{Digest, EntryName, Moment, Money, Name, words::ScriptKind};

use super::{facts::job_facts, read::Gathered, rules::Active, shadow::would_say};
use crate::taxes::taxation;

/// An entry with all that scripts may see of it.
#[derive(Debug)]
pub struct Matter {
    pub(super) seen: Option<Seen>,
    pub(super) heard: Option<Heard>,
    pub(super) customer: Option<EntryName>,
}

/// What scripts make of an entry.
#[derive(Debug, Default)]
pub struct Judged {
    /// What the rules in use remark.
    pub remarks: Vec<Remark>,
    /// What rules that are only shadowed would have remarked.
    pub shadow: Vec<Remark>,
    /// When a head that was put somewhere is first looked at.
    pub first_look: Option<FirstLook>,
    /// What the scripts of a price or of a remark read.
    pub read: Option<Gathered>,
}

/// An act, and the rules that are to judge it.
#[derive(Debug)]
pub(super) struct Seen {
    pub(super) active: Arc<Active>,
    /// Rules that are shadowed and asked about it.
    pub(super) shadows: Vec<Stages>,
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

    /// What the shadowed rules would have remarked.
    pub(super) fn would_say(&self) -> Vec<Remark> {
        would_say(self.shadows.iter().flat_map(|rule| rule.check_all(&self.job, &self.act)))
    }

    /// When a head that this puts somewhere is first looked at, if a script says so.
    ///
    /// # Errors
    /// The script that should say it fails.
    pub(super) fn first_look(&self) -> Result<Option<Advice<i64>>, ScriptFailure> {
        if self.act.verb != "in" {
            return Ok(None);
        }
        self.active.rules.first_look(&self.job, &self.act)
    }

    /// What the rules that spoke read.
    pub(super) fn read(&self, rulings: &[Ruling], customer: Option<EntryName>) -> Gathered {
        let spoke = |script: &&Script| rulings.iter().any(|r| r.digest() == script.digest());
        let scripts = self.active.rules.scripts().iter().map(Stages::script).filter(spoke);
        Gathered::of(scripts, &self.job, Some(&self.act), customer)
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
