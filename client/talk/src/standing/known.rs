//! What the prompt knows of the shop, to read short words by.

use burrline_bench::vocabulary::of_words;
use burrline_domain::{State, Verb};
use burrline_line::{
    Lexicon,
    words::{Begins, begins, folded},
};
use burrline_present::{named, view};
use burrline_proto::v1;

/// Places with what is in them, open jobs in no place, and hands; by the bench's own copy.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Known {
    /// What is where.
    pub floor: v1::FloorResponse,
    /// Who works here.
    pub hands: Vec<String>,
    /// The last filling of each place.
    pub make_ups: Vec<(String, Verb)>,
    /// The words that lines are read by.
    pub lexicon: Lexicon,
}

impl Known {
    /// What a present tells.
    pub fn of(state: &State) -> Self {
        let make_ups = state.waters().iter().filter_map(|(place, water)| {
            let fill = state.meaning(water.baths.last()?.id)?;
            matches!(fill, Verb::Fill(_)).then(|| (place.to_string(), fill.clone()))
        });
        Self {
            floor: view::floor(state, ""),
            hands: state.shop().hands.iter().map(ToString::to_string).collect(),
            make_ups: make_ups.collect(),
            lexicon: Lexicon { short_tags: true, ..of_words(&view::words(state)) },
        }
    }

    /// The names of the places.
    pub fn places(&self) -> impl Iterator<Item = &str> {
        self.floor.places.iter().map(|place| place.name.as_str())
    }

    /// The place that a word is, or begins.
    pub fn place(&self, word: &str) -> Begins {
        begins(word, self.places())
    }

    /// The place that a word is, capitals and hyphens apart.
    pub fn place_named(&self, word: &str) -> Option<&str> {
        let word = folded(word);
        self.places().find(|place| folded(place) == word)
    }

    /// What is in a place.
    pub fn here(&self, place: &str) -> &[v1::SkullLine] {
        let found = self.floor.places.iter().find(|line| line.name == place);
        found.map_or(&[], |line| line.here.as_slice())
    }

    /// Every open job's line: in a place or in none.
    pub fn open(&self) -> impl Iterator<Item = &v1::SkullLine> {
        let placed = self.floor.places.iter().flat_map(|place| &place.here);
        placed.chain(&self.floor.nowhere)
    }

    /// The open jobs' tags, whole, each once.
    pub fn tags(&self) -> Vec<String> {
        let mut tags: Vec<String> = self.open().map(|line| line.tag.clone()).collect();
        tags.retain(|tag| !tag.is_empty());
        tags.sort();
        tags.dedup();
        tags
    }
}

/// "0417 whitetail 8 pt (pot-1)".
pub fn called(line: &v1::SkullLine) -> String {
    let place = if line.place.is_empty() { "in no place" } else { &line.place };
    let whole = v1::SkullLine { piece: String::new(), ..line.clone() };
    format!("{} ({place})", named::skull(&whole))
}
