//! Numbers with their units, as hands type them: `1,240 g`, `1/2 gal`, `2 lb 3 oz`, `12 percent`.

use burrline_terms::{
    Kind, number,
    units::{LengthUnit, MassUnit, SpanUnit, VolumeUnit},
};

use super::lexicon::DecimalMark;

/// What the words at the front of a line are, as one value of a kind.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Amount {
    /// Nothing of that kind.
    No,
    /// A value: its typed form, and how many words it took.
    Is { value: String, used: usize },
    /// A comma that could be either mark: each reading as a value.
    Comma { typed: String, decimal: Option<String>, thousands: Option<String>, used: usize },
}

/// A number at the front of some words.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Number {
    /// As it was typed, without its unit.
    typed: String,
    /// What is written right behind it.
    unit: String,
    /// Whole and part of an inch by the tape, or a half of anything.
    fraction: Option<(String, String)>,
    used: usize,
}

/// Reads the words at the front as a value of this kind, which has a unit.
pub(super) fn amount(kind: Kind, words: &[&str], mark: Option<DecimalMark>) -> Amount {
    let Some(number) = number_at(words) else { return Amount::No };
    let rest = words.get(number.used..).unwrap_or_default();
    if let Some(both) = compound(kind, &number, rest) {
        return both;
    }
    let Some((unit, more)) = unit_of(kind, &number, rest) else { return Amount::No };
    let used = number.used.saturating_add(more);
    if let Some((whole, part)) = &number.fraction {
        let value = if kind == Kind::Length {
            Some(format!("{whole} {part}{unit}"))
        } else {
            halves(whole, part).map(|number| format!("{number}{unit}"))
        };
        let trimmed = value.map(|value| value.trim().to_owned());
        return trimmed.map_or(Amount::No, |value| Amount::Is { value, used });
    }
    plain(&number.typed, &unit, used, mark)
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

fn number_at(words: &[&str]) -> Option<Number> {
    let first = words.first()?;
    let bare = first.strip_prefix(['-', '\u{2212}']).unwrap_or(first);
    if !bare.starts_with(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let sign = if bare.len() < first.len() { "-" } else { "" };
    let end = bare.find(|c: char| !(c.is_ascii_digit() || ".,/".contains(c)));
    let (digits, unit) = bare.split_at_checked(end.unwrap_or(bare.len()))?;
    if let Some((above, below)) = digits.split_once('/') {
        let part = whole(above) && whole(below);
        return part.then(|| Number {
            typed: digits.to_owned(),
            unit: unit.to_owned(),
            fraction: Some((String::new(), digits.to_owned())),
            used: 1,
        });
    }
    // `1 1/2 gal`, `21 7/8`; a tag is typed with its leading nought.
    if unit.is_empty()
        && whole(digits)
        && !digits.starts_with('0')
        && let Some((part, unit)) = words.get(1).and_then(|next| fraction(next))
    {
        return Some(Number {
            typed: digits.to_owned(),
            unit,
            fraction: Some((digits.to_owned(), part)),
            used: 2,
        });
    }
    let (typed, fraction) = (format!("{sign}{digits}"), None);
    Some(Number { typed, unit: unit.to_owned(), fraction, used: 1 })
}

/// `7/8`, or `7/8in` with what is written right behind it.
fn fraction(word: &str) -> Option<(String, String)> {
    let (above, below) = word.split_once('/')?;
    let end = below.find(|c: char| !c.is_ascii_digit()).unwrap_or(below.len());
    let (below, unit) = below.split_at_checked(end)?;
    (whole(above) && whole(below) && above.len() <= 2 && below.len() <= 2)
        .then(|| (format!("{above}/{below}"), unit.to_owned()))
}

fn whole(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
}

/// A whole number and a half, quarter, eighth or sixteenth of anything, exactly.
fn halves(above: &str, part: &str) -> Option<String> {
    let (top, bottom) = part.split_once('/')?;
    let (top, bottom): (u32, u32) = (top.parse().ok()?, bottom.parse().ok()?);
    let exact = matches!(bottom, 2 | 4 | 8 | 16) && top < bottom;
    let whole: u32 = if above.is_empty() { 0 } else { above.parse().ok()? };
    let tenths = top.checked_mul(10_000)?.checked_div(bottom)?;
    let text = format!("{whole}.{tenths:04}");
    exact.then(|| text.trim_end_matches('0').to_owned())
}

/// `2 lb 3 oz` and `2 h 30 min`: a larger unit and a smaller one.
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
    let (unit, more) = unit_of(kind, number, rest)?;
    let after = rest.get(more..).unwrap_or_default();
    let second = number_at(after).filter(|second| second.fraction.is_none())?;
    let behind = after.get(second.used..).unwrap_or_default();
    let (second_unit, further) = unit_of(kind, &second, behind)?;
    if unit != large || second_unit != small {
        return None;
    }
    let used = [number.used, more, second.used, further].iter().sum();
    let value = if kind == Kind::Mass {
        format!("{}lb{}oz", number.typed, second.typed)
    } else {
        let hours: u32 = number.typed.parse().ok()?;
        let minutes: u32 = second.typed.parse().ok()?;
        format!("{}min", hours.checked_mul(60)?.checked_add(minutes)?)
    };
    Some(Amount::Is { value, used })
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
        Kind::Volume => VolumeUnit::read(word)?.word(),
        Kind::Mass => MassUnit::read(word).filter(|unit| *unit != MassUnit::PoundOunce)?.word(),
        Kind::Length => LengthUnit::read(word)?.word(),
        Kind::Span => SpanUnit::read(word)?.word(),
        Kind::Strength => match bare {
            "%" | "percent" | "pct" | "%w/v" | "%wv" | "percentw/v" => "%",
            "%w/w" | "%ww" | "percentw/w" => "%w/w",
            "vol" | "vols" | "volume" | "volumes" => "vol",
            _ => return None,
        },
        Kind::Temperature => match bare.trim_start_matches('\u{b0}') {
            "c" | "degc" | "celsius" | "degreesc" => "C",
            "f" | "degf" | "fahrenheit" | "degreesf" => "F",
            _ => return None,
        },
        _ => return None,
    };
    Some(text.to_owned())
}

