//! Numbers with their units, as hands type them: `1,240 g`, `1/2 gal`, `2 lb 3 oz`, `12 percent`.

use burrline_terms::{
    Kind, number,
    units::{LengthUnit, MassUnit, SpanUnit, VolumeUnit},
};
use rust_decimal::Decimal;

use super::{
    figure::{self, Number, Parted, number_at, whole},
    lexicon::DecimalMark,
};

/// What the words at the front of a line are, as one value of a kind.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Amount {
    /// Nothing of that kind.
    No,
    /// A value: its typed form, and how many words it took.
    Is { value: String, used: usize },
    /// A comma that could be either mark: each reading as a value.
    Comma { typed: String, decimal: Option<String>, thousands: Option<String>, used: usize },
    /// What cannot be recorded as it was said, such as a range: why, and what may be meant.
    Doubt { about: String, readings: Vec<String>, used: usize },
}

/// Words that say that a figure is not exact.
const ROUGHLY: &[&str] =
    &["about", "around", "approx", "approx.", "approximately", "roughly", "ca", "ca.", "~"];

/// Whether a word says that the figure behind it is not exact.
pub(super) fn is_roughly(word: &str) -> bool {
    ROUGHLY.contains(&word.to_lowercase().as_str()) || word.starts_with('~')
}

/// Reads the words at the front as a value of this kind, which has a unit.
pub(super) fn amount(kind: Kind, words: &[&str], mark: Option<DecimalMark>) -> Amount {
    let parted = Parted::of(words);
    let pieces = parted.words();
    let roughly = usize::from(pieces.first().is_some_and(|word| is_roughly(word)));
    let figures = pieces.get(roughly..).unwrap_or_default();
    let range = range(kind, figures, "", mark);
    let read = range.unwrap_or_else(|| exact(kind, figures, mark));
    let typed = |used: usize| parted.typed(used.saturating_add(roughly));
    let read = match read {
        Amount::No => None,
        Amount::Is { value, used } => typed(used).map(|used| Amount::Is { value, used }),
        Amount::Comma { typed: text, decimal, thousands, used } => {
            typed(used).map(|used| Amount::Comma { typed: text, decimal, thousands, used })
        }
        Amount::Doubt { about, readings, used } => {
            typed(used).map(|used| Amount::Doubt { about, readings, used })
        }
    };
    read.unwrap_or(Amount::No)
}

/// Reads figures without a unit as a range in this unit: `180-190`, `17 to 18`.
pub(super) fn bare_range(
    kind: Kind,
    words: &[&str],
    unit: &str,
    mark: Option<DecimalMark>,
) -> Amount {
    let parted = Parted::of(words);
    let found = range(kind, &parted.words(), unit, mark);
    let Some(Amount::Doubt { about, readings, used }) = found else { return Amount::No };
    let typed = parted.typed(used);
    typed.map_or(Amount::No, |used| Amount::Doubt { about, readings, used })
}

/// A figure without a unit at the front, in the units: its value in each, and how many words it took.
pub(super) fn without_unit(words: &[&str], units: &[&str]) -> Option<(Vec<String>, usize)> {
    let parted = Parted::of(words);
    let pieces = parted.words();
    let number = number_at(&pieces).filter(|number| number.unit.is_empty() && !number.spelled)?;
    let used = parted.typed(number.used)?;
    let values = units.iter().filter_map(|unit| match (&number.fraction, *unit) {
        (Some((whole, part)), "in") => Some(format!("{whole} {part}in").trim().to_owned()),
        _ => Some(format!("{}{unit}", number.decimal()?)),
    });
    Some((values.collect(), used))
}

/// One value, without a word before it.
fn exact(kind: Kind, words: &[&str], mark: Option<DecimalMark>) -> Amount {
    // `- 4 F`: below nought, with a blank behind the sign.
    if kind == Kind::Temperature
        && let [minus, rest @ ..] = words
        && matches!(minus.to_lowercase().as_str(), "-" | "\u{2212}" | "\u{2013}" | "minus")
        && let Amount::Is { value, used } = exact(kind, rest, mark)
    {
        let below = !value.starts_with('-');
        let value = format!("-{value}");
        return if below { Amount::Is { value, used: used.saturating_add(1) } } else { Amount::No };
    }
    let Some(number) = number_at(words) else { return Amount::No };
    let rest = words.get(number.used..).unwrap_or_default();
    if let Some(both) = feet(kind, &number, rest).or_else(|| compound(kind, &number, rest)) {
        return both;
    }
    let Some((unit, more)) = unit_of(kind, &number, rest) else { return Amount::No };
    let used = number.used.saturating_add(more);
    if number.spelled && (unit.len() == 1 && more == 1 && rest.first().is_some_and(is_letter)) {
        return Amount::No;
    }
    if let Some((whole, part)) = &number.fraction {
        return of_fraction(kind, whole, part, &unit, used);
    }
    // `an hour and a half`.
    if let Some([and, a, part, ..]) = words.get(used..)
        && *and == "and"
        && let Some(part) = figure::share(part).filter(|_| figure::is_a(a))
    {
        return of_fraction(kind, &number.typed, part, &unit, used.saturating_add(3));
    }
    plain(&number.typed, &unit, used, mark)
}

