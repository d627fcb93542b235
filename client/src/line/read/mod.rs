//! Which word of a line is for which field. Every word is accounted for, or nothing is recorded.
//!
//! A word is a value by its shape, one of a closed list, a value behind its field's own name, or part
//! of the one free text. What is none of these is asked about; it never falls into a field that is
//! still open.

mod animals;
mod skulls;
mod waters;

use std::collections::BTreeMap;

use burrline_domain::{
    Arity, Kind, Skull, Typed as _,
    verb::{FieldSpec, VerbSpec},
};

use super::{
    closed,
    details::Details,
    doubt,
    fit::{self, Fit},
    lexicon::Lexicon,
    text,
};
use crate::Error;

/// The words given for each field.
pub type Given = BTreeMap<&'static str, Vec<String>>;

/// What a line says, field by field, and about which skulls.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Sorted {
    /// The words for each field but the skull.
    pub given: Given,
    /// The skulls, as tag, job or both, with the piece: `0417/jaw`.
    pub skulls: Vec<String>,
    /// The place that the line is about, where its verb takes none.
    pub scope: Option<String>,
    /// Details of a person that stood among the words.
    pub details: Details,
    /// What is to be said of how a word was taken.
    pub told: Vec<String>,
    /// How the skull looked, where a verb that does not take it was said with it.
    pub looked: Given,
}

/// A line while it is read.
pub(super) struct Reader<'a> {
    pub(super) spec: &'static VerbSpec,
    pub(super) lexicon: &'a Lexicon,
    /// The words that are no options.
    pub(super) words: &'a [String],
    /// What the options said, to write a choice as a whole line.
    pub(super) options: Given,
    pub(super) sorted: Sorted,
    /// A word that is no tag has been read, so that a bare number is none any more.
    tags_end: bool,
}

/// Reads the words of a line that are no options, with what the options said.
///
/// # Errors
/// [`Error::Unclear`] for a word that has no place in the line, or more than one.
pub fn read(
    spec: &'static VerbSpec,
    words: &[String],
    options: Given,
    lexicon: &Lexicon,
) -> Result<Sorted, Error> {
    let mut sorted = Sorted { given: options.clone(), ..Sorted::default() };
    sorted.skulls.extend(sorted.given.remove("skull").unwrap_or_default());
    let mut reader = Reader { spec, lexicon, words, options, sorted, tags_end: false };
    reader.normal_options()?;
    let mut at = 0;
    while at < words.len() {
        let used = reader.step(at)?;
        at = at.saturating_add(used.max(1));
    }
    reader.sorted.drop_repeats();
    Ok(reader.sorted)
}

impl Sorted {
    /// A tag that was read twice, as by a scanner, is one skull.
    fn drop_repeats(&mut self) {
        let mut skulls: Vec<String> = Vec::with_capacity(self.skulls.len());
        for skull in std::mem::take(&mut self.skulls) {
            let same = |other: &String| match (Skull::read(other), Skull::read(&skull)) {
                (Ok(other), Ok(skull)) => other == skull,
                (_, _) => *other == skull,
            };
            if !skulls.iter().any(same) {
                skulls.push(skull);
            }
        }
        self.skulls = skulls;
    }
}

