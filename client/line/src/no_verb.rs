//! A line whose first word is no verb: what it could be.

use burrline_domain::verb;

use crate::{
    Error, Lexicon, command, near, openings, parse_words, several,
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
        choices if choices.is_empty() => {
            as_typed(word, rest).unwrap_or_else(|| Error::usage(about))
        }
        choices => Error::Unclear(Unclear { about, choices }),
    }
}

/// A line that begins with no word that is known here, and names a skull: it can be kept in words.
fn as_typed(word: &str, rest: &[String]) -> Option<Error> {
    let tag = |word: &&String| {
        let bare = word.trim_end_matches([',', ':', '.']);
        (3..=4).contains(&bare.len()) && bare.bytes().all(|byte| byte.is_ascii_digit())
    };
    let tags: Vec<&String> = rest.iter().filter(tag).collect();
    let [one] = tags.as_slice() else { return None };
    let one = one.trim_end_matches([',', ':', '.']);
    let all: Vec<String> = std::iter::once(word.to_owned()).chain(rest.iter().cloned()).collect();
    // Somebody's number or address is for no note.
    let numbers = rest
        .iter()
        .any(|word| word.bytes().filter(u8::is_ascii_digit).count() > 4 || word.contains('@'));
    let text = all.iter().filter(|word| !tag(word)).cloned().collect::<Vec<_>>().join(" ");
    let about =
        format!("{}: what was done? Begin with it, as in `wash {one}`", unclear::line(&all));
    let with = |verb: &str, option: &str| {
        let words = [verb, one, option, &text].map(str::to_owned).to_vec();
        Choice { label: format!("{verb} {one}: {text}"), words }
    };
    let hurt = all.iter().any(|word| several::says_hurt(word));
    let damage = hurt.then(|| with("damage", "--what"));
    let choices = std::iter::once(with("note", "--words")).chain(damage).collect();
    // One word beside the tag is rather a verb that is spelled otherwise.
    (!numbers && (hurt || all.len() > 2)).then_some(Error::Unclear(Unclear { about, choices }))
}
