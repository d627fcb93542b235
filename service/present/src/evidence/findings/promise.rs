//! Every day that was promised, and the day it was ready for the customer.

use std::collections::BTreeSet;

use burrline_domain::Verb;
use burrline_terms::time::Day;

use super::{Finding, lines::Lines};

pub(super) fn promise(lines: &Lines<'_>) -> Finding {
    let mut answers = Vec::new();
    let mut alarm = false;
    let mut days: BTreeSet<Day> = BTreeSet::new();
    for line in &lines.all {
        let Some(told) = lines.tell(line, promised) else { continue };
        alarm |= told.changed;
        days.extend(line.versions().filter_map(day));
        answers.push(told.words);
    }
    if let Some(kept) = kept(lines, &days) {
        alarm |= kept.late;
        answers.push(kept.words);
    }
    answers.extend(lines.job.pauses.iter().map(|pause| {
        let until = pause.until.map_or_else(|| "still".to_owned(), |h| lines.zone.time(h.at, None));
        format!("held from {} until {until}: {}", lines.zone.time(pause.from.at, None), pause.why)
    }));
    let question = "What day was promised, and was it kept?";
    Finding::or(question, answers, "no day was promised", alarm)
}

struct Kept {
    words: String,
    late: bool,
}

/// Whether it was ready by the days that were promised, as far as the records go: by its last
/// inspection without a fault, and with none by the day that it left.
fn kept(lines: &Lines<'_>, days: &BTreeSet<Day>) -> Option<Kept> {
    days.first()?;
    let (end, what) = match &lines.job.ended {
        Some((at, how)) => (lines.zone.day(at.at)?, format!("{how} on")),
        None => (lines.zone.day(lines.upto)?, "still here on".to_owned()),
    };
    let ready = ready(lines);
    let by = ready.unwrap_or(end);
    let inspected = ready.map(|ready| format!("inspected without a fault on {ready}, "));
    let words = format!("{}{what} {end}", inspected.unwrap_or_default());
    let list = |days: Vec<&Day>| days.into_iter().map(ToString::to_string).collect::<Vec<_>>();
    let past = list(days.iter().filter(|day| **day < by).collect());
    let kept = list(days.iter().filter(|day| **day >= by).collect());
    let is_open = ready.is_none() && lines.job.ended.is_none();
    let words = match (past.as_slice(), kept.as_slice()) {
        ([], _) if is_open => format!("{words}, which is the last record: not ready yet"),
        ([], _) => format!("{words}: in time"),
        (past, []) => format!("{words}: late for {}", past.join(" and ")),
        (past, kept) => {
            format!("{words}: late for {}, in time for {}", past.join(" and "), kept.join(" and "))
        }
    };
    Some(Kept { words, late: !past.is_empty() })
}

/// The day of the last inspection without a fault.
fn ready(lines: &Lines<'_>) -> Option<Day> {
    let is_ready = |verb: &Verb| {
        if let Verb::Inspect(inspect) = verb { inspect.faults.is_none() } else { false }
    };
    let last = lines.all.iter().rfind(|line| line.counts() && is_ready(line.now))?;
    lines.zone.day(last.fact.key.at)
}

fn day(verb: &Verb) -> Option<Day> {
    if let Verb::Promise(promise) = verb { Some(promise.by) } else { None }
}

fn promised(verb: &Verb) -> Option<String> {
    let Verb::Promise(promise) = verb else { return None };
    let why = promise.why.as_ref().map(|why| format!(" ({why})")).unwrap_or_default();
    Some(format!("promised for {}{why}", promise.by))
}
