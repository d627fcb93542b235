//! Questions as they are spoken: `whats in pot-1`, `where is 416`, `when is 413 ready`, `what does 418
//! owe`. Each is the reading that answers it; nothing is recorded by one.

use super::Known;

/// The reading that a question means, as it would be typed; none if the words are no such question.
pub(super) fn reading(words: &[String], known: &Known) -> Option<Vec<String>> {
    let plain: Vec<String> = words.iter().map(|word| small(word)).collect();
    let plain: Vec<&str> = plain.iter().map(String::as_str).filter(|w| !w.is_empty()).collect();
    let (asks, rest) = plain.split_first()?;
    let line = |words: &[&str]| Some(words.iter().map(|word| (*word).to_owned()).collect());
    let rest = match rest {
        ["is" | "are" | "s", rest @ ..] if ASKS.contains(asks) => rest,
        rest => rest,
    };
    let of_skull = |tag: &&str| is_tag(tag);
    match (*asks, rest) {
        ("what" | "whats", ["in", place]) => line(&["floor", known.place_named(place)?]),
        ("what" | "whats", ["due" | "next"]) => line(&["due"]),
        ("what" | "whats" | "anything", ["wrong"]) => line(&["clashes"]),
        ("what" | "whats", ["did", "we", "take", day @ ("today" | "yesterday")]) => {
            line(&["takings", day])
        }
        ("what" | "whats", ["did", "we", "take"]) => line(&["takings"]),
        ("when", [tag, "ready" | "done" | "finished"] | ["will", tag, "be", "ready"]) => {
            Some(tag).filter(|tag| of_skull(tag)).and_then(|tag| line(&["ready-by", tag]))
        }
        ("who", ["do", "i" | "we", "call"] | ["to", "call"] | ["needs", "a", "call"]) => {
            line(&["calls"])
        }
        ("slip" | "receipt" | "statement" | "letter", ["for" | "of", tag]) if is_tag(tag) => {
            line(&[asks, tag])
        }
        (tag, ["balance" | "owes"]) if is_tag(tag) => line(&["show", tag]),
        ("over", ["or", "short"]) => line(&["till"]),
        (asks, rest) => shown(asks, rest).filter(of_skull).and_then(|tag| line(&["show", tag])),
    }
}

/// The skull that a question is about whose answer stands on its page.
fn shown<'a>(asks: &str, rest: &[&'a str]) -> Option<&'a str> {
    match (asks, rest) {
        ("what" | "whats", ["does" | "do", tag, "owe"] | ["owed", "on" | "for", tag])
        | ("how", ["much", "is" | "for" | "on", tag] | ["much", "does", tag, "owe"])
        | ("where" | "wheres" | "who" | "whose" | "whos" | "price", [tag])
        | ("price", ["of" | "for" | "on", tag]) => Some(tag),
        _ => None,
    }
}

/// Words that ask.
const ASKS: &[&str] = &["what", "whats", "where", "wheres", "when", "who", "whose", "whos"];

/// As it is compared: small, without marks; `what's` is `whats`.
fn small(word: &str) -> String {
    let word = word.trim_matches([',', '?', '.', ':']).to_lowercase();
    word.replace(['\'', '\u{2019}'], "")
}

fn is_tag(word: &str) -> bool {
    word.len() >= 2 && word.bytes().all(|byte| byte.is_ascii_digit())
}
