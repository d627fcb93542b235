//! What a question says: words sorted by the key word before them.

use std::collections::BTreeMap;

use burrline_line::units;
use burrline_reckon::chance::Confidence;
use burrline_terms::{
    Length, Mass, Temperature, Typed, Volume,
    measure::{
        HeatLoss, HeatLossUnit, Height, HeightUnit, Power, PowerUnit, Room, RoomUnit, Wind,
        WindUnit,
    },
    units::{LengthUnit, MassUnit, VolumeUnit},
};

use crate::{Error, Here};

/// A question: its words, numbers joined with their units, and its options.
#[derive(Debug, Clone)]
pub(super) struct Asked {
    topic: &'static str,
    words: Vec<String>,
    options: BTreeMap<&'static str, String>,
    here: Here,
    us: bool,
    raw: Vec<String>,
}

/// The words of a question by the key word before them; those before any are under "".
#[derive(Debug, Clone)]
pub(super) struct Phrases {
    topic: &'static str,
    phrases: BTreeMap<&'static str, Vec<String>>,
}

impl Asked {
    pub(super) fn new(
        topic: &'static str,
        raw: &[String],
        options: BTreeMap<&'static str, String>,
    ) -> Self {
        let words = fluid_ounces(units::join(&units::spoken(&molar(topic, raw))));
        Self { topic, words, options, here: Here::default(), us: false, raw: raw.to_vec() }
    }

    /// The same question, put here, with answers in US units or not.
    pub(super) fn put(&mut self, here: Here, us: bool) {
        self.here = here;
        self.us = us;
    }

    /// Where and when it is put.
    pub(super) const fn here(&self) -> &Here {
        &self.here
    }

    /// Whether the answer is to be in US units.
    pub(super) const fn in_us(&self) -> bool {
        self.us
    }

    /// An example in the units in force.
    pub(super) const fn example(&self, metric: &'static str, us: &'static str) -> &'static str {
        if self.us { us } else { metric }
    }

    /// The question as it was typed.
    pub(super) fn typed(&self) -> String {
        self.words.join(" ")
    }

    /// Whether an amount was typed in gallons, pounds, degrees Fahrenheit and the like.
    pub(super) fn typed_in_us(&self) -> bool {
        self.words.iter().any(|word| {
            let amount = word.rsplit('=').next().unwrap_or(word);
            let amount = amount.strip_prefix('-').unwrap_or(amount);
            amount.starts_with(|c: char| c.is_ascii_digit() || c == '.') && in_us(amount)
        })
    }

    /// The words as they were typed, before amounts were joined and spelled alike.
    pub(super) fn raw(&self) -> &[String] {
        &self.raw
    }

    /// The value of an option.
    pub(super) fn option(&self, name: &str) -> &str {
        self.options.get(name).map_or("", String::as_str)
    }

    /// The words, numbers joined with their units.
    pub(super) fn words(&self) -> &[String] {
        &self.words
    }

    /// The same question with these words in the place of its own.
    pub(super) fn with_words(&self, words: &[String]) -> Self {
        Self { words: words.to_vec(), ..self.clone() }
    }

    /// The same question, with words before its own.
    pub(super) fn led_by(mut self, words: &[String]) -> Self {
        self.words.splice(0..0, words.iter().cloned());
        self
    }

    /// The same question with a word apart that was taken for the unit of the number before it.
    pub(super) fn with_unit_apart(&self, unit: &str) -> Self {
        let apart = |word: &String| match word.strip_suffix(unit) {
            Some(number) if number.ends_with(|c: char| c.is_ascii_digit() || c == '.') => {
                vec![number.to_owned(), unit.to_owned()]
            }
            Some(_) | None => vec![word.clone()],
        };
        Self { words: self.words.iter().flat_map(apart).collect(), ..self.clone() }
    }

    /// Names with the words after each, in the order asked; `is_name` tells a name.
    ///
    /// # Errors
    /// [`Error::Usage`] if words come before a name, or a name comes twice.
    pub(super) fn groups(
        &self,
        is_name: impl Fn(&str) -> bool,
    ) -> Result<Vec<(String, Vec<String>)>, Error> {
        let topic = self.topic;
        let mut groups: Vec<(String, Vec<String>)> = Vec::new();
        for word in &self.words {
            if is_name(word) {
                if groups.iter().any(|(name, _)| name == word) {
                    return Err(Error::usage(format!("{topic}: say `{word}` once")));
                }
                groups.push((word.clone(), Vec::new()));
                continue;
            }
            let (_, words) = groups.last_mut().ok_or_else(|| {
                Error::usage(format!("{topic}: \u{201c}{word}\u{201d} comes before any name"))
            })?;
            words.push(word.clone());
        }
        Ok(groups)
    }

    /// The words by the key word before them, without `fillers`, which say nothing.
    ///
    /// # Errors
    /// [`Error::Usage`] if a key word comes twice.
    pub(super) fn phrases(
        &self,
        keys: &[&'static str],
        fillers: &[&str],
    ) -> Result<Phrases, Error> {
        let mut phrases: BTreeMap<&'static str, Vec<String>> = BTreeMap::new();
        let mut key = "";
        for word in &self.words {
            match keys.iter().find(|key| **key == word.as_str()) {
                Some(found) if phrases.contains_key(found) => {
                    let topic = self.topic;
                    return Err(Error::usage(format!("{topic}: say `{found}` once")));
                }
                Some(found) => {
                    key = found;
                    phrases.entry(key).or_default();
                }
                None if fillers.contains(&word.as_str()) => {}
                None => phrases.entry(key).or_default().push(word.clone()),
            }
        }
        Ok(Phrases { topic: self.topic, phrases })
    }
}

