//! How a value is typed at a bench and shown back: one trait a value, one trait a field.

use std::fmt;

use thiserror::Error;

/// The most characters of what came that an error says back.
pub const MOST_ECHOED: usize = 80;

/// What came, as an error may say it back: short, and with what a terminal would obey or turn around shown
/// as what it is.
pub fn echo(came: &str) -> String {
    let mut out = String::new();
    for (at, c) in came.chars().enumerate() {
        if at == MOST_ECHOED {
            out.push('\u{2026}');
            break;
        }
        if is_unseen(c) { out.extend(c.escape_unicode()) } else { out.push(c) }
    }
    out
}

/// Whether a character is not seen for what it is: a control character, or one that turns the direction of
/// what follows, joins nothing, or takes no room.
///
/// Source: Unicode Standard 16.0, `Bidi_Control` and `Default_Ignorable_Code_Point` (from memory).
pub fn is_unseen(c: char) -> bool {
    c.is_control()
        || matches!(
            c,
            '\u{ad}' | '\u{61c}' | '\u{180e}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}'
                | '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}'
                | '\u{e0000}'..='\u{e007f}'
        )
}

/// A word that cannot be read as what its place wants.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub struct BadWord {
    /// The field or value that was being read.
    pub what: String,
    /// What was typed.
    pub word: String,
    /// What would be right, as a person would say it.
    pub wanted: String,
}

impl fmt::Display for BadWord {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { what, word, wanted } = self;
        let (what, word) = (echo(what), echo(word));
        match (what.is_empty(), word.is_empty()) {
            (false, false) => write!(f, "{what}: \u{201c}{word}\u{201d} is not {wanted}"),
            (true, false) => write!(f, "\u{201c}{word}\u{201d} is not {wanted}"),
            (false, true) => write!(f, "{what} is not {wanted}"),
            (true, true) => write!(f, "that is not {wanted}"),
        }
    }
}

impl BadWord {
    /// Says that `word` is not `wanted`, for a value whose field is not known yet.
    pub fn new(word: impl Into<String>, wanted: impl Into<String>) -> Self {
        Self { what: String::new(), word: word.into(), wanted: wanted.into() }
    }

    fn at(mut self, field: &str) -> Self {
        self.what = field.replace('_', "-");
        self
    }
}

/// What kind of value a field takes. A line is read by these kinds, never by what help prints.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A skull, by its tag, its job number or both, and the piece of it.
    Skull,
    /// The number on a locking tag.
    Tag,
    /// The name of an entry.
    Entry,
    /// The name of a place of the shop.
    Place,
    /// The name of a hand of the shop.
    Hand,
    /// An animal of the shop's list.
    Species,
    /// The name of a recipe of the shop.
    Recipe,
    /// A way of the shop, by which heads are cleaned.
    Way,
    /// The name of a setting.
    Setting,
    /// A name that no list closes, such as a county. No word falls into it by itself.
    Open,
    /// Free text.
    Text,
    /// A word of this closed list.
    Listed(&'static [&'static str]),
    /// A whole number.
    Count,
    /// A bare number.
    Number,
    /// Money.
    Money,
    /// A volume with its unit.
    Volume,
    /// A mass with its unit.
    Mass,
    /// A length with its unit.
    Length,
    /// A span of time with its unit.
    Span,
    /// The strength of a solution.
    Strength,
    /// A temperature with its scale.
    Temperature,
    /// An amount of anything.
    Amount,
    /// What goes into a water or into stock, with how much.
    Stuff,
    /// A day of the calendar.
    Day,
    /// A moment.
    Moment,
    /// 64 hexadecimal digits.
    Digest,
    /// A line of a price.
    PriceLine,
    /// How many coins or notes of one value.
    Coins,
    /// A step of a plan.
    PlanStep,
    /// Details of a person, which are never typed as they are recorded.
    Sealed,
    /// A whole line.
    Line,
    /// Said or not said.
    Switch,
    /// A value that no line of the bench takes.
    Other,
}

/// A value with a typed form.
pub trait Typed: Sized {
    /// What help prints in the place of the value, such as `VOLUME`.
    const HINT: &'static str;
    /// What kind of value it is.
    const KIND: Kind = Kind::Other;
    /// Reads the typed form.
    ///
    /// # Errors
    /// [`BadWord`] says what would be right.
    fn read(word: &str) -> Result<Self, BadWord>;
    /// The typed form again; reading it gives an equal value.
    fn show(&self) -> String;
}

/// The words of a text, with a number and the letters after it apart: `30days` is `30 days`.
pub fn words_apart(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let end = word.find(|c: char| !c.is_ascii_digit()).filter(|end| *end > 0);
        let letters = end.filter(|_| word.ends_with(|c: char| c.is_alphabetic()));
        match letters.and_then(|end| word.split_at_checked(end)) {
            Some((number, unit)) if unit.chars().all(char::is_alphabetic) => {
                words.extend([number.to_owned(), unit.to_owned()]);
            }
            Some(_) | None => words.push(word.to_owned()),
        }
    }
    words
}

