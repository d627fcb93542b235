//! What was crossed out, amended or assigned, when and by whom, in the order of typing.

use std::collections::BTreeMap;

use burrline_domain::{Verb, fold::Fact};
use burrline_terms::{EntryName, Moment};

use super::{
    Finding,
    lines::{Line, Lines, amended},
};

pub(super) fn corrections(lines: &Lines<'_>) -> Finding {
    let mut found: BTreeMap<(Moment, EntryName, EntryName), String> = BTreeMap::new();
    let mut alarm = false;
    for line in &lines.all {
        let upon = lines.corrections.get(&line.fact.record.entry.name).into_iter().flatten();
        for by in upon {
            let (words, weighs) = one(lines, line, by);
            alarm |= weighs;
            found.insert(key(by, line.fact), words);
            // What takes a correction back is one too.
            let again = lines.corrections.get(&by.record.entry.name).into_iter().flatten();
            for back in again {
                alarm |= weighs;
                let what = by.record.entry.verb.spec().word;
                let when = lines.zone.time(by.record.happened.typed, None);
                let words = format!("{}: took back the `{what}` of {when}", lines.typed_by(back));
                found.insert(key(back, by), words);
            }
        }
    }
    let question = "What was crossed out or amended, when, by whom?";
    Finding::or(question, found.into_values().collect(), "nothing", alarm)
}

fn key(by: &Fact, of: &Fact) -> (Moment, EntryName, EntryName) {
    (by.record.happened.typed, by.record.entry.name, of.record.entry.name)
}

/// One correction of a line, and whether it wants a person to look.
fn one(lines: &Lines<'_>, line: &Line<'_>, by: &Fact) -> (String, bool) {
    let verb = &by.record.entry.verb;
    let (typed, said, of) = (lines.typed_by(by), lines.quoted(line.first()), lines.by(line.fact));
    let name = Some(by.record.entry.name);
    let (words, stands) = if let Some(new) = amended(by) {
        let words = format!("{typed}: amended {said}, {of}; since then {}", lines.quoted(new));
        (words, line.amended_by == name)
    } else if let Verb::Assign(assign) = verb {
        let words = format!("{typed}: gave {said}, {of}, to job {}", assign.job.job_number());
        (words, lines.state.meaning(by.record.entry.name).is_some())
    } else {
        let stands = line.struck_by.map(|by| by.record.entry.name) == name;
        (format!("{typed}: crossed out {said}, {of}"), stands)
    };
    let words = if stands { words } else { format!("{words} (it does not count)") };
    let weighs =
        line.versions().any(weighs) || lines.came_when_disputed(by) || line.beside.is_some();
    debug_assert!(!verb.corrects().is_empty(), "only corrections come here");
    (words, weighs)
}

/// Whether a dispute may turn on such a line.
fn weighs(verb: &Verb) -> bool {
    matches!(
        verb,
        Verb::TakeIn(_)
            | Verb::Condition(_)
            | Verb::Damage(_)
            | Verb::Repair(_)
            | Verb::Photograph(_)
            | Verb::Quote(_)
            | Verb::Agree(_)
            | Verb::Charge(_)
            | Verb::Pay(_)
            | Verb::Refund(_)
            | Verb::Promise(_)
            | Verb::ClipTag(_)
            | Verb::SwapTag(_)
            | Verb::Identify(_)
            | Verb::Recognize(_)
            | Verb::Dispute(_)
            | Verb::Answer(_)
    ) || verb.ends_job()
}
