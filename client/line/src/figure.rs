//! Figures as hands type and say them: `1,240`, `.5`, `2 3/4`, `2-3/4`, `2¾`, `half a`, `two and a half`.

/// A number at the front of some words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Number {
    /// As it was typed, without its unit.
    pub(super) typed: String,
    /// What is written right behind it.
    pub(super) unit: String,
    /// Whole and part of an inch by the tape, or a half of anything.
    pub(super) fraction: Option<(String, String)>,
    /// It was said in letters, as in `two quarts`.
    pub(super) spelled: bool,
    pub(super) used: usize,
}

impl Number {
    /// The number in digits; none if a part of it is none that can be written so.
    pub(super) fn decimal(&self) -> Option<String> {
        match &self.fraction {
            Some((whole, part)) => part_of(whole, part),
            None => Some(self.typed.clone()),
        }
    }
}

/// Words with what is written together taken apart: `2lb3oz` is `2lb 3oz`, `180-190F` is `180 - 190F`.
#[derive(Debug, Clone, Default)]
pub(super) struct Parted {
    words: Vec<String>,
    /// Which of the typed words each is of.
    of: Vec<usize>,
}

/// So many words at the front are looked at; no amount is longer.
const LOOKED_AT: usize = 10;

impl Parted {
    pub(super) fn of(words: &[&str]) -> Self {
        let mut parted = Self::default();
        for (n, word) in words.iter().take(LOOKED_AT).enumerate() {
            for piece in pieces(word) {
                parted.words.push(piece);
                parted.of.push(n);
            }
        }
        parted
    }

    pub(super) fn words(&self) -> Vec<&str> {
        self.words.iter().map(String::as_str).collect()
    }

    /// How many typed words so many of these are; none if the last of them is only begun.
    pub(super) fn typed(&self, used: usize) -> Option<usize> {
        let last = self.of.get(used.checked_sub(1)?)?;
        (self.of.get(used) != Some(last)).then(|| last.saturating_add(1))
    }
}

/// The pieces of one typed word that are words of their own.
fn pieces(word: &str) -> Vec<String> {
    if let Some(rest) = word.strip_prefix('~').filter(|rest| begins_with_digit(rest)) {
        return std::iter::once("~".to_owned()).chain(pieces(rest)).collect();
    }
    let word = word.chars().map(vulgar).collect::<Vec<String>>().concat();
    let word = word.trim_start();
    if !begins_with_digit(word) {
        return vec![word.to_owned()];
    }
    if let Some((before, after)) = word.split_once(' ') {
        return [before, after].map(str::to_owned).to_vec();
    }
    if let Some((before, after)) = word.split_once(['-', '\u{2013}']) {
        if !begins_with_digit(after) || after.contains(['-', '\u{2013}']) {
            return vec![word.to_owned()];
        }
        let mixed = whole(before) && fraction(after).is_some();
        let dash = (!mixed).then(|| "-".to_owned());
        let (before, after) = (pieces(before), pieces(after));
        return before.into_iter().chain(dash).chain(after).collect();
    }
    let mut pieces = vec![String::new()];
    let mut last = ' ';
    for c in word.chars() {
        if c.is_ascii_digit()
            && (last.is_alphabetic() || is_foot(last))
            && let Some(piece) = pieces.last()
            && !piece.contains(['@', '='])
        {
            pieces.push(String::new());
        }
        if let Some(piece) = pieces.last_mut() {
            piece.push(c);
        }
        last = c;
    }
    pieces
}

fn is_foot(c: char) -> bool {
    matches!(c, '\'' | '\u{2019}' | '\u{2032}')
}

fn begins_with_digit(word: &str) -> bool {
    let bare = word.strip_prefix('.').unwrap_or(word);
    bare.starts_with(|c: char| c.is_ascii_digit() || vulgar(c).len() > c.len_utf8())
}

/// `¾` as ` 3/4`; anything else as it is.
fn vulgar(c: char) -> String {
    let text = match c {
        '\u{bd}' => " 1/2",
        '\u{bc}' => " 1/4",
        '\u{be}' => " 3/4",
        '\u{2153}' => " 1/3",
        '\u{2154}' => " 2/3",
        '\u{215b}' => " 1/8",
        '\u{215c}' => " 3/8",
        '\u{215d}' => " 5/8",
        '\u{215e}' => " 7/8",
        other => return other.to_string(),
    };
    text.to_owned()
}