/// `a C` is no temperature.
fn is_letter(word: &&str) -> bool {
    word.chars().count() == 1
}

/// `21 7/8 in`, `1 1/2 gal`; what no tape and no cup has is asked about.
fn of_fraction(kind: Kind, whole: &str, part: &str, unit: &str, used: usize) -> Amount {
    if figure::is_improper(part) {
        let near = if whole.is_empty() { figure::with_its_blank(part) } else { Vec::new() };
        let readings = near.iter().filter_map(|text| {
            let (whole, part) = text.split_once(' ')?;
            match of_fraction(kind, whole, part, unit, used) {
                Amount::Is { value, .. } => Some(value),
                Amount::No | Amount::Comma { .. } | Amount::Doubt { .. } => None,
            }
        });
        let typed = format!("{whole} {part}");
        return Amount::Doubt {
            about: format!("{} is no fraction that is measured", typed.trim()),
            readings: readings.collect(),
            used,
        };
    }
    // Less than an hour is said in minutes.
    if unit == "h" && whole.is_empty() && matches!(part, "1/2" | "1/4" | "3/4") {
        let minutes = match part {
            "1/2" => "30min",
            "1/4" => "15min",
            _ => "45min",
        };
        return Amount::Is { value: minutes.to_owned(), used };
    }
    // A third of a cup is 16 teaspoons, and that of an hour 20 minutes, exactly.
    if let Some((top, "3")) = part.split_once('/')
        && let Ok(top) = top.parse::<u32>()
        && let Ok(whole) = if whole.is_empty() { Ok(0) } else { whole.parse::<u32>() }
        && let Some(thirds) = whole.checked_mul(3).and_then(|thirds| thirds.checked_add(top))
        && let Some((each, small)) = match unit {
            "cup" => Some((16_u32, "tsp")),
            "h" => Some((20, "min")),
            _ => None,
        }
    {
        return Amount::Is { value: format!("{}{small}", thirds.saturating_mul(each)), used };
    }
    let number = Number {
        typed: String::new(),
        unit: String::new(),
        fraction: Some((whole.to_owned(), part.to_owned())),
        spelled: false,
        used,
    };
    let value = if kind == Kind::Length && unit == "in" {
        Some(format!("{whole} {part}{unit}").trim().to_owned())
    } else {
        number.decimal().map(|number| format!("{number}{unit}"))
    };
    if kind == Kind::Length && unit == "in" && number.decimal().is_none() {
        let about = format!("{whole} {part} in: a tape has halves, quarters, 8ths and 16ths");
        return Amount::Doubt { about, readings: Vec::new(), used };
    }
    value.map_or(Amount::No, |value| Amount::Is { value, used })
}

