//! What is still to be done, said as a wish, a plan or an order: `need to wrap 423`, `423 should be bagged`,
//! `do 424 next`. Nothing of it was done. It is offered as a note; a line that says it was done is offered beside it.

use burrline_domain::verb;
use burrline_terms::words::Role;

use crate::{
    Error, Lexicon, LineChoice, Unclear, closed, command, parse_words, several, unclear,
    with_its_verb,
};

/// Words with which a line begins that says what is still to come.
const BEGINS: &[&str] = &[
    "need", "needs", "must", "should", "gotta", "todo", "to-do", "remember", "remind", "please",
    "pls", "plz", "lets", "going", "gonna", "will", "wanna", "want", "plan", "planning", "dont",
    "never", "tomorrow", "tonight", "later", "soon", "maybe", "probably", "could", "can", "do",
    "have", "got", "try", "lets", "to", "then", "forgot", "call",
];

/// Those of them that may begin something else, unless one of these follows.
const ONLY_BEFORE: &[(&str, &[&str])] = &[
    ("got", &["to"]),
    ("have", &["to"]),
    ("want", &["to"]),
    ("going", &["to"]),
    ("will", &[]),
    ("never", &[]),
    ("forgot", &["to"]),
    ("call", &[]),
];

/// Words between a tag and what is to be done to it.
const OF_TAG: &[&str] = &[
    "should", "must", "need", "needs", "wants", "will", "shall", "can", "could", "gets", "has",
    "have", "got", "going", "gonna", "to", "ought", "still",
];

/// Small words that belong to a wish and not to what is wished.
const AROUND: &[&str] = &[
    "to", "be", "get", "a", "an", "the", "forget", "not", "still", "going", "you", "we", "i", "us",
    "me", "just",
];

/// Words for when, behind a wish.
const WHEN: &[&str] =
    &["next", "tomorrow", "tonight", "later", "soon", "first", "today", "asap", "now", "please"];

/// Asks about a line that says what is still to be done.
///
/// # Errors
/// [`Error::Unclear`] with the note and the line that says it was done; [`Error::Usage`] where no skull is named.
pub(crate) fn not_done_yet(words: &[String], lexicon: &Lexicon) -> Result<(), Error> {
    let Some(wished) = wished(words, lexicon) else { return Ok(()) };
    let tags: Vec<String> =
        words.iter().filter(|word| is_tag(word)).map(|word| bare(word)).collect();
    let about = format!(
        "{}: that is still to be done, so nothing is recorded as done",
        unclear::line(words)
    );
    if tags.is_empty() {
        let shop =
            "; say it when it is done, as in `wash 0417`; a `note TAG` keeps a wish for a head";
        return Err(Error::usage(format!("{about}{shop}")));
    }
    let text = said_beside_tags(words).join(" ");
    let text = text.trim_matches([',', ':', ' ']);
    let front = std::iter::once("note".to_owned()).chain(tags);
    let note: Vec<String> = front.chain(["--words".to_owned(), text.to_owned()]).collect();
    let mut choices =
        vec![LineChoice { label: format!("only a note: \u{201c}{text}\u{201d}"), words: note }];
    // What is not to be done was hardly done.
    let forbidden =
        matches!(small(words.first().map_or("", String::as_str)).as_str(), "dont" | "never");
    if !forbidden && has_deed(&wished) && parse_words(&wished, lexicon).is_ok() {
        choices.push(LineChoice {
            label: format!("it was done: {}", unclear::line(&wished)),
            words: wished,
        });
    }
    Err(Error::Unclear(Unclear { about, choices }))
}

