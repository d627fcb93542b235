//! A line whose first word is no verb: what it could be.

use burrline_domain::verb;

use crate::{
    Error, Lexicon, command, near, openings, parse_words,
    unclear::{self, Choice, Unclear},
};

/// A word that is no verb: the verbs that are a slip away.
pub(crate) fn no_verb(word: &str, rest: &[String], lexicon: &Lexicon) -> Error {
    if let Some(last) = lexicon
        .last
        .as_ref()
        .filter(|_| openings::puts_right(word) && !openings::denies_a_thing(word, rest))
    {
        let line: Vec<String> =
            std::iter::once(word.to_owned()).chain(rest.iter().cloned()).collect();
        let (about, choices) = openings::asked(&line, last, lexicon);
        return Error::Unclear(Unclear { about, choices });
    }
    let verbs = verb::VERBS.iter().map(|spec| spec.word).filter(|word| command::is_typed(word));
    let said = openings::could_be(word, rest, lexicon);
    if !said.is_empty() {
        let choices = said.into_iter().map(|words| Choice { label: unclear::line(&words), words });
        let about = format!("{word} {}: what is recorded of it?", unclear::line(rest));
        return Error::Unclear(Unclear { about, choices: choices.collect() });
    }
    let choices = near::near(word, verbs).into_iter().map(|meant| {
        let words: Vec<String> =
            std::iter::once(meant.to_owned()).chain(rest.iter().cloned()).collect();
        Choice { label: unclear::line(&words), words }
    });
    // What is offered leads on.
    let choices = choices.filter(|choice| match parse_words(&choice.words, lexicon) {
        Ok(_) => true,
        Err(Error::Unclear(unclear)) => !unclear.choices.is_empty(),
        Err(Error::Word(bad)) => bad.word.is_empty(),
        Err(Error::Usage(_) | Error::Bug(_)) => false,
    });
    let about = format!("{word} is no verb; see `burrline help` for all of them");
    match choices.collect::<Vec<_>>() {
        choices if choices.is_empty() => Error::usage(about),
        choices => Error::Unclear(Unclear { about, choices }),
    }
}
