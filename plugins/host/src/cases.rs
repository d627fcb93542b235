//! The examples a script carries in its own `cases()`, and whether they hold.

use rhai::{Dynamic, ImmutableString, Map};
use serde::{Deserialize, Serialize};

use crate::facts::{JobFacts, VerbFacts};
use crate::failure::ScriptFailure;
use crate::numbers::as_written;
use crate::plain::{kind_in_words, nearest};
use crate::pricing::Pricing;
use crate::samples::priced;
use crate::script::{Kind, Script};
use crate::stages::{Ruling, Stages};
use crate::value::{ScriptValue, decimal_from, map_from, nothing_left, take_text};

/// One example and what became of it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct CaseResult {
    /// The example's name.
    pub name: String,
    /// `None` if it holds; otherwise what came out instead, on one line.
    pub wrong: Option<String>,
}

impl CaseResult {
    /// Whether the example holds.
    pub fn holds(&self) -> bool {
        self.wrong.is_none()
    }
}

/// Runs every example of a script. Each starts from [`JobFacts::in_order`] and changes what it names.
///
/// - pricing: `#{name, job, total}` and, if wanted, `line`, the words of a line that must be there,
///   and `deposit`, what is to be asked for at once; for an adjustment also `lines`, what the price
///   list gave, which is otherwise `cleaning, KIND` for 120.00
/// - stages: `#{name, job, act, expect}` with expect "fine", "remark" or "no" and, if wanted, `words`,
///   a part of what must be said; or `#{name, job, plan_minutes}`, the sum of the planned minutes,
///   and, if wanted, `plan`, the steps in order
///
/// # Errors
///
/// `cases()` itself fails or does not give a list. A script without `cases()` gives no results.
pub fn run_cases(script: &Script) -> Result<Vec<CaseResult>, ScriptFailure> {
    run_cases_of(script, script)
}

/// Runs the examples of one version of a script on another: those that do not hold are what goes, or
/// comes out otherwise, where the other takes its place.
///
/// # Errors
///
/// As for [`run_cases`].
pub fn run_cases_of(old: &Script, new: &Script) -> Result<Vec<CaseResult>, ScriptFailure> {
    if !old.has("cases", 0) {
        return Ok(Vec::new());
    }
    // Examples show how it reckons: they are worked with the numbers that it was written with.
    let written = |script: &Script| {
        let source = as_written(script);
        source.map_or_else(|| Ok(script.clone()), |source| script.with_source(&source))
    };
    let (old, new) = (written(old)?, written(new)?);
    let list = old.call("cases", Vec::new)?.into_array().map_err(|found| {
        old.failure(format!("cases wants a list, not {}", kind_in_words(found)))
    })?;
    Ok(list.into_iter().map(|case| run_case(&new, case)).collect())
}

fn run_case(script: &Script, case: Dynamic) -> CaseResult {
    let name = name_of(&case);
    let outcome = match script.kind() {
        Kind::Pricing => run_pricing_case(script, case),
        Kind::Stages => run_stages_case(script, case),
    };
    CaseResult { name, wrong: outcome.err() }
}

fn name_of(case: &Dynamic) -> String {
    case.as_map_ref()
        .ok()
        .and_then(|map| map.get("name").and_then(|name| name.clone().into_string().ok()))
        .unwrap_or_else(|| "(no name)".to_owned())
}

