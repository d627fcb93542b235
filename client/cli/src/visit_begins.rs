//! What `take-in` says before it becomes a talk: how many heads, and of whom.

use burrline_domain::verb;
use burrline_line::{Details, command, details};
use burrline_talk::visit::MOST_HEADS;
use clap::ArgMatches;

/// What a take-in begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Begins {
    /// A talk, about so many heads if that was said.
    Talk(Option<usize>),
    /// A line like any other.
    Line,
}

/// What a take-in begins.
///
/// A bare number without a nought in front is a number of heads: tag 3 is said as `take-in 03`, or
/// with what it is, `take-in 3 whitetail`.
pub(super) fn wanted(matches: &ArgMatches) -> Begins {
    let Some(spec) = verb::spec("take-in") else { return Begins::Line };
    let (words, given, _) = command::taken(spec, matches);
    let common = command::common_of(matches);
    if !given.is_empty() || common.at.is_some() || common.done {
        return Begins::Line;
    }
    match without_details(&words).0.as_slice() {
        [] => Begins::Talk(None),
        [number] if !number.starts_with('0') => {
            let heads = number.parse().ok().filter(|heads| (1..=MOST_HEADS).contains(heads));
            heads.map_or(Begins::Line, |heads| Begins::Talk(Some(heads)))
        }
        _ => Begins::Line,
    }
}

/// The words of a line without the person's details among them, and the details: `3 phone 555-0142`.
fn without_details(words: &[String]) -> (Vec<String>, Details) {
    let typed: Vec<&str> = words.iter().map(String::as_str).collect();
    let (mut left, mut details, mut at) = (Vec::new(), Details::default(), 0_usize);
    while let Some(word) = words.get(at) {
        match details::named(typed.get(at..).unwrap_or_default(), &|_| false) {
            Some((used, name, value)) if details.set(name, &value) => at = at.saturating_add(used),
            Some(_) | None => {
                left.push(word.clone());
                at = at.saturating_add(1);
            }
        }
    }
    (left, details)
}

/// What the command says of the customer, in options or behind `name` and `phone`.
pub(super) fn said_of_customer(matches: &ArgMatches) -> Details {
    let Some(spec) = verb::spec("take-in") else { return Details::default() };
    let (words, _, details) = command::taken(spec, matches);
    details.or(without_details(&words).1)
}
