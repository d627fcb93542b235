//! What a shop knows of an animal beyond its headgear: size, grease, times, what is measured, which
//! pieces come apart, what to take care of.
//!
//! Figures of the rows are common practice, from memory, no source; a shop says its own with
//! `about-species`.

use std::borrow::Cow;

use burrline_terms::{
    name::Name,
    parts::PlanStep,
    units::Span,
    words::{
        Group::{self, Bear, Deer, Elk, Hog, Horned, Moose},
        Headgear, Piece, Size,
    },
};

use super::builtin::Row;
use crate::verb::AboutSpecies;

/// What a shop knows of an animal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct About {
    /// How large its head is.
    pub size: Size,
    /// How greasy it is: 0 not, 1 hardly, 2 greasy, 3 very.
    pub grease: u32,
    /// The most time in hot water, all goes together.
    pub most_heat: Option<Span>,
    /// Usual times of steps, as the shop said them.
    pub usual: Vec<PlanStep>,
    /// What is measured.
    pub measure: Vec<Cow<'static, str>>,
    /// Pieces that come apart.
    pub pieces: Vec<Piece>,
    /// What to take care of, in words.
    pub care: Cow<'static, str>,
}

impl About {
    /// Of an animal that nobody knows.
    pub(super) fn unknown() -> Self {
        Self::of_kind(Group::Other)
    }

    /// Of an animal of which its kind alone is known.
    pub(super) fn of_kind(group: Group) -> Self {
        let (size, grease) = match group {
            Deer | Horned | Group::Other => (Size::Middle, 1),
            Elk => (Size::Large, 1),
            Moose => (Size::Huge, 1),
            Bear | Hog => (Size::Large, 3),
            Group::Small => (Size::Small, 2),
        };
        Self {
            size,
            grease,
            most_heat: None,
            usual: Vec::new(),
            measure: Vec::new(),
            pieces: vec![Piece::Jaw],
            care: "".into(),
        }
    }

    /// What a shop says takes the place of what was known; what it does not say stays.
    pub(super) fn take(&mut self, more: &AboutSpecies) {
        let AboutSpecies { species: _, size, grease, most_heat, usual, measure, pieces, care } =
            more;
        self.size = size.unwrap_or(self.size);
        self.grease = grease.map_or(self.grease, |grease| grease.min(3));
        self.most_heat = most_heat.or(self.most_heat);
        for step in usual {
            self.usual.retain(|known| known.step != step.step);
            self.usual.push(step.clone());
        }
        if !measure.is_empty() {
            self.measure = measure.iter().map(|what: &Name| what.to_string().into()).collect();
        }
        if !pieces.is_empty() {
            self.pieces.clone_from(pieces);
        }
        if let Some(care) = care {
            self.care = care.to_string().into();
        }
    }
}

/// What is known of a row of the built-in list.
pub(super) fn of(row: &Row) -> About {
    let mut about = About::of_kind(row.group);
    let facts = FACTS.iter().find(|(names, _)| names.split('|').any(|name| name == row.name));
    let (mut care, mut letters) = (Vec::new(), "");
    if let Some((_, facts)) = facts {
        let mut words = facts.split(' ');
        let mut first = words.next().unwrap_or_default().chars();
        about.size = match first.next() {
            Some('S') => Size::Small,
            Some('L') => Size::Large,
            Some('X') => Size::Huge,
            Some(_) | None => Size::Middle,
        };
        about.grease = first.next().and_then(|digit| digit.to_digit(10)).unwrap_or(1);
        letters = words.next().unwrap_or_default();
        about.measure = measured(words.next().unwrap_or_default());
    }
    match row.head {
        Headgear::Horns => about.pieces.extend([Piece::SheathLeft, Piece::SheathRight]),
        Headgear::Tusks => about.pieces.extend([
            Piece::TuskLeft,
            Piece::TuskRight,
            Piece::WhetterLeft,
            Piece::WhetterRight,
        ]),
        Headgear::Antlers | Headgear::Bare => {}
    }
    for letter in letters.chars() {
        match letter {
            'n' => care.push("thin nasal bones"),
            's' => care.push("mark the sheaths left and right; no peroxide on them"),
            'h' => care.push("heavy horn cores take long to dry"),
            't' => care.push("tusks and teeth cool and dry slowly, or they split"),
            'i' => {
                care.push("keep the ivories");
                about.pieces.extend([Piece::IvoryLeft, Piece::IvoryRight]);
            }
            'j' => care.push("the jaw is locked in its joint"),
            _ => {}
        }
    }
    about.care = care.join("; ").into();
    about
}

