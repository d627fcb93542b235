//! Which fields a word could be for, by the kind of value that the field takes.

use burrline_domain::{
    Amount, Day, Length, Mass, Money, Span, Strength, Stuff, Temperature, Typed, Volume,
    parts::{PlanStep, PriceLine},
    verb::{FieldSpec, VerbSpec},
    with_word_lists,
    words::{
        Arrival, Bearers, Capacity, Firmness, Flame, Group, Headgear, Material, Means, Method,
        Obtained, PartState, Piece, PlaceKind, Reached, Role, ScriptKind, Sex, TestResult, Tissue,
        WaterLook, Whose, Wish, WriteOffAs, YesNo,
    },
};
use rust_decimal::Decimal;

/// Whether a field with this hint would read the word, where that says something about the word:
/// any word can be a name or a phrase, so those never do.
pub fn reads(hint: &str, word: &str) -> bool {
    macro_rules! any_of {
        ($($ty:ty),+ $(,)?) => {
            false $(|| (hint == <$ty as Typed>::HINT && <$ty>::read(word).is_ok()))+
        };
    }
    any_of!(
        Amount,
        Day,
        Decimal,
        Length,
        Mass,
        Money,
        PlanStep,
        PriceLine,
        Span,
        Strength,
        Stuff,
        Temperature,
        Volume,
        u32
    ) || any_of!(
        Arrival, Bearers, Capacity, Firmness, Flame, Group, Headgear, Material, Means, Method,
        Obtained, PartState, PlaceKind, Reached, Role, ScriptKind, Sex, TestResult, Tissue,
        WaterLook, Whose, Wish, WriteOffAs, YesNo,
    )
}

/// The words that a field takes, if it takes one of a closed list.
pub fn list(spec: &VerbSpec, field: &FieldSpec) -> Vec<&'static str> {
    // Two lists share a hint with another one; the verb tells them apart.
    match (spec.word, field.hint) {
        ("install-script", "KIND") => return words_of(ScriptKind::ALL, ScriptKind::word),
        ("condition", "STATE") => return words_of(PartState::ALL, PartState::word),
        _ => {}
    }
    macro_rules! first {
        ($ty:ident) => {
            if field.hint == <$ty as Typed>::HINT {
                return words_of(<$ty>::ALL, <$ty>::word);
            }
        };
    }
    with_word_lists!(first);
    Vec::new()
}

fn words_of<T: Copy>(all: &[T], word: impl Fn(T) -> &'static str) -> Vec<&'static str> {
    all.iter().map(|one| word(*one)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_goes_by_the_kind_of_its_value() {
        assert!(reads("TISSUE", "slipping") && !reads("TISSUE", "boil"));
        assert!(reads("MASS", "1420g") && !reads("MASS", "1420"));
        assert!(reads("DAY", "2026-12-18"));
        assert!(!reads("NAME", "anything") && !reads("WORDS", "anything"));
    }
}
