//! What goes into a water: `18 L 2 L 12 %`, `soda 8 oz`, `1 gal 40 vol peroxide`.
//!
//! The words are parted into groups, each an amount with its strength and its name. Where more than
//! one way to part them makes sense, the hand is asked.

use burrline_terms::Kind;

use super::{
    amount::{self, Amount},
    lexicon::Lexicon,
    ways::{self, Part, Piece},
};

/// What usually goes into a water, and whether it is measured as a liquid (common practice, no
/// source).
pub(super) const STUFF: &[(&str, bool)] = &[
    ("peroxide", true),
    ("ammonia", true),
    ("soap", true),
    ("dish-soap", true),
    ("dish-detergent", true),
    ("detergent", true),
    ("degreaser", true),
    ("alcohol", true),
    ("acetone", true),
    ("vinegar", true),
    ("bleach", true),
    ("soda", false),
    ("washing-soda", false),
    ("baking-soda", false),
    ("soda-ash", false),
    ("sodium-carbonate", false),
    ("borax", false),
    ("salt", false),
    ("enzyme", false),
    ("lye", false),
];

/// Other words for what goes into a water.
const MEANT: &[(&str, &str)] = &[
    ("h2o2", "peroxide"),
    ("hydrogen-peroxide", "peroxide"),
    ("cold-water", "water"),
    ("clean-water", "water"),
    ("fresh-water", "water"),
    ("plain-water", "water"),
    ("tap-water", "water"),
];

/// What the words of a make-up are.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum MakeUp {
    /// Plain water, what else goes in, and what is to be said of how it was taken.
    Is { water: Option<String>, add: Vec<String>, told: Vec<String> },
    /// More than one make-up, or one that must be asked about.
    Unclear { about: String, readings: Vec<Reading> },
    /// None: what is wrong.
    Wrong(String),
}

/// One way to take a make-up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Reading {
    /// As it is shown.
    pub(super) label: String,
    /// The words that say it without doubt.
    pub(super) words: Vec<String>,
}

/// How many words at the front belong to a make-up.
pub(super) fn extent(words: &[&str], lexicon: &Lexicon) -> usize {
    parts(words, lexicon).map_or(0, |(_, used)| used)
}

/// Whether a word names what goes into a water.
pub(super) fn is_stuff(words: &[&str]) -> Option<(String, usize)> {
    for used in [2, 1] {
        let Some(run) = words.get(..used) else { continue };
        let typed = run.join("-").to_lowercase();
        if let Some((_, meant)) = MEANT.iter().find(|(other, _)| *other == typed) {
            return Some(((*meant).to_owned(), used));
        }
        if typed == "water" || STUFF.iter().any(|(name, _)| *name == typed) {
            return Some((typed, used));
        }
    }
    None
}

/// Whether words begin with what goes into a water and how much: `soda 8 oz`.
pub(super) fn is_addition(words: &[&str]) -> bool {
    let Some((_, used)) = is_stuff(words) else { return false };
    let rest = words.get(used..).unwrap_or_default();
    [Kind::Volume, Kind::Mass].iter().any(|kind| amount::amount(*kind, rest, None) != Amount::No)
}

pub(super) fn is_liquid(what: &str) -> Option<bool> {
    STUFF.iter().find(|(name, _)| *name == what).map(|(_, liquid)| *liquid)
}

/// Reads the words of a make-up.
pub(super) fn make_up(verb: &str, words: &[&str], lexicon: &Lexicon) -> MakeUp {
    match parts(words, lexicon) {
        Ok((pieces, _)) => ways::make_up(verb, &pieces, lexicon.fahrenheit == Some(true)),
        Err(unclear) => unclear,
    }
}

/// Words between the parts that belong to what stands behind them.
const TIES: &[&str] = &["of", "at"];

/// Words between the parts that begin another one.
const BREAKS: &[&str] = &["and", "&", "with", "w/", "+", "plus", "in", "into", "to", ","];

fn parts(words: &[&str], lexicon: &Lexicon) -> Result<(Vec<Piece>, usize), MakeUp> {
    let bare: Vec<&str> = words.iter().map(|word| without_comma(word)).collect();
    let (mut pieces, mut at, mut end) = (Vec::new(), 0_usize, 0_usize);
    let (mut breaks, mut tied) = (false, false);
    while let Some(rest) = bare.get(at..).filter(|rest| !rest.is_empty()) {
        let word = rest.first().map(|word| word.to_lowercase()).unwrap_or_default();
        if TIES.contains(&word.as_str()) || BREAKS.contains(&word.as_str()) {
            tied = word == "of";
            breaks = breaks || BREAKS.contains(&word.as_str());
            at = at.saturating_add(1);
            continue;
        }
        let mut taken = None;
        for kind in [Kind::Strength, Kind::Volume, Kind::Mass] {
            match amount::amount(kind, rest, lexicon.decimal_mark) {
                Amount::No => {}
                Amount::Is { value, used } if kind == Kind::Strength => {
                    taken = Some((Part::Strength(value), used));
                }
                Amount::Is { value, used } => {
                    let ounces =
                        value.ends_with("oz") && !value.ends_with("floz") && !value.contains("lb");
                    taken = Some((Part::Amount(value, ounces), used));
                }
                Amount::Comma { typed, decimal, thousands, used } => {
                    let about =
                        format!("{typed}: is the comma a decimal mark, or does it part thousands?");
                    let values = decimal.into_iter().chain(thousands);
                    return Err(replaced(words, at, used, about, values));
                }
                Amount::Doubt { about, readings, used } => {
                    return Err(replaced(words, at, used, about, readings.into_iter()));
                }
            }
            if taken.is_some() {
                break;
            }
        }
        let taken = taken.or_else(|| is_stuff(rest).map(|(what, used)| (Part::Stuff(what), used)));
        let Some((part, used)) = taken else { break };
        pieces.push(Piece { part, breaks, tied });
        at = at.saturating_add(used);
        end = at;
        let last = words.get(at.saturating_sub(1));
        (breaks, tied) = (last.is_some_and(|word| word.ends_with([',', ';'])), false);
    }
    Ok((pieces, end))
}

