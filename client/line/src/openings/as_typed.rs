//! Tags as hands type them: `#424`, `tag 424`, `424,425`, `433 n 434`.

use super::plain;
use crate::closed;

/// Words before a tag that say no more than that it is one.
const NAMES_A_TAG: &[&str] = &["tag", "head", "skull", "deer"];

/// Words that stand between what was done and its tags.
const BETWEEN: &[&str] = &[
    "n", "and", "in", "on", "to", "from", "into", "out", "of", "at", "for", "the", "pot", "tub",
    "tank", "rack",
];

/// The words with each tag as a word of its own, and nothing around it.
pub(super) fn tags(words: &[String]) -> Vec<String> {
    let mut line: Vec<String> = Vec::with_capacity(words.len());
    for (at, word) in words.iter().enumerate() {
        // What stands behind the first plain word may be a text, and stays as it was typed.
        let plainly = word.chars().all(char::is_alphabetic);
        if at > 1 && plainly && !BETWEEN.contains(&plain(word).as_str()) {
            line.extend_from_slice(words.get(at..).unwrap_or_default());
            break;
        }
        let next = words.get(at.saturating_add(1)).map_or("", String::as_str);
        let tag_behind = is_tag(next.trim_start_matches('#').trim_end_matches([',', ':']));
        let named = at == 0 && NAMES_A_TAG.contains(&plain(word).as_str()) && tag_behind;
        // `tag 415 fell off` says what became of the tag.
        let fell = words
            .get(2)
            .is_some_and(|word| ["fell", "is", "came", "lost"].contains(&plain(word).as_str()));
        if named && words.len() > 2 && !fell {
            continue;
        }
        // `i washed 424`: who says it is the bench's own hand.
        let verb = closed::synonym(&plain(next)).is_some();
        if at == 0 && word.eq_ignore_ascii_case("i") && verb {
            continue;
        }
        let tag_before = line.last().is_some_and(|last| is_tag(last.trim_end_matches(',')));
        if word.eq_ignore_ascii_case("n") && tag_before && tag_behind {
            line.push("and".to_owned());
            continue;
        }
        let bare = word.strip_prefix('#').unwrap_or(word);
        // `425's teeth`.
        let bare = ["'s", "\u{2019}s"]
            .iter()
            .find_map(|own| bare.strip_suffix(own).filter(|tag| is_tag(tag)))
            .unwrap_or(bare);
        let parts: Vec<&str> = bare.split([',', '/']).filter(|part| !part.is_empty()).collect();
        if parts.len() > 1 && parts.iter().all(|part| is_tag(part)) {
            line.extend(parts.iter().map(|&part| part.to_owned()));
        } else if is_tag(bare.trim_end_matches([',', ':'])) {
            line.push(bare.to_owned());
        } else {
            line.push(word.clone());
        }
    }
    line
}

fn is_tag(word: &str) -> bool {
    (3..=4).contains(&word.len()) && word.bytes().all(|byte| byte.is_ascii_digit())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::split;

    #[test]
    fn a_tag_is_a_word_of_its_own() {
        for (typed, read) in [
            ("#424 clean", "424 clean"),
            ("tag 424 clean", "424 clean"),
            ("424,425 clean", "424 425 clean"),
            ("wash 433 n 434", "wash 433 and 434"),
            ("weigh 424 1,240 g", "weigh 424 1,240 g"),
            ("no, 424 not 425", "no, 424 not 425"),
            ("note 424 like #425", "note 424 like #425"),
        ] {
            assert_eq!(tags(&split(typed).unwrap()).join(" "), read, "{typed}");
        }
    }
}
