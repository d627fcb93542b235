//! What the customer says, what the shop answers, and how it was settled.

use burrline_domain::Verb;
use burrline_terms::Phrase;

use super::{Finding, lines::Lines};

pub(super) fn dispute(lines: &Lines<'_>) -> Finding {
    let mut answers = Vec::new();
    let mut alarm = lines.job.disputed;
    for line in &lines.all {
        if let Some(told) = lines.tell(line, said) {
            alarm |= told.changed;
            answers.push(told.words);
        }
    }
    let question = "What is disputed, and what was answered?";
    Finding::or(question, answers, "no dispute is on record", alarm)
}

fn said(verb: &Verb) -> Option<String> {
    let with = |what: &str, words: Option<&Phrase>| {
        words.map_or_else(|| what.to_owned(), |words| format!("{what}: {words}"))
    };
    if let Verb::Dispute(dispute) = verb {
        Some(with("the customer disputes it", dispute.words.as_ref()))
    } else if let Verb::Answer(answer) = verb {
        Some(with("the shop answers", Some(&answer.words)))
    } else if let Verb::CloseDispute(close) = verb {
        Some(with("the dispute was closed", close.words.as_ref()))
    } else if let Verb::BringBack(back) = verb {
        Some(with("it was brought back", back.why.as_ref()))
    } else {
        None
    }
}
