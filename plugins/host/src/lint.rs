//! What looks wrong in a script that compiles: tried on invented jobs, the same ones every time.
//!
//! The jobs are of one season. So a line that begins with a later year "was never reached".

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use rhai::{ASTNode, Position, Stmt};
use serde_json::json;

use crate::advice::ABOUT;
use crate::cases::run_cases;
use crate::facts::{JobFacts, VerbFacts};
use crate::failure::{ScriptFailure, SourceProblem};
use crate::known::Known;
use crate::odd::odd;
use crate::pricing::Pricing;
use crate::samples::{SPECIES, UNHEARD_OF, acts, differences, jobs, plain, priced, tables_for};
use crate::sandbox::Sandbox;
use crate::script::{Kind, Script};
use crate::source::{function_at, functions, is_a_rule, without_talk};
use crate::spelt::misspelt;
use crate::stages::{Ruling, Stages};
use crate::trace::{Place, Trace, place, traced};

/// A script is tried on at least so many invented jobs ...
const FEWEST: usize = 500;
/// ... and on no more than this, if something in it is never reached.
const MOST: usize = 6_000;
/// How often it is looked whether all of it was reached.
const LOOKED_EVERY: usize = 250;
/// So many different failures are told.
const MOST_FAILURES: usize = 3;

/// Something that looks wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lint {
    /// The line it is about, from 1, if it is about one.
    pub line: Option<u32>,
    /// The column, from 1, if it is known.
    pub column: Option<u32>,
    /// What looks wrong, and what to do, in words for an owner.
    pub words: String,
    /// The script may be meant so; if not, it cannot be of any use as it stands.
    pub works: bool,
}

impl Lint {
    /// Something at a place in the source.
    pub(crate) fn at(at: Position, words: impl Into<String>) -> Self {
        let SourceProblem { line, column, words } = SourceProblem::at(at, &words.into());
        Self { line, column, words, works: true }
    }
}

/// Looks a script over, with nothing known of a shop.
///
/// # Errors
///
/// It does not compile.
pub fn lint(kind: Kind, name: &str, source: &[u8]) -> Result<Vec<Lint>, ScriptFailure> {
    lint_for(kind, name, source, &Known::default())
}

/// Looks a script over for a shop of which names are known.
///
/// # Errors
///
/// It does not compile.
pub fn lint_for(
    kind: Kind,
    name: &str,
    source: &[u8],
    known: &Known,
) -> Result<Vec<Lint>, ScriptFailure> {
    let sandbox = Arc::new(Sandbox::watching());
    let script = Script::from_bytes(&sandbox, kind, name, source)?;
    let mut tried = Tried::default();
    let mut lints = match kind {
        Kind::Pricing => try_prices(&script, known, &mut tried)?,
        Kind::Stages => try_rules(&script, known, &mut tried)?,
    };
    let (_, trace) = traced(|| run_cases(&script));
    // An example that holds shows that a line can be reached.
    tried.note(trace);
    lints.extend(tried.mixed.iter().map(|(line, (column, words))| Lint {
        line: Some(*line),
        column: Some(*column),
        words: words.clone(),
        works: true,
    }));
    lints.extend(misspelt(script.source()));
    lints.extend(odd(script.ast(), known));
    // What fails for every job reaches little, and that need not be told line by line.
    if lints.is_empty() {
        lints.extend(never_ran(&script, &tried.ran));
    }
    if !script.has("cases", 0) {
        lints.push(nowhere("there are no examples: add `fn cases()`, so that a later change cannot go wrong unseen"));
    }
    lints.sort_by(|a, b| (a.line, a.column, &a.words).cmp(&(b.line, b.column, &b.words)));
    lints.dedup();
    Ok(lints)
}

#[derive(Default)]
struct Tried {
    tries: usize,
    ran: BTreeSet<Place>,
    mixed: BTreeMap<u32, (u32, String)>,
    failures: BTreeMap<(Option<u32>, String), (Option<u32>, String)>,
}

impl Tried {
    /// Takes in what was noted of a call.
    fn note(&mut self, trace: Trace) {
        self.ran.extend(trace.ran);
        self.mixed.extend(trace.mixed);
    }