/// Whether a word is a unit of anything that a bench measures.
pub(super) fn is_unit(word: &str) -> bool {
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
mod tests {
    use super::*;

    fn read(kind: Kind, line: &str, mark: Option<DecimalMark>) -> String {
        let words: Vec<&str> = line.split(' ').collect();
        match amount(kind, &words, mark) {
            Amount::No => "no".to_owned(),
            Amount::Is { value, used } => format!("{value} ({used})"),
            Amount::Comma { decimal, thousands, .. } => {
                let text = |one: Option<String>| one.unwrap_or_else(|| "-".to_owned());
                format!("{} or {}?", text(decimal), text(thousands))
            }
        }
    }

    #[test]
    fn units_are_read_as_they_are_typed() {
        for (kind, line, value) in [
            (Kind::Mass, "1420 g", "1420g (2)"),
            (Kind::Mass, "2 lb 3 oz 0418", "2lb3oz (4)"),
            (Kind::Mass, "2lb 3oz", "2lb3oz (2)"),
            (Kind::Mass, "2.5 lbs", "2.5lb (2)"),
            (Kind::Volume, "1/2 gal", "0.5gal (2)"),
            (Kind::Volume, "1 1/2 gallons", "1.5gal (3)"),
            (Kind::Volume, "8 fl oz", "8floz (3)"),
            (Kind::Volume, "3 gal.", "3gal (2)"),
            (Kind::Volume, "2 imp gal", "2impgal (3)"),
            (Kind::Volume, "1 cup", "1cup (2)"),
            (Kind::Strength, "12 percent", "12% (2)"),
            (Kind::Strength, "12 per cent", "12% (3)"),
            (Kind::Strength, "40 Vol", "40vol (2)"),
            (Kind::Strength, "35 % w/w", "35%w/w (3)"),
            (Kind::Strength, "35% w/w", "35%w/w (2)"),
            (Kind::Temperature, "190F", "190F (1)"),
            (Kind::Temperature, "190 \u{b0}F", "190F (2)"),
            (Kind::Temperature, "-18 C", "-18C (2)"),
            (Kind::Length, "21 7/8", "21 7/8in (2)"),
            (Kind::Length, "13 9/16 in", "13 9/16in (3)"),
            (Kind::Length, "21.5 cm", "21.5cm (2)"),
            (Kind::Span, "2 h 30 min", "150min (4)"),
            (Kind::Span, "6 hours", "6h (2)"),
            (Kind::Mass, "0417 wash", "no"),
            (Kind::Volume, "1/3 cup", "no"),
        ] {
            assert_eq!(read(kind, line, None), value, "{line}");
        }
    }

    #[test]
    fn a_comma_is_asked_about_until_the_shop_has_settled_it() {
        let all = |line: &str, kind: Kind| {
            [None, Some(DecimalMark::Point), Some(DecimalMark::Comma)]
                .map(|mark| read(kind, line, mark))
        };
        assert_eq!(
            all("1,402 kg", Kind::Mass),
            ["1.402kg or 1402kg?", "1402kg (2)", "1.402kg (2)"]
        );
        assert_eq!(all("3,0 %", Kind::Strength), ["3.0% or -?", "3.0% or -?", "3.0% (2)"]);
        assert_eq!(all("1,402.5 g", Kind::Mass)[0], "1402.5g (2)");
        assert_eq!(all("1.402 kg", Kind::Mass)[2], "1.402kg or 1402kg?");
        assert_eq!(all("2.5 kg", Kind::Mass)[2], "2.5kg (2)");
    }
}
