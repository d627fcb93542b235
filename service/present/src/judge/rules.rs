//! The active scripts, and what they say.

use std::{
    collections::BTreeMap,
    path::PathBuf,
    sync::{Arc, PoisonError, RwLock},
};

use burrline_domain::{
    Class, Entry, FirstLook, Remark, State, Verb,
    fold::Job,
    house::taxation::Taxation,
    verb::{On, VERBS},
};
use burrline_host::{
    Advice, JobFacts, Kind, Prices, Pricing, Quote, Rules, Ruling, Sandbox, Script, ScriptFailure,
    Share, Stages, digest_of, patiently,
};
use burrline_terms::{
    Digest, EntryName, Happened, Moment, Money, Name, Phrase, PlanStep, PriceLine, Span, Typed,
    units::SpanUnit,
    words::{Role, ScriptKind},
};
use rust_decimal::Decimal;
use thiserror::Error;

use crate::taxes::taxation;

use super::{
    facts::{self, By, job_facts, job_facts_wanted, verb_facts},
    matter::{Heard, Judged, Matter, Seen},
    read::Gathered,
    shadow::{Shadowed, scripts},
    wants::Wants,
};

/// A script that is named on the log cannot be used.
#[derive(Debug, Error)]
pub enum NoScript {
    /// Its source is not in the folder.
    #[error("the source of script {name} ({digest}) cannot be read: {source}")]
    Missing {
        /// Its name.
        name: Name,
        /// Its digest.
        digest: Digest,
        /// Why.
        source: std::io::Error,
    },
    /// Its source is not the one that was installed.
    #[error(
        "the source of script {name} ({digest}) was altered on disk; install it again as it was, \
         or install and activate what it is now"
    )]
    Altered {
        /// Its name.
        name: Name,
        /// Its digest.
        digest: Digest,
    },
    /// It does not compile.
    #[error("{0}")]
    Fails(#[from] ScriptFailure),
}

/// A price with the script that made it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Priced {
    /// Its lines, before tax.
    pub lines: Vec<PriceLine>,
    /// Their tax, by the shop's rule of the day.
    pub tax: Money,
    /// What of it is there because tax is rounded once over the whole visit.
    pub cent: Money,
    /// All of it.
    pub total: Money,
    /// What to ask for at once, if a script says so.
    pub deposit: Option<Money>,
    /// The script's digest, or that of the list of several.
    pub script: Digest,
    /// The script's name, or those of several.
    pub name: String,
}

impl NoScript {
    /// What a hand is told of a rule that could not be asked.
    fn failure(&self) -> ScriptFailure {
        let (name, digest, words) = match self {
            Self::Missing { name, digest, .. } => (name, digest, "its source is missing"),
            Self::Altered { name, digest } => (name, digest, "source altered"),
            Self::Fails(failure) => return failure.clone(),
        };
        ScriptFailure {
            script: name.to_string(),
            digest: digest.to_string(),
            line: None,
            column: None,
            words: words.to_owned(),
        }
    }
}

#[derive(Debug)]
pub(super) struct Active {
    /// What prices, or why nothing can.
    prices: Result<Prices, ScriptFailure>,
    pub(super) rules: Rules,
    /// Active stage scripts that cannot be asked.
    pub(super) broken: Vec<ScriptFailure>,
    /// Rules that are shadowed, or were.
    pub(super) shadows: Vec<Shadowed>,
    /// The verbs that any rule is asked about, and what the rules then read.
    wants: BTreeMap<&'static str, Wants>,
}

impl Default for Active {
    fn default() -> Self {
        Self::new(Ok(Prices::default()), Rules::default(), Vec::new(), Vec::new())
    }
}

impl Active {
    fn new(
        prices: Result<Prices, ScriptFailure>,
        rules: Rules,
        broken: Vec<ScriptFailure>,
        shadows: Vec<Shadowed>,
    ) -> Self {
        let mut wants = BTreeMap::new();
        for verb in VERBS.iter().map(|spec| spec.word) {
            let asked = rules.scripts().iter().filter(|rule| rule.is_asked_about(verb));
            let mut scripts = asked.map(Stages::script).peekable();
            if scripts.peek().is_some() {
                wants.insert(verb, Wants::of(scripts));
            }
        }
        Self { prices, rules, broken, shadows, wants }
    }
}

