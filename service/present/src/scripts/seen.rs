//! What scripts see of a job, as an owner asks for it.

use burrline_domain::{State, Verb, fold::Job};
use burrline_host::{FACTS_VERSION, Prices};
use burrline_proto::{Wire, v1};
use burrline_terms::Typed;
use burrline_terms::{Digest, Moment};
use rust_decimal::Decimal;

use crate::{
    judge::{By, Judge, job_facts, verb_facts},
    taxes::{taxation, taxation_of},
    view,
};

/// What scripts see of a job at `now`, with what its customer heard last.
pub fn seen(state: &State, judge: &Judge, job: &Job, now: Moment) -> v1::ScriptFactsResponse {
    let facts = job_facts(state, job, now);
    let prices = judge.prices();
    let prices = prices.list().and(Some(&prices));
    // The tax of the price that was heard is that of its moment, beside what was heard before it.
    let heard_at = job.quoted.as_ref().and_then(|quoted| state.fact(quoted.entry));
    let tax = match heard_at {
        Some(fact) => taxation_of(state, job, fact.key),
        None => taxation(state, job, now),
    };
    let amount = |amount: Decimal| {
        if amount.is_zero() { String::new() } else { amount.to_string() }
    };
    v1::ScriptFactsResponse {
        skull: Some(view::skull_line(state, job)),
        facts: serde_json::to_string(&facts).unwrap_or_default(),
        version: FACTS_VERSION,
        heard: heard(state, judge, job),
        pricing: prices.and_then(|p| hex::decode(p.digest()).ok()).unwrap_or_default(),
        pricing_name: prices.map(Prices::names).unwrap_or_default(),
        minor_digits: tax.digits,
        act: String::new(),
        tax_percent: if tax.exempt { Decimal::ZERO } else { tax.percent() }.to_string(),
        tax_by: tax.by.show(),
        rounding: tax.rounding.show(),
        tax_parts: tax.parts.iter().map(Typed::show).collect(),
        taxed: tax.kinds.show(),
        sold_as: tax.sold_as.iter().map(|(word, sold)| format!("{word} {}", sold.word())).collect(),
        tax_included: tax.included,
        tax_exempt: tax.exempt,
        tax_brackets: tax.brackets.as_ref().map(Typed::show).unwrap_or_default(),
        visit_base: amount(tax.beside.base),
        visit_exact: amount(tax.beside.exact),
        visit_tax: amount(tax.beside.tax),
    }
}

/// What scripts see of an act, as one JSON object.
pub fn act_seen<'a>(
    state: &State,
    job: &Job,
    act: &Verb,
    by: impl Into<By<'a>>,
    now: Moment,
) -> String {
    serde_json::to_string(&verb_facts(state, Some(job), act, by, now)).unwrap_or_default()
}

/// The price that the customer heard last.
pub fn heard(state: &State, judge: &Judge, job: &Job) -> Option<v1::HeardPrice> {
    let quoted = job.quoted.as_ref()?;
    let fact = state.fact(quoted.entry)?;
    let name_of = |digest: Digest| {
        let script = state.shop().scripts.get(&digest).map(|script| script.name.to_string());
        script.or_else(|| judge.prices_of(digest).map(|prices| prices.names()))
    };
    let hand = fact.record.entry.hand.as_ref();
    Some(v1::HeardPrice {
        entry: Some(quoted.entry.to_item()),
        at_ms: fact.happened().at.0,
        hand: hand.map(ToString::to_string).unwrap_or_default(),
        lines: quoted.lines.iter().map(Wire::to_item).collect(),
        total: quoted.total.to_string(),
        script: quoted.script.map(|digest| digest.0.to_vec()).unwrap_or_default(),
        script_name: quoted.script.and_then(name_of).unwrap_or_default(),
        agreed: job.agreed,
    })
}
