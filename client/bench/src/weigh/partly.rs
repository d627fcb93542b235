//! A line of several skulls of which one does not go through: what is left of it.
//!
//! Every word of a line is accounted for, or nothing is recorded. So the hand is asked whether the rest is to be
//! recorded; where nobody is there to say so, nothing of the line is.

use burrline_domain::Verb;
use burrline_line::typed;

use super::{super::answer::Choice, Asked};
use crate::Error;

/// Whether a line says several things. Who gave money, and a customer with their first ticket, are no line of their
/// own.
pub(super) fn has_parts(asked: &[Asked]) -> bool {
    let beside = |one: &&Asked| matches!(one.draft.verb, Verb::AddCustomer(_) | Verb::Person(_));
    asked.iter().filter(|one| !beside(one)).count() > 1
}

/// What the line says of other skulls than these, as it would be typed, as far as it is not left off already;
/// empty if it says no more.
pub(super) fn rest(asked: &[Asked], choices: &[Option<Choice>], alike: &[&Asked]) -> String {
    let out = left(asked, choices);
    let other =
        |one: &&Asked| !one.tag.is_empty() && !alike.iter().any(|other| other.tag == one.tag);
    let kept = asked.iter().enumerate().filter(|(at, _)| out.get(*at) != Some(&true));
    of(kept.map(|(_, one)| one).filter(other))
}

/// Lines that say the same of several skulls, as one.
fn of<'a>(asked: impl Iterator<Item = &'a Asked>) -> String {
    let mut lines: Vec<(&str, Vec<&str>)> = Vec::new();
    for one in asked {
        match lines.iter_mut().find(|(what, _)| *what == one.what) {
            Some((_, tags)) => tags.push(&one.tag),
            None => lines.push((&one.what, vec![&one.tag])),
        }
    }
    let line = |(what, tags): (&str, Vec<&str>)| {
        let (verb, said) = what.split_once(' ').unwrap_or((what, ""));
        format!("{verb} {} {said}", tags.join(" ")).trim_end().to_owned()
    };
    lines.into_iter().map(line).collect::<Vec<_>>().join("; ")
}

/// Whether a line is about more than one skull.
pub(super) fn is_of_several(asked: &[Asked]) -> bool {
    let first = asked.first().map(|one| one.tag.as_str());
    asked.iter().any(|one| Some(one.tag.as_str()) != first)
}

/// Which of them are left off: all, where nothing of the line is to be recorded; else what is said of a skull
/// that is left off.
pub(super) fn left(asked: &[Asked], choices: &[Option<Choice>]) -> Vec<bool> {
    let all = choices.iter().flatten().any(|choice| *choice == Choice::LeaveOff);
    let without: Vec<&str> = asked
        .iter()
        .zip(choices)
        .filter(|(_, choice)| *choice == &Some(Choice::Without))
        .map(|(one, _)| one.tag.as_str())
        .collect();
    // What is said with it of the same skull goes with what nobody could be asked about.
    let nobody = choices.iter().flatten().any(|choice| *choice == Choice::Nobody);
    let with_it = |one: &Asked| nobody && one.question.is_none();
    asked.iter().map(|one| all || with_it(one) || without.contains(&one.tag.as_str())).collect()
}

/// Why nothing of a line was recorded where nobody is there to be asked, and what to type instead.
pub(super) fn nothing_of_it(asked: &[Asked], choices: &[Option<Choice>]) -> Error {
    let mut words = vec!["nothing of the line was recorded:".to_owned()];
    let mut out: Vec<&Asked> = Vec::new();
    for (one, choice) in asked.iter().zip(choices) {
        let (Some(question), Some(Choice::Nobody)) = (&one.question, choice) else { continue };
        out.push(one);
        words.push(format!("  {}: {}", question.line, question.against.join("; ")));
        if !one.missing.is_empty() {
            let missing: Vec<String> = one.missing.iter().map(typed::typed).collect();
            words.push(format!(
                "    if that was done and not recorded ({}), add --yes-done",
                missing.join(", ")
            ));
        }
    }
    let rest = rest(asked, &[], &out);
    if !rest.is_empty() {
        words.push(format!("  to record the rest: {rest}"));
    }
    words.push("  to record all of it all the same, add --anyway REASON".to_owned());
    Error::usage(words.join("\n"))
}
