//! The make-up of a water among the words of a line.

use burrline_terms::{Kind, units::VolumeUnit};

use super::Reader;
use crate::{
    Error,
    amount::{self, Amount},
    doubt,
    makeup::{self, MakeUp, Reading},
};

impl Reader<'_> {
    /// `ph7`, `pH: 7`, `ph is 7.2`.
    pub(super) fn ph(&mut self, at: usize, typed: &[&str]) -> Result<Option<usize>, Error> {
        let Some(field) = self.open_field(|f| f.name == "ph") else { return Ok(None) };
        let first = typed.first().map(|word| word.to_lowercase()).unwrap_or_default();
        let Some(glued) = first.strip_prefix("ph") else { return Ok(None) };
        let glued = glued.trim_start_matches([':', '=']);
        let (number, used) = if glued.is_empty() {
            let small = typed.get(1).is_some_and(|word| matches!(*word, "is" | "=" | "of" | "at"));
            let at = usize::from(small).saturating_add(1);
            (typed.get(at).copied().unwrap_or_default(), at.saturating_add(1))
        } else {
            (glued, 1)
        };
        let Amount::Is { value, .. } = amount::bare(number, self.lexicon.decimal_mark) else {
            return Ok(None);
        };
        let ph: f64 = value.parse().unwrap_or_default();
        if ph <= 14.0 {
            self.put(field.name, &value);
            return Ok(Some(used));
        }
        // `75` for 7.5.
        let tenth = ph / 10.0;
        let meant = (4.0..=14.0).contains(&tenth).then(|| format!("{tenth}"));
        let about = format!("{}: pH goes from 0 to 14, and {number} was said", self.spec.word);
        Err(self.readings(at, used, field, about, meant.into_iter().collect()))
    }

    /// A make-up, for a verb that takes one.
    pub(super) fn make_up(&mut self, at: usize, typed: &[&str]) -> Result<Option<usize>, Error> {
        let Some(add) = self.field(|f| matches!(f.kind(), Kind::Stuff)) else { return Ok(None) };
        if self.open_place() && self.lexicon.place(typed.first().unwrap_or(&"")).is_some() {
            return Ok(None);
        }
        // With their commas, which part one amount from the next.
        let raw: Vec<&str> =
            self.words.get(at..).unwrap_or_default().iter().map(String::as_str).collect();
        let used = makeup::extent(&raw, self.lexicon);
        let Some(words) = raw.get(..used).filter(|words| !words.is_empty()) else {
            // A comma that could be either mark stops it before the first word.
            return match makeup::make_up(self.spec.word, &raw, self.lexicon) {
                MakeUp::Unclear { about, readings } => {
                    Err(self.makeup_readings(at, typed.len(), about, readings))
                }
                MakeUp::Is { .. } | MakeUp::Wrong(_) => Ok(None),
            };
        };
        if let Some(stuff) = self.bought_without_strength(words) {
            self.put(add.name, &stuff);
            self.sorted.told.push(
                "peroxide without its strength: say it, such as 12 %, so that waters draw on it"
                    .to_owned(),
            );
            return Ok(Some(used));
        }
        match makeup::make_up(self.spec.word, words, self.lexicon) {
            MakeUp::Is { water, add: more, told } => {
                self.sorted.told.extend(told);
                self.tells_gallons(words);
                if let Some(water) = water {
                    self.water(&water)?;
                }
                for stuff in &more {
                    self.put(add.name, stuff);
                }
                Ok(Some(used))
            }
            MakeUp::Unclear { about, readings } => {
                Err(self.makeup_readings(at, used, about, readings))
            }
            MakeUp::Wrong(words) => Err(Error::usage(words)),
        }
    }

    /// `spent 38.50 peroxide 4 gal`: what it cost holds without the strength too.
    fn bought_without_strength(&self, words: &[&str]) -> Option<String> {
        if self.spec.word != "spent" {
            return None;
        }
        let volume =
            |words: &[&str]| match amount::amount(Kind::Volume, words, self.lexicon.decimal_mark) {
                Amount::Is { value, used } => Some((value, used)),
                Amount::No | Amount::Comma { .. } | Amount::Doubt { .. } => None,
            };
        let (what, value, used) = if let Some((what, named)) = makeup::is_stuff(words) {
            let (value, used) = volume(words.get(named..)?)?;
            (what, value, named.saturating_add(used))
        } else {
            let (value, used) = volume(words)?;
            let of = usize::from(words.get(used).is_some_and(|word| *word == "of"));
            let behind = used.saturating_add(of);
            let (what, named) = makeup::is_stuff(words.get(behind..)?)?;
            (what, value, behind.saturating_add(named))
        };
        (what == "peroxide" && used == words.len()).then(|| format!("{what}={value}"))
    }

    /// Outside the United States a gallon could be either: which one was taken is said.
    fn tells_gallons(&mut self, words: &[&str]) {
        let us = self.lexicon.fahrenheit == Some(true);
        let gallons = |word: &&str| {
            let word = word.trim_start_matches(|c: char| c.is_ascii_digit() || ".,/".contains(c));
            VolumeUnit::read(word) == Some(VolumeUnit::UsGallon)
        };
        let imperial = words.iter().any(|word| word.to_lowercase().starts_with("imp"));
        if !us && !imperial && words.iter().any(gallons) {
            self.sorted.told.push("gal: taken as US gallons; imp gal is the other".to_owned());
        }
    }

    /// Plain water is said once.
    fn water(&mut self, volume: &str) -> Result<(), Error> {
        let takes = self.field(|f| f.name == "water").is_some();
        if !takes || self.sorted.given.contains_key("water") {
            return Err(Error::usage(format!(
                "{}: {volume} of what? After an amount of peroxide say its strength, such as {volume} \
                 12 %; name anything else, such as soap {volume}",
                self.spec.word
            )));
        }
        self.put("water", volume);
        Ok(())
    }

    fn makeup_readings(
        &self,
        at: usize,
        used: usize,
        about: String,
        readings: Vec<Reading>,
    ) -> Error {
        let choices =
            readings.into_iter().map(|way| (way.label, self.replaced(at, used, &way.words)));
        doubt::unclear(about, choices)
    }
}