/// Judges acts by the scripts that were active when the bench last looked.
#[derive(Debug)]
pub struct Judge {
    sandbox: Arc<Sandbox>,
    dir: PathBuf,
    /// Which scripts were active from which number of records on.
    history: RwLock<Vec<(u64, Arc<Active>)>>,
    compiled: RwLock<BTreeMap<Digest, Script>>,
}

impl Judge {
    /// A judge over a folder of script sources, with none active.
    pub fn new(dir: PathBuf) -> Self {
        Self {
            sandbox: Arc::new(Sandbox::default()),
            dir,
            history: RwLock::new(vec![(0, Arc::default())]),
            compiled: RwLock::default(),
        }
    }

    /// The sandbox that scripts are compiled for.
    pub const fn sandbox(&self) -> &Arc<Sandbox> {
        &self.sandbox
    }

    /// Takes note that scripts were activated or deactivated: from `records` on, those of `state`
    /// are in force.
    ///
    /// # Errors
    /// The first [`NoScript`], if a source is missing, was altered or does not compile. The others
    /// are in force all the same, and that one is said to be not checked.
    pub fn activated(&self, state: &State, records: u64) -> Result<(), NoScript> {
        let (mut stages, mut broken) = (Vec::new(), Vec::new());
        let mut problem = None;
        for ((_, name), digest) in
            state.shop().active.iter().filter(|((kind, _), _)| *kind == ScriptKind::Stages)
        {
            let script = self.compiled(ScriptKind::Stages, name, *digest);
            match script.and_then(|script| Ok(Stages::new(script)?)) {
                Ok(script) => stages.push(script),
                Err(failure) => {
                    broken.push(failure.failure());
                    problem.get_or_insert(failure);
                }
            }
        }
        let prices = self.prices_in(state).map_err(|failure| {
            let told = failure.failure();
            problem.get_or_insert(failure);
            told
        });
        let shadows = self.shadowed(state);
        let active = Arc::new(Active::new(prices, Rules::new(stages), broken, shadows));
        let mut history = self.history.write().unwrap_or_else(PoisonError::into_inner);
        history.push((records, active));
        problem.map_or(Ok(()), Err)
    }

    /// The pricing scripts that a present has active. One that cannot be read may be a list or an
    /// adjustment, so that without it there is no price.
    fn prices_in(&self, state: &State) -> Result<Prices, NoScript> {
        let scripts = state.shop().prices.iter().filter_map(|digest| {
            let script = state.shop().scripts.get(digest)?;
            let compiled = self.compiled(script.kind, &script.name, *digest);
            Some(compiled.and_then(|script| Ok(Pricing::new(script)?)))
        });
        scripts.collect::<Result<Vec<_>, _>>().map(Prices::of)
    }

    /// The scripts that price now; none while one of them cannot be used.
    pub fn prices(&self) -> Prices {
        self.active(0).prices.as_ref().cloned().unwrap_or_default()
    }

    /// The scripts that priced together when a quote named this digest of their list.
    pub fn prices_of(&self, digest: Digest) -> Option<Prices> {
        let digest = digest.to_string();
        let history = self.history.read().unwrap_or_else(PoisonError::into_inner);
        let all = history.iter().rev().filter_map(|(_, active)| active.prices.as_ref().ok());
        all.into_iter().find(|prices| prices.digest() == digest).cloned()
    }

    /// Whether an installed script can be used.
    ///
    /// # Errors
    /// [`NoScript`] says why it cannot.
    pub fn is_usable(&self, state: &State, digest: Digest) -> Result<(), NoScript> {
        let Some(script) = state.shop().scripts.get(&digest) else { return Ok(()) };
        let compiled = self.compiled(script.kind, &script.name, digest)?;
        match script.kind {
            ScriptKind::Pricing => drop(Pricing::new(compiled)?),
            ScriptKind::Stages => verbs_fit(&compiled)?,
        }
        Ok(())
    }

