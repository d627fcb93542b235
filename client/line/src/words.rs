//! Any unambiguous beginning of a word; an ambiguous one is asked about, never guessed.

/// What a word is the beginning of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Begins {
    /// One word, or it is that word.
    One(String),
    /// Several, in the order of the list.
    Many(Vec<String>),
    /// None.
    Nothing,
}

/// Which of the words a typed one is, or begins. The whole word is meant before any longer one.
pub fn begins<'a>(typed: &str, all: impl IntoIterator<Item = &'a str>) -> Begins {
    let typed = folded(typed);
    if typed.is_empty() {
        return Begins::Nothing;
    }
    let mut found: Vec<String> = Vec::new();
    for word in all {
        let known = folded(word);
        if known == typed {
            return Begins::One(word.to_owned());
        }
        if known.starts_with(&typed) && !found.iter().any(|other| other == word) {
            found.push(word.to_owned());
        }
    }
    match <[String; 1]>::try_from(found) {
        Ok([one]) => Begins::One(one),
        Err(none) if none.is_empty() => Begins::Nothing,
        Err(many) => Begins::Many(many),
    }
}

/// Capitals and hyphens do not count: a hand types `POT1` for `pot-1`.
pub fn folded(word: &str) -> String {
    word.chars().filter(|c| *c != '-').flat_map(char::to_lowercase).collect()
}

/// "look, load or lock-up".
pub fn or(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}

/// "pot-1, pot-2 and tub-1".
pub fn and(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// A word that could be several.
pub fn could_be(word: &str, many: &[String]) -> crate::Error {
    crate::Error::usage(format!("{word} could be {}; say more of it", or(many)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_whole_word_comes_before_a_longer_one_and_two_are_asked_about() {
        let all = ["in", "inspect", "out", "outbox", "wash", "weigh", "pot-1"];
        for (typed, word) in
            [("in", "in"), ("ins", "inspect"), ("OUT", "out"), ("wa", "wash"), ("pot1", "pot-1")]
        {
            assert_eq!(begins(typed, all), Begins::One(word.to_owned()), "{typed}");
        }
        let many = ["wash", "weigh"].map(str::to_owned).to_vec();
        assert_eq!(or(&many), "wash or weigh");
        assert_eq!(begins("w", all), Begins::Many(many));
        for typed in ["", "-", "x", "washing"] {
            assert_eq!(begins(typed, all), Begins::Nothing, "{typed}");
        }
    }
}