impl Reader<'_> {
    /// Reads the word at this place, with those after it that belong to it; says how many those are.
    fn step(&mut self, at: usize) -> Result<usize, Error> {
        let typed: Vec<&str> =
            self.words.get(at..).unwrap_or_default().iter().map(String::as_str).collect();
        let Some(&word) = typed.first() else { return Ok(1) };
        if let Some(used) = self.separated_text(&typed) {
            return Ok(used);
        }
        if let Some(used) = self.make_up(at, &typed)? {
            return Ok(used);
        }
        if let Some(used) = self.named(at, &typed)? {
            return Ok(used);
        }
        if let Some(used) = self.skull_or_tag(at, &typed)? {
            return Ok(used);
        }
        if self.piece(word) {
            return Ok(1);
        }
        if let Some(used) = self.place_word(at, &typed)? {
            return Ok(used);
        }
        let seen_tags = !self.sorted.skulls.is_empty();
        let used = self.of_a_kind(at, &typed)?;
        self.tags_end = self.tags_end || (used > 0 && seen_tags);
        if used > 0 {
            return Ok(used);
        }
        self.no_field(at, &typed)
    }

    /// Values that options gave, in their typed form: `--total 1,402.50`, `--by fri`.
    fn normal_options(&mut self) -> Result<(), Error> {
        for field in self.spec.fields.iter().filter(|f| f.name != "skull") {
            let Some(values) = self.sorted.given.get(field.name).cloned() else { continue };
            let mut normal = Vec::with_capacity(values.len());
            for value in values {
                normal.push(self.normal(field, value)?);
            }
            self.sorted.given.insert(field.name, normal);
        }
        Ok(())
    }

    fn normal(&self, field: &'static FieldSpec, value: String) -> Result<String, Error> {
        let typed: Vec<&str> = value.split_whitespace().collect();
        if field.kind() == Kind::Species {
            return self.species_name(&value).ok_or_else(|| self.unknown_animal(&value));
        }
        if matches!(field.kind(), Kind::Text | Kind::Open | Kind::Place | Kind::Switch) {
            return Ok(value);
        }
        match fit::fit_named(self.spec, field, &typed, self.lexicon) {
            Fit::Is { value, used } if used == typed.len() => Ok(value),
            Fit::Unclear { about, readings, .. } => {
                let with = |reading: &String| {
                    let mut options = self.options.clone();
                    options.insert(field.name, vec![reading.clone()]);
                    doubt::whole_line(self.spec, &[], &options, self.words)
                };
                Err(doubt::unclear(about, readings.iter().map(|r| (r.clone(), with(r)))))
            }
            Fit::Is { .. } | Fit::No => Ok(value),
        }
    }

    /// A field's own name with its value behind it: `nose broken`, `teeth 26`, `state CO`,
    /// `kill tag K-1042`; or in front, where that is how it is said: `26 teeth`, `broken nose`.
    fn named(&mut self, at: usize, typed: &[&str]) -> Result<Option<usize>, Error> {
        if self.is_a_name_wanted() {
            return Ok(None);
        }
        if let Some(used) = self.detail(typed) {
            return Ok(Some(used));
        }
        for length in [2, 1] {
            let Some(run) = typed.get(..length) else { continue };
            let name = run.join("_").to_lowercase().replace('-', "_");
            let Some(field) = self.open_field(|f| f.name == name) else { continue };
            let value = typed.get(length..).unwrap_or_default();
            if field.arity == Arity::Switch {
                self.put(field.name, "yes");
                return Ok(Some(length.saturating_add(usize::from(is_done_word(value.first())))));
            }
            if let Some(used) = self.behind_name(field, at, length, value)? {
                return Ok(Some(length.saturating_add(used)));
            }
        }
        Ok(self.value_then_name(typed))
    }

    /// The value behind a field's name.
    fn behind_name(
        &mut self,
        field: &'static FieldSpec,
        at: usize,
        length: usize,
        value: &[&str],
    ) -> Result<Option<usize>, Error> {
        let Some(first) = value.first() else { return Ok(None) };
        if field.kind() == Kind::Text {
            return Ok(Some(self.take_text(field, value)));
        }
        if field.kind() == Kind::Species {
            return self.species(at.saturating_add(length), value);
        }
        if let Kind::Place = field.kind() {
            self.put(field.name, first);
            return Ok(Some(1));
        }
        match fit::fit_named(self.spec, field, value, self.lexicon) {
            Fit::Is { value, used } => {
                self.put(field.name, &value);
                Ok(Some(used))
            }
            Fit::Unclear { about, readings, used } => {
                Err(self.readings(at, length.saturating_add(used), field, about, readings))
            }
            Fit::No => Ok(None),
        }
    }

    /// `26 teeth`, `broken nose`, `7.2 ph`.
    fn value_then_name(&mut self, typed: &[&str]) -> Option<usize> {
        let name = typed.get(1).map(|name| name.to_lowercase())?;
        let field = self.open_field(|f| f.name == name)?;
        let takes = matches!(field.kind(), Kind::Count | Kind::Number | Kind::Listed(_));
        let one: Vec<&str> = typed.iter().copied().take(1).collect();
        let first_is_tag = self.wants_skull() && self.sorted.skulls.is_empty();
        if !takes || first_is_tag {
            return None;
        }
        // `nose broken jaw whole`: the word before a name may be the value of the name before it.
        match fit::fit_named(self.spec, field, &one, self.lexicon) {
            Fit::Is { value, .. } => {
                self.put(field.name, &value);
                Some(2)
            }
            Fit::No | Fit::Unclear { .. } => None,
        }
    }

    /// `phone 555-0142`, `name Ada Fenn`: details that are sealed.
    fn detail(&mut self, typed: &[&str]) -> Option<usize> {
        if !super::details::taken_by(self.spec) {
            return None;
        }
        let (used, name, value) = super::details::named(typed)?;
        let free = self.sorted.details.set(name, &value);
        free.then_some(used)
    }

    /// A value of a field by its shape or its list; says how many words it took, none if it is none.
    fn of_a_kind(&mut self, at: usize, typed: &[&str]) -> Result<usize, Error> {
        if self.open_field(|f| f.kind() == Kind::Species).is_some()
            && let Some(used) = self.species(at, typed)?
        {
            return Ok(used);
        }
        if let Some(used) = self.sex(typed) {
            return Ok(used);
        }
        let fits: Vec<(&'static FieldSpec, Fit)> = self
            .spec
            .fields
            .iter()
            .filter(|field| self.is_open(field) && field.kind() != Kind::Place)
            .map(|field| (field, fit::fit(self.spec, field, typed, self.lexicon)))
            .filter(|(_, fit)| *fit != Fit::No)
            .collect();
        let longest = fits.iter().map(|(_, fit)| fit.used()).max().unwrap_or_default();
        let mut fits: Vec<_> = fits.into_iter().filter(|(_, fit)| fit.used() == longest).collect();
        if let Some(required) = fits.iter().position(|(field, _)| field.arity == Arity::One) {
            fits = vec![fits.swap_remove(required)];
        }
        match fits.as_slice() {
            [] => self.bare_value(at, typed),
            [(field, Fit::Is { value, used })] => {
                let (field, value, used) = (*field, value.clone(), *used);
                self.put(field.name, &value);
                Ok(used)
            }
            [(field, Fit::Unclear { about, readings, used })] => {
                Err(self.readings(at, *used, field, about.clone(), readings.clone()))
            }
            [_, ..] => {
                let fields = fits.iter().filter_map(|(field, fit)| match fit {
                    Fit::Is { value, .. } => Some((*field, value.clone())),
                    Fit::Unclear { .. } | Fit::No => None,
                });
                Err(self.which_field(at, longest, fields))
            }
        }
    }

    /// A bare number where the verb leaves no doubt what it is: degrees on a pot, points of an animal.
    fn bare_value(&mut self, at: usize, typed: &[&str]) -> Result<usize, Error> {
        let Some(&word) = typed.first() else { return Ok(0) };
        let number = word.parse::<f64>().ok();
        let Some(number) = number.filter(|_| word.starts_with(|c: char| c.is_ascii_digit())) else {
            return Ok(0);
        };
        if let Some(points) = self.open_field(|f| f.name == "points") {
            let some = self.sorted.given.contains_key("species") && !word.starts_with('0');
            if some && number <= f64::from(super::points::MOST) && word.parse::<u32>().is_ok() {
                self.put(points.name, word);
                return Ok(1);
            }
            return Err(self.what_figure(at, word));
        }
        let ph = self.open_field(|f| f.name == "ph").is_some();
        let Some(field) = self.open_field(|f| f.kind() == Kind::Temperature) else {
            return Ok(0);
        };
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

    /// Text behind a separator or in quotes, for the one free text of the verb.
    fn separated_text(&mut self, typed: &[&str]) -> Option<usize> {
        let &word = typed.first()?;
        let field = self.free_text()?;
        let skulls_missing = self.wants_skull() && self.sorted.skulls.is_empty();
        if self.is_a_name_wanted() {
            return None;
        }
        if text::is_separator(word) && typed.len() > 1 && !skulls_missing {
            let rest = typed.get(1..).unwrap_or_default();
            return Some(self.take_text(field, rest).saturating_add(1));
        }
        // Words with blanks were in quotes; a list's own word may be in quotes as well.
        let quoted = word.contains(char::is_whitespace);
        if quoted && !skulls_missing && self.lexicon.species.find(&[word]).used == 0 {
            self.put(field.name, word);
            return Some(1);
        }
        None
    }

    /// Takes what stands behind a separator, a field's name or the tags as text; says how many words.
    pub(super) fn take_text(&mut self, field: &'static FieldSpec, words: &[&str]) -> usize {
        let quoted = words.first().is_some_and(|word| word.contains(char::is_whitespace));
        let used = if quoted { 1 } else { words.len() };
        let text = words.get(..used).unwrap_or_default().join(" ");
        self.put(field.name, text.trim_start_matches(':').trim());
        used
    }

    /// The one free text of the verb that is still open.
    pub(super) fn free_text(&self) -> Option<&'static FieldSpec> {
        let open = |f: &FieldSpec| f.kind() == Kind::Text && self.is_open(f);
        let required = self.spec.fields.iter().find(|f| open(f) && f.arity == Arity::One);
        required.or_else(|| self.spec.fields.iter().find(|f| open(f) && text::is_free(f.name)))
    }

    pub(super) fn put(&mut self, field: &'static str, word: &str) {
        self.sorted.given.entry(field).or_default().push(word.to_owned());
    }

    /// A required name, such as what was measured, is the next word.
    fn is_a_name_wanted(&self) -> bool {
        let named = self.wants_skull() && self.sorted.skulls.is_empty();
        !named && self.open_field(|f| f.arity == Arity::One && f.kind() == Kind::Open).is_some()
    }

    pub(super) fn wants_skull(&self) -> bool {
        self.field(|f| f.kind() == Kind::Skull).is_some()
    }

    fn open_place(&self) -> bool {
        self.open_field(|f| f.kind() == Kind::Place).is_some()
    }

    fn required_place(&self) -> Option<&'static FieldSpec> {
        self.open_field(|f| f.kind() == Kind::Place && f.arity == Arity::One)
    }

    pub(super) fn field(&self, is: impl Fn(&FieldSpec) -> bool) -> Option<&'static FieldSpec> {
        self.spec.fields.iter().find(|f| is(f))
    }

    pub(super) fn open_field(&self, is: impl Fn(&FieldSpec) -> bool) -> Option<&'static FieldSpec> {
        self.spec.fields.iter().find(|f| self.is_open(f) && is(f))
    }

    pub(super) fn is_open_name(&self, name: &str) -> bool {
        self.open_field(|f| f.name == name).is_some()
    }

    /// Whether more can be said of a field.
    pub(super) fn is_open(&self, field: &FieldSpec) -> bool {
        field.kind() != Kind::Skull
            && field.kind() != Kind::Sealed
            && (field.arity == Arity::Many || !self.sorted.given.contains_key(field.name))
    }

    /// Whether any open field but a place takes the words at the front.
    fn of_any_kind(&self, typed: &[&str]) -> bool {
        self.spec.fields.iter().any(|field| {
            self.is_open(field) && fit::fit(self.spec, field, typed, self.lexicon) != Fit::No
        })
    }

    /// The words of the line with those at this place replaced.
    pub(super) fn replaced(&self, at: usize, used: usize, by: &[String]) -> Vec<String> {
        let mut words: Vec<String> = self.words.get(..at).unwrap_or_default().to_vec();
        words.extend_from_slice(by);
        words.extend(self.words.get(at.saturating_add(used)..).unwrap_or_default().iter().cloned());
        doubt::whole_line(self.spec, &[], &self.options, &words)
    }
}