/// `3-4 %`, `180 to 190 F`, `between 3 and 4 %`: one figure is recorded, so which is asked. Where no
/// unit is said it is `bare`, if that is any.
fn range(kind: Kind, words: &[&str], bare: &str, mark: Option<DecimalMark>) -> Option<Amount> {
    let lower = |n: usize| words.get(n).map(|word| word.to_lowercase());
    let opens = usize::from(lower(0).is_some_and(|w| matches!(w.as_str(), "between" | "from")));
    let first = number_at(words.get(opens..)?)?;
    let mut at = opens.saturating_add(first.used);
    let unit_at =
        |number: &Number, at: usize| unit_of(kind, number, words.get(at..).unwrap_or_default());
    // By the tape a fraction is of an inch without a word for it.
    let first_unit = unit_at(&first, at).filter(|(_, more)| *more > 0 || !first.unit.is_empty());
    at = at.saturating_add(first_unit.as_ref().map_or(0, |(_, more)| *more));
    let joins = lower(at)?;
    let joined = match joins.as_str() {
        "-" | "\u{2013}" | "to" | "or" => true,
        "and" => opens == 1,
        _ => false,
    };
    at = at.saturating_add(1);
    let second = number_at(words.get(at..)?).filter(|_| joined)?;
    at = at.saturating_add(second.used);
    let (unit, more) = match unit_at(&second, at) {
        Some(found) => found,
        None if !bare.is_empty() && second.unit.is_empty() => (bare.to_owned(), 0),
        None => return None,
    };
    if first_unit.is_some_and(|(other, _)| other != unit) {
        return None;
    }
    let used = at.saturating_add(more);
    let decimal = |number: &Number| {
        let text = number.decimal()?;
        match plain(&text, "", 0, mark) {
            Amount::Is { value, .. } => number::read(&value),
            Amount::No | Amount::Comma { .. } | Amount::Doubt { .. } => None,
        }
    };
    let (low, high) = (decimal(&first)?, decimal(&second)?);
    if low >= high {
        return None;
    }
    let value = |number: &Number| match (&number.fraction, unit.as_str()) {
        (Some((whole, part)), "in") => Some(format!("{whole} {part}in").trim().to_owned()),
        _ => Some(format!("{}{unit}", number.decimal()?)),
    };
    let middle = low.saturating_add(high).checked_div(Decimal::TWO)?.normalize();
    let readings = [value(&first), Some(format!("{middle}{unit}")), value(&second)];
    Some(Amount::Doubt {
        about: format!("{} is a range, and one figure is recorded", words.get(..used)?.join(" ")),
        readings: readings.into_iter().flatten().collect(),
        used,
    })
}

/// Reads the word at the front as a bare number; `money` may have a currency's sign.
pub(super) fn bare(word: &str, mark: Option<DecimalMark>) -> Amount {
    let starts = word.starts_with(|c: char| c.is_ascii_digit() || c == '.');
    let digits = word.chars().all(|c| c.is_ascii_digit() || c == '.' || c == ',');
    if starts && digits { plain(word, "", 1, mark) } else { Amount::No }
}

fn plain(typed: &str, unit: &str, used: usize, mark: Option<DecimalMark>) -> Amount {
    let (sign, digits) = typed.strip_prefix('-').map_or(("", typed), |rest| ("-", rest));
    let value = |text: &str| format!("{sign}{text}{unit}");
    if let Some(both) = either(digits, mark) {
        let (decimal, thousands) = (both.decimal.as_deref(), both.thousands.as_deref());
        // A point is no settled mark where the shop writes a comma.
        let mark = mark.filter(|_| digits.contains(','));
        return match (mark, decimal, thousands) {
            (Some(DecimalMark::Point), _, Some(number))
            | (Some(DecimalMark::Comma), Some(number), _) => {
                Amount::Is { value: value(number), used }
            }
            (_, decimal, thousands) => Amount::Comma {
                typed: typed.to_owned(),
                decimal: decimal.map(value),
                thousands: thousands.map(value),
                used,
            },
        };
    }
    match number::read(digits) {
        // Groups that are surely groups are written without them.
        Some(_) => Amount::Is { value: value(&digits.replace(',', "")), used },
        None => Amount::No,
    }
}

/// Both readings of digits whose mark is not clear in this shop.
fn either(digits: &str, mark: Option<DecimalMark>) -> Option<number::CommaReadings> {
    let point = mark == Some(DecimalMark::Comma) && digits.contains('.');
    if !point {
        return number::comma(digits);
    }
    // Where the comma is the decimal mark, a point before three figures may part thousands.
    let swapped: String = digits
        .chars()
        .map(|c| match c {
            '.' => ',',
            ',' => '.',
            other => other,
        })
        .collect();
    let both = number::comma(&swapped)?;
    both.thousands.is_some().then_some(both)
}

/// The most that is said in feet alone; above it an inch mark was meant.
const FEET: u32 = 7;

