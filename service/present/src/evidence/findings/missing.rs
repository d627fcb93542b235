//! What a reader would look for and does not find: nobody said it, measured it or took a photo of it.

use burrline_domain::Verb;

use super::{
    Finding,
    lines::{Line, Lines},
};
use crate::condition;

pub(super) fn missing(lines: &Lines<'_>) -> Finding {
    let counting = || lines.all.iter().filter(|line| line.counts());
    let says = |of: fn(&Verb) -> bool| counting().any(|line| of(line.now));
    let before = |of: fn(&Verb) -> bool| {
        counting().any(|line| of(line.now) && lines.stage(line).before_work)
    };
    let mut answers = Vec::new();
    let mut want = |is_there: bool, words: &str| {
        if !is_there {
            answers.push(words.to_owned());
        }
        !is_there
    };
    let mut alarm = want(before(of_condition), "no word on its condition from before the work");
    alarm |=
        want(before(|verb| matches!(verb, Verb::Photograph(_))), "no photo from before the work");
    want(before(|verb| matches!(verb, Verb::Measure(_))), "no measure from before the work");
    want(says(|verb| matches!(verb, Verb::Papers(_))), "no papers");
    want(says(|verb| matches!(verb, Verb::Quote(_))), "no price that the customer heard");
    want(says(|verb| matches!(verb, Verb::Agree(_))), "no agreement to a price");
    let left = counting().any(|line| matches!(line.now, Verb::HandOver(_) | Verb::Ship(_)));
    if left {
        want(says(inspected), "no inspection without a fault before it left");
        want(
            says(|verb| matches!(verb, Verb::Recognize(_))),
            "no look beside its photo before it left, whether it is the head that came in",
        );
    }
    let nameless = counting().filter(|line| nobody_named(line)).count();
    want(
        nameless == 0,
        &format!("no hand is named on {}", burrline_terms::counted(nameless, "line")),
    );
    Finding::or("What is missing?", answers, "nothing that is usual for such a job", alarm)
}

fn of_condition(verb: &Verb) -> bool {
    let Verb::TakeIn(head) = verb else { return matches!(verb, Verb::Condition(_)) };
    head.condition.is_some()
        && head.condition.as_ref().is_none_or(|c| c.as_str() != condition::HIDE_ON)
}

fn inspected(verb: &Verb) -> bool {
    if let Verb::Inspect(inspect) = verb { inspect.faults.is_none() } else { false }
}

/// Work that nobody put a name to.
fn nobody_named(line: &Line<'_>) -> bool {
    line.now.is_work() && line.fact.record.entry.hand.is_none()
}
