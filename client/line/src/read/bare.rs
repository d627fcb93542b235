//! Words that stand there without a name or a unit: bare numbers, words of no list, people.

use burrline_domain::verb::FieldSpec;
use burrline_terms::{
    Arity, Kind, Tag,
    words::{Group, Headgear, YesNo},
};

use super::Reader;
use crate::{
    Error, closed,
    familiar::{Familiar, familiar},
    fit::{self, Fit},
    points, text,
    unclear::Unclear,
};

impl Reader<'_> {
    /// A bare number where the verb leaves no doubt what it is: degrees on a pot, points of an animal.
    pub(super) fn bare_value(&mut self, at: usize, typed: &[&str]) -> Result<usize, Error> {
        let Some(&word) = typed.first() else { return Ok(0) };
        let number = word.parse::<f64>().ok();
        let Some(number) = number.filter(|_| word.starts_with(|c: char| c.is_ascii_digit())) else {
            return Ok(0);
        };
        if let Some(points) = self.open_field(|f| f.name == "points") {
            let deer = self.is_antlered_deer() && !word.starts_with('0');
            let usual = (2.0..=f64::from(points::MOST)).contains(&number);
            if deer && usual && word.parse::<u32>().is_ok() {
                self.put(points.name, word);
                return Ok(1);
            }
            return Err(self.what_figure(at, word));
        }
        let ph = self.open_field(|f| f.name == "ph").is_some();
        let Some(field) = self.open_field(|f| f.kind() == Kind::Temperature) else {
            return Ok(0);
        };
        let usual = !ph || (number > 100.0 && self.lexicon.fahrenheit == Some(true));
        if let Some(odd) = self.odd_degrees(at, 1, word).filter(|_| usual) {
            return Err(odd);
        }
        if !ph {
            return match fit::degrees(word, self.lexicon) {
                Fit::Is { value, .. } => {
                    self.put(field.name, &value);
                    Ok(1)
                }
                Fit::Unclear { about, readings, used } => {
                    Err(self.readings(at, used, field, about, readings))
                }
                Fit::No => Ok(0),
            };
        }
        // No strength and no pH is a hundred: above it, it is degrees of a shop's own scale.
        if number > 100.0 && self.lexicon.fahrenheit == Some(true) {
            self.put(field.name, &format!("{word}F"));
            return Ok(1);
        }
        Err(self.bare_reading(at, word))
    }

    /// A word of a list that several fields of the verb have, named or not: it must be named.
    pub(super) fn of_shared_list(
        &self,
        at: usize,
        fits: &[(&'static FieldSpec, Fit)],
    ) -> Option<Error> {
        let listed = |f: &&FieldSpec| matches!(f.kind(), Kind::Listed(_));
        let shared: Vec<(&'static FieldSpec, String)> = fits
            .iter()
            .filter(|(field, _)| listed(field))
            .filter_map(|(field, fit)| match fit {
                Fit::Is { value, .. } => Some((*field, value.clone())),
                Fit::No | Fit::Unclear { .. } => None,
            })
            .collect();
        let (field, _) = shared.first()?;
        let alike = self.spec.fields.iter().filter(|other| other.kind() == field.kind()).count();
        let used = fits.first().map_or(1, |(_, fit)| fit.used());
        (alike > 1).then(|| self.which_field(at, used, shared.into_iter()))
    }

    /// Whether the head can have points that are counted without being named.
    pub(super) fn is_antlered_deer(&self) -> bool {
        let said = self.sorted.given.get("species").and_then(|words| words.first());
        let species = said.and_then(|said| self.lexicon.species.one(said));
        species.is_some_and(|species| {
            species.head == Headgear::Antlers && species.group == Group::Deer
        })
    }

    /// A field that no word of the verb's own list or shape stands for: text, or a question.
    pub(super) fn no_field(&mut self, at: usize, typed: &[&str]) -> Result<usize, Error> {
        if let Some(field) = self
            .open_field(|f| f.arity == Arity::One && matches!(f.kind(), Kind::Open | Kind::Setting))
            && (!self.wants_skull() || !self.sorted.skulls.is_empty())
        {
            let word = typed.first().copied().unwrap_or_default();
            // A closed list of usual words asks for its other words; a name that is new is just said.
            if closed::list(self.spec, field).is_none() {
                if let Some(numbered) = self.numbered_place(at, word) {
                    return Err(numbered);
                }
                if Tag::looks_like(word) || text::is_negative(word) {
                    return Err(self.negative(field, word));
                }
                if let Some(taken) = self.taken_name(field, at, word) {
                    return Err(taken);
                }
                self.put(field.name, word);
                return Ok(1);
            }
            return Err(self.unusual(at, word, field));
        }
        if let Some(error) = self.without_unit(at, typed) {
            return Err(error);
        }
        if let Some(used) = self.look_words(typed) {
            return Ok(used);
        }
        let word = typed.first().copied().unwrap_or_default();
        let said = self.lies_words(at).or_else(|| self.state_code(word));
        if let Some(used) = said.or_else(|| self.parcel_words(at)) {
            return Ok(used);
        }
        if let Some(unsaid) = self.value_unsaid(typed) {
            return Err(unsaid);
        }
        if self.wants_skull() && self.sorted.skulls.is_empty() && self.sorted.scope.is_none() {
            return Err(self.no_place_for(at));
        }
        if let Some(used) = self.measured_last(at, typed)? {
            return Ok(used);
        }
        if let Some(used) = self.seen_at_take_in(at, typed) {
            return Ok(used);
        }
        if let Some(field) = self.free_text()
            && let Some(used) = self.bare_text(field, at, typed)?
        {
            return Ok(used);
        }
        Err(self.no_place_for(at))
    }

    /// `charge 0417 rush 25`, `hours fleshing 2h`: what it was for stands before the value that the verb
    /// must have.
    fn measured_last(&mut self, at: usize, typed: &[&str]) -> Result<Option<usize>, Error> {
        let wanted = |f: &FieldSpec| {
            let must = f.arity == Arity::One || self.spec.word == "extra";
            must && matches!(f.kind(), Kind::Money | Kind::Span)
        };
        let (Some(value), Some(text)) = (self.open_field(wanted), self.free_text()) else {
            return Ok(None);
        };
        // The fewest words before a value that goes to the end.
        let found = (1..typed.len()).find_map(|n| {
            let rest = typed.get(n..)?;
            match fit::fit(self.spec, value, rest, self.lexicon) {
                Fit::Is { value, used } if used == rest.len() => Some((n, value)),
                Fit::Is { .. } | Fit::No | Fit::Unclear { .. } => None,
            }
        });
        let Some((n, amount)) = found else { return Ok(None) };
        let Some(before) = typed.get(..n) else { return Ok(None) };
        // `fleshing for 2 h`.
        let before = match before {
            [words @ .., last] if last.eq_ignore_ascii_case("for") => words,
            words => words,
        };
        let n = before.len();
        let figure = before.iter().any(|word| word.contains(|c: char| c.is_ascii_digit()));
        if figure || before.iter().any(|word| text::is_turning(word)) {
            return Ok(None);
        }
        self.put(value.name, &amount);
        // `extra 0417 plaque oak 40`: which one.
        let known = |word: &&str| familiar(word, self.lexicon) == Familiar::Word;
        if self.spec.word == "extra" && !before.iter().any(known) {
            self.put(text.name, &before.join(" "));
            return Ok(Some(typed.len()));
        }
        let Some(used) = self.bare_text(text, at, before)? else {
            self.sorted.given.remove(value.name);
            return Ok(None);
        };
        Ok((used == n).then_some(typed.len()))
    }

    /// `swap-tag 0417 0512 witness`: the name of a field ends the line, and its value is not said.
    fn value_unsaid(&self, typed: &[&str]) -> Option<Error> {
        let [name] = typed else { return None };
        let open = |f: &FieldSpec| f.typed_name().eq_ignore_ascii_case(name) && closed::is_open(f);
        let field = self.open_field(open)?.typed_name();
        Some(Error::Unclear(Unclear::without_choice(format!(
            "{}: {field} is not said; say it behind its name, as in `{field} NAME`",
            self.spec.word
        ))))
    }

    /// `out 0431 clean`: how it looked as it came out.
    pub(super) fn look_words(&mut self, typed: &[&str]) -> Option<usize> {
        if !matches!(self.spec.word, "out" | "in") {
            return None;
        }
        let look = burrline_domain::verb::spec("look")?;
        let low: Vec<String> = typed.iter().take(2).map(|word| word.to_lowercase()).collect();
        let low: Vec<&str> = low.iter().map(String::as_str).collect();
        let greasy = match low.as_slice() {
            ["not" | "no", "greasy" | "grease", ..] => Some((YesNo::No, 2)),
            ["greasy", ..] if typed.len() == 1 => Some((YesNo::Yes, 1)),
            ["greasy", "still"] | ["still", "greasy"] => Some((YesNo::Yes, 2)),
            _ => None,
        };
        let (field, value, used) = if let Some((answer, used)) = greasy {
            ("greasy", answer.word().to_owned(), used)
        } else {
            let tissue = look.fields.iter().find(|f| f.name == "tissue")?;
            let Fit::Is { value, used } = fit::fit(look, tissue, typed, self.lexicon) else {
                return None;
            };
            ("tissue", value, used)
        };
        if self.sorted.looked.contains_key(field) {
            return None;
        }
        self.sorted.looked.insert(field, vec![value]);
        Some(used)
    }
}
