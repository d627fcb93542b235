//! The result of a script for one job and, line by line, why.

use std::collections::BTreeSet;
use std::sync::Arc;

use serde_json::json;

use crate::facts::{JobFacts, VerbFacts};
use crate::failure::ScriptFailure;
use crate::pricing::{Pricing, Quote, QuoteLine};
use crate::samples::priced;
use crate::sandbox::Sandbox;
use crate::script::{Kind, Script};
use crate::source::{facts_read, without_talk};
use crate::stages::{Ruling, Stages};
use crate::trace::{Trace, traced};

/// A line of the source that ran, and what it read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ran {
    /// The line, from 1.
    pub line: u32,
    /// The line itself, without talk and indent.
    pub code: String,
    /// What it read, and what that was.
    pub read: Vec<(String, String)>,
    /// The lines of the price that were made here.
    pub made: Vec<String>,
}

/// A price and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WhyPrice {
    /// The price.
    pub quote: Quote,
    /// The lines that ran and read something or made a line of the price, in the order of the source.
    pub ran: Vec<Ran>,
}

/// A ruling and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WhyRuling {
    /// The ruling.
    pub ruling: Ruling,
    /// The lines that ran and read something, in the order of the source.
    pub ran: Vec<Ran>,
    /// The line that gave the answer.
    pub answered_at: Option<u32>,
}

/// Prices a job and says why. `places` is how many decimal places the shop's money has, `before` the
/// lines that an adjustment is shown: nothing for an invented price list.
///
/// # Errors
///
/// As [`Pricing::price`], and if the source does not compile.
pub fn why_price(
    name: &str,
    source: &[u8],
    places: u32,
    job: &JobFacts,
    before: Option<Vec<QuoteLine>>,
) -> Result<WhyPrice, ScriptFailure> {
    let script = watched(Kind::Pricing, name, source)?;
    let pricing = Pricing::new(script.clone())?.with_places(places);
    let (quote, trace) = traced(|| match before {
        Some(before) => pricing.price_after(job, before),
        None => priced(&pricing, job),
    });
    let quote = quote?;
    let facts = json!({ "job": job });
    Ok(WhyPrice { ran: ran(script.source(), &trace, &facts, Some(&quote)), quote })
}

/// Rules on an act and says why.
///
/// # Errors
///
/// The source does not compile, or is no stage script.
pub fn why_ruling(
    name: &str,
    source: &[u8],
    job: &JobFacts,
    act: &VerbFacts,
) -> Result<WhyRuling, ScriptFailure> {
    let script = watched(Kind::Stages, name, source)?;
    let stages = Stages::new(script.clone())?;
    let (ruling, trace) = traced(|| stages.check(job, act));
    let facts = json!({ "job": job, "act": act });
    Ok(WhyRuling {
        ran: ran(script.source(), &trace, &facts, None),
        answered_at: trace.answered_at(),
        ruling,
    })
}

fn watched(kind: Kind, name: &str, source: &[u8]) -> Result<Script, ScriptFailure> {
    Script::from_bytes(&Arc::new(Sandbox::watching()), kind, name, source)
}

fn ran(source: &str, trace: &Trace, facts: &serde_json::Value, quote: Option<&Quote>) -> Vec<Ran> {
    let lines: BTreeSet<u32> = trace.ran.iter().map(|(line, _)| *line).collect();
    let mut out = Vec::new();
    for (number, line) in (1_u32..).zip(source.lines()).filter(|(n, _)| lines.contains(n)) {
        let code = without_talk(line).trim().to_owned();
        let here = trace.made.iter().filter(|(_, made_at)| **made_at == number);
        let made: Vec<String> = here
            .filter(|((what, _), _)| {
                quote.is_some_and(|quote| quote.lines.iter().any(|line| line.what == *what))
            })
            .map(|((what, _), _)| what.clone())
            .collect();
        let read = facts_read(&code, facts);
        if !read.is_empty() || !made.is_empty() {
            out.push(Ran { line: number, code, read, made });
        }
    }
    out
}
