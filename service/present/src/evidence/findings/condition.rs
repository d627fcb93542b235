//! What the condition was said to be, by whom, and whether before or after the knife and the heat.

use burrline_domain::Verb;

use super::{Finding, lines::Lines};
use crate::condition;

pub(super) fn condition(lines: &Lines<'_>) -> Finding {
    let mut answers = Vec::new();
    let mut in_time = false;
    let mut changed = false;
    for line in &lines.all {
        let Some(told) = lines.tell(line, condition_of) else { continue };
        let stage = lines.stage(line);
        changed |= told.changed;
        in_time |= stage.before_work && !told.changed && says_something(line.first());
        answers.push(format!("{} ({})", told.words, stage.words));
    }
    // What stands at the end goes first, where there is more than one word on it.
    if answers.len() > 1
        && let Some(last) = condition::as_last_said(lines.state, lines.job)
    {
        answers.insert(0, format!("as last said: {last}"));
    }
    let question = "What was its condition, and when was that said?";
    Finding::or(question, answers, "nothing is on record", changed || !in_time)
}

fn condition_of(verb: &Verb) -> Option<String> {
    if let Verb::TakeIn(take_in) = verb {
        let words = take_in.condition.as_ref().map(ToString::to_string);
        let nothing =
            if take_in.hide_on { "not seen, the hide was on" } else { "nothing was said" };
        return Some(format!("at the take-in: {}", words.unwrap_or_else(|| nothing.to_owned())));
    }
    let Verb::Condition(seen) = verb else { return None };
    let mut words = vec![];
    words.extend(seen.nose.map(|state| format!("nose {state}")));
    words.extend(seen.jaw.map(|state| format!("jaw {state}")));
    words.extend(seen.teeth.map(|teeth| format!("{teeth} teeth")));
    words.extend(seen.shot.map(|shot| format!("shot: {shot}")));
    words.extend(seen.words.as_ref().map(ToString::to_string));
    Some(format!("looked at again: {}", words.join(", ")))
}

fn says_something(verb: &Verb) -> bool {
    if let Verb::TakeIn(take_in) = verb { take_in.condition.is_some() } else { true }
}