/// The number at the front of words that were taken apart.
pub(super) fn number_at(words: &[&str]) -> Option<Number> {
    let first = words.first()?;
    let bare = first.strip_prefix(['-', '\u{2212}']).unwrap_or(first);
    if !begins_with_digit(bare) {
        return spelled(words);
    }
    let sign = if bare.len() < first.len() { "-" } else { "" };
    let end = bare.find(|c: char| !(c.is_ascii_digit() || ".,/".contains(c)));
    let (digits, unit) = bare.split_at_checked(end.unwrap_or(bare.len()))?;
    // `8-oz`, `5-gallon`.
    let unit = unit.strip_prefix('-').unwrap_or(unit).to_owned();
    if let Some((above, below)) = digits.split_once('/') {
        let part = whole(above) && whole(below);
        return part.then(|| Number {
            typed: digits.to_owned(),
            unit,
            fraction: Some((String::new(), digits.to_owned())),
            spelled: false,
            used: 1,
        });
    }
    // `1 1/2 gal`, `21 7/8`; a tag is typed with its leading nought.
    if unit.is_empty() && whole(digits) && (digits == "0" || !digits.starts_with('0')) {
        let rest = words.get(1..).unwrap_or_default();
        if let Some((part, unit, more)) = part_at(rest) {
            return Some(Number {
                typed: digits.to_owned(),
                unit,
                fraction: Some((digits.to_owned(), part)),
                spelled: false,
                used: more.saturating_add(1),
            });
        }
    }
    let nought = if digits.starts_with('.') { "0" } else { "" };
    let typed = format!("{sign}{nought}{digits}");
    Some(Number { typed, unit, fraction: None, spelled: false, used: 1 })
}

/// `3/4lb` or `and a half` behind a whole number: the part, the unit behind it, and how many words.
fn part_at(words: &[&str]) -> Option<(String, String, usize)> {
    let and = usize::from(words.first().is_some_and(|word| matches!(*word, "and" | "&" | "-")));
    let rest = words.get(and..)?;
    if let Some((part, unit)) = rest.first().and_then(|word| fraction(word)) {
        return Some((part, unit, and.saturating_add(1)));
    }
    let [a, part, ..] = rest else { return None };
    let part = share(part).filter(|_| and == 1 && is_a(a))?;
    Some((part.to_owned(), String::new(), 3))
}

/// `two`, `a`, `half a`, `two and a half`.
fn spelled(words: &[&str]) -> Option<Number> {
    let number = |typed: &str, fraction: Option<(String, String)>, used: usize| Number {
        typed: typed.to_owned(),
        unit: String::new(),
        fraction,
        spelled: true,
        used,
    };
    let first = words.first()?;
    let a_share = usize::from(is_a(first));
    if let Some(part) = words.get(a_share).and_then(|word| share(word)) {
        let of = words.get(a_share.saturating_add(1)..).unwrap_or_default();
        let of = match of {
            [of, a, ..] if *of == "of" && is_a(a) => 2,
            [a, ..] if is_a(a) => 1,
            _ => 0,
        };
        let used = a_share.saturating_add(1).saturating_add(of);
        return Some(number(part, Some((String::new(), part.to_owned())), used));
    }
    let whole = if is_a(first) { "1" } else { in_digits(&first.to_lowercase())? };
    if let Some((part, _, more)) = part_at(words.get(1..).unwrap_or_default()) {
        let fraction = Some((whole.to_owned(), part));
        return Some(number(whole, fraction, more.saturating_add(1)));
    }
    Some(number(whole, None, 1))
}

pub(super) fn is_a(word: &str) -> bool {
    word.eq_ignore_ascii_case("a") || word.eq_ignore_ascii_case("an")
}

pub(super) fn share(word: &str) -> Option<&'static str> {
    match word.to_lowercase().as_str() {
        "half" => Some("1/2"),
        "quarter" => Some("1/4"),
        _ => None,
    }
}

fn in_digits(word: &str) -> Option<&'static str> {
    Some(match word {
        "one" => "1",
        "two" => "2",
        "three" => "3",
        "four" => "4",
        "five" => "5",
        "six" => "6",
        "seven" => "7",
        "eight" => "8",
        "nine" => "9",
        "ten" => "10",
        "twelve" => "12",
        _ => return None,
    })
}

/// Whether a word is a part of one, such as `1/2`, and no piece of a skull.
pub(super) fn is_fraction(word: &str) -> bool {
    fraction(word).is_some_and(|(_, unit)| unit.is_empty())
}