    pub(super) fn compiled(
        &self,
        kind: ScriptKind,
        name: &Name,
        digest: Digest,
    ) -> Result<Script, NoScript> {
        let known = self.compiled.read().unwrap_or_else(PoisonError::into_inner);
        if let Some(script) = known.get(&digest) {
            return Ok(script.clone());
        }
        drop(known);
        let path = self.dir.join(format!("{digest}.rhai"));
        let source = std::fs::read(path).map_err(|source| NoScript::Missing {
            name: name.clone(),
            digest,
            source,
        })?;
        if digest_of(&source) != digest.to_string() {
            return Err(NoScript::Altered { name: name.clone(), digest });
        }
        let kind = match kind {
            ScriptKind::Pricing => Kind::Pricing,
            ScriptKind::Stages => Kind::Stages,
        };
        let script = Script::from_bytes(&self.sandbox, kind, name.as_str(), &source)?;
        let mut known = self.compiled.write().unwrap_or_else(PoisonError::into_inner);
        known.insert(digest, script.clone());
        Ok(script)
    }

    /// The scripts in force once a bench had seen so many records; 0 for those in force now.
    pub(super) fn active(&self, seen: u64) -> Arc<Active> {
        let history = self.history.read().unwrap_or_else(PoisonError::into_inner);
        let found = history.iter().rev().find(|(from, _)| seen == 0 || *from <= seen);
        found.or(history.first()).map(|(_, active)| Arc::clone(active)).unwrap_or_default()
    }

