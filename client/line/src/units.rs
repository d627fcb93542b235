//! Numbers and their units, which hands type apart: `1420 g`, `12 %`, `8 pt`.

use burrline_terms::{
    Typed,
    measure::{HeightUnit, PowerUnit, PressureUnit},
    units::{LengthUnit, MassUnit, SpanUnit, VolumeUnit},
};

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
    fn other_words_stay_apart() {
        assert_eq!(joined("pot-1 0417 0418"), ["pot-1", "0417", "0418"]);
    }
}
