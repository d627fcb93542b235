//! Questions as they are typed: `426 washed?`, `who has 426`, `whats in pot-1`, `when is 413 ready`.
//!
//! A question records nothing. It has a reading that answers it, which the prompt shows; elsewhere the reading is
//! named. In a text a question is kept as it was typed: `note 417 ours?`.

use burrline_domain::verb;

use crate::{Error, Lexicon, closed, unclear, with_its_verb};

/// Words that ask, where a line begins with them.
const ASKS: &[&str] = &[
    "what", "whats", "where", "wheres", "when", "whens", "who", "whose", "whos", "why", "how",
    "hows", "which", "is", "are", "was", "were", "did", "does", "has", "had", "isnt", "arent",
    "wasnt", "didnt", "hasnt", "doesnt", "any", "anything", "anybody", "anyone",
];

/// Words that deny a deed where no question mark stands behind it.
const UNDONE: &[&str] = &["didnt", "hasnt", "havent", "wasnt", "isnt", "arent", "doesnt"];

/// Verbs whose text may be a question that somebody asked.
const TEXTS: &[&str] =
    &["note", "dispute", "answer", "close-dispute", "tell", "stray", "damage", "set-shop"];

/// Words that stand between what asks and what is asked about.
const BETWEEN: &[&str] =
    &["is", "are", "was", "were", "s", "did", "does", "do", "has", "have", "had"];

/// The reading that a question means, as it would be typed; none if the words are no such question.
pub fn reading(words: &[String], lexicon: &Lexicon) -> Option<Vec<String>> {
    let plain: Vec<String> = words.iter().map(|word| small(word)).collect();
    let plain: Vec<&str> = plain.iter().map(String::as_str).filter(|w| !w.is_empty()).collect();
    spoken(&plain, lexicon).or_else(|| of_what_it_names(words, &plain, lexicon))
}

/// A question tells what answers it, and records nothing.
///
/// # Errors
/// [`Error::Usage`] for a question.
pub(crate) fn records_nothing(words: &[String], lexicon: &Lexicon) -> Result<(), Error> {
    if let Some(stuff) = run_out(words) {
        return Err(Error::usage(format!(
            "{}: nothing is recorded of it; `count-stock` says how much {stuff} there is, and `stock` shows it",
            unclear::line(words)
        )));
    }
    if let ["both"] | ["both", _] | [_, "both"] = bare(words).as_slice()
        && !words.iter().any(|word| is_tag(word))
    {
        return Err(Error::usage(format!(
            "{}: which two? Say their tags, as in `wash 0417 0418`",
            unclear::line(words)
        )));
    }
    if !is_question(words, lexicon) {
        return Ok(());
    }
    let said = unclear::line(words);
    let mark = words.last().is_some_and(|word| word.ends_with('?'));
    let first = words.first().map(|word| small(word)).unwrap_or_default();
    if !mark && UNDONE.contains(&first.as_str()) {
        return Err(Error::usage(format!(
            "{said}: what was not done is not recorded; `note TAG` keeps it in words, and `strike` takes \
             back a line that was wrong"
        )));
    }
    let answer = match reading(words, lexicon) {
        Some(reading) => format!("`{}` answers it", unclear::line(&reading)),
        None => {
            "`find` looks for words, `show TAG` tells all of a head, `floor` where everything is"
                .to_owned()
        }
    };
    let else_ = if mark { "; if it was done, say it without the question mark" } else { "" };
    Err(Error::usage(format!("{said}: a question records nothing; {answer}{else_}")))
}

fn bare(words: &[String]) -> Vec<&str> {
    words.iter().map(|word| word.trim_matches([',', '.'])).collect()
}

/// `we're out of peroxide`, `no more soda`: what the shop has run out of.
fn run_out(words: &[String]) -> Option<String> {
    let small: Vec<String> = words.iter().map(|word| small(word)).collect();
    let small: Vec<&str> = small.iter().map(String::as_str).collect();
    let lead = ["we", "were", "was", "is", "are", "almost", "nearly", "ran", "running"];
    let led = small.iter().take_while(|word| lead.contains(word)).count();
    let behind = small.get(led..)?;
    let behind = match behind {
        ["out", "of", behind @ ..] | ["low", "on", behind @ ..] | ["no", "more", behind @ ..] => {
            behind
        }
        [stuff @ .., "is" | "are", "out" | "gone" | "empty" | "low"] => stuff,
        _ => return None,
    };
    // `out of pot-1` is where a skull came from; what the shop has run out of is said of the shop.
    let shop = behind.len().saturating_add(2) < small.len();
    if let [stuff] = behind
        && shop
        && stuff.chars().all(char::is_alphabetic)
    {
        return Some((*stuff).to_owned());
    }
    let (stuff, used) = crate::makeup::is_stuff(behind).filter(|(stuff, _)| stuff != "water")?;
    (used == behind.len()).then_some(stuff)
}

