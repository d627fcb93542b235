//! Two versions of a script, compared in words: what was changed in the text, and what that changes
//! in prices and rulings.

use std::collections::BTreeMap;
use std::sync::Arc;

use rust_decimal::Decimal;
use serde_json::json;

use crate::facts::JobFacts;
use crate::failure::ScriptFailure;
use crate::pricing::Pricing;
use crate::samples::{SPECIES, acts, differences, jobs, plain, priced, tables_for};
use crate::sandbox::Sandbox;
use crate::script::{Kind, Script};
use crate::source::{FunctionText, functions};
use crate::stages::{Ruling, Stages};

/// How many invented jobs both versions are tried on.
const TRIES: usize = 400;
/// So many examples of a difference are told.
const MOST_EXAMPLES: usize = 8;

/// What is different between two versions of a script.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Difference {
    /// What was changed in the text, a sentence each.
    pub text: Vec<String>,
    /// What that changes for jobs, a sentence each.
    pub effect: Vec<String>,
}

/// Compares two versions of a script.
///
/// # Errors
///
/// One of them does not compile.
pub fn diff(
    kind: Kind,
    old: (&str, &[u8]),
    new: (&str, &[u8]),
) -> Result<Difference, ScriptFailure> {
    let sandbox = Arc::new(Sandbox::default());
    let old = Script::from_bytes(&sandbox, kind, old.0, old.1)?;
    let new = Script::from_bytes(&sandbox, kind, new.0, new.1)?;
    let effect = match kind {
        Kind::Pricing => prices(&Pricing::new(old.clone())?, &Pricing::new(new.clone())?),
        Kind::Stages => {
            let (old, new) = (Stages::new(old.clone())?, Stages::new(new.clone())?);
            let mut effect = plans(&old, &new);
            effect.extend(rulings(&old, &new));
            effect
        }
    };
    Ok(Difference { text: text(old.source(), new.source()), effect })
}

fn text(old: &str, new: &str) -> Vec<String> {
    let (old, new) = (functions(old), functions(new));
    let named = |all: &[FunctionText<'_>]| -> BTreeMap<String, Vec<(u32, String)>> {
        let lines = |function: &FunctionText<'_>| {
            function.lines.iter().map(|(n, line)| (*n, line.trim().to_owned())).collect()
        };
        // The examples follow the rules; what changes is told by trying both.
        let rules = all.iter().filter(|function| function.name != "cases");
        rules.map(|function| (function.name.to_owned(), lines(function))).collect()
    };
    let (old, new) = (named(&old), named(&new));
    let mut words = Vec::new();
    for (name, before) in &old {
        match new.get(name) {
            None => words.push(format!("`{name}` is gone.")),
            Some(after) => changed_lines(name, before, after, &mut words),
        }
    }
    let added = new.keys().filter(|name| !old.contains_key(*name));
    words.extend(added.map(|name| format!("`{name}` is new.")));
    words
}

/// Lines with their numbers.
type Lines = [(u32, String)];

/// A line of the old version, of the new one, or of both where they are the same.
type Pair<'a> = (Option<&'a (u32, String)>, Option<&'a (u32, String)>);

/// The lines of one function that differ, by the longest common run of lines.
fn changed_lines(name: &str, old: &Lines, new: &Lines, words: &mut Vec<String>) {
    let (mut gone, mut come) = (Vec::new(), Vec::new());
    for (before, after) in aligned(old, new) {
        match (before, after) {
            (Some(_), Some(_)) => {
                told(name, &mut gone, &mut come, words);
            }
            (Some(line), None) => gone.push(line),
            (None, Some(line)) => come.push(line),
            (None, None) => {}
        }
    }
    told(name, &mut gone, &mut come, words);
}

fn told(
    name: &str,
    gone: &mut Vec<&(u32, String)>,
    come: &mut Vec<&(u32, String)>,
    words: &mut Vec<String>,
) {
    let (gone, come) = (std::mem::take(gone), std::mem::take(come));
    let both = gone.len().min(come.len());
    for (before, after) in gone.iter().zip(&come) {
        let figures = changed_figures(&before.1, &after.1);
        if figures.is_empty() {
            words.push(format!(
                "In `{name}`, line {} was `{}` and is `{}`.",
                after.0, before.1, after.1
            ));
        }
        words.extend(figures.iter().map(|figure| format!("In `{name}`, {figure}.")));
    }
    for line in gone.iter().skip(both) {
        words.push(format!("In `{name}`, `{}` is gone.", line.1));
    }
    for line in come.iter().skip(both) {
        words.push(format!("In `{name}`, line {} is new: `{}`.", line.0, line.1));
    }
}