/// `7/8`, or `7/8in` with what is written right behind it.
fn fraction(word: &str) -> Option<(String, String)> {
    let (above, below) = word.split_once('/')?;
    let end = below.find(|c: char| !c.is_ascii_digit()).unwrap_or(below.len());
    let (below, unit) = below.split_at_checked(end)?;
    let unit = unit.strip_prefix('-').unwrap_or(unit);
    (whole(above) && whole(below) && above.len() <= 2 && below.len() <= 2)
        .then(|| (format!("{above}/{below}"), unit.to_owned()))
}

pub(super) fn whole(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
}

/// A whole number and a half, quarter, eighth or sixteenth of anything, exactly.
fn part_of(above: &str, part: &str) -> Option<String> {
    let (top, bottom) = part.split_once('/')?;
    let (top, bottom): (u32, u32) = (top.parse().ok()?, bottom.parse().ok()?);
    let exact = matches!(bottom, 2 | 4 | 8 | 16) && top < bottom;
    let whole: u32 = if above.is_empty() { 0 } else { above.parse().ok()? };
    let tenths = top.checked_mul(10_000)?.checked_div(bottom)?;
    let text = format!("{whole}.{tenths:04}");
    exact.then(|| text.trim_end_matches('0').trim_end_matches('.').to_owned())
}

/// Feet and a half, quarter or more of one, as inches that are whole.
pub(super) fn inches_of(whole: &str, part: &str) -> Option<String> {
    let (top, bottom) = part.split_once('/')?;
    let (top, bottom): (u32, u32) = (top.parse().ok()?, bottom.parse().ok()?);
    let whole: u32 = if whole.is_empty() { 0 } else { whole.parse().ok()? };
    let rest = top.checked_mul(12)?;
    let even = rest.checked_rem(bottom)? == 0 && top < bottom;
    let inches = whole.checked_mul(12)?.checked_add(rest.checked_div(bottom)?)?;
    even.then(|| format!("{inches}in"))
}

/// `217/8` as `21 7/8`: the fractions that were typed without their blank.
pub(super) fn with_its_blank(part: &str) -> Vec<String> {
    let Some((above, below)) = part.split_once('/') else { return Vec::new() };
    let Ok(bottom) = below.parse::<u32>() else { return Vec::new() };
    let parts = (1..above.len()).filter_map(|at| {
        let (whole, top) = above.split_at_checked(at)?;
        let fits = !top.starts_with('0') && top.parse::<u32>().is_ok_and(|top| top < bottom);
        (fits && matches!(bottom, 2 | 4 | 8 | 16)).then(|| format!("{whole} {top}/{below}"))
    });
    parts.collect()
}

/// Whether the top of a fraction is not below its bottom: `9/8`.
pub(super) fn is_improper(part: &str) -> bool {
    let both = part
        .split_once('/')
        .and_then(|(above, below)| Some((above.parse::<u32>().ok()?, below.parse::<u32>().ok()?)));
    both.is_some_and(|(above, below)| above >= below)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(line: &str) -> String {
        let typed: Vec<&str> = line.split(' ').collect();
        let parted = Parted::of(&typed);
        let words = parted.words();
        let Some(number) = number_at(&words) else { return "no".to_owned() };
        let used = parted.typed(number.used).map_or("-".to_owned(), |used| used.to_string());
        format!("{} {:?} ({used})", number.decimal().unwrap_or_default(), number.unit)
    }

    #[test]
    fn figures_are_read_as_they_are_typed_and_said() {
        for (line, number) in [
            ("1420 g", "1420 \"\" (1)"),
            (".5 lb", "0.5 \"\" (1)"),
            ("2-3/4 lb", "2.75 \"\" (1)"),
            ("2-3/4lb", "2.75 \"lb\" (1)"),
            ("2\u{be} lb", "2.75 \"\" (1)"),
            ("\u{bd} gal", "0.5 \"\" (1)"),
            ("2 \u{bd} gal", "2.5 \"\" (2)"),
            ("2 and a half gal", "2.5 \"\" (4)"),
            ("two and a half gal", "2.5 \"\" (4)"),
            ("half a gallon", "0.5 \"\" (2)"),
            ("a half gallon", "0.5 \"\" (2)"),
            ("a cup", "1 \"\" (1)"),
            ("8-oz", "8 \"oz\" (1)"),
            ("0417 1/2", "0417 \"\" (1)"),
            ("g1-l 5", "no"),
        ] {
            assert_eq!(read(line), number, "{line}");
        }
        assert_eq!(with_its_blank("217/8"), ["21 7/8"]);
        assert_eq!(with_its_blank("93/8"), ["9 3/8"]);
        assert_eq!(with_its_blank("1315/16"), ["13 15/16", "131 5/16"]);
    }
}
