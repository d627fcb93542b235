//! Names that a line brings into the shop: one that means something already is asked about, for every
//! line after it would be read by two meanings.

use burrline_domain::verb::FieldSpec;
use burrline_terms::{Typed as _, words::PlaceKind};

use super::Reader;
use crate::{
    Error, doubt,
    familiar::{Familiar, familiar},
    unclear::Unclear,
};

impl Reader<'_> {
    /// Whether a bare word can be the new name that a verb wants.
    pub(super) fn taken_name(
        &self,
        field: &'static FieldSpec,
        at: usize,
        word: &str,
    ) -> Option<Error> {
        let verb = self.spec.word;
        let hand = self.lexicon.hand(word);
        if let ("add-hand", Some(hand)) = (verb, hand) {
            return Some(Error::Unclear(Unclear::without_choice(format!(
                "{verb}: {hand} is a hand of the shop already"
            ))));
        }
        let place = self.lexicon.place(word).is_some();
        let known = match verb {
            "visit" => hand.is_some(),
            "add-hand" => familiar(word, self.lexicon) == Familiar::Word || place,
            "add-species" | "add-place" => {
                familiar(word, self.lexicon) == Familiar::Word || hand.is_some()
            }
            _ => false,
        };
        let as_typed = (
            format!("{} {word}, as typed", field.typed_name()),
            self.with_field(at, 1, field, word),
        );
        if let Some(doubt) = self.place_name(at, word, &as_typed) {
            return Some(doubt);
        }
        known.then(|| {
            doubt::unclear(
                format!("{verb}: \u{201c}{word}\u{201d} means something else here already"),
                [as_typed],
            )
        })
    }

    /// `add-place big pot`, `add-place pot-4 tub`.
    fn place_name(&self, at: usize, word: &str, as_typed: &(String, Vec<String>)) -> Option<Error> {
        let kind = self.sorted.given.get("kind").and_then(|kind| kind.first()).cloned();
        let kind = kind.or_else(|| {
            let words = self.words.iter().map(|word| word.to_lowercase());
            words.into_iter().find(|word| PlaceKind::read(word).is_ok())
        });
        let own = of_kind(word);
        if self.spec.word != "add-place" {
            return None;
        }
        match (own, kind) {
            (Some(own), Some(kind)) if own != kind => Some(doubt::unclear(
                format!("add-place: {word} is called as a {own}, and the line says {kind}"),
                [
                    (format!("{word} is a {own}"), self.of_place_kind(own)),
                    (format!("{word} is a {kind}"), as_typed.1.clone()),
                ],
            )),
            (None, Some(kind)) if word.chars().all(char::is_alphabetic) => {
                let name = format!("{}-{kind}", word.to_lowercase());
                Some(doubt::unclear(
                    format!("add-place: what is the {kind} called?"),
                    [doubt::as_line(self.replaced(at, 1, &[name])), as_typed.clone()],
                ))
            }
            (_, _) => None,
        }
    }

    /// The line with this kind of place in it.
    fn of_place_kind(&self, kind: &str) -> Vec<String> {
        let at = self.words.iter().position(|word| PlaceKind::read(&word.to_lowercase()).is_ok());
        at.map_or_else(Vec::new, |at| self.replaced(at, 1, &[kind.to_owned()]))
    }

    /// `add-place freezer-2`: the name says the kind.
    pub(super) fn kind_of_name(&mut self) {
        let unsaid = self.spec.word == "add-place" && !self.sorted.given.contains_key("kind");
        let name = self.sorted.given.get("name").and_then(|name| name.first());
        let kind = name.filter(|_| unsaid).and_then(|name| of_kind(name));
        if let Some(kind) = kind {
            self.put("kind", kind);
        }
    }
}

/// The kind of place that a name begins with: `pot-4`, `rack2`.
fn of_kind(name: &str) -> Option<&'static str> {
    let small = name.to_lowercase();
    let letters = small.trim_end_matches(|c: char| c.is_ascii_digit() || c == '-');
    let numbered = letters.len() < small.len();
    PlaceKind::WORDS.iter().copied().find(|kind| numbered && *kind == letters)
}