    /// What the rules say of an act that has not been recorded: one ruling a rule with a word.
    pub fn rulings<'a>(
        &self,
        state: &State,
        verb: &Verb,
        by: impl Into<By<'a>>,
        seen: u64,
        now: impl Into<Happened>,
    ) -> Vec<Ruling> {
        let seen = self.seen(state, verb, by.into(), seen, now.into(), Vec::new());
        seen.map(|seen| seen.rulings()).unwrap_or_default()
    }

    /// Runs work that asks the rules about one line: they have one time for all of it, and what they are
    /// not asked by then is told as not checked.
    pub fn for_one_line<T>(&self, work: impl FnOnce() -> T) -> T {
        self.sandbox.for_one_line(work)
    }

    /// What the rules in force say of an act that has not been recorded, as if the place that it is
    /// about were empty. Asked for planning, so no rule is cut off because the machine is busy.
    pub fn rulings_if_empty(&self, state: &State, verb: &Verb, now: Moment) -> Vec<Ruling> {
        let Some(mut seen) = self.seen(state, verb, By::default(), 0, now.into(), Vec::new())
        else {
            return Vec::new();
        };
        if let Some(place) = &mut Arc::make_mut(&mut seen.act).place {
            place.others.clear();
        }
        patiently(|| seen.rulings())
    }

    /// Gathers what the rules may see of a fact that is being recorded, for [`Self::judged`].
    pub fn matter(&self, state: &State, entry: &Entry, now: Happened) -> Matter {
        let hand = entry.hand.as_ref().map(Name::as_str).unwrap_or_default();
        let bench = state.shop().benches.get(&entry.name.life);
        let by = By { hand, role: bench.map(|bench| bench.role) };
        let shadows = self.shadows_at(entry.verb.spec().word, now.at);
        Matter {
            seen: self.seen(state, &entry.verb, by, entry.seen, now, shadows),
            heard: Heard::of(state, &entry.verb, now.at),
            customer: customer_of(state, &entry.verb, now.at),
        }
    }

    /// What the rules remark of a matter, and what scripts leave with it for later. Needs no present any
    /// more, so that a script which runs into its deadline holds nobody up.
    pub fn judged(&self, matter: &Matter) -> Judged {
        let seen = matter.seen.as_ref();
        let rulings = self.for_one_line(|| seen.map(Seen::rulings)).unwrap_or_default();
        let looked = self.for_one_line(|| seen.map(Seen::first_look)).unwrap_or(Ok(None));
        // A rule on trial takes no time from those that are in use.
        let shadow = self.for_one_line(|| seen.map(Seen::would_say)).unwrap_or_default();
        let (first_look, not_known) = match looked {
            Ok(look) => (look.as_ref().and_then(first_look), None),
            Err(failure) => (None, Some(Ruling::NotChecked(failure))),
        };
        let heard = matter.heard.as_ref();
        let differs = heard.and_then(|heard| self.differs(heard));
        let read = match (seen, heard) {
            (Some(seen), _) if !rulings.is_empty() => Some(seen.read(&rulings, matter.customer)),
            (_, Some(heard)) => self.read_of(heard, matter.customer),
            _ => None,
        };
        let rulings = rulings.iter().chain(&not_known).map(remark);
        Judged { remarks: rulings.chain(differs).collect(), shadow, first_look, read }
    }

    /// What the scripts of a price that was heard read of its job.
    fn read_of(&self, heard: &Heard, customer: Option<EntryName>) -> Option<Gathered> {
        let prices = self.prices_heard(heard)?.ok()?;
        let scripts = prices.scripts().iter().map(Pricing::script);
        Some(Gathered::of(scripts, &heard.job, None, customer))
    }

    /// The scripts by which a price was heard; nothing if they are not known any more.
    fn prices_heard(&self, heard: &Heard) -> Option<Result<Prices, NoScript>> {
        match &heard.script {
            Some((kind, name)) => Some(
                self.compiled(*kind, name, heard.digest)
                    .and_then(|script| Ok(Prices::of([Pricing::new(script)?]))),
            ),
            None => self.prices_of(heard.digest).map(Ok),
        }
    }

    /// The facts of an act; nothing if no rule in force is asked about it.
    fn seen(
        &self,
        state: &State,
        verb: &Verb,
        by: By<'_>,
        seen: u64,
        now: Happened,
        shadows: Vec<Stages>,
    ) -> Option<Seen> {
        let spec = verb.spec();
        if !is_judged(verb) {
            return None;
        }
        let active = self.active(seen);
        let puts = matches!(verb, Verb::In(_));
        let looks = if puts { active.rules.that_look() } else { Vec::new() };
        let wants = match active.wants.get(spec.word) {
            Some(wants) if shadows.is_empty() && looks.is_empty() => *wants,
            // They are put together anew for the few lines that a rule on trial is asked about.
            _ if !shadows.is_empty() || !looks.is_empty() => {
                let asked = active.rules.scripts().iter();
                let asked = asked.filter(|rule| rule.is_asked_about(spec.word));
                let asked = asked.map(Stages::script).chain(scripts(&shadows));
                Wants::of(asked.chain(looks))
            }
            Some(wants) => *wants,
            None if active.broken.is_empty() => return None,
            // Nobody knows what a script that cannot be read would have been asked about.
            None => Wants::of([]),
        };
        let job = verb.skull().and_then(|skull| state.find_job_at(skull, now.at));
        if spec.on == On::Skull && job.is_none() {
            return None;
        }
        let act = verb_facts(state, job, verb, by, now);
        let job = job
            .map_or_else(|| facts::no_job(state), |job| job_facts_wanted(state, job, now, wants));
        Some(Seen { active, shadows, job: Arc::new(job), act: Arc::new(act) })
    }

    /// A quote is what the customer heard, and stands; if the script that it names gives another
    /// price for the same job, that is said beside it.
    fn differs(&self, heard: &Heard) -> Option<Remark> {
        let prices = self.prices_heard(heard)?;
        let Heard { script, digest, tax, job, amount: heard } = heard;
        let name = match (script, &prices) {
            (None, Ok(prices)) => Name::clipped(&prices.names()),
            (Some((_, name)), _) => name.clone(),
            (None, Err(_)) => return None,
        };
        let gives = prices.and_then(|prices| Ok(prices.with_places(tax.digits).price(job)?));
        let (words, not_checked) = match gives {
            // An adjustment alone gives no price.
            Ok(None) => return None,
            Ok(Some(gives)) => {
                let (_, _, total) = with_tax(tax, &gives);
                if total == *heard {
                    return None;
                }
                let (heard, total) = (heard.written(tax.digits), total.written(tax.digits));
                (format!("heard {heard}, this script gives {total}"), false)
            }
            Err(failure) => (format!("not checked: {failure}"), true),
        };
        Some(Remark {
            rule: name,
            script: Some(*digest),
            words: Phrase::clipped(&words),
            objected: false,
            not_checked,
        })
    }

    /// The price of a job by the scripts in force.
    ///
    /// # Errors
    /// The failure of one of them; `None` if no price list is active.
    pub fn price(
        &self,
        state: &State,
        job: &Job,
        now: Moment,
    ) -> Result<Option<Priced>, ScriptFailure> {
        self.price_of(&Arc::new(job_facts(state, job, now)), &taxation(state, job, now))
    }

    /// The price of a job by what scripts see of it.
    pub(crate) fn price_of(
        &self,
        facts: &impl Share<JobFacts>,
        rule: &Taxation,
    ) -> Result<Option<Priced>, ScriptFailure> {
        let active = self.active(0);
        let prices = active.prices.as_ref().map_err(Clone::clone)?;
        if prices.list().is_none() {
            return Ok(None);
        }
        // The currency may have been set after the script was activated.
        let prices = prices.clone().with_places(rule.digits);
        let Some(quote) = prices.price(facts)? else { return Ok(None) };
        let lines = quote.lines.iter().map(|line| PriceLine {
            what: Phrase::clipped(&line.what),
            amount: Money::new(line.amount),
        });
        let (tax, cent, total) = with_tax(rule, &quote);
        Ok(Some(Priced {
            lines: lines.collect(),
            tax,
            cent,
            total,
            deposit: quote.deposit.map(Money::new),
            script: Digest::read(&quote.digest).unwrap_or(Digest([0; 32])),
            name: quote.script,
        }))
    }

    /// The plan of a job by the scripts in force.
    ///
    /// # Errors
    /// The script's failure.
    pub fn plan(
        &self,
        state: &State,
        job: &Job,
        now: Moment,
    ) -> Result<Vec<PlanStep>, ScriptFailure> {
        let active = self.active(0);
        let planned = active.rules.plan(&Arc::new(job_facts(state, job, now)))?;
        let steps = planned.map(|(steps, _)| steps).unwrap_or_default();
        Ok(steps
            .into_iter()
            .map(|step| PlanStep {
                step: Name::clipped(&step.step),
                expected: Span::new(step.expect_minutes.into(), SpanUnit::Minute),
            })
            .collect())
    }
}