/// Whether a line asks something, and says nothing.
fn is_question(words: &[String], lexicon: &Lexicon) -> bool {
    let (Some(first), Some(last)) = (words.first(), words.last()) else { return false };
    // `was card not cash` puts a line right, and `we're out of soda` tells.
    let tells = matches!(words, [_, _, not, _, ..] if small(not) == "not")
        || (first.contains(['\'', '\u{2019}']) && small(first) == "were");
    let asks = ASKS.contains(&small(first).as_str()) && words.len() > 1 && !tells;
    let turned = with_its_verb(words);
    let text = turned.first().is_some_and(|verb| TEXTS.contains(&verb.as_str()));
    // `out pot-2 22, ?` has a tag that nobody can read.
    let unread = last == "?"
        && (words.iter().rev().nth(1).is_some_and(|word| word.ends_with(','))
            || words.iter().any(|word| lexicon.place(word.trim_end_matches(',')).is_some()));
    let marked = last.ends_with('?') && !unread && words.len() > 1;
    // An option's value is what it is.
    let option = words.iter().any(|word| word.starts_with("--"));
    (asks && verb::spec(first).is_none()) || (marked && !text && !option)
}

/// Questions that are asked in these words all day.
fn spoken(plain: &[&str], lexicon: &Lexicon) -> Option<Vec<String>> {
    let (asks, rest) = plain.split_first()?;
    let line = |words: &[&str]| Some(words.iter().map(|word| (*word).to_owned()).collect());
    let rest = match rest {
        ["is" | "are" | "s", rest @ ..] if ASKS.contains(asks) => rest,
        rest => rest,
    };
    let of_skull = |tag: &&str| is_tag(tag);
    match (*asks, rest) {
        ("what" | "whats", ["in", place]) => {
            lexicon.place(place).and_then(|here| line(&["floor", &here.place]))
        }
        ("what" | "whats", ["due" | "next"])
        | ("who" | "whos" | "what" | "whats", ["late" | "overdue"]) => line(&["due"]),
        ("what" | "whats" | "anything", ["wrong"]) => line(&["clashes"]),
        ("what" | "whats", ["did", "we", "take", day @ ("today" | "yesterday")]) => {
            line(&["takings", day])
        }
        ("what" | "whats", ["did", "we", "take"]) => line(&["takings"]),
        ("what" | "whats", ["left" | "short" | "low"]) => line(&["stock"]),
        ("when" | "whens", [tag, "ready" | "done" | "finished"] | ["will", tag, "be", "ready"]) => {
            Some(tag).filter(|tag| of_skull(tag)).and_then(|tag| line(&["ready-by", tag]))
        }
        ("what" | "whats", ["owed" | "unpaid"])
        | (
            "who",
            ["owes" | "owing", ..]
            | ["hasnt" | "havent", "paid", ..]
            | ["still", "owes", ..]
            | ["do", "i" | "we", "call"]
            | ["to", "call"]
            | ["needs", "a", "call"],
        ) => line(&["calls"]),
        ("slip" | "receipt" | "statement" | "letter", ["for" | "of", tag]) if is_tag(tag) => {
            line(&[asks, tag])
        }
        (tag, ["balance" | "owes"]) if is_tag(tag) => line(&["show", tag]),
        ("over", ["or", "short"]) | ("what" | "whats", ["in" | "on", "the", "till" | "drawer"]) => {
            line(&["till"])
        }
        ("how", ["much", rest @ ..])
            if rest.iter().any(|word| matches!(*word, "till" | "drawer" | "register")) =>
        {
            line(&["till"])
        }
        ("what" | "whats" | "how", rest) if rest.contains(&"stock") => line(&["stock"]),
        ("how", ["much", stuff, "left" | "is" | "do", ..])
            if crate::makeup::is_stuff(&[stuff]).is_some() =>
        {
            line(&["stock"])
        }
        ("how", ["many", "heads" | "skulls" | "deer", ..]) => line(&["floor"]),
        (asks, rest) => shown(asks, rest).filter(of_skull).and_then(|tag| line(&["show", tag])),
    }
}

