//! Which lines of a script its own examples run.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use rhai::{ASTNode, Stmt};
use serde::Serialize;

use crate::cases::run_cases;
use crate::failure::ScriptFailure;
use crate::sandbox::Sandbox;
use crate::script::{Kind, Script};
use crate::source::{functions, is_a_rule};
use crate::trace::{Place, place, traced};

/// What the examples make of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Reached {
    /// An example runs it.
    Ran,
    /// An example runs a part of it, such as a condition and not what it leads to.
    Partly,
    /// No example runs it.
    Never,
    /// Nothing on it runs: talk, a bracket, or the examples themselves.
    Nothing,
}

/// A line of a source, and what the examples make of it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LineReached {
    /// Its number, from 1.
    pub line: u32,
    /// The line as it stands.
    pub code: String,
    /// What the examples make of it.
    pub reached: Reached,
}

/// Runs a script's examples and tells of each line whether one of them runs it.
///
/// # Errors
/// It does not compile, or its examples cannot be read.
pub fn coverage(kind: Kind, name: &str, source: &[u8]) -> Result<Vec<LineReached>, ScriptFailure> {
    let script = Script::from_bytes(&Arc::new(Sandbox::watching()), kind, name, source)?;
    let (results, trace) = traced(|| run_cases(&script));
    results?;
    let lines = by_line(&script, &trace.ran);
    let line = |(number, code): (u32, &str)| LineReached {
        line: number,
        code: code.to_owned(),
        reached: lines.get(&number).copied().unwrap_or(Reached::Nothing),
    };
    Ok((1_u32..).zip(script.source().lines()).map(line).collect())
}

/// What was reached of each line that has something to run.
fn by_line(script: &Script, ran: &BTreeSet<Place>) -> BTreeMap<u32, Reached> {
    let functions = functions(script.source());
    let rules = functions.iter().filter(|function| is_a_rule(function.name));
    let rules: Vec<_> = rules.map(|function| function.first..=function.last).collect();
    let mut lines: BTreeMap<u32, Reached> = BTreeMap::new();
    script.ast().walk(&mut |path: &[ASTNode]| {
        let Some(ASTNode::Stmt(stmt)) = path.last() else { return true };
        let Some(here) = place(stmt.position()) else { return true };
        let rule = rules.iter().any(|lines| lines.contains(&here.0));
        if rule && !matches!(stmt, Stmt::Noop(..) | Stmt::Block(..)) {
            let now = if ran.contains(&here) { Reached::Ran } else { Reached::Never };
            let line = lines.entry(here.0).or_insert(now);
            if *line != now {
                *line = Reached::Partly;
            }
        }
        true
    });
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    const RULE: &str = "fn limit() { 24 }
// Talk.
fn check(job, act) {
    if job.rack_hours == () { return; }
    if job.rack_hours < limit() {
        return #{ no: \"wait.\" };
    }
    if job.greasy { return #{ no: \"degrease.\" }; }
    #{ remark: \"look.\" }
}
fn cases() {
    [#{ name: \"short\", job: #{ rack_hours: 2 }, act: #{ verb: \"coat\" }, expect: \"no\" }]
}
";

    fn reached(source: &str) -> Vec<Reached> {
        let lines = coverage(Kind::Stages, "mine", source.as_bytes()).unwrap();
        lines.into_iter().map(|line| line.reached).collect()
    }

    #[test]
    fn each_line_is_told_by_what_the_examples_run_of_it() {
        use Reached::{Never, Nothing, Partly, Ran};
        assert_eq!(
            reached(RULE),
            [
                Ran, Nothing, Nothing, Partly, Ran, Ran, Nothing, Never, Never, Nothing, Nothing,
                Nothing, Nothing
            ]
        );
    }

    #[test]
    fn a_script_without_examples_runs_nothing_and_one_that_fails_says_so() {
        let none = RULE.split("fn cases").next().unwrap();
        assert!(reached(none).iter().all(|line| !matches!(line, Reached::Ran | Reached::Partly)));
        let wrong = RULE.replace("[#{ name", "no_such(#{ name").replace("\"no\" }]", "\"no\" })");
        assert!(coverage(Kind::Stages, "mine", wrong.as_bytes()).is_err());
    }
}