    /// Counts a try, and says whether there have been enough.
    fn enough(&mut self, script: &Script) -> bool {
        self.tries = self.tries.saturating_add(1);
        self.tries >= FEWEST
            && self.tries.is_multiple_of(LOOKED_EVERY)
            && never_ran(script, &self.ran).is_empty()
    }

    fn failed(&mut self, failure: ScriptFailure, when: String) {
        let at = (failure.line, failure.words);
        self.failures.entry(at).or_insert((failure.column, when));
    }

    fn lints(&self) -> impl Iterator<Item = Lint> {
        self.failures.iter().take(MOST_FAILURES).map(|((line, words), (column, when))| Lint {
            line: *line,
            column: *column,
            words: format!("fails for some jobs ({when}): {words}"),
            works: true,
        })
    }
}

fn try_prices(
    script: &Script,
    known: &Known,
    tried: &mut Tried,
) -> Result<Vec<Lint>, ScriptFailure> {
    let pricing = Pricing::new(script.clone())?;
    let mut lints = Vec::new();
    let tables = tables_for(script.source(), &known.tables);
    let with_tables = |job: JobFacts| JobFacts { tables: tables.clone(), ..job };
    let plain = |species, group| with_tables(plain(species, group));
    let all: Vec<_> = SPECIES.iter().map(|(s, g)| priced(&pricing, &plain(s, g))).collect();
    if let Some(Err(failure)) = all.first()
        && all.iter().all(Result::is_err)
    {
        let words = format!("no job has a price: {}", failure.words);
        return Ok(vec![Lint { line: failure.line, column: failure.column, words, works: false }]);
    }
    for ((species, group), price) in SPECIES.iter().zip(all) {
        match price {
            Ok(quote) if quote.total.is_zero() => lints.push(nowhere(format!(
                "a plain {species} (group \"{group}\") costs nothing: give it a price"
            ))),
            Err(failure) => lints.push(Lint {
                line: failure.line,
                column: failure.column,
                words: format!(
                    "a plain {species} (group \"{group}\") has no price: {}",
                    failure.words
                ),
                works: true,
            }),
            Ok(_) => {}
        }
    }
    let in_order = json!(with_tables(JobFacts::in_order()));
    for job in jobs(script.source(), MOST).into_iter().map(with_tables) {
        let (quote, trace) = traced(|| priced(&pricing, &job));
        tried.note(trace);
        if tried.enough(script) {
            break;
        }
        if let Err(failure) = quote
            && lints.is_empty()
            && job.group != UNHEARD_OF
        {
            tried.failed(failure, differences(&json!(job), &in_order));
        }
    }
    lints.extend(tried.lints());
    Ok(lints)
}

/// What a rule said of one verb over all tries.
#[derive(Default)]
struct Count {
    asked: usize,
    no: usize,
}

fn try_rules(
    script: &Script,
    known: &Known,
    tried: &mut Tried,
) -> Result<Vec<Lint>, ScriptFailure> {
    const ENOUGH: usize = 20;
    let stages = Stages::new(script.clone())?;
    let mut counts: BTreeMap<String, Count> = BTreeMap::new();
    let tables = tables_for(script.source(), &known.tables);
    let with_tables = |job: JobFacts| JobFacts { tables: tables.clone(), ..job };
    let mut spoke = 0_usize;
    let in_order = json!(with_tables(JobFacts::in_order()));
    for job in jobs(script.source(), LOOKED_EVERY).into_iter().map(with_tables) {
        let (plan, trace) = traced(|| stages.plan(&job));
        tried.note(trace);
        let (advice, trace) = traced(|| without_an_act(&stages, &job));
        tried.note(trace);
        for failure in plan.err().into_iter().chain(advice) {
            if job.group != UNHEARD_OF {
                tried.failed(failure, differences(&json!(job), &in_order));
            }
        }
    }
    for (job, act) in acts(script.source(), MOST) {
        let job = with_tables(job);
        let (advice, trace) = traced(|| of_an_in(&stages, &job, &act));
        tried.note(trace);
        for failure in advice {
            tried.failed(failure, format!("in; {}", differences(&json!(job), &in_order)));
        }
        let (ruling, trace) = traced(|| stages.check(&job, &act));
        tried.note(trace);
        if tried.enough(script) {
            break;
        }
        let count = counts.entry(act.verb.clone()).or_default();
        count.asked = count.asked.saturating_add(1);
        match ruling {
            Ruling::Fine { .. } => {}
            Ruling::Remark { .. } => spoke = spoke.saturating_add(1),
            Ruling::No { .. } => {
                spoke = spoke.saturating_add(1);
                count.no = count.no.saturating_add(1);
            }
            Ruling::NotChecked(failure) => {
                let verb = &act.verb;
                tried.failed(failure, format!("{verb}; {}", differences(&json!(job), &in_order)));
            }
        }
    }
    let mut lints: Vec<Lint> = tried.lints().collect();
    for (verb, count) in counts.iter().filter(|(_, c)| c.asked >= ENOUGH && c.no == c.asked) {
        lints.push(nowhere(format!(
            "`{verb}` was refused for all {} invented jobs: is that meant?",
            count.asked
        )));
    }
    if script.has("check", 2) && spoke == 0 {
        lints.push(nowhere("the rule said nothing about any invented job: is a condition wrong?"));
    }
    Ok(lints)
}