/// `brain out`: a word that a switch may have behind it.
fn is_done_word(word: Option<&&str>) -> bool {
    word.is_some_and(|word| matches!(word.to_lowercase().as_str(), "out" | "yes" | "alone"))
}

impl Reader<'_> {
    /// A field that no word of the verb's own list or shape stands for: text, or a question.
    fn no_field(&mut self, at: usize, typed: &[&str]) -> Result<usize, Error> {
        if let Some(field) = self
            .open_field(|f| f.arity == Arity::One && matches!(f.kind(), Kind::Open | Kind::Setting))
            && (!self.wants_skull() || !self.sorted.skulls.is_empty())
        {
            let word = typed.first().copied().unwrap_or_default();
            // A closed list of usual words asks for its other words; a name that is new is just said.
            if closed::list(self.spec, field).is_none() {
                self.put(field.name, word);
                return Ok(1);
            }
            return Err(self.unusual(at, word, field));
        }
        if let Some(used) = self.look_words(typed).or_else(|| self.person(at, typed.len())) {
            return Ok(used);
        }
        if self.wants_skull() && self.sorted.skulls.is_empty() && self.sorted.scope.is_none() {
            return Err(self.no_place_for(at));
        }
        if let Some(field) = self.free_text()
            && let Some(used) = self.bare_text(field, at, typed)?
        {
            return Ok(used);
        }
        Err(self.no_place_for(at))
    }

    /// `ticket Ada Fenn 555-0199`: words that can be nothing but a person are sealed.
    fn person(&mut self, at: usize, count: usize) -> Option<usize> {
        let words = self.words.get(at..)?;
        if !matches!(self.spec.word, "ticket" | "add-customer") || !self.sorted.details.is_empty() {
            return None;
        }
        self.sorted.details = super::details::from_bare(words)?;
        Some(count)
    }

    /// `out 0431 clean`: how it looked as it came out.
    fn look_words(&mut self, typed: &[&str]) -> Option<usize> {
        if !matches!(self.spec.word, "out" | "in") {
            return None;
        }
        let look = burrline_domain::verb::spec("look")?;
        let tissue = look.fields.iter().find(|f| f.name == "tissue")?;
        let Fit::Is { value, used } = fit::fit(look, tissue, typed, self.lexicon) else {
            return None;
        };
        if self.sorted.looked.contains_key("tissue") {
            return None;
        }
        self.sorted.looked.insert("tissue", vec![value]);
        Some(used)
    }
}
