//! What was done against a rule of the shop: on being asked, or with nobody there to ask.

use burrline_domain::Outcome;

use super::{
    Finding,
    lines::{Line, Lines},
};

pub(super) fn rules(lines: &Lines<'_>) -> Finding {
    let mut answers = Vec::new();
    let mut alarm = false;
    for line in &lines.all {
        let against = against(line);
        alarm |= !against.is_empty();
        let all: Vec<String> = against.into_iter().chain(not_checked(line)).collect();
        if all.is_empty() {
            continue;
        }
        let place = line.first().place().map(|place| format!(" {place}")).unwrap_or_default();
        let said = format!("`{}{place}`, {}", line.word(), lines.by(line.fact));
        let struck = if line.struck_by.is_some() { " (crossed out since)" } else { "" };
        answers.push(format!("{said}{struck}: {}", all.join("; ")));
    }
    Finding::or("What was done against a rule of the shop?", answers, "nothing", alarm)
}

/// The rules that objected, and why it was done for all that.
fn against(line: &Line<'_>) -> Vec<String> {
    let record = &line.fact.record;
    let Outcome::Done(remarks) = &record.outcome else { return Vec::new() };
    let objected = remarks.iter().filter(|remark| remark.objected);
    let mut words: Vec<String> =
        objected.map(|remark| format!("rule {}: {}", remark.rule, remark.words)).collect();
    match &record.entry.anyway {
        Some(why) => words.push(format!("done anyway: {why}")),
        None if !words.is_empty() => words.push("nobody said why".to_owned()),
        None => {}
    }
    words
}

/// The rules that could not be asked.
fn not_checked(line: &Line<'_>) -> Vec<String> {
    let Outcome::Done(remarks) = &line.fact.record.outcome else { return Vec::new() };
    let unchecked = remarks.iter().filter(|remark| remark.not_checked && !remark.objected);
    unchecked
        .map(|remark| format!("rule {} was not checked: {}", remark.rule, remark.words))
        .collect()
}