/// What a script's advice on a job fails with.
fn without_an_act(stages: &Stages, job: &JobFacts) -> Vec<ScriptFailure> {
    let mut failures: Vec<ScriptFailure> =
        ABOUT.iter().filter_map(|about| stages.message(job, about).err()).collect();
    failures.extend(stages.remind(job).err());
    failures.extend(stages.ready_by(job).err());
    failures
}

/// What a script's advice on putting a head somewhere fails with.
fn of_an_in(stages: &Stages, job: &JobFacts, act: &VerbFacts) -> Vec<ScriptFailure> {
    if act.place.is_none() || job.species.is_empty() {
        return Vec::new();
    }
    let act = VerbFacts { verb: "in".to_owned(), ..act.clone() };
    let (look, fits) = (stages.first_look(job, &act).err(), stages.fits(job, &act).err());
    look.into_iter().chain(fits).collect()
}

/// Statements that no try reached; of a block that was not reached only the first is told.
fn never_ran(script: &Script, ran: &BTreeSet<Place>) -> Vec<Lint> {
    let source = script.source();
    let functions = functions(source);
    let mut missed: BTreeSet<Place> = BTreeSet::new();
    script.ast().walk(&mut |path: &[ASTNode]| {
        let Some((ASTNode::Stmt(stmt), above)) = path.split_last() else { return true };
        if matches!(stmt, Stmt::Noop(..) | Stmt::Block(..)) {
            return true;
        }
        let here = place(stmt.position()).filter(|here| !ran.contains(here));
        let above_missed = above.iter().any(|node| match node {
            ASTNode::Stmt(above) => place(above.position()).is_some_and(|p| missed.contains(&p)),
            ASTNode::Expr(_) | _ => false,
        });
        if let Some(here) = here
            && !above_missed
        {
            missed.insert(here);
        }
        true
    });
    let mut lints = Vec::new();
    let mut told = BTreeSet::new();
    for (line, column) in missed {
        let Some(function) = function_at(&functions, line) else { continue };
        if !is_a_rule(function.name) || !told.insert(line) {
            continue;
        }
        let whole = !ran.iter().any(|(l, _)| (function.first..=function.last).contains(l));
        if whole {
            if told.insert(function.first) || line == function.first {
                let name = function.name;
                let words = format!("`{name}` is never called: is it needed?");
                lints.push(Lint { line: Some(function.first), column: None, words, works: true });
            }
            continue;
        }
        let code = source.lines().nth(usize::try_from(line.saturating_sub(1)).unwrap_or(0));
        let code = without_talk(code.unwrap_or_default());
        // A way out at the head of a rule does no harm where `verbs()` keeps all else away.
        let at = usize::try_from(column.saturating_sub(1)).unwrap_or(0);
        if code.get(at..).is_some_and(|code| code.starts_with("return;")) {
            continue;
        }
        let words = if code.contains("amount") || code.contains("push") || code.contains("line(") {
            "this price line was never reached in all tries: can it ever be charged?"
        } else {
            "this was never reached in all tries: can it ever happen?"
        };
        lints.push(Lint {
            line: Some(line),
            column: Some(column),
            words: words.to_owned(),
            works: true,
        });
    }
    lints
}

fn nowhere(words: impl Into<String>) -> Lint {
    Lint { line: None, column: None, words: words.into(), works: true }
}
