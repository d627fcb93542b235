//! Figures by name: `sixty five`, `a hundred and twenty`, `two gal`, where a sum or an amount is meant.

use super::plain;
use crate::{amount, closed};

/// Figures under twenty, by name.
const SMALL: &[&str] = &[
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
];

/// Tens, by name: from twenty on.
const TENS: &[&str] =
    &["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"];

/// Words for the money of a sum.
const MONEY: &[&str] = &["bucks", "buck", "dollars", "dollar"];

/// Verbs that take a sum.
const OF_SUMS: &[&str] = &["pay", "quote", "charge", "refund", "extra"];

/// Words that are not counted, and may stand before a unit.
const MORE: &[&str] = &["more", "whole", "full"];

fn small(word: &str) -> Option<u32> {
    let at = SMALL.iter().position(|name| *name == word)?;
    u32::try_from(at.saturating_add(1)).ok()
}

fn tens(word: &str) -> Option<u32> {
    let at = TENS.iter().position(|name| *name == word)?;
    u32::try_from(at.saturating_add(2).saturating_mul(10)).ok()
}

/// A figure below a hundred, and how many words it has: `sixty`, `sixty five`, `sixty-five`.
fn below_hundred(words: &[String]) -> Option<(u32, usize)> {
    let first = words.first()?;
    if let Some((front, behind)) = first.split_once('-') {
        let ones = small(behind).filter(|ones| *ones < 10)?;
        return Some((tens(front)?.saturating_add(ones), 1));
    }
    if let Some(tens) = tens(first) {
        let ones = words.get(1).and_then(|word| small(word)).filter(|ones| *ones < 10);
        return Some((tens.saturating_add(ones.unwrap_or(0)), if ones.is_some() { 2 } else { 1 }));
    }
    small(first).map(|figure| (figure, 1))
}

/// A figure by name in front, and how many words it has. `one twenty` may be 120 or 1.20, and is none.
fn figure(words: &[String]) -> Option<(u32, usize)> {
    let hundreds = match words {
        [count, hundred, ..] if hundred == "hundred" => {
            if count == "a" {
                Some(1)
            } else {
                small(count).filter(|count| *count < 10)
            }
        }
        _ => None,
    };
    let Some(hundreds) = hundreds else { return below_hundred(words) };
    let and = usize::from(words.get(2).is_some_and(|word| word == "and"));
    let behind = words.get(2_usize.saturating_add(and)..).unwrap_or_default();
    let hundreds = hundreds.saturating_mul(100);
    Some(match below_hundred(behind) {
        Some((rest, used)) => {
            (hundreds.saturating_add(rest), used.saturating_add(2).saturating_add(and))
        }
        None => (hundreds, 2),
    })
}

/// Whether a word is one of a figure by name.
fn names(word: &str) -> bool {
    word == "hundred" || tens(word).is_some() || small(word).is_some()
}

/// The words with each figure by name as a figure, where a sum was said or a unit follows: `0421 paid
/// sixty five cash`, `top-up pot-1 two gal`.
pub(super) fn figures(words: &[String]) -> Vec<String> {
    let small_words: Vec<String> = words.iter().map(|word| plain(word)).collect();
    let sums = small_words.iter().any(|word| {
        let verb = closed::synonym(word).unwrap_or(word);
        OF_SUMS.contains(&verb) || word == "cash" || MONEY.contains(&word.as_str())
    });
    let mut line: Vec<String> = Vec::with_capacity(words.len());
    let mut at = 0;
    while let Some(word) = words.get(at) {
        let read = figure(small_words.get(at..).unwrap_or_default());
        let read = read.filter(|(_, used)| {
            let word = |n: usize| small_words.get(at.saturating_add(n)).map_or("", String::as_str);
            let before = at.checked_sub(1).and_then(|at| small_words.get(at));
            let next = word(*used);
            let behind = word(used.saturating_add(1));
            let more = usize::from(MORE.contains(&next));
            let unit = word(used.saturating_add(more));
            let tag = before.is_some_and(|word| {
                word.len() >= 3 && word.bytes().all(|byte| byte.is_ascii_digit())
            });
            let less = unit == "off" && tag;
            let measured =
                less || amount::is_unit(unit) || matches!(unit, "point" | "pointer" | "points");
            // `one` alone is as often a word for a head.
            let sum = sums && (*used > 1 || word(0) != "one" || MONEY.contains(&next));
            let lone = !names(next) && !before.is_some_and(|word| names(word));
            // `a hundred and ...` goes on with what is no figure by name.
            let ends = !(next == "and" && behind.starts_with(|c: char| c.is_ascii_digit()));
            lone && ends && (sum || measured)
        });
        if let Some((figure, used)) = read {
            let last = words.get(at.saturating_add(used).saturating_sub(1));
            let comma = last.is_some_and(|word| word.ends_with(','));
            line.push(format!("{figure}{}", if comma { "," } else { "" }));
            at = at.saturating_add(used);
        } else {
            line.push(word.clone());
            at = at.saturating_add(1);
        }
    }
    line
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::split;

    #[test]
    fn a_figure_by_name_is_a_figure_where_a_sum_or_an_amount_is_meant() {
        for (typed, read) in [
            ("0421 paid sixty cash", "0421 paid 60 cash"),
            ("0421 paid sixty five cash", "0421 paid 65 cash"),
            ("0421 paid sixty-five, cash", "0421 paid 65, cash"),
            ("423 left a hundred cash", "423 left 100 cash"),
            ("421 paid a hundred and twenty card", "421 paid 120 card"),
            ("421 paid one hundred twenty five", "421 paid 125"),
            ("421 paid two hundred", "421 paid 200"),
            ("421 paid one twenty", "421 paid one twenty"),
            ("421 paid twenty thirty", "421 paid twenty thirty"),
            ("top-up pot-1 two gal", "top-up pot-1 2 gal"),
            ("424 ten more minutes", "424 10 more minutes"),
            ("wash ten", "wash ten"),
            ("wash this one", "wash this one"),
        ] {
            assert_eq!(figures(&split(typed).unwrap()).join(" "), read, "{typed}");
        }
    }
}