/// A word without the comma behind it.
fn without_comma(word: &str) -> &str {
    let bare = word.strip_suffix([',', ';']).unwrap_or(word);
    if bare.is_empty() { word } else { bare }
}

/// A figure that is asked about: the words with each of its readings in its place.
fn replaced(
    words: &[&str],
    at: usize,
    used: usize,
    about: String,
    values: impl Iterator<Item = String>,
) -> MakeUp {
    let before = words.get(..at).unwrap_or_default();
    let after = words.get(at.saturating_add(used)..).unwrap_or_default();
    let with = |value: String| {
        let owned = |words: &[&str]| words.iter().map(|w| (*w).to_owned()).collect::<Vec<_>>();
        let label = ways::spaced(&value);
        let words = owned(before).into_iter().chain([value]).chain(owned(after)).collect();
        Reading { label, words }
    };
    MakeUp::Unclear { about, readings: values.map(with).collect() }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(line: &str) -> String {
        let words: Vec<&str> = line.split(' ').collect();
        match make_up("fill", &words, &Lexicon::default()) {
            MakeUp::Is { water, add, .. } => {
                water.into_iter().chain(add).collect::<Vec<_>>().join(" ")
            }
            MakeUp::Unclear { readings, .. } => {
                let readings: Vec<String> =
                    readings.iter().map(|way| way.words.join(" ")).collect();
                format!("{}?", readings.join(" | "))
            }
            MakeUp::Wrong(words) => format!("! {words}"),
        }
    }

    #[test]
    fn amounts_find_what_they_are_of() {
        for (line, said) in [
            ("18 L", "18L"),
            ("18 L 2 L 12 %", "18L peroxide=2L@12%"),
            ("2 L 12 % 18 L", "18L peroxide=2L@12%"),
            ("18 L water 2 L peroxide 12 %", "18L peroxide=2L@12%"),
            ("peroxide 2 L 12 % 18 L water", "18L peroxide=2L@12%"),
            ("water 18 L peroxide 2 L 12 %", "18L peroxide=2L@12%"),
            ("5 gal and 1 gal of 12 percent peroxide", "5gal peroxide=1gal@12%"),
            ("30 L soda 8 oz", "30L soda=8oz"),
            ("soda 8 oz", "soda=8oz"),
            ("8 oz washing soda", "washing-soda=8oz"),
            ("1 cup ammonia", "ammonia=1cup"),
            ("8 oz ammonia", "ammonia=8floz"),
            ("30 L soap 100 mL", "30L soap=100mL"),
            ("18 L water 2 L 12 % soap 30 mL", "18L peroxide=2L@12% soap=30mL"),
            ("3 gal 1/2 gal 40 Vol", "3gal peroxide=0.5gal@40vol"),
            ("2 cups ammonia 10 gal", "10gal ammonia=2cup"),
            ("2 cups of ammonia 10 gal", "10gal ammonia=2cup"),
            ("2 cups ammonia in 10 gal", "10gal ammonia=2cup"),
            ("10 gal ammonia 2 cups", "10gal ammonia=2cup"),
            ("1 cup soap, 10 gal", "10gal soap=1cup"),
            ("1 gal ammonia 1 cup soap 10 gal", "10gal ammonia=1gal soap=1cup"),
            ("2 cup ammonia, 1/2 cup soap, 10 gal", "10gal ammonia=2cup soap=0.5cup"),
            ("1 qt peroxide 12% 5 gal", "5gal peroxide=1qt@12%"),
            ("12% 1 qt", "peroxide=1qt@12%"),
            ("h2o2 1 qt 12%", "peroxide=1qt@12%"),
            ("5 gal, 1 qt, 12 %", "5gal peroxide=1qt@12%"),
        ] {
            assert_eq!(read(line), said, "{line}");
        }
    }

    #[test]
    fn a_peroxide_without_strength_never_becomes_water() {
        for line in ["18 L peroxide", "peroxide 2 L water 18 L", "2 L peroxide 18 L"] {
            let said = read(line);
            assert!(said.starts_with("! fill: how strong is the peroxide?"), "{line}: {said}");
        }
    }

    #[test]
    fn two_ways_to_part_the_words_are_asked_about() {
        assert_eq!(
            read("4 gal 40 vol peroxide 1 gal"),
            "4gal peroxide=1gal@40vol | peroxide=4gal@40vol 1gal?"
        );
        assert_eq!(
            read("1 qt peroxide 5 gal 12%"),
            "peroxide=1qt@12% 5gal | 1qt peroxide=5gal@12%?"
        );
        assert_eq!(read("5 gal 12% 1 qt"), "5gal peroxide=1qt@12% | peroxide=5gal@12% 1qt?");
        assert_eq!(read("5 gal ammonia 4 gal"), "5gal ammonia=4gal | ammonia=5gal 4gal?");
        assert!(read("18 L 2 L").starts_with("! fill: 2L of what?"), "{}", read("18 L 2 L"));
    }
}