fn run_pricing_case(script: &Script, case: Dynamic) -> Result<(), String> {
    let mut map = map_from(case, "a case #{name, job, total}")?;
    named(&map, &["name", "job", "total", "line", "lines", "deposit"])?;
    take_text(&mut map, "name")?;
    let job = job_from(map.remove("job"))?;
    let total = decimal_from(&map.remove("total").ok_or("`total` is missing")?)?;
    let line = map.remove("line").map(Dynamic::into_immutable_string).transpose()?;
    let deposit = map.remove("deposit").map(|amount| decimal_from(&amount)).transpose()?;
    let pricing = Pricing::new(script.clone()).map_err(|failure| failure.to_string())?;
    let given = if pricing.is_adjustment() { map.remove("lines") } else { None };
    nothing_left(&map)?;
    let quote = match given {
        Some(lines) => {
            let before = pricing.lines_from(lines).map_err(|why| format!("`lines`: {why}"))?;
            pricing.price_after(&job, before)
        }
        None => priced(&pricing, &job),
    };
    let quote = quote.map_err(|failure| failure.to_string())?;
    if let Some(wanted) = deposit
        && quote.deposit != Some(wanted)
    {
        let got = quote.deposit.map_or("none".to_owned(), |amount| amount.to_string());
        return Err(format!("expected a deposit of {wanted}, got {got}"));
    }
    let has_line = |wanted: &ImmutableString| quote.lines.iter().any(|l| l.what == wanted.as_str());
    if quote.total == total && line.as_ref().is_none_or(has_line) {
        return Ok(());
    }
    let lines: Vec<String> =
        quote.lines.iter().map(|line| format!("{} {}", line.what, line.amount)).collect();
    let wanted = line.map_or(String::new(), |line| format!(" with \"{line}\""));
    Err(format!("expected {total}{wanted}, got {}: {}", quote.total, lines.join(", ")))
}

fn run_stages_case(script: &Script, case: Dynamic) -> Result<(), String> {
    let mut map = map_from(case, "a case #{name, job, act, expect}")?;
    named(
        &map,
        &[
            "name",
            "job",
            "act",
            "expect",
            "words",
            "plan_minutes",
            "plan",
            "reminds",
            "first_look",
            "ready_days",
            "fits",
            "about",
            "message",
        ],
    )?;
    take_text(&mut map, "name")?;
    let job = job_from(map.remove("job"))?;
    let stages = Stages::new(script.clone()).map_err(|failure| failure.to_string())?;
    let advice = ["reminds", "first_look", "ready_days", "fits", "message"];
    if let Some((asked, wanted)) = advice.iter().find_map(|name| Some((*name, map.remove(*name)?)))
    {
        return run_advice_case(&stages, &job, asked, wanted, map);
    }
    if let Some(minutes) = map.remove("plan_minutes") {
        let plan = map.remove("plan");
        nothing_left(&map)?;
        return run_plan_case(&stages, &job, minutes, plan);
    }
    let act = map.remove("act").ok_or("`act` is missing")?;
    let act = VerbFacts::of("").overridden(act).map_err(|why| format!("act: {why}"))?;
    let expect = take_text(&mut map, "expect")?;
    let words = map.remove("words").map(Dynamic::into_immutable_string).transpose()?;
    nothing_left(&map)?;
    if !["fine", "remark", "no"].contains(&expect.as_str()) {
        return Err(format!("`expect` wants fine, remark or no, not \"{expect}\""));
    }
    compare(&stages.check(&job, &act), &expect, words.as_ref())
}

/// Refuses a name that a case does not have, with the one that may be meant.
fn named(map: &Map, names: &[&str]) -> Result<(), String> {
    let Some(odd) = map.keys().find(|key| !names.contains(&key.as_str())) else { return Ok(()) };
    let near = nearest(odd, names.iter().copied());
    let near = near.map(|near| format!("; did you mean `{near}`?")).unwrap_or_default();
    Err(format!("an example has no `{odd}`{near}"))
}

