//! Which word of a line is for which field. Every word is accounted for, or nothing is recorded.
//!
//! A word is a value by its shape, one of a closed list, a value behind its field's own name, or part
//! of the one free text. What is none of these is asked about; it never falls into a field that is
//! still open.

mod animals;
mod bare;
mod conditions;
mod counties;
mod everyday;
mod figures;
mod fillers;
mod named;
mod new_names;
mod parcels;
mod people;
mod settings;
mod skulls;
mod stock;
mod texts;
mod turned;
mod waters;
mod whole;

use std::collections::BTreeMap;

use burrline_domain::verb::{FieldSpec, VerbSpec};
use burrline_terms::{Arity, Kind, Skull, Typed as _};

use super::{
    details::Details,
    doubt,
    fit::{self, Fit},
    lexicon::Lexicon,
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
    /// `all` was said in place of tags.
    pub all: bool,
    /// Those that `all but` leaves out.
    pub but: Vec<String>,
    /// Details of a person that stood among the words.
    pub details: Details,
    /// What is to be said of how a word was taken.
    pub told: Vec<String>,
    /// A remark behind a dash, where the verb has no text: a note beside it.
    pub noted: Option<String>,
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
    /// The word before was a tag, so that a piece belongs to it.
    after_tag: bool,
    /// `each` was said, so that a figure is meant for every skull.
    each: bool,
    /// The word before was the value of a field that takes any word, which may go on: where its name
    /// stands, and the field.
    open_value: Option<(usize, &'static FieldSpec)>,
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
    let mut reader = Reader {
        spec,
        lexicon,
        words,
        options,
        sorted,
        tags_end: false,
        after_tag: false,
        each: false,
        open_value: None,
    };
    reader.normal_options()?;
    let mut at = 0;
    while at < words.len() {
        let used = reader.step(at)?;
        at = at.saturating_add(used.max(1));
    }
    reader.sorted.drop_repeats();
    reader.kind_of_name();
    reader.setting_said()?;
    reader.whole()?;
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
        // A comma behind a word parts it from the next and is none of it.
        let words = self.words.get(at..).unwrap_or_default().iter();
        let typed: Vec<&str> = words.map(|word| without_comma(word)).collect();
        let Some(&word) = typed.first() else { return Ok(1) };
        let after_tag = std::mem::take(&mut self.after_tag);
        let open_value = self.open_value.take();
        if word.contains(char::is_whitespace)
            && let Some(used) = self.person(at)?
        {
            return Ok(used);
        }
        if let Some(used) = self.separated_text(at, &typed)? {
            return Ok(used);
        }
        if let Some(used) = self.noted(at, word) {
            return Ok(used);
        }
        if self.spec.word == "top-up" && word.eq_ignore_ascii_case("to") {
            return Err(Error::usage(
                "top-up: say how much went in, as in `top-up pot-1 2 gal`, not up to where",
            ));
        }
        if let Some(used) = self.everyday(at, &typed)? {
            return Ok(used);
        }
        if self.is_filler(&typed) || self.is_each(word) {
            return Ok(1);
        }
        self.stock(at, &typed)?;
        if let Some(used) = self.figure(at, &typed)? {
            return Ok(used);
        }
        if let Some(used) = self.make_up(at, &typed)? {
            return Ok(used);
        }
        if let Some(used) = self.piece_of(&typed).or_else(|| self.not_so(&typed)) {
            return Ok(used);
        }
        if let Some(used) = self.condition_words(at, &typed) {
            return Ok(used);
        }
        if let Some(used) = self.named(at, &typed)? {
            self.tags_end = self.tags_end || !self.sorted.skulls.is_empty();
            return Ok(used);
        }
        if let Some(used) = self.person(at)? {
            self.tags_end = self.tags_end || !self.sorted.skulls.is_empty();
            return Ok(used);
        }
        if self.is_all(word) {
            self.sorted.all = true;
            return Ok(1);
        }
        if let Some(used) = self.all_but(&typed) {
            return Ok(used);
        }
        let skulls = self.sorted.skulls.len();
        if let Some(used) = self.skull_or_tag(at, &typed)? {
            self.after_tag = self.sorted.skulls.len() > skulls;
            return Ok(used);
        }
        if after_tag && let Some(used) = self.piece(at, &typed)? {
            return Ok(used);
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
        if open_value.is_some()
            && let Some(used) = self.state_code(word)
        {
            return Ok(used);
        }
        if let Some((_, field)) = open_value
            && self.usual_at_the_end(field, word)
        {
            return Ok(1);
        }
        if let Some((from, field)) = open_value {
            return Err(self.longer_value(from, at, field));
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
        if let Some(shared) = self.of_shared_list(at, &fits) {
            return Err(shared);
        }
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

    pub(super) fn put(&mut self, field: &'static str, word: &str) {
        self.sorted.given.entry(field).or_default().push(word.to_owned());
    }

    /// A required name, such as what was measured, is the next word.
    pub(super) fn is_a_name_wanted(&self) -> bool {
        let named = self.wants_skull() && self.sorted.skulls.is_empty();
        !named && self.open_field(|f| f.arity == Arity::One && f.kind() == Kind::Open).is_some()
    }

    pub(super) fn wants_skull(&self) -> bool {
        self.field(|f| f.kind() == Kind::Skull).is_some()
    }

    fn open_place(&self) -> bool {
        self.open_field(|f| f.kind() == Kind::Place).is_some()
    }

    pub(crate) fn required_place(&self) -> Option<&'static FieldSpec> {
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
    pub(super) fn of_any_kind(&self, typed: &[&str]) -> bool {
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

/// A word without the comma behind it.
fn without_comma(word: &str) -> &str {
    let bare = word.strip_suffix([',', ';']).unwrap_or(word);
    if bare.is_empty() { word } else { bare }
}