/// The skull that a question is about whose answer stands on its page.
fn shown<'a>(asks: &str, rest: &[&'a str]) -> Option<&'a str> {
    match (asks, rest) {
        ("what" | "whats", ["does" | "do", tag, "owe"] | ["owed", "on" | "for", tag])
        | (
            "how",
            ["much", "is" | "for" | "on", tag] | ["much", "does", tag, "owe"] | ["much", tag],
        )
        | ("where" | "wheres" | "who" | "whose" | "whos" | "price", [tag])
        | ("price", ["of" | "for" | "on", tag]) => Some(tag),
        _ => None,
    }
}

/// Any other question: what is known of the skull or the place that it names.
fn of_what_it_names(words: &[String], plain: &[&str], lexicon: &Lexicon) -> Option<Vec<String>> {
    if !is_question(words, lexicon) {
        return None;
    }
    let (first, rest) = plain.split_first()?;
    let line = |words: &[&str]| words.iter().map(|word| (*word).to_owned()).collect();
    let tag = plain.iter().find(|word| is_tag(word) && word.len() >= 3);
    let place = words.iter().find_map(|word| lexicon.place(word.trim_end_matches(['?', ',', ':'])));
    let days = plain.iter().any(|word| matches!(*word, "ready" | "due"));
    // Who did it, and when it was done, stand in its trail.
    let did =
        rest.iter().find(|word| !BETWEEN.contains(word) && !is_tag(word)).is_some_and(|word| {
            verb::spec(closed::synonym(word).unwrap_or(word)).is_some()
                || matches!(*word, "did" | "put" | "took")
        });
    let trail = matches!(*first, "who" | "whos" | "when" | "whens") && did;
    match (tag, place) {
        (Some(tag), _) if *first == "when" && days => Some(line(&["ready-by", tag])),
        (Some(tag), _) if trail => Some(line(&["trail", tag])),
        (Some(tag), _) => Some(line(&["show", tag])),
        (None, Some(here)) => Some(line(&["floor", &here.place])),
        (None, None) => None,
    }
}

/// As it is compared: small, without marks; `what's` is `whats`.
fn small(word: &str) -> String {
    let word = word.trim_matches([',', '?', '.', ':']).to_lowercase();
    word.replace(['\'', '\u{2019}'], "")
}

fn is_tag(word: &str) -> bool {
    word.len() >= 2 && word.bytes().all(|byte| byte.is_ascii_digit())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{lexicon::PlaceHere, split};

    fn shop() -> Lexicon {
        let place = |name: &str| PlaceHere { place: name.to_owned(), tags: Vec::new() };
        let places = ["pot-1", "pot-2", "rack-1"].map(place).to_vec();
        Lexicon { known: true, fresh: true, places, ..Lexicon::default() }
    }

    #[test]
    fn a_question_has_a_reading_that_answers_it() {
        for (asked, answer) in [
            ("whats in pot-1", "floor pot-1"),
            ("426 washed?", "show 426"),
            ("is 426 done?", "show 426"),
            ("is 426 done", "show 426"),
            ("who has 426", "show 426"),
            ("how much 413", "show 413"),
            ("how much is 413", "show 413"),
            ("did we wash 426", "show 426"),
            ("who washed 426", "trail 426"),
            ("when was 426 washed", "trail 426"),
            ("when is 426 ready", "ready-by 426"),
            ("why is 426 on hold", "show 426"),
            ("is pot-1 lit?", "floor pot-1"),
            ("how hot is pot-1", "floor pot-1"),
            ("whats left?", "stock"),
            ("how many heads do we have", "floor"),
        ] {
            let found = reading(&split(asked).unwrap(), &shop()).map(|words| words.join(" "));
            assert_eq!(found.as_deref(), Some(answer), "{asked}");
        }
    }

    #[test]
    fn a_line_that_says_something_is_no_question() {
        for said in [
            "wash 426",
            "note 426 is it ours?",
            "out pot-2 22, ?",
            "tell 426 question phone spoke \"when?\"",
        ] {
            let words = split(said).unwrap();
            assert!(!is_question(&words, &shop()), "{said}");
        }
    }
}