/// A plan's case names the sum of its minutes, and its steps in order if it likes.
fn run_plan_case(
    stages: &Stages,
    job: &JobFacts,
    minutes: Dynamic,
    plan: Option<Dynamic>,
) -> Result<(), String> {
    let wanted = i64::from_script(minutes).map_err(|why| format!("`plan_minutes` {why}"))?;
    let steps = stages.plan(job).map_err(|failure| failure.to_string())?;
    let got = steps.iter().fold(0_i64, |sum, step| sum.saturating_add(step.expect_minutes));
    if got != wanted {
        return Err(format!("expected {wanted} minutes, got {got}"));
    }
    let Some(plan) = plan else { return Ok(()) };
    let wanted = Vec::<String>::from_script(plan).map_err(|why| format!("`plan` {why}"))?;
    let got: Vec<&str> = steps.iter().map(|step| step.step.as_str()).collect();
    if got == wanted {
        Ok(())
    } else {
        Err(format!("expected the steps {}, got {}", wanted.join(", "), got.join(", ")))
    }
}

/// An example of what a script advises: one thing at a time.
fn run_advice_case(
    stages: &Stages,
    job: &JobFacts,
    asked: &str,
    wanted: Dynamic,
    mut map: Map,
) -> Result<(), String> {
    let act = VerbFacts::of("in");
    let act = match map.remove("act") {
        Some(given) => act.overridden(given).map_err(|why| format!("act: {why}"))?,
        None => act,
    };
    let about = if asked == "message" { take_text(&mut map, "about")? } else { "".into() };
    nothing_left(&map)?;
    let failed = |failure: ScriptFailure| failure.to_string();
    let got = match asked {
        "reminds" => {
            let all = stages.remind(job).map_err(failed)?;
            let words: Vec<String> = all.into_iter().map(|one| one.says.words).collect();
            return has_part(&words.join("; "), wanted, asked);
        }
        "message" => {
            let text = stages.message(job, &about).map_err(failed)?;
            return has_part(&text.map(|text| text.says).unwrap_or_default(), wanted, asked);
        }
        "first_look" => stages.first_look(job, &act).map_err(failed)?.map(|look| look.says),
        "fits" => stages.fits(job, &act).map_err(failed)?.map(|fits| fits.says),
        _ => stages.ready_by(job).map_err(failed)?.map(|ready| ready.says.days),
    };
    let wanted = Option::<i64>::from_script(wanted).map_err(|why| format!("`{asked}` {why}"))?;
    let said = |n: Option<i64>| n.map_or("nothing".to_owned(), |n| n.to_string());
    if got == wanted {
        return Ok(());
    }
    Err(format!("`{asked}`: expected {}, got {}", said(wanted), said(got)))
}

/// Whether a part of what is said was wanted; `""` where nothing is to be said.
fn has_part(got: &str, wanted: Dynamic, asked: &str) -> Result<(), String> {
    let wanted = String::from_script(wanted).map_err(|why| format!("`{asked}` {why}"))?;
    if if wanted.is_empty() { got.is_empty() } else { got.contains(&wanted) } {
        return Ok(());
    }
    let said = if got.is_empty() { "nothing".to_owned() } else { format!("\"{got}\"") };
    Err(format!("`{asked}`: expected \"{wanted}\", got {said}"))
}

fn job_from(overrides: Option<Dynamic>) -> Result<JobFacts, String> {
    let job = JobFacts::in_order();
    overrides
        .map_or(Ok(job.clone()), |given| job.overridden(given).map_err(|why| format!("job: {why}")))
}

fn compare(ruling: &Ruling, expect: &str, words: Option<&ImmutableString>) -> Result<(), String> {
    let (got, said) = match ruling {
        Ruling::Fine { .. } => ("fine", ""),
        Ruling::Remark { words, .. } => ("remark", words.as_str()),
        Ruling::No { words, .. } => ("no", words.as_str()),
        Ruling::NotChecked(failure) => return Err(failure.to_string()),
    };
    if got != expect {
        let said = if said.is_empty() { String::new() } else { format!(": \"{said}\"") };
        return Err(format!("expected {expect}, got {got}{said}"));
    }
    match words {
        Some(part) if !said.contains(part.as_str()) => {
            Err(format!("expected words with \"{part}\", got \"{said}\""))
        }
        Some(_) | None => Ok(()),
    }
}
