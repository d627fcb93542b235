//! Counties and states of more than one word: `county El Paso`, `state new mexico`, `Moffat County`.

use burrline_domain::verb::FieldSpec;

use super::Reader;
use crate::familiar::{Familiar, familiar};

/// Words that a county's or a state's name of two words begins with.
const BEGINS: &[&str] = &[
    "cape", "clear", "district", "east", "el", "fort", "grand", "la", "lake", "las", "los", "new",
    "north", "rhode", "rio", "saint", "san", "santa", "south", "st", "west",
];

/// The states of the country with their letters. Those whose letters are a word as well, such as OK, are
/// asked about where the letters stand alone.
const STATES: &[(&str, &str)] = &[
    ("alabama", "AL"),
    ("alaska", "AK"),
    ("arizona", "AZ"),
    ("arkansas", "AR"),
    ("california", "CA"),
    ("colorado", "CO"),
    ("connecticut", "CT"),
    ("delaware", "DE"),
    ("florida", "FL"),
    ("georgia", "GA"),
    ("hawaii", "HI"),
    ("idaho", "ID"),
    ("illinois", "IL"),
    ("indiana", "IN"),
    ("iowa", "IA"),
    ("kansas", "KS"),
    ("kentucky", "KY"),
    ("louisiana", "LA"),
    ("maine", "ME"),
    ("maryland", "MD"),
    ("massachusetts", "MA"),
    ("michigan", "MI"),
    ("minnesota", "MN"),
    ("mississippi", "MS"),
    ("missouri", "MO"),
    ("montana", "MT"),
    ("nebraska", "NE"),
    ("nevada", "NV"),
    ("new hampshire", "NH"),
    ("new jersey", "NJ"),
    ("new mexico", "NM"),
    ("new york", "NY"),
    ("north carolina", "NC"),
    ("north dakota", "ND"),
    ("ohio", "OH"),
    ("oklahoma", "OK"),
    ("oregon", "OR"),
    ("pennsylvania", "PA"),
    ("rhode island", "RI"),
    ("south carolina", "SC"),
    ("south dakota", "SD"),
    ("tennessee", "TN"),
    ("texas", "TX"),
    ("utah", "UT"),
    ("vermont", "VT"),
    ("virginia", "VA"),
    ("washington", "WA"),
    ("west virginia", "WV"),
    ("wisconsin", "WI"),
    ("wyoming", "WY"),
];

/// Letters of a state that are a word as well.
const WORDS: &[&str] = &["HI", "ID", "IN", "ME", "OH", "OK", "OR", "PA", "MA"];

/// The letters of a state that is named in full.
pub(super) fn code_of(name: &str) -> Option<&'static str> {
    let small = name.trim().to_lowercase();
    STATES.iter().find(|(full, _)| *full == small).map(|(_, code)| *code)
}

impl Reader<'_> {
    /// `papers 0417 CO`: the letters of a state.
    pub(super) fn state_code(&mut self, word: &str) -> Option<usize> {
        let field = self.open_field(|f| f.name == "state" && self.spec.word == "papers")?;
        let code = STATES.iter().any(|(_, code)| *code == word) && !WORDS.contains(&word);
        (code && !self.sorted.skulls.is_empty()).then(|| {
            self.put(field.name, word);
            1
        })
    }

    /// The words behind `county` or `state` that are one name; none where one word is.
    pub(super) fn long_place(
        &mut self,
        field: &FieldSpec,
        at: usize,
        length: usize,
    ) -> Option<usize> {
        if !matches!(field.name, "county" | "state") || self.spec.word != "papers" {
            return None;
        }
        let words = self.words.get(at.saturating_add(length)..)?;
        let used = self.place_run(words);
        let name = words.get(..used).filter(|_| used > 1)?.join(" ");
        self.put(field.name, name.trim_end_matches(','));
        Some(used)
    }

    /// How many words at the front are one name of a place.
    fn place_run(&self, words: &[String]) -> usize {
        let capital = |word: &str| {
            let letters = word.chars().all(|c| c.is_alphabetic() || ".,-'".contains(c));
            let code = word.len() <= 2 && word.chars().all(char::is_uppercase);
            letters && !code && word.starts_with(char::is_uppercase)
        };
        let Some(first) = words.first() else { return 0 };
        if first.ends_with(',') {
            return 1;
        }
        let goes_on = |word: &String| {
            word.chars().all(|c| c.is_alphabetic() || c == ',')
                && familiar(word, self.lexicon) == Familiar::No
        };
        let bare = first.to_lowercase();
        let begins = BEGINS.contains(&bare.trim_end_matches('.'));
        let mut run = 1_usize;
        while let Some(word) = words.get(run) {
            let more = goes_on(word) && ((capital(first) && capital(word)) || (begins && run == 1));
            if !more {
                break;
            }
            run = run.saturating_add(1);
            if word.ends_with(',') {
                break;
            }
        }
        run
    }

    /// `Moffat County`: the name before the word.
    pub(super) fn named_county(&mut self, at: usize) -> Option<usize> {
        self.open_field(|f| f.name == "county" && self.spec.word == "papers")?;
        if self.sorted.skulls.is_empty() {
            return None;
        }
        let words = self.words.get(at..)?;
        let end = words
            .iter()
            .take(4)
            .position(|word| word.trim_end_matches(',').eq_ignore_ascii_case("county"))?;
        let name = words.get(..end).filter(|name| !name.is_empty())?;
        let plain = |word: &String| {
            word.chars().all(char::is_alphabetic) && familiar(word, self.lexicon) == Familiar::No
        };
        let first = name.first()?;
        let one = end == 1 || first.starts_with(char::is_uppercase);
        // What follows the word would be the county itself.
        let last = words.get(end.saturating_add(1)).is_none_or(|next| {
            words.get(end).is_some_and(|word| word.ends_with(','))
                || !next.starts_with(char::is_uppercase)
                || next.len() == 2
        });
        let fits = name.iter().all(plain) && one && last;
        fits.then(|| {
            let name = name.join(" ");
            self.put("county", &name);
            end.saturating_add(1)
        })
    }

    /// `in the blue folder`: where the paper lies.
    pub(super) fn lies_words(&mut self, at: usize) -> Option<usize> {
        let field = self.open_field(|f| f.name == "lies")?;
        let words = self.words.get(at..)?;
        // `copy in the binder`.
        let copy = words.first().is_some_and(|word| {
            let word = word.to_lowercase();
            matches!(word.as_str(), "copy" | "original" | "filed" | "kept" | "papers" | "paper")
        });
        let [first, _, ..] = words.get(usize::from(copy)..)? else { return None };
        let place = matches!(first.to_lowercase().as_str(), "in" | "on" | "at" | "under" | "with");
        let plain = words.iter().all(|word| !word.contains(|c: char| c.is_ascii_digit()));
        (place && plain && !self.sorted.skulls.is_empty()).then(|| {
            let text = words.join(" ");
            self.put(field.name, &text);
            words.len()
        })
    }
}
