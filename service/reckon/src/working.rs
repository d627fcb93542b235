//! An answer with its working: what a person with a calculator needs to follow it.

use rust_decimal::{Decimal, RoundingStrategy};
use thiserror::Error;

use super::quantity::Quantity;

/// An answer and all that led to it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Working {
    /// The answer as a sentence.
    pub answer: String,
    /// Every figure of the answer, by name and with its unit.
    pub figures: Vec<Figure>,
    /// The way to it, in order; each line can be keyed into a calculator.
    pub steps: Vec<Step>,
    /// What can hurt, or be misread.
    pub cautions: Vec<Caution>,
    /// Where formulae and figures come from.
    pub sources: Vec<Source>,
}

/// A named figure of an answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// Its name; the same question always names it alike.
    pub name: String,
    /// Its value.
    pub value: Value,
    /// Its unit; empty for a bare number or words.
    pub unit: String,
}

/// The value of a figure.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A physical figure, unrounded.
    Number(f64),
    /// An exact figure, such as money.
    Exact(Decimal),
    /// How many.
    Count(u64),
    /// Yes or no.
    Flag(bool),
    /// Words, such as a class or a day.
    Words(String),
}

/// One line of the working.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Step {
    /// What is reckoned.
    pub what: String,
    /// The formula with its numbers and the result, as in `20 L x 3 / 12 = 5 L`.
    pub sum: String,
}

/// What can hurt, or be misread.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Caution(pub String);

/// Where a formula or a figure comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    /// Its name, with the table or section.
    pub name: String,
    /// How it is known.
    pub known: Known,
}

/// How a source is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Known {
    /// The text was read.
    Read,
    /// From memory: hold it against the text before quoting it.
    Memory,
    /// Common practice; nobody published it.
    Practice,
}

impl std::fmt::Display for Source {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self.known {
            Known::Read => f.write_str(&self.name),
            Known::Memory => write!(f, "{} (from memory)", self.name),
            Known::Practice => write!(f, "{} (common practice, no source)", self.name),
        }
    }
}

/// A question that has no answer, and what to say instead.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{why}; {instead}")]
pub struct Absurd {
    /// What cannot be.
    pub why: String,
    /// What to say instead.
    pub instead: String,
}

impl Absurd {
    /// Says what cannot be, and what to say instead.
    pub fn new(why: impl Into<String>, instead: impl Into<String>) -> Self {
        Self { why: why.into(), instead: instead.into() }
    }
}

impl Working {
    /// An empty working, to be filled.
    pub fn new() -> Self {
        Self::default()
    }

    /// With the answer.
    #[must_use]
    pub fn answer(mut self, words: impl Into<String>) -> Self {
        self.answer = words.into();
        self
    }

    /// With a physical figure.
    #[must_use]
    pub fn figure<Q: Quantity>(self, name: &str, quantity: Q) -> Self {
        self.value(name, Value::Number(quantity.number()), Q::UNIT)
    }

    /// With a figure of any kind; the unit may be empty.
    #[must_use]
    pub fn value(mut self, name: &str, value: Value, unit: &str) -> Self {
        self.figures.push(Figure { name: name.to_owned(), value, unit: unit.to_owned() });
        self
    }

    /// With words as a figure, such as a class.
    #[must_use]
    pub fn words(self, name: &str, words: impl Into<String>) -> Self {
        self.value(name, Value::Words(words.into()), "")
    }

    /// With the next step.
    #[must_use]
    pub fn step(mut self, what: impl Into<String>, sum: impl Into<String>) -> Self {
        self.steps.push(Step { what: what.into(), sum: sum.into() });
        self
    }

    /// With a caution, once however often it is given.
    #[must_use]
    pub fn caution(mut self, words: impl Into<String>) -> Self {
        let caution = Caution(words.into());
        if !self.cautions.contains(&caution) {
            self.cautions.push(caution);
        }
        self
    }

    /// With a source, once however often it is given.
    #[must_use]
    pub fn source(mut self, name: impl Into<String>, known: Known) -> Self {
        let source = Source { name: name.into(), known };
        if !self.sources.contains(&source) {
            self.sources.push(source);
        }
        self
    }

