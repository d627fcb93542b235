//! Every day that was promised, and the day it was ready for the customer.

use std::collections::BTreeSet;

use burrline_domain::{Verb, time::Day};

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

/// Whether it was ready by the days that were promised, as far as the records go.
fn kept(lines: &Lines<'_>, days: &BTreeSet<Day>) -> Option<Kept> {
    let earliest = days.first()?;
    let (end, what) = match &lines.job.ended {
        Some((at, how)) => (lines.zone.day(at.at)?, how.clone()),
        None => (lines.zone.day(lines.state.last_shop_time())?, "still here".to_owned()),
    };
    let past: Vec<String> =
        days.iter().filter(|day| **day < end).map(ToString::to_string).collect();
    if past.is_empty() {
        let words = match &lines.job.ended {
            Some(_) => format!("{what} on {end}, in time for every day that was promised"),
            None => format!("not handed over yet; the last record is of {end}"),
        };
        return Some(Kept { words, late: false });
    }
    let in_time = days.iter().rev().find(|day| **day >= end);
    let in_time = in_time.map(|day| format!(", in time for {day}")).unwrap_or_default();
    let first = lines.all.iter().find_map(|line| day(line.first()));
    let words = if first == Some(*earliest) && days.len() == 1 {
        format!("{what} on {end}, late")
    } else {
        format!("{what} on {end}: late for {}{in_time}", past.join(" and "))
    };
    Some(Kept { words, late: true })
}

fn day(verb: &Verb) -> Option<Day> {
    if let Verb::Promise(promise) = verb { Some(promise.by) } else { None }
}

fn promised(verb: &Verb) -> Option<String> {
    let Verb::Promise(promise) = verb else { return None };
    let why = promise.why.as_ref().map(|why| format!(" ({why})")).unwrap_or_default();
    Some(format!("promised for {}{why}", promise.by))
}
