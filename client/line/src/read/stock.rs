//! What is booked into stock or counted there, said in other ways than `soda 50 lb`.

use burrline_terms::Kind;

use super::Reader;
use crate::{
    Error,
    amount::{self, Amount},
    doubt, makeup, near,
    unclear::Unclear,
    ways::spaced,
};

/// Words that say that nothing is left.
const NONE_LEFT: &[&str] = &["none", "out", "gone", "empty", "nothing", "0", "zero", "nil"];

/// Words that a name of stock ends at.
const ENDS: &[&str] = &["at", "for", "lot", "cost", "from", "with", "and", "by", "@", "of", "in"];

impl Reader<'_> {
    /// Stock that is asked about; nothing if the words here say it in full, or say none.
    pub(super) fn stock(&self, at: usize, typed: &[&str]) -> Result<(), Error> {
        let counts = self.spec.word == "count-stock";
        let books = matches!(self.spec.word, "receive-stock" | "spent");
        if !(counts || books) || self.sorted.given.contains_key("stuff") {
            return Ok(());
        }
        if counts && let Some(error) = self.none_left(at, typed) {
            return Err(error);
        }
        if let Some(error) = self.without_its_unit(at, typed) {
            return Err(error);
        }
        self.unusual_stock(at, typed).map_or(Ok(()), Err)
    }

    /// A line of stock with this in place of some words.
    fn with_stock(&self, at: usize, used: usize, stuff: &str) -> Vec<String> {
        self.replaced(at, used, &[stuff.to_owned()])
    }

    /// `no soda`, `soda out`: stock is kept by weight or by volume, so it is asked by which.
    fn none_left(&self, at: usize, typed: &[&str]) -> Option<Error> {
        let lower: Vec<String> = typed.iter().map(|word| word.to_lowercase()).collect();
        let lower: Vec<&str> = lower.iter().map(String::as_str).collect();
        let before = match lower.as_slice() {
            ["out", "of", ..] => 2,
            ["no", ..] => 1,
            [first, ..] if NONE_LEFT.contains(first) => 1,
            _ => 0,
        };
        let (what, named) = makeup::is_stuff(lower.get(before..)?)?;
        let rest = lower.get(before.saturating_add(named)..).unwrap_or_default();
        let (strength, of_it) =
            match amount::amount(Kind::Strength, rest, self.lexicon.decimal_mark) {
                Amount::Is { value, used } => (Some(value), used),
                Amount::No | Amount::Comma { .. } | Amount::Doubt { .. } => (None, 0),
            };
        let after = match rest.get(of_it..).unwrap_or_default() {
            _ if before > 0 => 0,
            ["all" | "is" | "are", last] if NONE_LEFT.contains(last) => 2,
            [last] if NONE_LEFT.contains(last) => 1,
            _ => return None,
        };
        let used = [before, named, of_it, after].iter().sum();
        let verb = self.spec.word;
        if what == "peroxide" && strength.is_none() {
            return Some(Error::Unclear(Unclear::without_choice(format!(
                "{verb}: none of which peroxide? Say its strength, such as `count-stock peroxide 0 gal \
                 12 %`"
            ))));
        }
        let us = self.lexicon.fahrenheit == Some(true);
        let (volume, mass) = if us { ("gal", "lb") } else { ("L", "kg") };
        let units: &[&str] = match makeup::is_liquid(&what) {
            _ if strength.is_some() => &[volume],
            Some(true) => &[volume, mass],
            Some(false) | None => &[mass, volume],
        };
        let at_strength = strength.as_ref().map(|value| format!("@{value}")).unwrap_or_default();
        let behind = strength.as_deref().map(|value| format!(" {}", spaced(value)));
        let choices = units.iter().map(|unit| {
            let label = format!("{what} 0 {unit}{}", behind.as_deref().unwrap_or_default());
            (label, self.with_stock(at, used, &format!("{what}=0{unit}{at_strength}")))
        });
        Some(doubt::unclear(format!("{verb}: is there no {what} left?"), choices))
    }

    /// `soda 3`: of which unit.
    fn without_its_unit(&self, at: usize, typed: &[&str]) -> Option<Error> {
        let (what, named) = makeup::is_stuff(typed)?;
        let us = self.lexicon.fahrenheit == Some(true);
        let units: &[&str] = match (makeup::is_liquid(&what), us) {
            (Some(true), true) => &["gal", "qt"],
            (Some(true), false) => &["L", "mL"],
            (_, true) => &["lb", "oz"],
            (_, false) => &["kg", "g"],
        };
        let rest = typed.get(named..)?;
        let (values, used) = amount::without_unit(rest, units)?;
        let measured = [Kind::Volume, Kind::Mass]
            .iter()
            .any(|kind| amount::amount(*kind, rest, self.lexicon.decimal_mark) != Amount::No);
        let strong = amount::amount(Kind::Strength, rest, self.lexicon.decimal_mark) != Amount::No;
        let unit_typed = rest.get(used).is_some_and(|word| word.chars().all(char::is_alphabetic));
        if measured || strong || unit_typed || what == "peroxide" || what == "water" {
            return None;
        }
        let all = named.saturating_add(used);
        let figure = rest.get(..used)?.join(" ");
        let mut choices: Vec<(String, Vec<String>)> = values
            .iter()
            .map(|value| {
                let line = self.with_stock(at, all, &format!("{what}={value}"));
                (format!("{what} {}", spaced(value)), line)
            })
            .collect();
        let pieces = format!("{what}={figure}");
        choices.push((format!("{what} {figure}, counted"), self.with_stock(at, all, &pieces)));
        Some(doubt::unclear(format!("{}: {figure} has no unit", self.spec.word), choices))
    }

    /// `6 qt clear-coat`: what is not usually in stock, under the name that was typed.
    fn unusual_stock(&self, at: usize, typed: &[&str]) -> Option<Error> {
        let mark = self.lexicon.decimal_mark;
        let measured = |words: &[&str]| {
            [Kind::Volume, Kind::Mass].iter().find_map(|kind| {
                match amount::amount(*kind, words, mark) {
                    Amount::Is { value, used } => Some((value, used)),
                    Amount::No | Amount::Comma { .. } | Amount::Doubt { .. } => None,
                }
            })
        };
        let (name, value, used) = if let Some((value, used)) = measured(typed) {
            let of = usize::from(typed.get(used).is_some_and(|word| *word == "of"));
            let from = used.saturating_add(of);
            let name = name_at(typed.get(from..)?)?;
            let used = from.saturating_add(name.len());
            (name, value, used)
        } else {
            let name = name_at(typed)?;
            let (value, used) = measured(typed.get(name.len()..)?)?;
            let used = name.len().saturating_add(used);
            (name, value, used)
        };
        let meant = near::near(&name.join("-"), makeup::STUFF.iter().map(|(name, _)| *name));
        let own = name.join("-").to_lowercase();
        let mut choices: Vec<(String, Vec<String>)> = meant
            .into_iter()
            .map(|meant| {
                let words = [meant.to_owned(), value.clone()];
                (format!("{meant} {}", spaced(&value)), self.replaced(at, used, &words))
            })
            .collect();
        let line = self.with_stock(at, used, &format!("{own}={value}"));
        choices.push((format!("{own} {}, as typed", spaced(&value)), line));
        Some(doubt::unclear(
            format!("{}: {own} is not one of the usual words", self.spec.word),
            choices,
        ))
    }
}

/// The words at the front that can name stock which has no name of its own here.
fn name_at<'a>(words: &'a [&'a str]) -> Option<Vec<&'a str>> {
    let is_name = |word: &&&str| {
        let plain = word.chars().all(|c| c.is_alphabetic() || c == '-');
        plain && !ENDS.contains(&word.to_lowercase().as_str())
    };
    if makeup::is_stuff(words).is_some_and(|(what, _)| what != "water") {
        return None;
    }
    let name: Vec<&str> = words.iter().take_while(is_name).take(3).copied().collect();
    let named = name.first().is_some_and(|word| word.len() > 1);
    (named && makeup::is_stuff(&name).is_none_or(|(what, _)| what == "water")).then_some(name)
}