/// How often a field's value is given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Arity {
    /// Exactly once.
    One,
    /// Once or not at all; not at all means not said.
    Maybe,
    /// Any number of times.
    Many,
    /// Named or not.
    Switch,
}

/// A field of a verb: a value and how often it is given.
pub trait Field: Sized {
    /// How often it is given.
    const ARITY: Arity;
    /// What help prints in the place of the value.
    const HINT: &'static str;
    /// What kind of value it takes.
    const KIND: Kind;
    /// Reads the field from the words given for it.
    ///
    /// # Errors
    /// [`BadWord`] when a word is wrong, is missing or is one too many.
    fn from_words(field: &str, words: &[String]) -> Result<Self, BadWord>;
    /// The words that would be read as this value.
    fn to_words(&self) -> Vec<String>;
}

impl<T: Typed> Field for Option<T> {
    const ARITY: Arity = Arity::Maybe;
    const HINT: &'static str = T::HINT;
    const KIND: Kind = T::KIND;

    fn from_words(field: &str, words: &[String]) -> Result<Self, BadWord> {
        match words {
            [] => Ok(None),
            [word] => T::read(word).map(Some).map_err(|bad| bad.at(field)),
            [_, second, ..] => Err(BadWord::new(second, "wanted: it takes one value").at(field)),
        }
    }

    fn to_words(&self) -> Vec<String> {
        self.iter().map(Typed::show).collect()
    }
}

impl<T: Typed> Field for Vec<T> {
    const ARITY: Arity = Arity::Many;
    const HINT: &'static str = T::HINT;
    const KIND: Kind = T::KIND;

    fn from_words(field: &str, words: &[String]) -> Result<Self, BadWord> {
        words.iter().map(|word| T::read(word).map_err(|bad| bad.at(field))).collect()
    }

    fn to_words(&self) -> Vec<String> {
        self.iter().map(Typed::show).collect()
    }
}

impl Field for bool {
    const ARITY: Arity = Arity::Switch;
    const HINT: &'static str = "";
    const KIND: Kind = Kind::Switch;

    fn from_words(field: &str, words: &[String]) -> Result<Self, BadWord> {
        match words.first().map(String::as_str) {
            None | Some("no" | "false") => Ok(false),
            Some("yes" | "true" | "") => Ok(true),
            Some(other) => Err(BadWord::new(other, "yes or no").at(field)),
        }
    }

    fn to_words(&self) -> Vec<String> {
        if *self { vec!["yes".into()] } else { Vec::new() }
    }
}

/// Reads a field that is given exactly once; shared by every plain value.
///
/// # Errors
/// [`BadWord`] when it is missing, wrong, or given twice.
pub fn one<T: Typed>(field: &str, words: &[String]) -> Result<T, BadWord> {
    match words {
        [word] => T::read(word).map_err(|bad| bad.at(field)),
        [] => Err(BadWord::new("", format!("said: it takes {}", T::HINT)).at(field)),
        [_, second, ..] => Err(BadWord::new(second, "wanted: it takes one value").at(field)),
    }
}

/// Makes plain values usable as fields that are given exactly once.
macro_rules! plain_fields {
    ($($ty:ty),* $(,)?) => {$(
        impl $crate::field::Field for $ty {
            const ARITY: $crate::field::Arity = $crate::field::Arity::One;
            const HINT: &'static str = <$ty as $crate::field::Typed>::HINT;
            const KIND: $crate::field::Kind = <$ty as $crate::field::Typed>::KIND;

            fn from_words(field: &str, words: &[String]) -> Result<Self, $crate::field::BadWord> {
                $crate::field::one(field, words)
            }

            fn to_words(&self) -> Vec<String> {
                vec![$crate::field::Typed::show(self)]
            }
        }
    )*};
}
pub(crate) use plain_fields;

impl Typed for u32 {
    const HINT: &'static str = "COUNT";
    const KIND: Kind = Kind::Count;

    fn read(word: &str) -> Result<Self, BadWord> {
        word.trim().parse().map_err(|_| BadWord::new(word, "a whole number, 0 or more"))
    }

    fn show(&self) -> String {
        self.to_string()
    }
}

plain_fields!(u32);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_error_says_back_eighty_characters_of_what_came_and_shows_what_is_not_seen() {
        let long =
            BadWord::new("\u{e9}".repeat(10_000), "short").at(&"x".repeat(10_000)).to_string();
        assert_eq!(long.chars().filter(|c| *c == '\u{e9}').count(), MOST_ECHOED);
        assert_eq!(long.chars().filter(|c| *c == 'x').count(), MOST_ECHOED);
        for hidden in ['\u{1b}', '\n', '\0', '\u{7f}', '\u{9b}', '\u{202e}', '\u{2066}', '\u{200b}']
        {
            let told = BadWord::new(format!("a{hidden}b"), "plain").to_string();
            assert!(!told.contains(hidden), "{told:?}");
            assert!(told.contains(&format!("a{}b", hidden.escape_unicode())), "{told:?}");
        }
    }
}
