//! The texts that a shop sends to its customers, with what the log knows filled in.
//!
//! A template is a setting, so its words are on the log, in clear: names and numbers of customers are
//! filled in where the text is shown, and are recorded nowhere.

use burrline_terms::field::{BadWord, Typed};

/// What can be filled in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Blank {
    /// The customer's name.
    Name,
    /// What the shop calls itself.
    Shop,
    /// The shop's telephone number.
    Phone,
    /// The heads, such as `2 heads (0417, 0418)`.
    Heads,
    /// What is to be paid for them.
    Owed,
    /// The day that matters: promised, or from which storage costs.
    Day,
}

impl Blank {
    /// Every one.
    pub const ALL: [Self; 6] =
        [Self::Name, Self::Shop, Self::Phone, Self::Heads, Self::Owed, Self::Day];

    /// How it is written.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Name => "{name}",
            Self::Shop => "{shop}",
            Self::Phone => "{phone}",
            Self::Heads => "{heads}",
            Self::Owed => "{owed}",
            Self::Day => "{day}",
        }
    }
}

/// A text with blanks. What stands in square brackets is left out where a blank in it is not known.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Template(String);

impl Template {
    /// The text, filled in. A blank outside of brackets of which nothing is known leaves nothing.
    pub fn filled(&self, known: impl Fn(Blank) -> Option<String>) -> String {
        let mut text = String::new();
        let mut rest = self.0.as_str();
        while let Some((before, inner)) = rest.split_once('[') {
            let (inner, after) = inner.split_once(']').unwrap_or((inner, ""));
            text.push_str(&fill(before, &known).0);
            let (words, whole) = fill(inner, &known);
            if whole {
                text.push_str(&words);
            }
            rest = after;
        }
        text.push_str(&fill(rest, &known).0);
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    }
}

/// Words with their blanks filled in, and whether all of them were known.
fn fill(words: &str, known: impl Fn(Blank) -> Option<String>) -> (String, bool) {
    let mut whole = true;
    let mut text = String::new();
    let mut rest = words;
    // What is filled in is not looked at again: a name may have braces in it.
    while let Some((before, inner)) = rest.split_once('{') {
        text.push_str(before);
        let (word, after) = inner.split_once('}').unwrap_or((inner, ""));
        let blank = Blank::ALL.into_iter().find(|blank| blank.word() == format!("{{{word}}}"));
        match blank.and_then(&known) {
            Some(value) => text.push_str(&value),
            None => whole = false,
        }
        rest = after;
    }
    text.push_str(rest);
    (text, whole)
}

impl Typed for Template {
    const HINT: &'static str = "TEXT";

    fn read(word: &str) -> Result<Self, BadWord> {
        let all = Blank::ALL.map(Blank::word).join(", ");
        let wrong = || {
            BadWord::new(
                word.trim(),
                format!(
                    "a text in which blanks are {all}, and what is left out where one is not known \
                     stands in [ ]"
                ),
            )
        };
        let mut bare = word.to_owned();
        for blank in Blank::ALL {
            bare = bare.replace(blank.word(), "");
        }
        let mut open = false;
        for c in bare.chars() {
            match c {
                '[' if !open => open = true,
                ']' if open => open = false,
                '{' | '}' | '[' | ']' => return Err(wrong()),
                _ => {}
            }
        }
        let text = word.trim();
        if open || text.is_empty() || text.len() > 480 {
            return Err(wrong());
        }
        Ok(Self(text.to_owned()))
    }

    fn show(&self) -> String {
        self.0.clone()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_known_is_left_out_with_its_brackets() {
        let text = "{name}, {heads} ready[: {owed} to pay]. {shop}[, {phone}]";
        let template = Template::read(text).unwrap();
        assert_eq!(template.show(), text);
        let filled = template.filled(|blank| match blank {
            Blank::Name => Some("Ada {owed} Fenn".to_owned()),
            Blank::Heads => Some("2 heads".to_owned()),
            Blank::Shop => Some("Shed".to_owned()),
            Blank::Phone => Some("555-0100".to_owned()),
            Blank::Owed | Blank::Day => None,
        });
        assert_eq!(filled, "Ada {owed} Fenn, 2 heads ready. Shed, 555-0100");
    }

    #[test]
    fn a_blank_that_nobody_knows_is_told_apart() {
        for text in ["", "{nme} is ready", "ready [", "ready ]", "[a [b]]", "a } b"] {
            assert!(Template::read(text).is_err(), "{text}");
        }
    }
}
