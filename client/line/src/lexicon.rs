//! What a line is read by: the shop's own lists and its settings.

use burrline_domain::{Verb, species::SpeciesList, ways::WayList};
use burrline_terms::{Day, EntryName, words::CellKind};

/// What is there of one place.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PlaceHere {
    /// Its name.
    pub place: String,
    /// The tags of the skulls in it, as they are shown.
    pub tags: Vec<String>,
}

/// The mark between whole numbers and parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DecimalMark {
    /// 12.95
    Point,
    /// 12,95
    Comma,
}

/// The lists and settings that words are held against.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Lexicon {
    /// Whether the lists are those of a shop. Without one, a place is whatever is typed for it.
    pub known: bool,
    /// Whether they are as new as can be had. What is in a place is known by fresh ones alone.
    pub fresh: bool,
    /// The shop's places, with the skulls in them.
    pub places: Vec<PlaceHere>,
    /// The shop's hands.
    pub hands: Vec<String>,
    /// The shop's recipes.
    pub recipes: Vec<String>,
    /// The animals that the shop cleans.
    pub species: SpeciesList,
    /// The steps and ways by which it cleans them.
    pub ways: WayList,
    /// The way of a head of which none is said.
    pub default_way: Option<String>,
    /// The shop's own tables, for whoever checks a script.
    pub tables: Vec<TableHere>,
    /// The decimal mark, if the shop has settled it.
    pub decimal_mark: Option<DecimalMark>,
    /// Whether a bare temperature is in degrees Fahrenheit; none if the shop has not said so.
    pub fahrenheit: Option<bool>,
    /// Whether two figures may be a tag: where the hand types at the prompt, which makes them whole.
    pub short_tags: bool,
    /// Today by the shop's calendar, if the clock is at hand.
    pub today: Option<Day>,
    /// What was said last at this bench, which `that was card not cash` puts right; with fresh lists alone.
    pub last: Option<LastLine>,
}

/// A table of the shop's own.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TableHere {
    /// Its name.
    pub name: String,
    /// What its values are.
    pub of: Option<CellKind>,
    /// Its rows, each with its value as typed.
    pub rows: Vec<(String, String)>,
}

/// A line that was said.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LastLine {
    /// Its name.
    pub entry: EntryName,
    /// What it says.
    pub verb: Verb,
}

impl Lexicon {
    /// The place of this name; capitals and hyphens do not count. `freezer` is enough where there is
    /// one.
    pub fn place(&self, word: &str) -> Option<&PlaceHere> {
        let typed = folded(word);
        let whole = self.places.iter().find(|here| folded(&here.place) == typed);
        let kind = word.to_lowercase();
        let numbered = |here: &&PlaceHere| {
            let number = here.place.strip_prefix(kind.as_str()).and_then(|n| n.strip_prefix('-'));
            number.is_some_and(|number| number.bytes().all(|byte| byte.is_ascii_digit()))
        };
        let mut of_kind = self.places.iter().filter(numbered);
        let only = of_kind.next().filter(|_| of_kind.next().is_none());
        whole.or(only)
    }

    /// The hand of this name; capitals do not count.
    pub fn hand(&self, word: &str) -> Option<&str> {
        self.hands.iter().map(String::as_str).find(|hand| hand.eq_ignore_ascii_case(word))
    }

    /// The recipe of this name.
    pub fn recipe(&self, word: &str) -> Option<&str> {
        let typed = folded(word);
        self.recipes.iter().map(String::as_str).find(|recipe| folded(recipe) == typed)
    }
}

/// Capitals and hyphens do not count: a hand types `POT1` for `pot-1`.
pub fn folded(word: &str) -> String {
    word.chars().filter(|c| *c != '-').flat_map(char::to_lowercase).collect()
}