/// `1 ft 5 in`, `1' 5"`: feet, which are recorded in inches.
fn feet(kind: Kind, number: &Number, rest: &[&str]) -> Option<Amount> {
    let is_foot = |word: &str| {
        let word = word.to_lowercase();
        let word = word.trim_end_matches('.');
        matches!(word, "ft" | "foot" | "feet" | "'" | "\u{2019}" | "\u{2032}")
    };
    if kind != Kind::Length {
        return None;
    }
    let more = usize::from(number.unit.is_empty());
    let unit = if more == 1 { rest.first().copied()? } else { number.unit.as_str() };
    let feet: u32 = number.typed.parse().ok().filter(|_| is_foot(unit))?;
    if let Some((whole, part)) = &number.fraction {
        let text = figure::inches_of(whole, part)?;
        return Some(Amount::Is { value: text, used: number.used.saturating_add(more) });
    }
    let inches = feet.checked_mul(12)?;
    let used = number.used.saturating_add(more);
    let behind = rest.get(more..).unwrap_or_default();
    let further = number_at(behind).filter(|number| !number.spelled);
    let further = further.and_then(|second| {
        let after = behind.get(second.used..).unwrap_or_default();
        let unit = unit_of(kind, &second, after);
        let (unit, more) = match unit {
            Some(found) => found,
            None if second.unit.is_empty() => ("in".to_owned(), 0),
            None => return None,
        };
        let whole = match &second.fraction {
            Some((whole, _)) if whole.is_empty() => "0",
            Some((whole, _)) => whole.as_str(),
            None => second.typed.as_str(),
        };
        let (whole, tenths) = whole.split_once('.').unwrap_or((whole, ""));
        let whole: u32 = whole.parse().ok().filter(|inches| *inches < 12 && unit == "in")?;
        let whole = inches.checked_add(whole)?;
        let value = match &second.fraction {
            Some((_, part)) => format!("{whole} {part}in"),
            None if tenths.is_empty() => format!("{whole}in"),
            None => format!("{whole}.{tenths}in"),
        };
        Some((value, second.used.saturating_add(more)))
    });
    Some(match further {
        Some((value, more)) => Amount::Is { value, used: used.saturating_add(more) },
        None if feet > FEET => Amount::Doubt {
            about: format!("{feet} feet, or {feet} inches?"),
            readings: vec![format!("{feet}in"), format!("{inches}in")],
            used,
        },
        None => Amount::Is { value: format!("{inches}in"), used },
    })
}

/// `2 lb 3 oz`, `2 pounds and 3 ounces` and `2 h 30 min`: a larger unit and a smaller one.
#[allow(clippy::wildcard_enum_match_arm, reason = "two kinds are spoken in two units")]
fn compound(kind: Kind, number: &Number, rest: &[&str]) -> Option<Amount> {
    if number.fraction.is_some() || !whole(&number.typed) {
        return None;
    }
    let (large, small) = match kind {
        Kind::Mass => ("lb", "oz"),
        Kind::Span => ("h", "min"),
        _ => return None,
    };
    let (_, more) = unit_of(kind, number, rest).filter(|(unit, _)| unit == large)?;
    let and = usize::from(rest.get(more).is_some_and(|word| matches!(*word, "and" | "&")));
    let more = more.saturating_add(and);
    let after = rest.get(more..).unwrap_or_default();
    let second = number_at(after).filter(|second| second.spelled == number.spelled)?;
    let behind = after.get(second.used..).unwrap_or_default();
    let further = match unit_of(kind, &second, behind) {
        Some((unit, further)) => (unit == small).then_some(further)?,
        // `2h30`, `2 h 30`: nothing else than minutes.
        None if kind == Kind::Span
            && second.unit.is_empty()
            && and == 0
            && second.typed.len() == 2 =>
        {
            0
        }
        None => return None,
    };
    let used = [number.used, more, second.used, further].iter().sum();
    if kind == Kind::Span {
        let hours: u32 = number.typed.parse().ok()?;
        let minutes: u32 = second.typed.parse().ok().filter(|_| second.fraction.is_none())?;
        let value = format!("{}min", hours.checked_mul(60)?.checked_add(minutes)?);
        return Some(Amount::Is { value, used });
    }
    let ounces = second.decimal()?;
    let (whole, part) = ounces.split_once('.').unwrap_or((&ounces, ""));
    let (pounds, whole): (u32, u32) = (number.typed.parse().ok()?, whole.parse().ok()?);
    if whole < 16 {
        return Some(Amount::Is { value: format!("{pounds}lb{ounces}oz"), used });
    }
    let carried = pounds.checked_add(whole.checked_div(16)?)?;
    let left = whole.checked_rem(16)?;
    let left = if part.is_empty() { left.to_string() } else { format!("{left}.{part}") };
    Some(Amount::Doubt {
        about: format!("{pounds} lb {ounces} oz: a pound has 16 oz"),
        readings: vec![format!("{carried}lb{left}oz")],
        used,
    })
}