    /// What was reckoned first, and then `other`, whose answer it is.
    #[must_use]
    pub fn followed_by(mut self, other: Self) -> Self {
        self.answer = other.answer;
        self.figures.extend(other.figures);
        self.steps.extend(other.steps);
        for Caution(words) in other.cautions {
            self = self.caution(words);
        }
        for source in other.sources {
            self = self.source(source.name, source.known);
        }
        self
    }

    /// A figure by its name.
    pub fn number(&self, name: &str) -> Option<f64> {
        self.figures.iter().find(|figure| figure.name == name).and_then(|figure| {
            match &figure.value {
                Value::Number(number) => Some(*number),
                Value::Exact(_) | Value::Count(_) | Value::Flag(_) | Value::Words(_) => None,
            }
        })
    }
}

/// A number to so many significant digits, without zeros that say nothing: as steps show it.
pub fn digits(number: f64, significant: usize) -> String {
    let mut decimals = significant.saturating_sub(1);
    let mut size = number.abs();
    while size >= 10.0 && size.is_finite() && decimals > 0 {
        size /= 10.0;
        decimals = decimals.saturating_sub(1);
    }
    while size > 0.0 && size < 1.0 && decimals < 15 {
        size *= 10.0;
        decimals = decimals.saturating_add(1);
    }
    let text = format!("{number:.decimals$}");
    if !text.contains('.') {
        return text;
    }
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// A number as a step shows it: six significant digits.
pub fn six(number: f64) -> String {
    digits(number, 6)
}

/// A sentence with at most three figures behind each point: a hand reads it, and the working beside it
/// keeps the rest. What is less than that and not nothing is "under 0.001".
pub fn short(sentence: &str) -> String {
    let mut out = String::with_capacity(sentence.len());
    let mut rest = sentence;
    let mut within = false;
    while let Some(first) = rest.chars().next() {
        let is_number = first.is_ascii_digit() && !within;
        let end = if is_number {
            rest.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(rest.len())
        } else {
            first.len_utf8()
        };
        let Some((word, after)) = rest.split_at_checked(end) else { break };
        let point = word.trim_end_matches('.');
        out.push_str(&if is_number { short_number(point) } else { word.to_owned() });
        if is_number {
            out.push_str(word.strip_prefix(point).unwrap_or_default());
        }
        // A digit behind a letter belongs to a name.
        within = first.is_alphanumeric() && !is_number;
        rest = after;
    }
    out
}

fn short_number(word: &str) -> String {
    const MOST: u32 = 3;
    let number = Decimal::from_str_exact(word).ok().filter(|number| number.scale() > MOST);
    let Some(number) = number else { return word.to_owned() };
    let rounded = number.round_dp_with_strategy(MOST, RoundingStrategy::MidpointAwayFromZero);
    if rounded.is_zero() && !number.is_zero() {
        return "under 0.001".to_owned();
    }
    rounded.normalize().to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_count_from_the_first_that_is_not_nought() {
        for (number, text) in [
            (5.0, "5"),
            (20.0, "20"),
            (1_234_567.0, "1234567"),
            (0.001_234_567, "0.00123457"),
            (99.974_3, "99.9743"),
            (-0.0, "0"),
            (-40.0, "-40"),
            (0.0, "0"),
            (999_999.9, "1000000"),
        ] {
            assert_eq!(six(number), text);
        }
    }

    #[test]
    fn an_absurdity_says_what_to_say_instead() {
        let absurd = Absurd::new("0 L is no bath", "say how much, such as `make 20L`");
        assert_eq!(absurd.to_string(), "0 L is no bath; say how much, such as `make 20L`");
    }

    #[test]
    fn a_sentence_has_three_figures_behind_each_point_at_most() {
        for (long, short_words) in [
            ("it weighs 1.1122 kg/L", "it weighs 1.112 kg/L"),
            ("87.777777777777 C", "87.778 C"),
            ("lost 0.0004 % in 24 h", "lost under 0.001 % in 24 h"),
            ("120.00 and 45.5", "120.00 and 45.5"),
            ("see C1.2345, 1.2.3 and 2026-11-29.", "see C1.2345, 1.2.3 and 2026-11-29."),
            ("0.0000 L.", "0 L."),
            ("\u{b0} 3.14159...", "\u{b0} 3.142..."),
            ("", ""),
        ] {
            assert_eq!(short(long), short_words, "{long}");
        }
    }
}
