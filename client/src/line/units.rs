//! Numbers and their units, which hands type apart: `1420 g`, `12 %`, `8 pt`.

use burrline_domain::{
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
    fn other_words_stay_apart() {
        assert_eq!(joined("pot-1 0417 0418"), ["pot-1", "0417", "0418"]);
    }
}
