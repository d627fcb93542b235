//! What goes into a water: `18 L 2 L 12 %`, `soda 8 oz`, `1 gal 40 vol peroxide`.
//!
//! The words are parted into groups, each an amount with its strength and its name. Where more than
//! one way to part them makes sense, the hand is asked.

use burrline_terms::Typed as _;
use burrline_terms::{Kind, Volume};
use rust_decimal::Decimal;

use super::{
    amount::{self, Amount},
    lexicon::Lexicon,
};

/// What usually goes into a water, and whether it is measured as a liquid (common practice, no
/// source).
const STUFF: &[(&str, bool)] = &[
    ("peroxide", true),
    ("ammonia", true),
    ("soap", true),
    ("dish-soap", true),
    ("detergent", true),
    ("degreaser", true),
    ("alcohol", true),
    ("acetone", true),
    ("vinegar", true),
    ("bleach", true),
    ("soda", false),
    ("washing-soda", false),
    ("baking-soda", false),
    ("sodium-carbonate", false),
    ("borax", false),
    ("salt", false),
    ("enzyme", false),
    ("lye", false),
];

/// One word of a make-up.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Part {
    /// A volume or a mass, and whether it was said in ounces alone.
    Amount(String, bool),
    /// A strength.
    Strength(String),
    /// What it is of.
    Stuff(String),
}

/// An amount of something.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
struct Group {
    amount: Option<String>,
    ounces: bool,
    strength: Option<String>,
    what: Option<String>,
    /// The strength stood before the amount, as in `12 % peroxide 2 L`.
    strength_first: bool,
}

/// What the words of a make-up are.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum MakeUp {
    /// Plain water, what else goes in, and what is to be said of how it was taken.
    Is { water: Option<String>, add: Vec<String>, told: Vec<String> },
    /// More than one make-up: each as the words that say it without doubt.
    Unclear { about: String, readings: Vec<Vec<String>> },
    /// None: what is wrong.
    Wrong(String),
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

fn is_liquid(what: &str) -> Option<bool> {
    STUFF.iter().find(|(name, _)| *name == what).map(|(_, liquid)| *liquid)
}

/// Reads the words of a make-up.
pub(super) fn make_up(verb: &str, words: &[&str], lexicon: &Lexicon) -> MakeUp {
    let parts = match parts(words, lexicon) {
        Ok((parts, _)) => parts,
        Err(unclear) => return unclear,
    };
    let mut ways: Vec<Vec<Group>> = Vec::new();
    part(&parts, &mut Vec::new(), &mut ways);
    let mut fitting: Vec<Vec<Group>> = ways.iter().filter(|way| fits(way)).cloned().collect();
    fitting.sort_by_key(|way| clear(way));
    fitting.dedup_by_key(|way| clear(way));
    match fitting.as_slice() {
        [] => MakeUp::Wrong(wrong(verb, &ways)),
        [one] => said(verb, one),
        many => match first_water(many) {
            Some(way) => said(verb, way),
            None => MakeUp::Unclear {
                about: format!("{verb}: which amount is of what?"),
                readings: many.iter().map(|way| clear(way)).collect(),
            },
        },
    }
}

/// Of several readings the one in which plain water comes first and is the most, where no peroxide is
/// about: `30 L soda 100 mL`.
fn first_water(many: &[Vec<Group>]) -> Option<&Vec<Group>> {
    let peroxide = many.iter().flatten().any(|group| group.strength.is_some());
    let mut water_first = many.iter().filter(|way| way.first().is_some_and(is_water));
    let one = water_first.next().filter(|_| water_first.next().is_none() && !peroxide)?;
    one.iter().skip(1).all(|group| group.what.is_some()).then_some(one)
}

fn parts(words: &[&str], lexicon: &Lexicon) -> Result<(Vec<Part>, usize), MakeUp> {
    let (mut parts, mut at) = (Vec::new(), 0_usize);
    while let Some(rest) = words.get(at..).filter(|rest| !rest.is_empty()) {
        if rest.first().is_some_and(|word| matches!(*word, "of" | "and" | "with" | "+" | "at")) {
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
                    return Err(comma(words, at, used, &typed, decimal, thousands));
                }
            }
            if taken.is_some() {
                break;
            }
        }
        let taken = taken.or_else(|| is_stuff(rest).map(|(what, used)| (Part::Stuff(what), used)));
        let Some((part, used)) = taken else { break };
        parts.push(part);
        at = at.saturating_add(used);
    }
    Ok((parts, at))
}

fn comma(
    words: &[&str],
    at: usize,
    used: usize,
    typed: &str,
    decimal: Option<String>,
    thousands: Option<String>,
) -> MakeUp {
    let before = words.get(..at).unwrap_or_default();
    let after = words.get(at.saturating_add(used)..).unwrap_or_default();
    let with = |value: String| {
        let owned = |words: &[&str]| words.iter().map(|w| (*w).to_owned()).collect::<Vec<_>>();
        owned(before).into_iter().chain([value]).chain(owned(after)).collect()
    };
    MakeUp::Unclear {
        about: format!("{typed}: is the comma a decimal mark, or does it part thousands?"),
        readings: decimal.into_iter().chain(thousands).map(with).collect(),
    }
}

