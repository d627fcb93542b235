//! Every shipped script compiles, carries cases, and all of them hold.
#![cfg(test)]
#![allow(
    clippy::arithmetic_side_effects,
    reason = "an overflow in a test is a failed test, which is what is wanted"
)]

use std::sync::Arc;
use std::time::Duration;

use burrline_host::{Limits, MonotonicClock, Sandbox, Script, compile_shipped, run_cases, shipped};

#[test]
fn every_case_of_every_shipped_script_holds() {
    let sandbox = sandbox();
    let scripts = compile_shipped(&sandbox).unwrap_or_else(|failure| panic!("{failure}"));
    let mut wrong = Vec::new();
    for script in &scripts {
        let results = run_cases(script).unwrap_or_else(|failure| panic!("{failure}"));
        assert!(results.len() >= 3, "{} carries too few cases", script.name());
        for result in results {
            if let Some(why) = result.wrong {
                wrong.push(format!("{}: {}: {why}", script.name(), result.name));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// A deadline that a busy machine does not reach.
fn sandbox() -> Arc<Sandbox> {
    let limits = Limits { deadline: Duration::from_secs(10), ..Limits::default() };
    Arc::new(Sandbox::new(limits, Arc::new(MonotonicClock::start())))
}

/// Every place of `from` before the cases, each replaced alone.
fn mutants(source: &str, from: &str, to: &str) -> Vec<(usize, String)> {
    let rules_end = source.find("fn cases()").unwrap();
    let code_starts = |at: usize| {
        let line_start = source[..at].rfind('\n').map_or(0, |n| n + 1);
        !source[line_start..at].contains("//")
    };
    source[..rules_end]
        .match_indices(from)
        .map(|(at, _)| at)
        .filter(|at| code_starts(*at))
        .map(|at| {
            let line = source[..at].lines().count();
            (line, format!("{}{to}{}", &source[..at], &source[at + from.len()..]))
        })
        .collect()
}

#[test]
fn a_rule_broken_on_purpose_is_caught_by_its_own_cases() {
    let changes = [
        ("#{ no:", "#{ remark:"),
        ("#{ remark:", "#{ no:"),
        (" == ", " != "),
        (" != ", " == "),
        (" < ", " <= "),
        (" > ", " >= "),
        (" >= ", " > "),
        (" && ", " || "),
        (" || ", " && "),
        ("return true", "return false"),
        (".00,", ".01,"),
    ];
    let sandbox = sandbox();
    let (mut tried, mut survived) = (0, Vec::new());
    for one in shipped() {
        for (from, to) in changes {
            for (line, source) in mutants(one.source, from, to) {
                tried += 1;
                let caught = Script::compile(&sandbox, one.kind, one.name, &source)
                    .and_then(|script| run_cases(&script))
                    .map_or(true, |results| results.iter().any(|result| !result.holds()));
                if !caught {
                    survived.push(format!("{} line {line}: {from} as {to}", one.name));
                }
            }
        }
    }
    println!("{tried} rules were broken, {} went unseen", survived.len());
    assert!(tried > 100, "only {tried} tried");
    assert!(survived.is_empty(), "{}", survived.join("\n"));
}