/// Holds what a stage script says of its verbs against the verbs that there are.
///
/// # Errors
/// It is no stage script, or its `verbs()` would leave a rule silent.
pub fn verbs_fit(script: &Script) -> Result<(), ScriptFailure> {
    let known: Vec<&str> = VERBS.iter().map(|spec| spec.word).collect();
    Stages::new(script.clone())?.verbs_fit(&known)
}

/// The tax on a script's price by a rule, the cent of it that is there for the visit, and all of it. The script prices; the shop taxes and
/// totals.
fn with_tax(rule: &Taxation, quote: &Quote) -> (Money, Money, Money) {
    let lines: Vec<(&str, Decimal)> =
        quote.lines.iter().map(|line| (line.what.as_str(), line.amount)).collect();
    match rule.tax(&lines) {
        Some(taxed) => (Money::new(taxed.tax), Money::new(taxed.cent), Money::new(taxed.total)),
        None => (Money::ZERO, Money::ZERO, Money::new(quote.total)),
    }
}

/// The customer of the job that a line is about.
fn customer_of(state: &State, verb: &Verb, at: Moment) -> Option<EntryName> {
    let job = state.find_job_at(verb.skull()?, at)?;
    state.shop().tickets.get(&job.ticket()?)?.customer
}

/// The first look of a script, as it goes on the record.
fn first_look(look: &Advice<i64>) -> Option<FirstLook> {
    Some(FirstLook {
        minutes: u32::try_from(look.says).ok()?,
        rule: Name::clipped(&look.rule),
        script: Digest::read(&look.digest).ok()?,
    })
}

/// Whether rules are asked about a verb: work, what ends a job, and what is done to water.
pub fn is_judged(verb: &Verb) -> bool {
    let spec = verb.spec();
    spec.class == Class::Fact
        && match spec.on {
            On::Skull => spec.role == Role::Bench || verb.ends_job(),
            On::Place => true,
            On::TakeIn | On::Shop => false,
        }
}

pub(super) fn remark(ruling: &Ruling) -> Remark {
    let words = match ruling {
        Ruling::NotChecked(failure) => Phrase::clipped(&format!("not checked: {failure}")),
        Ruling::Fine { .. } | Ruling::Remark { .. } | Ruling::No { .. } => {
            Phrase::clipped(ruling.words().unwrap_or_default())
        }
    };
    Remark {
        rule: Name::clipped(ruling.rule()),
        script: Digest::read(ruling.digest()).ok(),
        words,
        objected: matches!(ruling, Ruling::No { .. }),
        not_checked: matches!(ruling, Ruling::NotChecked(_)),
    }
}