/// What is measured, by letter: antlers, horns, tusks, width, skull.
fn measured(letters: &str) -> Vec<Cow<'static, str>> {
    let names = letters.chars().flat_map(|letter| match letter {
        'a' => ["beam-l", "beam-r", "burr-l", "burr-r", "spread"].as_slice(),
        'w' => ["palm-l", "palm-r"].as_slice(),
        'h' => ["h1-l", "h1-r", "girth-l", "girth-r", "spread"].as_slice(),
        't' => ["tusk-l", "tusk-r", "width-l", "width-r"].as_slice(),
        'k' => ["length", "width"].as_slice(),
        _ => [].as_slice(),
    });
    names.map(|name| Cow::Borrowed(*name)).collect()
}

/// Names, then: size with grease, what to take care of (`-` for nothing), what is measured.
const FACTS: &[(&str, &str)] = &[
    // ---- North America
    ("whitetail|mule deer|blacktail", "M1 n a"),
    ("elk", "L1 ni a"),
    ("moose", "X1 n aw"),
    ("caribou", "L1 n aw"),
    ("pronghorn", "M1 sn h"),
    ("bighorn|dall sheep", "L1 sh h"),
    ("mountain goat", "M1 sn h"),
    ("bison|muskox|wisent", "X2 sh h"),
    ("aoudad", "M1 s h"),
    ("javelina", "M2 t k"),
    ("hog", "L3 t t"),
    ("black bear|brown bear", "L3 t k"),
    ("grizzly|polar bear", "X3 t k"),
    ("mountain lion", "M1 t k"),
    ("coyote", "S2 tn k"),
    ("bobcat", "S1 tn k"),
    ("wolverine", "S2 t k"),
    ("raccoon|beaver", "S3 t k"),
    // ---- Europe
    ("red deer", "L1 ni a"),
    ("roe deer", "S1 n a"),
    ("fallow deer", "M1 n aw"),
    ("sika", "M1 ni a"),
    ("reindeer", "L1 n a"),
    ("muntjac", "S1 nt a"),
    ("water deer", "S1 nt t"),
    ("chamois", "S1 sn h"),
    ("ibex", "L1 s h"),
    ("mouflon", "M1 sh h"),
    ("wild boar", "L2 t t"),
    ("wolf", "M2 t k"),
    ("lynx", "S1 tn k"),
    ("red fox|gray fox", "S2 tn k"),
    ("badger", "S3 tj k"),
    ("jackal", "S2 t k"),
    ("raccoon dog", "S3 t k"),
    // ---- Southern Africa
    ("kudu", "L1 sn h"),
    ("impala|blesbok", "M0 sn h"),
    ("springbok|bushbuck|steenbok|duiker", "S0 sn h"),
    ("gemsbok|sable|hartebeest", "L1 s h"),
    ("wildebeest", "L1 sh h"),
    ("eland", "X2 s h"),
    ("nyala", "M1 sn h"),
    ("waterbuck", "L2 s h"),
    ("cape buffalo|water buffalo|banteng", "X2 sh h"),
    ("warthog", "L2 t t"),
    ("bushpig", "M2 t t"),
    ("zebra", "X2 n k"),
    ("leopard", "M1 t k"),
    ("african lion", "L1 t k"),
    ("hippo", "X3 t t"),
    // ---- Oceania and Asia
    ("rusa|axis deer", "M1 n a"),
    ("sambar", "L1 n a"),
    ("hog deer", "S1 n a"),
    ("tahr|domestic goat", "M1 s h"),
    ("blackbuck", "S0 sn h"),
    ("nilgai", "L1 s h"),
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::species::{SpeciesList, builtin::ROWS};

    #[test]
    fn every_row_of_facts_is_of_an_animal_of_the_list_and_no_animal_has_two() {
        let mut seen = std::collections::BTreeSet::new();
        for name in FACTS.iter().flat_map(|(names, _)| names.split('|')) {
            assert!(ROWS.iter().any(|row| row.name == name), "{name}");
            assert!(seen.insert(name), "{name} twice");
        }
    }

    #[test]
    fn what_a_shop_says_of_an_animal_goes_before_what_was_known() {
        let mut list = SpeciesList::builtin();
        let roe = list.about("Rehbock").into_owned();
        assert_eq!((roe.size, roe.grease), (Size::Small, 1));
        assert_eq!(list.about("badger").grease, 3);
        assert!(list.about("springbok").pieces.contains(&Piece::SheathLeft));
        assert!(list.about("keiler").pieces.contains(&Piece::TuskRight));
        list.say_more(&AboutSpecies {
            species: Name::clipped("Rehbock"),
            size: Some(Size::Middle),
            grease: None,
            most_heat: None,
            usual: Vec::new(),
            measure: Vec::new(),
            pieces: Vec::new(),
            care: None,
        });
        let own = list.about("roe");
        assert_eq!((own.size, own.grease), (Size::Middle, 1));
        assert_eq!(own.measure, roe.measure);
    }

    #[test]
    fn an_animal_that_nobody_knows_is_as_its_kind() {
        assert_eq!(SpeciesList::builtin().about("walrus").size, Size::Middle);
        assert_eq!(SpeciesList::builtin().about("").grease, 1);
    }
}
