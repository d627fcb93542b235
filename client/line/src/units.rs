//! Numbers and their units, which hands type apart: `1420 g`, `12 %`, `8 pt`.

use burrline_terms::{
    Kind, Typed,
    measure::{HeightUnit, PowerUnit, PressureUnit},
    units::{LengthUnit, MassUnit, SpanUnit, VolumeUnit},
};

use crate::amount::{self, Amount};

/// Unit words that the lists of the quantities do not name first.
const MORE: &[&str] = &[
    "l",
    "litre",
    "litres",
    "liter",
    "liters",
    "ml",
    "usgal",
    "lbs",
    "eighths",
    "sixteenths",
    "m",
    "day",
    "days",
    "%",
    "%w/v",
    "%w/w",
    "%wv",
    "%ww",
    "vol",
    "volume",
    "C",
    "F",
    "c",
    "f",
    "pt",
    "pts",
    "points",
    "mol/L",
    "mol/l",
    "mmol/L",
    "mg/L",
    "mg/l",
    "g/L",
    "ppm",
    "m3",
    "ft3",
    "m/s",
    "mph",
    "km/h",
    "W/K",
    "BTU/h/F",
    "btu/h/f",
    "feet",
    "metres",
    "meters",
    "mile",
    "miles",
    "btu/h",
    "Btu/h",
    "BTU",
    "kw",
    "w",
    "hpa",
];

/// Joins each number with the unit after it; everything else stays as it is.
pub fn join(words: &[String]) -> Vec<String> {
    let mut joined: Vec<String> = Vec::with_capacity(words.len());
    for word in words {
        match joined.last_mut() {
            Some(number) if is_number(number) && is_unit(word) => number.push_str(word),
            Some(inches) if is_inches(inches) && is_fraction(word) => {
                inches.push(' ');
                inches.push_str(word);
            }
            Some(mixed) if word == "in" && mixed.rsplit(' ').next().is_some_and(is_fraction) => {
                mixed.push_str(word);
            }
            Some(strength) if strength.ends_with('%') && matches!(word.as_str(), "w/v" | "w/w") => {
                strength.push_str(word);
            }
            _ => joined.push(word.clone()),
        }
    }
    joined
}

/// Amounts as they are spoken, each in its typed form: `12 percent` is `12%`, `1 1/2 gal` is `1.5gal`. It
/// is the parser of the lines that reads them. What the parser would ask about stays as it is.
pub fn spoken(words: &[String]) -> Vec<String> {
    const KINDS: [Kind; 6] =
        [Kind::Volume, Kind::Mass, Kind::Strength, Kind::Temperature, Kind::Span, Kind::Length];
    let mut out: Vec<String> = Vec::with_capacity(words.len());
    let plain: Vec<&str> = words.iter().map(String::as_str).collect();
    let mut rest = plain.as_slice();
    while let Some((first, after)) = rest.split_first() {
        let starts = first.starts_with(|c: char| c.is_ascii_digit() || c == '.' || c == '-');
        // A number with a unit that is joined anyway needs no second reading.
        let joined = is_number(first) && after.first().is_some_and(|word| is_unit(word));
        let is = |kind: &Kind| match amount::amount(*kind, rest, None) {
            Amount::Is { value, used } if used > 0 => Some((value, used)),
            Amount::Is { .. } | Amount::No | Amount::Comma { .. } | Amount::Doubt { .. } => None,
        };
        let found = starts
            .then(|| KINDS.iter().filter_map(is).max_by_key(|(_, used)| *used))
            .flatten()
            .filter(|(_, used)| *used > 2 || !(joined || has_unit(first)))
            // A minus is not lost: what has none to be read stays as it was typed.
            .filter(|(value, _)| first.starts_with('-') == value.starts_with('-'));
        if let Some((value, used)) = found {
            out.push(value);
            rest = rest.get(used..).unwrap_or_default();
        } else {
            out.push((*first).to_owned());
            rest = after;
            // What is behind a minus that has no meaning belongs to it: `-13 9/16` is no 9/16.
            if first.starts_with('-')
                && let Some((part, behind)) = after.split_first()
                && is_fraction(part)
            {
                out.push((*part).to_owned());
                rest = behind;
            }
        }
    }
    out
}

/// `8` of `8pt`, for a count of points.
pub fn bare_points(word: &str) -> Option<&str> {
    let digits = ["pts", "pt", "points"].iter().find_map(|unit| word.strip_suffix(unit))?;
    u32::read(digits).is_ok().then_some(digits)
}