/// Whether an amount is in a unit of the United States, by every spelling that the lines read.
fn in_us(amount: &str) -> bool {
    let volume = Volume::read(amount).is_ok_and(|volume| {
        !matches!(
            volume.unit,
            VolumeUnit::Litre | VolumeUnit::Millilitre | VolumeUnit::ImperialGallon
        )
    });
    let mass = Mass::read(amount)
        .is_ok_and(|mass| !matches!(mass.unit, MassUnit::Gram | MassUnit::Kilogram));
    let length = Length::read(amount).is_ok_and(|length| {
        !matches!(length.unit, LengthUnit::Millimetre | LengthUnit::Centimetre)
    });
    volume
        || mass
        || length
        || Temperature::read(amount).is_ok_and(|temperature| temperature.fahrenheit)
        || Height::read(amount)
            .is_ok_and(|height| matches!(height.unit, HeightUnit::Foot | HeightUnit::Mile))
        || Power::read(amount).is_ok_and(|power| power.unit == PowerUnit::BtuPerHour)
        || HeatLoss::read(amount).is_ok_and(|loss| loss.unit == HeatLossUnit::BtuPerHourFahrenheit)
        || Wind::read(amount).is_ok_and(|wind| wind.unit == WindUnit::MilePerHour)
        || Room::read(amount).is_ok_and(|room| room.unit == RoomUnit::CubicFoot)
}

/// `0.02M`, `0.02 M`, as every book of the laboratory has it: moles in a litre, and no minutes.
fn molar(topic: &str, words: &[String]) -> Vec<String> {
    if !matches!(topic, "strength" | "assay") {
        return words.to_vec();
    }
    let number = |text: &str| text.parse::<f64>().is_ok();
    let mut out: Vec<String> = Vec::with_capacity(words.len());
    for word in words {
        let unit =
            |bare: &str| if bare.is_empty() || number(bare) { Some(bare.len()) } else { None };
        let molar = [("mM", "mmol/L"), ("M", "mol/L")].into_iter().find_map(|(short, long)| {
            let bare = word.strip_suffix(short)?;
            unit(bare).map(|_| format!("{bare}{long}"))
        });
        match (molar, out.last_mut()) {
            (Some(unit), Some(before)) if unit.starts_with('m') && number(before) => {
                before.push_str(&unit);
            }
            (Some(joined), _) if !joined.starts_with('m') => out.push(joined),
            _ => out.push(word.clone()),
        }
    }
    out
}

/// `32fl oz` is one amount, as `32 fl oz` is.
fn fluid_ounces(words: Vec<String>) -> Vec<String> {
    let mut out: Vec<String> = Vec::with_capacity(words.len());
    for word in words {
        let ounces = matches!(word.to_lowercase().as_str(), "oz" | "oz." | "ounce" | "ounces");
        let fluid = |before: &&mut String| {
            let before = before.to_lowercase();
            ["fl.", "fl", "fluid"].iter().any(|fluid| {
                before
                    .strip_suffix(fluid)
                    .is_some_and(|n| n.ends_with(|c: char| c.is_ascii_digit()))
            })
        };
        match out.last_mut().filter(fluid).filter(|_| ounces) {
            Some(before) => {
                let digits = before.trim_end_matches(|c: char| c == '.' || c.is_alphabetic());
                *before = format!("{digits}floz");
            }
            None => out.push(word),
        }
    }
    out
}

