//! Answers in plain words that are no value: `none`, `forgot it`, `yes`, `?`. None of them becomes a number of a
//! paper, a name or an address.

use super::{SAME, Step};

/// Words that say that there is none, or that it comes later.
const LATER: &[&str] = &[
    "?", "dunno", "forgot", "idk", "later", "n", "n/a", "na", "no", "none", "nope", "nothing",
    "not yet", "pending", "unknown", "x", "-",
];

/// Beginnings of the same.
const LATER_BEGINS: &[&str] = &[
    "forgot ",
    "dont ",
    "don't ",
    "not ",
    "doesnt ",
    "doesn't ",
    "will ",
    "later ",
    "he forgot",
    "no idea",
];

/// Words that agree, and name nothing.
const AGREES: &[&str] =
    &["y", "yes", "yep", "ok", "okay", "sure", "same", "fine", "has it", "got it"];

/// Words of a head at which nothing is broken.
const WHOLE: &[&str] = &[
    "none",
    "no",
    "ok",
    "okay",
    "nothing",
    "fine",
    "good",
    "whole",
    "sound",
    "all good",
    "looks good",
];

/// Words for the usual wishes.
const USUAL: &[&str] =
    &["none", "no", "n", "nope", "normal", "usual", "as usual", "standard", "regular", "nothing"];

fn is_later(words: &str) -> bool {
    LATER.contains(&words) || LATER_BEGINS.iter().any(|begin| words.starts_with(begin))
}

/// What a plain answer is at a question; none if it may be a value.
#[allow(clippy::wildcard_enum_match_arm, reason = "any other question takes its own words")]
pub(super) fn answered(step: Step, words: &str, found: usize) -> Option<Result<String, String>> {
    let small = words.trim().trim_end_matches(['.', '!']).to_lowercase();
    let small = small.as_str();
    if small.is_empty() {
        return None;
    }
    let nothing = Some(Ok(String::new()));
    let say = |words: &str| Some(Err(format!("{words}, or press Enter for later")));
    match step {
        Step::KillTag(_) | Step::Licence => {
            let what = if step == Step::Licence {
                "the number of the licence"
            } else {
                "the number of the tag"
            };
            if is_later(small) {
                return nothing;
            }
            // A number has a figure, and is said alone.
            let figure = small.bytes().any(|byte| byte.is_ascii_digit());
            let alone = small.split_whitespace().count() <= 2 && !small.contains([',', '?']);
            let denied = small.starts_with("no ") || small.starts_with("no,");
            if figure && alone && !denied { None } else { say(&format!("say {what} alone")) }
        }
        Step::Phone | Step::Name | Step::Address | Step::HunterAddress | Step::County(_) => {
            if is_later(small) {
                nothing
            } else if AGREES.contains(&small) {
                say("say it in words")
            } else {
                None
            }
        }
        Step::Other(_) if is_later(small) || AGREES.contains(&small) => nothing,
        Step::Other(_) => {
            let who = small.split_whitespace().nth(1);
            let kin = matches!(who, Some("his" | "her" | "their" | "the" | "my"));
            kin.then(|| {
                Err("say the name alone behind what they are, such as: payer June Tarn".to_owned())
            })
        }
        Step::Condition(_) if WHOLE.contains(&small) => Some(Ok("nothing seen broken".to_owned())),
        Step::Wishes(_) if USUAL.contains(&small) => nothing,
        Step::Which if found == 1 && AGREES.contains(&small) && small != SAME => {
            Some(Ok("1".to_owned()))
        }
        Step::Which if matches!(small, "no" | "n" | "none") => Some(Ok("new".to_owned())),
        _ => None,
    }
}

/// Who stands at the counter: the name and the phone, without the words around them.
pub(super) fn who(words: &str) -> Result<String, String> {
    if words == SAME {
        return Ok(words.to_owned());
    }
    let lead = ["its", "it's", "it", "is", "this", "name", "name's", "customer", "for"];
    let around = ["cell", "mobile", "phone", "ph", "tel", "home", "work", "number", "no."];
    let bare = |word: &str| word.trim_end_matches([',', ':', '.']).to_lowercase();
    let mut all: Vec<&str> = words.split_whitespace().collect();
    while all.len() > 1 && all.first().is_some_and(|word| lead.contains(&bare(word).as_str())) {
        all.remove(0);
    }
    let figure = |word: &str| word.bytes().any(|byte| byte.is_ascii_digit());
    let numbered = all.iter().any(|word| figure(word));
    if numbered {
        all.retain(|word| !around.contains(&bare(word).as_str()));
    }
    // Behind its number the name of a street begins an address.
    let first = all.iter().position(|word| figure(word)).unwrap_or(all.len());
    let street = all.get(first..).unwrap_or_default().windows(2).any(|two| {
        matches!(two, [number, street] if figure(number)
            && !figure(street)
            && street.chars().filter(|c| c.is_alphabetic()).count() > 1
            && !street.contains('@'))
    });
    if first > 0 && street {
        return Err("say the name and the phone here; the address is asked next".to_owned());
    }
    Ok(all.join(" "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plain_answer_is_no_number_of_a_paper() {
        for words in ["forgot it", "?", "none", "no", "not yet", "later", "don't know"] {
            for step in [Step::KillTag(0), Step::Licence] {
                assert_eq!(answered(step, words, 0), Some(Ok(String::new())), "{words}");
            }
        }
        for words in ["no, kill tag is 88-2", "yes", "L 5566 i think", "same as on file"] {
            assert!(matches!(answered(Step::KillTag(0), words, 0), Some(Err(_))), "{words}");
        }
        for words in ["88-1209", "K-5521", "L 5566"] {
            assert_eq!(answered(Step::KillTag(0), words, 0), None, "{words}");
        }
    }

    #[test]
    fn a_plain_answer_is_no_address_and_no_person() {
        assert!(matches!(answered(Step::Address, "yes", 0), Some(Err(_))));
        assert_eq!(answered(Step::Address, "none", 0), Some(Ok(String::new())));
        assert_eq!(answered(Step::Address, "12 Elm Street", 0), None);
        assert_eq!(answered(Step::Other(0), "nope", 0), Some(Ok(String::new())));
        assert!(matches!(answered(Step::Other(0), "payer his wife June", 0), Some(Err(_))));
        assert_eq!(answered(Step::Other(0), "payer June Tarn", 0), None);
        assert_eq!(answered(Step::Which, "yes", 1), Some(Ok("1".to_owned())));
        assert_eq!(answered(Step::Which, "yes", 2), None);
    }

    #[test]
    fn a_customer_is_named_without_the_words_around_it() {
        for (typed, who_is) in [
            ("its Carla Munn 555-0166", "Carla Munn 555-0166"),
            ("Bo Lindgren cell 970-555-0170", "Bo Lindgren 970-555-0170"),
            ("Ada Fenn", "Ada Fenn"),
            ("555-0142", "555-0142"),
            ("555-0142 Ada Fenn", "555-0142 Ada Fenn"),
        ] {
            assert_eq!(who(typed).as_deref(), Ok(who_is), "{typed}");
        }
        assert!(who("its Carla Munn, 555.0166, 12 Elm st").is_err());
    }
}