/// Pairs the lines of both, in order; lines that are the same stand together.
fn aligned<'a>(old: &'a Lines, new: &'a Lines) -> Vec<Pair<'a>> {
    // Lengths of the longest common run from each pair of lines on, from the end backwards.
    let width = new.len().saturating_add(1);
    let mut common = vec![0_usize; old.len().saturating_add(1).saturating_mul(width)];
    let at = |i: usize, j: usize| i.saturating_mul(width).saturating_add(j);
    for i in (0..old.len()).rev() {
        for j in (0..new.len()).rev() {
            let get = |i: usize, j: usize| common.get(at(i, j)).copied().unwrap_or(0);
            let same = old.get(i).map(|l| &l.1) == new.get(j).map(|l| &l.1);
            let (down, right) = (get(i.saturating_add(1), j), get(i, j.saturating_add(1)));
            let both = get(i.saturating_add(1), j.saturating_add(1)).saturating_add(1);
            let best = if same { both } else { down.max(right) };
            if let Some(cell) = common.get_mut(at(i, j)) {
                *cell = best;
            }
        }
    }
    let get = |i: usize, j: usize| common.get(at(i, j)).copied().unwrap_or(0);
    let (mut i, mut j, mut out) = (0, 0, Vec::new());
    while i < old.len() || j < new.len() {
        let (before, after) = (old.get(i), new.get(j));
        let same = before.is_some() && before.map(|l| &l.1) == after.map(|l| &l.1);
        let go_down = before.is_some()
            && (after.is_none() || get(i.saturating_add(1), j) >= get(i, j.saturating_add(1)));
        if same {
            out.push((before, after));
            i = i.saturating_add(1);
            j = j.saturating_add(1);
        } else if go_down {
            out.push((before, None));
            i = i.saturating_add(1);
        } else {
            out.push((None, after));
            j = j.saturating_add(1);
        }
    }
    out
}

/// "deer was 120.00 and is 125.00", if figures are all that changed in a line.
fn changed_figures(old: &str, new: &str) -> Vec<String> {
    let (old, new) = (pieces(old), pieces(new));
    if old.len() != new.len() {
        return Vec::new();
    }
    let mut words = Vec::new();
    let mut label = String::new();
    for (before, after) in old.iter().zip(&new) {
        let is_figure = before.starts_with(|c: char| c.is_ascii_digit());
        if before == after {
            if before.starts_with(|c: char| c.is_alphabetic()) {
                label.clone_from(before);
            }
        } else if is_figure && after.starts_with(|c: char| c.is_ascii_digit()) {
            let by = before.parse::<Decimal>().ok().zip(after.parse::<Decimal>().ok());
            let by = by.map(|(a, b)| signed(b.saturating_sub(a))).unwrap_or_default();
            words.push(format!("{label} was {before} and is {after} ({by})"));
        } else {
            return Vec::new();
        }
    }
    words
}

/// A line in figures, names and everything else.
fn pieces(line: &str) -> Vec<String> {
    let mut pieces: Vec<String> = Vec::new();
    let mut kind = ' ';
    for c in line.chars() {
        let now = match c {
            '0'..='9' => '0',
            '.' if kind == '0' => '0',
            'a'..='z' | 'A'..='Z' | '_' => 'a',
            _ => '.',
        };
        match pieces.last_mut() {
            Some(last) if now == kind => last.push(c),
            Some(_) | None => pieces.push(c.to_string()),
        }
        kind = now;
    }
    pieces
}

/// What becomes of the plan of each kind of animal.
fn plans(old: &Stages, new: &Stages) -> Vec<String> {
    let told = |stages: &Stages, job: &JobFacts| match stages.plan(job) {
        Ok(steps) if steps.is_empty() => "no plan".to_owned(),
        Ok(steps) => {
            let steps: Vec<String> = steps
                .iter()
                .map(|step| format!("{} {} min", step.step, step.expect_minutes))
                .collect();
            steps.join(", ")
        }
        Err(failure) => format!("no plan ({})", failure.words),
    };
    let mut words = Vec::new();
    for (species, group) in SPECIES {
        let job = plain(species, group);
        let (before, after) = (told(old, &job), told(new, &job));
        if before != after {
            words.push(format!("the plan of a plain {species}: {before} becomes {after}."));
        }
    }
    words
}

