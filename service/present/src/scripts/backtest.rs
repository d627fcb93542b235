//! A script tried on what has happened: nothing is recorded, and the shop goes on meanwhile.

use std::{collections::BTreeSet, sync::Arc};

use burrline_domain::{Record, State, fold::Job, house::taxation::Taxation};
use burrline_host::{JobFacts, Prices, Quote, Ruling, ScriptFailure, Stages, patiently};
use burrline_proto::{Wire as _, v1};
use burrline_terms::{EntryName, Moment, Money, words::Role};
use rust_decimal::Decimal;

use crate::{
    judge::{By, Wants, is_judged, job_facts_wanted, verb_facts},
    taxes::taxation,
    view,
};

/// From when until when.
#[derive(Debug, Clone, Copy)]
pub struct Trial {
    /// From this moment on.
    pub from: Moment,
    /// Before this moment.
    pub until: Moment,
}

impl Trial {
    fn covers(&self, at: Moment) -> bool {
        self.from <= at && at < self.until
    }
}

/// A job that has ended, as it was known at its end.
#[derive(Debug, Clone)]
pub struct Ended {
    facts: Arc<JobFacts>,
    at: Moment,
    heard: Option<Money>,
    tax: Taxation,
}

/// The jobs that ended in the time, in the order of their ends.
pub fn ended(state: &State, trial: Trial) -> Vec<EntryName> {
    let ended = |job: &Job| Some((job.ended.as_ref()?.0.at, job.id));
    let jobs = state.jobs().values().filter_map(ended).filter(|(at, _)| trial.covers(*at));
    let in_order: BTreeSet<(Moment, EntryName)> = jobs.collect();
    in_order.into_iter().map(|(_, id)| id).collect()
}

/// What a script reads of a job that has ended.
pub fn at_its_end(state: &State, job: EntryName, wants: Wants) -> Option<Ended> {
    let job = state.job(job)?;
    let at = job.ended.as_ref()?.0.at;
    let heard = job.quoted.as_ref().map(|quoted| quoted.total);
    let tax = taxation(state, job, at);
    Some(Ended { facts: Arc::new(job_facts_wanted(state, job, at, wants)), at, heard, tax })
}

/// An adjustment has nothing to adjust.
fn no_list() -> ScriptFailure {
    ScriptFailure {
        script: String::new(),
        digest: String::new(),
        line: None,
        column: None,
        words: "no price list is in force for it to adjust".to_owned(),
    }
}

/// What a job that has ended would have cost, tax and all.
pub fn priced(prices: &Prices, ended: Ended) -> v1::BacktestPrice {
    // Nobody waits at a bench for it, and tried twice it has to say the same.
    let quote =
        patiently(|| prices.price(&ended.facts)).and_then(|quote| quote.ok_or_else(no_list));
    let total = |quote: &Quote| {
        let lines: Vec<(&str, Decimal)> =
            quote.lines.iter().map(|line| (line.what.as_str(), line.amount)).collect();
        let total = ended.tax.tax(&lines).map_or(quote.total, |taxed| taxed.total);
        Money::new(total).written(ended.tax.digits)
    };
    let JobFacts { number, tag, species, group, .. } = Arc::unwrap_or_clone(ended.facts);
    v1::BacktestPrice {
        number,
        tag,
        species,
        group,
        ended_ms: ended.at.0,
        heard: ended.heard.map(|heard| heard.written(ended.tax.digits)).unwrap_or_default(),
        gives: quote.as_ref().map(total).unwrap_or_default(),
        failure: quote.err().map(|failure| said(&failure)).unwrap_or_default(),
    }
}

/// Whether a rule would have been asked about a record, and what it would have said; `state` is the
/// story up to the record, without it.
pub fn tried_act(
    state: &State,
    rule: &Stages,
    wants: Wants,
    trial: Trial,
    record: &Record,
) -> Option<Option<v1::BacktestAct>> {
    let (entry, at) = (&record.entry, record.happened.at);
    let verb = &entry.verb;
    if !trial.covers(at) || !is_judged(verb) || !rule.is_asked_about(verb.spec().word) {
        return None;
    }
    let job = verb.skull().and_then(|skull| state.find_job_at(skull, at));
    if verb.skull().is_some() && job.is_none() {
        return None;
    }
    let hand = entry.hand.as_ref().map(ToString::to_string).unwrap_or_default();
    let role: Option<Role> = state.shop().benches.get(&entry.name.life).map(|bench| bench.role);
    let facts = job.map(|job| job_facts_wanted(state, job, at, wants)).unwrap_or_default();
    let act = verb_facts(state, job, verb, By { hand: &hand, role }, at);
    let (facts, act) = (Arc::new(facts), Arc::new(act));
    let ruling = patiently(|| rule.check(&facts, &act));
    let words = match &ruling {
        Ruling::Fine { .. } => return Some(None),
        Ruling::NotChecked(failure) => said(failure),
        Ruling::Remark { words, .. } | Ruling::No { words, .. } => words.clone(),
    };
    Some(Some(v1::BacktestAct {
        entry: Some(entry.name.to_item()),
        at_ms: at.0,
        line: verb.line(),
        skull: job.map(|job| view::said_back(state, job)).unwrap_or_default(),
        hand,
        words,
        objects: matches!(ruling, Ruling::No { .. }),
        not_checked: matches!(ruling, Ruling::NotChecked(_)),
    }))
}

/// A failure without the script's name, which is known.
fn said(failure: &ScriptFailure) -> String {
    match failure.line {
        Some(line) => format!("line {line}: {}", failure.words),
        None => failure.words.clone(),
    }
}