fn is_number(word: &str) -> bool {
    let bare = word.strip_prefix('-').unwrap_or(word);
    bare.starts_with(|c: char| c.is_ascii_digit())
        && bare.chars().all(|c| c.is_ascii_digit() || c == '.' || c == ',')
}

/// `1600m`: a number with a unit of the lists at its end.
fn has_unit(word: &str) -> bool {
    let bare = word.strip_prefix('-').unwrap_or(word);
    let end = bare.find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ','));
    let unit = end.and_then(|end| bare.get(end..));
    unit.is_some_and(is_unit)
}

/// `21` of `21 7/8`; a tag is typed with its leading nought.
fn is_inches(word: &str) -> bool {
    let plain = (1..=3).contains(&word.len()) && word.chars().all(|c| c.is_ascii_digit());
    plain && (word == "0" || !word.starts_with('0'))
}

/// `7/8` or `9/16in`: a part of an inch by the tape.
fn is_fraction(word: &str) -> bool {
    let part = |text: &str| text.len() <= 2 && u32::read(text).is_ok();
    let bare = word.strip_suffix("in").unwrap_or(word);
    bare.split_once('/').is_some_and(|(above, below)| part(above) && part(below))
}

fn is_unit(word: &str) -> bool {
    let listed = MORE.iter().copied();
    listed
        .chain(VolumeUnit::ALL.iter().map(|unit| unit.word()))
        .chain(MassUnit::ALL.iter().map(|unit| unit.word()))
        .chain(LengthUnit::ALL.iter().map(|unit| unit.word()))
        .chain(SpanUnit::ALL.iter().map(|unit| unit.word()))
        .chain(PowerUnit::ALL.iter().map(|unit| unit.word()))
        .chain(PressureUnit::ALL.iter().map(|unit| unit.word()))
        .chain(HeightUnit::ALL.iter().map(|unit| unit.word()))
        .any(|unit| unit == word)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn joined(line: &str) -> Vec<String> {
        join(&line.split(' ').map(str::to_owned).collect::<Vec<_>>())
    }

    #[test]
    fn a_number_takes_the_unit_after_it() {
        assert_eq!(joined("0417 1420 g"), ["0417", "1420g"]);
        assert_eq!(joined("tub-1 1 L 35 % w/w"), ["tub-1", "1L", "35%w/w"]);
        assert_eq!(joined("0417 whitetail 8 pt"), ["0417", "whitetail", "8pt"]);
        assert_eq!(bare_points("8pt"), Some("8"));
    }

    #[test]
    fn inches_take_their_fraction() {
        assert_eq!(joined("0417 beam-r 21 7/8"), ["0417", "beam-r", "21 7/8"]);
        assert_eq!(joined("beam 21 7/8 in 21 6/8in"), ["beam", "21 7/8in", "21 6/8in"]);
        assert_eq!(joined("0417 7/8"), ["0417", "7/8"]);
        assert_eq!(joined("g4 3 4/8 3 4/8"), ["g4", "3 4/8", "3 4/8"]);
    }

    #[test]
    fn what_is_spoken_is_read_as_on_a_line() {
        let said = |line: &str| {
            let words: Vec<String> = line.split(' ').map(str::to_owned).collect();
            join(&spoken(&words)).join(" ")
        };
        for (line, typed) in [
            ("12 percent to 3 percent make 1/2 gal", "12% to 3% make 0.5gal"),
            ("12% to 3% make 2 quarts", "12% to 3% make 2qt"),
            ("40 Vol to 6 % make 1 1/2 gal", "40vol to 6% make 1.5gal"),
            ("3 lb 2 oz with 5 gallons", "3lb2oz with 5gal"),
            ("5 gal from 60 F in 32 min", "5gal from 60F in 32min"),
            ("3 of 40 sure 99%", "3 of 40 sure 99%"),
            ("0h=1500g 24h=1411g", "0h=1500g 24h=1411g"),
            ("30000 BTU/h", "30000BTU/h"),
            ("1600m 5 m", "1600m 5m"),
            ("-13 9/16 8 0/16", "-13 9/16 8 0/16in"),
            ("-1 1/2 gal", "-1 1/2 gal"),
        ] {
            assert_eq!(said(line), typed);
        }
    }

    #[test]
    fn other_words_stay_apart() {
        assert_eq!(joined("pot-1 0417 0418"), ["pot-1", "0417", "0418"]);
    }
}