impl Phrases {
    /// The first word after a key word that reads as such a value, if there is one.
    pub(super) fn find<T: Typed>(&mut self, key: &str) -> Option<T> {
        let words = self.phrases.get_mut(key)?;
        let at = words.iter().position(|word| T::read(word).is_ok())?;
        T::read(&words.remove(at)).ok()
    }

    /// The value after a key word.
    ///
    /// # Errors
    /// If it is missing or does not read; `example` is the phrase as it should be.
    pub(super) fn want<T: Typed>(&mut self, key: &str, example: &str) -> Result<T, Error> {
        if let Some(found) = self.find(key) {
            return Ok(found);
        }
        let words = self.phrases.get(key).map(Vec::as_slice).unwrap_or_default();
        let topic = self.topic;
        match words.first().map(|word| T::read(word)) {
            Some(Err(bad)) => Err(Error::usage(format!("{topic}: {bad}; say it like `{example}`"))),
            Some(Ok(_)) | None => {
                Err(Error::usage(format!("{topic}: say it like `burrline reckon {example}`")))
            }
        }
    }

    /// The value after a key word that need not be there.
    ///
    /// # Errors
    /// If the key word is there and no such value follows.
    pub(super) fn maybe<T: Typed>(&mut self, key: &str, example: &str) -> Result<Option<T>, Error> {
        if self.has(key) { self.want(key, example).map(Some) } else { Ok(None) }
    }

    /// Whether a word was said after a key word; it is taken out.
    pub(super) fn word(&mut self, key: &str, word: &str) -> bool {
        let Some(words) = self.phrases.get_mut(key) else { return false };
        let before = words.len();
        words.retain(|said| said != word);
        words.len() < before
    }

    /// Takes a word out, wherever it was said.
    pub(super) fn drop_word(&mut self, word: &str) {
        self.phrases.values_mut().for_each(|words| words.retain(|said| said != word));
    }

    /// What is left after a key word, as one text.
    pub(super) fn rest(&mut self, key: &str) -> String {
        self.phrases.remove(key).unwrap_or_default().join(" ")
    }

    /// The words after a key word, which stay.
    pub(super) fn words_after(&self, key: &str) -> &[String] {
        self.phrases.get(key).map(Vec::as_slice).unwrap_or_default()
    }

    /// Every word after a key word.
    pub(super) fn take(&mut self, key: &str) -> Vec<String> {
        self.phrases.get_mut(key).map(std::mem::take).unwrap_or_default()
    }

    /// The number after a key word, with or without a per cent sign.
    ///
    /// # Errors
    /// If it is missing or is none; `example` is the phrase as it should be.
    pub(super) fn number(&mut self, key: &str, example: &str) -> Result<f64, Error> {
        let words = self.take(key);
        let topic = self.topic;
        let say = |words: String| {
            Error::usage(format!("{topic}: {words}; say it like `burrline reckon {example}`"))
        };
        let [word] = words.as_slice() else {
            return Err(say(format!("`{key}` takes one number, not {}", words.len())));
        };
        let bare = word.strip_suffix('%').unwrap_or(word);
        bare.parse().map_err(|_| say(format!("\u{201c}{word}\u{201d} is no number")))
    }

    /// How sure limits are to be, after `sure`; 95 % where it is not said.
    ///
    /// # Errors
    /// If that is no number, or limits at it say nothing.
    pub(super) fn sure(&mut self) -> Result<Confidence, Error> {
        if !self.has("sure") {
            return Ok(Confidence::USUAL);
        }
        let percent = self.number("sure", "how-often 3 of 40 sure 99%")?;
        Confidence::percent(percent).map_err(|bad| Error::usage(bad.to_string()))
    }

    /// Whether a key word was said.
    pub(super) fn has(&self, key: &str) -> bool {
        self.phrases.contains_key(key)
    }

    /// Says that nothing is left over.
    ///
    /// # Errors
    /// [`Error::Usage`] for a word that fits nowhere; `example` is a question as it should be.
    pub(super) fn done(self, example: &str) -> Result<(), Error> {
        match self.phrases.values().flatten().next() {
            Some(word) => Err(self.fits_nowhere(word, example)),
            None => Ok(()),
        }
    }

    /// A word that fits nowhere; `example` is a question as it should be.
    pub(super) fn fits_nowhere(&self, word: &str, example: &str) -> Error {
        Error::usage(format!(
            "{}: \u{201c}{word}\u{201d} fits nowhere; say it like `burrline reckon {example}`",
            self.topic
        ))
    }
}