pub(crate) fn signed(amount: Decimal) -> String {
    if amount > Decimal::ZERO { format!("+{amount}") } else { amount.to_string() }
}

fn prices(old: &Pricing, new: &Pricing) -> Vec<String> {
    let total = |pricing: &Pricing, job: &JobFacts| match priced(pricing, job) {
        Ok(quote) => Ok(quote.total),
        Err(failure) => Err(format!("no price ({})", failure.words)),
    };
    let source = format!("{}\n{}", old.script().source(), new.script().source());
    let tables = tables_for(&source, &BTreeMap::new());
    let with_tables = |job: JobFacts| JobFacts { tables: tables.clone(), ..job };
    let in_order = json!(with_tables(JobFacts::in_order()));
    let mut words = Vec::new();
    for (species, group) in SPECIES {
        let job = with_tables(plain(species, group));
        words.extend(moved(&format!("a plain {species}"), total(old, &job), total(new, &job)));
    }
    let (mut examples, mut changed) = (Vec::new(), 0_usize);
    for job in jobs(&source, TRIES).into_iter().skip(SPECIES.len()).map(with_tables) {
        let job = &job;
        let (before, after) = (total(old, job), total(new, job));
        let base = with_tables(plain(&job.species, &job.group));
        let by = |a: &Result<Decimal, String>, b: &Result<Decimal, String>| {
            Some(b.as_ref().ok()?.saturating_sub(*a.as_ref().ok()?))
        };
        // What the plain one tells already is not told again.
        if before != after && by(&before, &after) != by(&total(old, &base), &total(new, &base)) {
            changed = changed.saturating_add(1);
            let differs = differences(&json!(job), &in_order);
            examples.extend(moved(&format!("with {differs}"), before, after));
        }
    }
    examples.sort_by_key(String::len);
    words.extend(examples.into_iter().take(MOST_EXAMPLES));
    if changed > MOST_EXAMPLES {
        words
            .push(format!("{changed} of {TRIES} mixed jobs change otherwise than the plain ones."));
    }
    words
}

fn moved(
    what: &str,
    before: Result<Decimal, String>,
    after: Result<Decimal, String>,
) -> Option<String> {
    match (before, after) {
        (before, after) if before == after => None,
        (Ok(before), Ok(after)) => {
            let by = signed(after.saturating_sub(before));
            Some(format!("{what}: {before} becomes {after} ({by})."))
        }
        (before, after) => {
            let say = |price: Result<Decimal, String>| {
                price.map_or_else(|words| words, |total| total.to_string())
            };
            Some(format!("{what}: {} becomes {}.", say(before), say(after)))
        }
    }
}

fn rulings(old: &Stages, new: &Stages) -> Vec<String> {
    let source = format!("{}\n{}", old.script().source(), new.script().source());
    let tables = tables_for(&source, &BTreeMap::new());
    let with_tables = |job: JobFacts| JobFacts { tables: tables.clone(), ..job };
    let in_order = json!(with_tables(JobFacts::in_order()));
    let (mut examples, mut changed) = (Vec::new(), 0_usize);
    for (job, act) in acts(&source, TRIES.saturating_mul(3)) {
        let job = with_tables(job);
        let (before, after) = (said(&old.check(&job, &act)), said(&new.check(&job, &act)));
        if before != after {
            changed = changed.saturating_add(1);
            let differs = differences(&json!(job), &in_order);
            examples.push(format!("{} ({differs}): {before} becomes {after}.", act.verb));
        }
    }
    examples.sort_by_key(String::len);
    examples.dedup();
    let mut words: Vec<String> = examples.into_iter().take(MOST_EXAMPLES).collect();
    if changed > MOST_EXAMPLES {
        words.push(format!("{changed} of {} tries change.", TRIES.saturating_mul(3)));
    }
    words
}

/// "fine", "remark: ..." or "no: ...".
fn said(ruling: &Ruling) -> String {
    match ruling {
        Ruling::Fine { .. } => "fine".to_owned(),
        Ruling::Remark { words, .. } => format!("remark \"{words}\""),
        Ruling::No { words, .. } => format!("no \"{words}\""),
        Ruling::NotChecked(failure) => format!("not checked ({})", failure.words),
    }
}