/// The unit of a number: behind it, or in the next one or two words; and how many those are.
fn unit_of(kind: Kind, number: &Number, rest: &[&str]) -> Option<(String, usize)> {
    if !number.unit.is_empty() {
        // `35% w/w`, `2L`.
        let behind = rest.first().filter(|next| is_basis(next));
        let joined = behind.map(|next| format!("{}{next}", number.unit));
        if let Some(unit) = joined.and_then(|joined| unit(kind, &joined)) {
            return Some((unit, 1));
        }
        return unit(kind, &number.unit).map(|unit| (unit, 0));
    }
    let joined = |count: usize| rest.get(..count).map(<[&str]>::concat);
    for count in [2, 1] {
        let found = joined(count).and_then(|joined| unit(kind, &joined));
        if let Some(unit) = found {
            return Some((unit, count));
        }
    }
    // By the tape a fraction is of an inch.
    (kind == Kind::Length && number.fraction.is_some()).then(|| ("in".to_owned(), 0))
}

fn is_basis(word: &str) -> bool {
    matches!(word.to_lowercase().as_str(), "w/v" | "w/w" | "wv" | "ww")
}

/// The unit as a value of this kind has it in its typed form.
#[allow(clippy::wildcard_enum_match_arm, reason = "few kinds have units")]
pub(super) fn unit(kind: Kind, word: &str) -> Option<String> {
    let lower = word.to_lowercase();
    let bare = lower.trim_end_matches('.');
    let text = match kind {
        Kind::Volume if matches!(bare, "cc" | "mls") => VolumeUnit::Millilitre.word(),
        Kind::Volume => VolumeUnit::read(word)?.word(),
        Kind::Mass if matches!(bare, "#" | "lbs") => MassUnit::Pound.word(),
        Kind::Mass if bare == "ozs" => MassUnit::Ounce.word(),
        Kind::Mass => MassUnit::read(word).filter(|unit| *unit != MassUnit::PoundOunce)?.word(),
        Kind::Length if matches!(bare, "''" | "\u{201d}" | "\u{2033}") => LengthUnit::Inch.word(),
        Kind::Length => LengthUnit::read(word)?.word(),
        Kind::Span => SpanUnit::read(word)?.word(),
        Kind::Strength => match bare {
            "%" | "percent" | "pct" | "%w/v" | "%wv" | "percentw/v" => "%",
            "%w/w" | "%ww" | "percentw/w" => "%w/w",
            "vol" | "vols" | "volume" | "volumes" => "vol",
            _ => return None,
        },
        Kind::Temperature => match bare.trim_start_matches('\u{b0}') {
            "c" | "degc" | "celsius" | "degreesc" | "degreescelsius" => "C",
            "f" | "degf" | "fahrenheit" | "degreesf" | "degreesfahrenheit" => "F",
            _ => return None,
        },
        _ => return None,
    };
    Some(text.to_owned())
}

/// How many words at the front are a value of anything that has units.
pub(super) fn measured(words: &[&str]) -> Option<usize> {
    MEASURED.iter().find_map(|kind| match amount(*kind, words, None) {
        Amount::Is { used, .. } => Some(used),
        Amount::No | Amount::Comma { .. } | Amount::Doubt { .. } => None,
    })
}

/// Whether a word is a unit of anything that a bench measures.
pub fn is_unit(word: &str) -> bool {
    MEASURED.iter().any(|kind| unit(*kind, word).is_some())
}

/// The kinds that have units.
pub(super) const MEASURED: [Kind; 6] =
    [Kind::Volume, Kind::Mass, Kind::Length, Kind::Span, Kind::Strength, Kind::Temperature];

/// The units of a kind in words, with an example, for whoever typed another one.
#[allow(clippy::wildcard_enum_match_arm, reason = "few kinds have units")]
pub(super) const fn units(kind: Kind) -> Option<(&'static str, &'static str)> {
    Some(match kind {
        Kind::Volume => ("a volume", "L, mL, gal, qt, pint, cup, fl oz, imp gal"),
        Kind::Mass => ("a weight", "g, kg, lb, oz, or both as in 2 lb 3 oz"),
        Kind::Length => ("a length", "in, cm, mm, with a fraction as in 21 7/8 in"),
        Kind::Span => ("a time", "min, h, d"),
        Kind::Strength => ("a strength", "%, % w/w, vol"),
        Kind::Temperature => ("a temperature", "C, F"),
        _ => return None,
    })
}

#[cfg(test)]
mod tests;
