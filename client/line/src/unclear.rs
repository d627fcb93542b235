//! A line that could be meant in more than one way, or has a word that has no place in it.

use std::fmt;

/// What a hand is asked about a line before anything of it is recorded.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unclear {
    /// What is not clear, in a sentence.
    pub about: String,
    /// What could be meant.
    pub choices: Vec<Choice>,
}

/// One way in which a line could be meant.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    /// What it means, in a few words.
    pub label: String,
    /// The whole line as it is clear, from the verb on.
    pub words: Vec<String>,
}

/// The keys of several choices. `n` records nothing everywhere, `a` does it anyway, `e` asks for each.
const KEYS: &[char] = &['b', 'c', 'd', 'f', 'g', 'h', 'j', 'k'];

/// The keys for so many choices, at most eight: `y` for the only one.
pub fn keys(choices: usize) -> &'static [char] {
    if choices == 1 { &['y'] } else { KEYS.get(..choices).unwrap_or(KEYS) }
}

impl Unclear {
    /// A line that nothing is suggested for.
    pub fn without_choice(about: impl Into<String>) -> Self {
        Self { about: about.into(), choices: Vec::new() }
    }

    /// The key of each choice.
    pub fn keys(&self) -> impl Iterator<Item = (char, &Choice)> {
        keys(self.choices.len()).iter().copied().zip(&self.choices)
    }

    /// The choice that a key takes.
    pub fn chosen(&self, key: char) -> Option<&Choice> {
        self.keys().find(|(known, _)| *known == key.to_ascii_lowercase()).map(|(_, choice)| choice)
    }
}

/// For whoever cannot be asked: what to type instead.
impl fmt::Display for Unclear {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.about)?;
        for choice in &self.choices {
            let line = line(&choice.words);
            if choice.label == line {
                write!(f, "\n  {line}")?;
            } else {
                write!(f, "\n  {}: {line}", choice.label)?;
            }
        }
        f.write_str("\nNothing was recorded.")
    }
}

/// Words as a line to type: those with blanks in quotes.
pub fn line(words: &[String]) -> String {
    let quoted = words.iter().map(|word| {
        let plain = !word.is_empty() && !word.contains(char::is_whitespace);
        if plain { word.clone() } else { format!("\"{word}\"") }
    });
    quoted.collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_choice_is_taken_with_y_and_several_by_a_letter_each() {
        let choice = |label: &str| Choice { label: label.into(), words: vec!["wash".into()] };
        let one = Unclear { about: "?".into(), choices: vec![choice("first")] };
        assert_eq!(one.chosen('Y').map(|choice| choice.label.as_str()), Some("first"));
        assert_eq!(one.chosen('b'), None);
        let two = Unclear { about: "?".into(), choices: vec![choice("first"), choice("second")] };
        assert_eq!(two.chosen('c').map(|choice| choice.label.as_str()), Some("second"));
        assert_eq!(two.chosen('y'), None);
        assert_eq!(two.chosen('n'), None, "n leaves it off");
    }
}