/// Every way to part the words into groups of one amount at most.
fn part(parts: &[Part], begun: &mut Vec<Group>, ways: &mut Vec<Vec<Group>>) {
    if parts.is_empty() {
        ways.push(begun.clone());
        return;
    }
    let mut group = Group::default();
    for (n, part_of) in parts.iter().enumerate() {
        let free = match part_of {
            Part::Amount(value, ounces) => {
                group.ounces = *ounces;
                group.amount.replace(value.clone()).is_none()
            }
            Part::Strength(value) => {
                group.strength_first = group.amount.is_none();
                group.strength.replace(value.clone()).is_none()
            }
            Part::Stuff(what) => group.what.replace(what.clone()).is_none(),
        };
        if !free {
            return;
        }
        let rest = parts.get(n.saturating_add(1)..).unwrap_or_default();
        begun.push(group.clone());
        part(rest, begun, ways);
        begun.pop();
    }
}

fn is_water(group: &Group) -> bool {
    let plain = group.what.as_deref().is_none_or(|what| what == "water");
    plain && group.strength.is_none() && group.amount.as_deref().is_some_and(is_volume)
}

/// Whether every group says something, and water is said once.
fn fits(way: &[Group]) -> bool {
    let one = |group: &Group| {
        let Some(amount) = &group.amount else { return false };
        match (group.what.as_deref(), &group.strength) {
            // `2 L 12 % 18 L`: without its name an amount has its strength behind it.
            (None, Some(_)) => !group.strength_first,
            // Peroxide without its strength is no make-up that a bath could be reckoned by.
            (Some("peroxide"), strength) => strength.is_some(),
            (None | Some("water"), None) => is_volume(amount),
            // Nobody measures soda by the gallon: that is the water it goes into.
            (Some(what), None) if is_liquid(what) == Some(false) => !is_large(amount),
            (Some(_), strength) => strength.is_none(),
        }
    };
    way.iter().all(one) && way.iter().filter(|group| is_water(group)).count() <= 1
}

/// Whether an amount is a quart or more by volume.
fn is_large(amount: &str) -> bool {
    Volume::read(amount).is_ok_and(|volume| volume.litres() >= Decimal::new(9, 1))
}

/// Whether an amount can be of water.
fn is_volume(amount: &str) -> bool {
    Volume::read(amount).is_ok()
}

fn wrong(verb: &str, ways: &[Vec<Group>]) -> String {
    let peroxide = ways
        .iter()
        .flatten()
        .find(|group| group.what.as_deref() == Some("peroxide") && group.strength.is_none());
    if let Some(group) = peroxide {
        let amount = group.amount.as_deref().unwrap_or("2L");
        return format!(
            "{verb}: how strong is the peroxide? After its amount say its strength, such as {amount} \
             12 %"
        );
    }
    let longest = ways.iter().max_by_key(|way| way.len());
    let bare = longest.into_iter().flatten().rfind(|group| group.what.is_none());
    let amount = bare.and_then(|group| group.amount.as_deref()).unwrap_or("30mL");
    format!(
        "{verb}: {amount} of what? After an amount of peroxide say its strength, such as {amount} 12 %; \
         name anything else, such as soap {amount}"
    )
}

/// The words that say a make-up without doubt.
fn clear(way: &[Group]) -> Vec<String> {
    way.iter().map(|group| written(group).0).collect()
}

/// A group as one word, and what is to be said of how it was taken.
fn written(group: &Group) -> (String, Option<String>) {
    let amount = group.amount.clone().unwrap_or_default();
    match (group.what.as_deref(), &group.strength) {
        (_, Some(strength)) => (format!("peroxide={amount}@{strength}"), None),
        (None | Some("water"), None) => (amount, None),
        (Some(what), None) if group.ounces && is_liquid(what) == Some(true) => {
            let fluid = amount.replace("oz", "floz");
            let shown = amount.replace("oz", " oz");
            (format!("{what}={fluid}"), Some(format!("{shown} of {what}: taken as fluid ounces")))
        }
        (Some(what), None) => {
            let told = group.ounces.then(|| {
                let shown = amount.replace("oz", " oz");
                format!("{shown} of {what}: taken as ounces by weight")
            });
            (format!("{what}={amount}"), told)
        }
    }
}

fn said(verb: &str, way: &[Group]) -> MakeUp {
    let (mut water, mut add, mut told) = (None, Vec::new(), Vec::new());
    for group in way {
        let (word, how) = written(group);
        told.extend(how);
        if word.contains('=') {
            add.push(word);
        } else if water.replace(word).is_some() {
            return MakeUp::Wrong(format!("{verb}: water is said twice"));
        }
    }
    MakeUp::Is { water, add, told }
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
                let readings: Vec<String> = readings.iter().map(|way| way.join(" ")).collect();
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
        assert!(read("18 L 2 L").starts_with("! fill: 2L of what?"), "{}", read("18 L 2 L"));
    }
}
