//! What a customer was told for: said with `tell`, recorded right before it.
//!
//! `tell 0417 ready phone spoke` says that it is ready; `--purpose ready` says the same. The word stands
//! before any text, for a text that begins with it may say anything. Where nobody was reached there was
//! no purpose; where somebody was, and none was said, it is asked. It is never guessed.

use burrline_domain::{
    Verb, VerbSpec,
    verb::{self, Tell},
};
use burrline_terms::{
    Typed as _,
    words::{Means, Reached, ToldFor},
};

use super::{doubt, read::Given, several};
use crate::{Error, calendar};

/// The option's name.
pub(super) const OPTION: &str = "purpose";

/// Whether a purpose is said with a verb.
pub(super) fn taken_by(spec: &VerbSpec) -> bool {
    spec.word == Tell::SPEC.word
}

/// Takes the purpose out of the words of a `tell`, or out of its options.
///
/// # Errors
/// [`Error::Word`] for an option that is none of the list.
pub(super) fn said(
    spec: &VerbSpec,
    words: &mut Vec<String>,
    given: &mut Given,
) -> Result<Option<ToldFor>, Error> {
    if !taken_by(spec) {
        return Ok(None);
    }
    if let Some(word) = given.remove(OPTION).and_then(|words| words.into_iter().next()) {
        return Ok(Some(ToldFor::read(&word)?));
    }
    let Some((at, used, purpose)) = among(words) else { return Ok(None) };
    words.drain(at..at.saturating_add(used));
    Ok(Some(purpose))
}

/// Where the purpose stands, of how many words it is, and which it is.
fn among(words: &[String]) -> Option<(usize, usize, ToldFor)> {
    let before = words.iter().take_while(|word| is_head(word)).count();
    let purpose =
        |word: &String| ToldFor::read(word.trim_end_matches(',').to_lowercase().as_str()).ok();
    // `that it is ready`.
    let turn = words.get(before..)?.iter().take_while(|word| is_turn(word)).count();
    let (used, found): (usize, _) = match words.get(before.saturating_add(turn)..)? {
        [last, notice, ..]
            if last.eq_ignore_ascii_case("last") && notice.eq_ignore_ascii_case("notice") =>
        {
            (2, ToldFor::LastNotice)
        }
        // `texted 0418 done`.
        [word] if matches!(word.to_lowercase().as_str(), "done" | "finished") => {
            (1, ToldFor::Ready)
        }
        [word, ..] => (1, purpose(word)?),
        [] => return None,
    };
    let next =
        |n: usize| words.get(before.saturating_add(turn).saturating_add(used).saturating_add(n));
    let pickup =
        |word: &String| matches!(word.to_lowercase().as_str(), "pickup" | "pick-up" | "collection");
    let for_pickup = found == ToldFor::Ready
        && next(0).is_some_and(|word| word.eq_ignore_ascii_case("for"))
        && next(1).is_some_and(pickup);
    let used = used.saturating_add(turn).saturating_add(if for_pickup { 2 } else { 0 });
    // `ready on Friday` is a text, and not that it is ready.
    let text = words.get(before.saturating_add(used)).is_some_and(|next| {
        !is_head(next) && !next.starts_with('-') && !next.contains(char::is_whitespace)
    });
    (!text).then_some((before, used, found))
}

/// A tag, or a word of a list: what stands before a text.
fn is_head(word: &str) -> bool {
    let bare = word.trim_end_matches([',', ':']).to_lowercase();
    several::is_skull(&bare)
        || Means::WORDS.contains(&bare.as_str())
        || Reached::WORDS.contains(&bare.as_str())
        || HEADS.contains(&bare.as_str())
}

/// Words of tags, means and results that are written otherwise.
const HEADS: &[&str] = &[
    "all",
    "and",
    "answer",
    "by",
    "called",
    "left",
    "message",
    "msg",
    "no",
    "number",
    "phoned",
    "spoken",
    "texted",
    "them",
    "to",
    "vm",
    "voicemail",
    "with",
    "wrong",
    "a",
];

fn is_turn(word: &str) -> bool {
    matches!(word.to_lowercase().as_str(), "that" | "it" | "is" | "it's" | "its" | "about" | "for")
}

/// Each `tell` with its purpose right before it.
///
/// # Errors
/// [`Error::Unclear`] where somebody was told something and nobody said what for.
pub(super) fn with_each(
    verbs: Vec<Verb>,
    purpose: Option<ToldFor>,
    line: &[String],
) -> Result<Vec<Verb>, Error> {
    let mut all = Vec::with_capacity(verbs.len().saturating_mul(2));
    for verb in verbs {
        if let Verb::Tell(tell) = &verb {
            match purpose {
                Some(what) => {
                    let skull = tell.skull.clone();
                    all.push(verb::Purpose { skull, what, entry: None }.into());
                }
                None if in_vain(tell) => {}
                None => return Err(what_for(line)),
            }
        }
        all.push(verb);
    }
    Ok(all)
}

fn in_vain(tell: &Tell) -> bool {
    matches!(tell.result, Some(Reached::NoAnswer | Reached::WrongNumber))
}

fn what_for(line: &[String]) -> Error {
    let choice = |purpose: &ToldFor| {
        let label = match purpose {
            ToldFor::Ready => "ready: it can be fetched",
            ToldFor::Price => "price: what it costs",
            ToldFor::Question => "question: something to decide",
            ToldFor::Delay => "delay: it takes longer",
            ToldFor::LastNotice => "last-notice: before it goes another way",
            ToldFor::Other => "other",
        };
        let option = [format!("--{OPTION}"), purpose.word().to_owned()];
        (label.to_owned(), [line, &option].concat())
    };
    let choices = promised(line).into_iter().chain(ToldFor::ALL.iter().map(choice));
    doubt::unclear("tell: what was the customer told for?", choices)
}

/// `told 424 ready friday`: a day that somebody was told is a promise.
fn promised(line: &[String]) -> Option<(String, Vec<String>)> {
    let ahead = |word: &String| {
        let word = word.trim_end_matches([',', '.']).to_lowercase();
        matches!(word.as_str(), "tomorrow" | "today")
            || calendar::weekday(&word).is_some()
            || calendar::month(&word).is_some()
    };
    let from = line.iter().position(ahead)?;
    let day = line.get(from..)?.iter().take_while(|word| {
        ahead(word) || word.trim_end_matches([',', '.']).parse::<u32>().is_ok_and(|day| day < 32)
    });
    let day: Vec<String> = day.map(|word| word.trim_end_matches([',', '.']).to_owned()).collect();
    let tag = |word: &&String| several::is_skull(word) && word.len() >= 3;
    let tags: Vec<String> = line.iter().skip(1).take_while(tag).cloned().collect();
    let option = [format!("--{OPTION}"), ToldFor::Other.word().to_owned()];
    let label = format!("a promise: ready by {}", day.join(" "));
    let promise = [vec!["promise".to_owned()], tags.clone(), day, vec![";".to_owned()]].concat();
    (!tags.is_empty()).then(|| (label, [promise.as_slice(), line, option.as_slice()].concat()))
}