/// What is wished, as it would be said once it is done; none if the line is no wish.
fn wished(words: &[String], lexicon: &Lexicon) -> Option<Vec<String>> {
    if words.iter().any(|word| word.starts_with("--") || word == ";") {
        return None;
    }
    let first = small(words.first()?);
    let tags = words.iter().take_while(|word| is_tag(word) || is_and(word)).count();
    if tags == 0 {
        let second = words.get(1).map(|word| small(word)).unwrap_or_default();
        let only = ONLY_BEFORE.iter().find(|(word, _)| *word == first).map(|(_, next)| *next);
        let begins = BEGINS.contains(&first.as_str())
            && verb::spec(&first).is_none()
            && only.is_none_or(|next| next.is_empty() || next.contains(&second.as_str()))
            // `call 424` may be what was done; `call 424 tomorrow` is not.
            && (first != "call" || ends_with_when(words));
        // `tom, wash 0417` is asked by itself.
        return begins.then(|| done(words, lexicon));
    }
    let said = words.get(tags..)?;
    let next = said.first().map(|word| small(word))?;
    let wish = said.iter().take_while(|word| {
        let word = small(word);
        OF_TAG.contains(&word.as_str()) || AROUND.contains(&word.as_str())
    });
    let deed = said.get(wish.count()..)?;
    // `417 needs more`, `417 to rack-1`, `417 has 2 teeth missing` say how it is, or where it went.
    let bench = verb_of(deed).is_some_and(|verb| verb != "look");
    let when = ends_with_when(said);
    let wishes = OF_TAG.contains(&next.as_str()) && next != "still" && bench;
    let is_next = WHEN.contains(&next.as_str()) && said.len() == 1 && next == "next";
    let later = when && verb_of(said).is_some_and(|verb| verb != "promise" && verb != "note");
    (wishes || is_next || later).then(|| done(words, lexicon))
}

fn ends_with_when(words: &[String]) -> bool {
    words.last().is_some_and(|word| WHEN.contains(&small(word).as_str()))
}

/// The line without the words of a wish.
fn done(words: &[String], lexicon: &Lexicon) -> Vec<String> {
    let left = words.iter().filter(|word| {
        let small = small(word);
        !(BEGINS.contains(&small.as_str())
            || OF_TAG.contains(&small.as_str())
            || AROUND.contains(&small.as_str())
            || WHEN.contains(&small.as_str()))
            || lexicon.place(word).is_some()
    });
    let left: Vec<String> = left.cloned().collect();
    let turned = with_its_verb(&left);
    if turned.first().is_some_and(|first| first == crate::LINES) { left } else { turned }
}

/// Whether a line says something that is done, in front or behind its tags.
fn has_deed(line: &[String]) -> bool {
    line.iter()
        .find(|word| !is_tag(word) && !is_and(word))
        .is_some_and(|word| verb_of(std::slice::from_ref(word)).is_some())
}

/// The words that are no tag and join none.
fn said_beside_tags(words: &[String]) -> Vec<String> {
    let tag = |at: Option<usize>| at.and_then(|at| words.get(at)).is_some_and(|word| is_tag(word));
    let joins =
        |at: usize, word: &str| is_and(word) && tag(at.checked_sub(1)) && tag(at.checked_add(1));
    let kept = words.iter().enumerate().filter(|(at, word)| !is_tag(word) && !joins(*at, word));
    kept.map(|(_, word)| word.clone()).collect()
}

/// The verb of the bench that words begin with.
fn verb_of(words: &[String]) -> Option<&'static str> {
    let word = small(words.first()?);
    // `wrapping` is to come as much as `wrapped` is done.
    let stem = word.strip_suffix("ing").map(|stem| {
        let mut letters = stem.chars().rev();
        let twice = letters.next() == letters.next();
        if twice {
            stem.get(..stem.len().saturating_sub(1)).unwrap_or(stem).to_owned()
        } else {
            stem.to_owned()
        }
    });
    let spec = verb::spec(closed::synonym(&word).unwrap_or(&word))
        .or_else(|| verb::spec(stem.as_deref()?))
        .filter(|spec| command::is_typed(spec.word))?;
    (spec.role == Role::Bench || spec.word == "hand-over").then_some(spec.word)
}

fn is_tag(word: &str) -> bool {
    let word = word.trim_end_matches([',', ':']);
    word.len() >= 3 && several::is_skull(word) && word.starts_with(|c: char| c.is_ascii_digit())
}

fn is_and(word: &str) -> bool {
    matches!(word.to_lowercase().as_str(), "and" | "&" | "+" | ",")
}

fn bare(word: &str) -> String {
    word.trim_end_matches([',', ':']).to_owned()
}

fn small(word: &str) -> String {
    word.trim_matches([',', ':', '.', '!']).to_lowercase().replace(['\'', '\u{2019}'], "")
}
