//! Words that already mean something at the counter, so that they are no part of a name by themselves.

use burrline_domain::verb::{self, VERBS};
use burrline_terms::{
    Kind,
    words::{Arrival, Means, Reached, TestResult},
};

use super::{closed, details, lexicon::Lexicon, text};
use crate::calendar;

/// Everyday words that stand beside a name on a ticket and are none.
const EVERYDAY: &[&str] = &[
    "a",
    "about",
    "after",
    "again",
    "all",
    "ok",
    "okay",
    "fine",
    "good",
    "complete",
    "done",
    "insured",
    "and",
    "antler",
    "antlers",
    "asap",
    "back",
    "bag",
    "bags",
    "before",
    "big",
    "both",
    "bounced",
    "box",
    "boss",
    "bring",
    "bringing",
    "brings",
    "brother",
    "buddy",
    "call",
    "called",
    "calls",
    "came",
    "client",
    "come",
    "comes",
    "coming",
    "county",
    "customer",
    "dad",
    "daughter",
    "deposit",
    "due",
    "eight",
    "extra",
    "father",
    "five",
    "four",
    "friend",
    "from",
    "hand",
    "has",
    "head",
    "heads",
    "her",
    "here",
    "hide",
    "his",
    "horn",
    "horns",
    "hunter",
    "hunting",
    "husband",
    "in",
    "is",
    "just",
    "late",
    "later",
    "left",
    "looking",
    "lost",
    "mom",
    "mother",
    "my",
    "neighbor",
    "neighbour",
    "new",
    "nine",
    "of",
    "old",
    "on",
    "one",
    "only",
    "our",
    "owes",
    "own",
    "paid",
    "pays",
    "permit",
    "pick",
    "picks",
    "pickup",
    "please",
    "promised",
    "ready",
    "refund",
    "regular",
    "rush",
    "same",
    "seal",
    "seven",
    "six",
    "skull",
    "skulls",
    "small",
    "some",
    "son",
    "stand",
    "state",
    "tag",
    "tags",
    "ten",
    "that",
    "the",
    "their",
    "then",
    "this",
    "three",
    "tip",
    "two",
    "until",
    "up",
    "urgent",
    "waiting",
    "waits",
    "walk-in",
    "wants",
    "wife",
    "with",
    "works",
    "yes",
];

/// Words that people are called by too.
const CALLED: &[&str] = &["art", "mark", "may", "rich", "will"];

/// Words for the sex of an animal.
const SEXED: &[&str] =
    &["buck", "doe", "bull", "cow", "boar", "sow", "ram", "ewe", "stag", "hind", "nanny", "billy"];

/// What is known of a word that could be of a name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Familiar {
    /// Nothing: it can be any name.
    No,
    /// It is a word of the trade or the shop that people are called by too: an animal, a hand, a
    /// month.
    Name,
    /// It says something of its own.
    Word,
}

/// What is known of a word, whatever its capitals.
pub(super) fn familiar(word: &str, lexicon: &Lexicon) -> Familiar {
    let small = word.trim_end_matches(['.', ',', ';', ':']).to_lowercase();
    let plain = small.as_str();
    let called = lexicon.hand(plain).is_some()
        || calendar::month(plain).is_some()
        || lexicon.species.words().any(|other| other.eq_ignore_ascii_case(plain))
        || SEXED.contains(&plain)
        || CALLED.contains(&plain)
        || closed::is_usual(plain);
    if called {
        return Familiar::Name;
    }
    let listed = [Means::WORDS, Reached::WORDS, TestResult::WORDS, Arrival::WORDS].concat();
    let said = EVERYDAY.contains(&plain)
        || text::is_turning(plain)
        || text::is_negative(plain)
        || calendar::weekday(plain).is_some()
        || details::of_word(&[plain]).is_some()
        || closed::word_of(&listed, &[plain]).is_some()
        || verb::spec(plain).is_some()
        || closed::synonym(plain).is_some()
        || is_field(plain);
    if said { Familiar::Word } else { Familiar::No }
}

/// Whether a field of any verb is called so.
fn is_field(word: &str) -> bool {
    let mut fields = VERBS.iter().flat_map(|spec| spec.fields);
    fields.any(|field| field.kind() != Kind::Skull && field.typed_name() == word)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_says_something_is_told_from_what_is_a_name() {
        let lexicon = Lexicon { hands: vec!["tom".to_owned()], ..Lexicon::default() };
        for (word, known) in [
            ("Fenn", Familiar::No),
            ("Rocky", Familiar::No),
            ("Tom", Familiar::Name),
            ("June", Familiar::Name),
            ("Buck", Familiar::Name),
            ("Young", Familiar::Name),
            ("Cash", Familiar::Word),
            ("friday", Familiar::Word),
            ("not", Familiar::Word),
            ("heads", Familiar::Word),
            ("phone", Familiar::Word),
            ("wash", Familiar::Word),
            ("words", Familiar::Word),
        ] {
            assert_eq!(familiar(word, &lexicon), known, "{word}");
        }
    }
}
