//! What does not fit: within the job, and with other jobs that wore its tag.

use super::{Finding, lines::Lines};
use crate::misfits::words;

pub(super) fn misfits(lines: &Lines<'_>) -> Finding {
    let clashes = lines.state.clashes_of(lines.job.id);
    let mut answers: Vec<String> = clashes.iter().map(|clash| words(lines.state, clash)).collect();
    for shared in &lines.beside.shared {
        let (own, other) = (lines.job.id.job_number(), shared.other.job_number());
        let from = lines.zone.time(shared.from.at, None);
        let until = shared.until.map_or_else(
            || "and still is: swap the tag on one of them".to_owned(),
            |until| format!("until {}", lines.zone.time(until.at, None)),
        );
        let tag = &shared.tag;
        answers.push(format!("{tag} was on two open jobs, {own} and {other}, from {from} {until}"));
    }
    for line in &lines.all {
        let Some(why) = &line.beside else { continue };
        let said = lines.quoted(line.first());
        answers.push(format!("{said}, {}: {why}", lines.by(line.fact)));
    }
    let alarm = !answers.is_empty();
    let nothing = "nothing: every line fits the others";
    Finding::or("What in the story does not fit?", answers, nothing, alarm)
}
