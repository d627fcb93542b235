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
mod new_names;
mod parcels;
mod people;
mod settings;
mod skulls;
mod stock;
mod waters;
mod whole;

use std::collections::BTreeMap;

use burrline_domain::verb::{FieldSpec, VerbSpec};
use burrline_terms::{Arity, Kind, Skull, Tag, Typed as _, words::YesNo};

use super::{
    closed,
    details::Details,
    doubt,
    fit::{self, Fit},
    lexicon::Lexicon,
    remark, text,
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

    /// A field's own name with its value behind it: `nose broken`, `teeth 26`, `state CO`,
    /// `kill tag K-1042`; or in front, where that is how it is said: `26 teeth`, `broken nose`.
    fn named(&mut self, at: usize, typed: &[&str]) -> Result<Option<usize>, Error> {
        let own = self.open_field(|f| f.arity == Arity::One && f.kind() == Kind::Open);
        let own =
            own.is_some_and(|f| typed.first().is_some_and(|w| w.eq_ignore_ascii_case(f.name)));
        if self.is_a_name_wanted() && !own {
            return Ok(None);
        }
        if let Some(used) = self.detail(at)? {
            return Ok(Some(used));
        }
        for length in [2, 1] {
            let Some(run) = typed.get(..length) else { continue };
            let name = run.join("_").to_lowercase().replace('-', "_");
            let called = closed::field_called(self.spec.word, &name);
            let field = self.open_field(|f| f.name == name || Some(f.name) == called);
            let Some(field) = field else { continue };
            // `swap tag 0417 0512`: the tag that comes off goes first.
            if field.kind() == Kind::Tag && self.wants_skull() && self.sorted.skulls.is_empty() {
                continue;
            }
            let value = typed.get(length..).unwrap_or_default();
            if let Some(used) = self.yes_said(field, typed.get(length..).unwrap_or_default()) {
                return Ok(Some(length.saturating_add(used)));
            }
            if field.arity == Arity::Switch {
                self.put(field.name, "yes");
                return Ok(Some(length.saturating_add(usize::from(is_done_word(value.first())))));
            }
            if let Some(used) = self.behind_name(field, at, length, value)? {
                return Ok(Some(length.saturating_add(used)));
            }
        }
        let used = self.value_then_name(at, typed)?;
        Ok(used.or_else(|| self.named_county(at)))
    }

    /// `not greasy` says no.
    fn not_so(&mut self, typed: &[&str]) -> Option<usize> {
        let [not, name, rest @ ..] = typed else { return None };
        let name = if name.eq_ignore_ascii_case("grease") { &"greasy" } else { name };
        let field = self.open_field(|f| f.name.eq_ignore_ascii_case(name))?;
        let asked = matches!(field.kind(), Kind::Listed(list) if list == YesNo::WORDS);
        let no = matches!(not.to_lowercase().as_str(), "not" | "no");
        let is_no = no && asked && field.arity == Arity::Maybe;
        (is_no && rest.is_empty()).then(|| {
            self.put(field.name, YesNo::No.word());
            2
        })
    }

    /// `greasy` alone says yes, where a yes and a no can be said of it.
    fn yes_said(&mut self, field: &'static FieldSpec, behind: &[&str]) -> Option<usize> {
        let Kind::Listed(list) = field.kind() else { return None };
        let answer = behind.first().is_some_and(|next| closed::word_of(list, &[next]).is_some());
        let bare = list == YesNo::WORDS && field.arity == Arity::Maybe && !answer;
        // What people call it otherwise is asked about: `shot through the skull`.
        let ends = behind.is_empty() || self.words.iter().any(|word| word.ends_with(','));
        (bare && ends).then(|| {
            self.put(field.name, YesNo::Yes.word());
            0
        })
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
            return Ok(Some(self.take_text(field, at.saturating_add(length))?));
        }
        // `on a walnut plaque`.
        if let [article, behind @ ..] = value
            && field.kind() == Kind::Open
            && matches!(article.to_lowercase().as_str(), "a" | "an" | "the")
            && !behind.is_empty()
        {
            let used = self.behind_name(field, at, length.saturating_add(1), behind)?;
            return Ok(used.map(|used| used.saturating_add(1)));
        }
        // `nose is broken`, `old was cloudy`.
        if let [is, behind @ ..] = value
            && matches!(
                is.to_lowercase().as_str(),
                "is" | "was" | "are" | "were" | "looks" | "looked"
            )
            && let Kind::Listed(list) = field.kind()
            && closed::word_of(list, behind).is_some()
        {
            let used = self.behind_name(field, at, length.saturating_add(1), behind)?;
            return Ok(used.map(|used| used.saturating_add(1)));
        }
        if matches!(field.kind(), Kind::Open | Kind::Hand) && text::is_negative(first) {
            return Err(self.negative(field, first));
        }
        if field.kind() == Kind::Species {
            return self.species(at.saturating_add(length), value);
        }
        if let Kind::Place = field.kind() {
            self.put(field.name, first);
            return Ok(Some(1));
        }
        let behind = at.saturating_add(length);
        let long = self.long_place(field, at, length).or_else(|| self.long_parcel(field, behind));
        if let Some(used) = long {
            return Ok(Some(used));
        }
        match fit::fit_named(self.spec, field, value, self.lexicon) {
            Fit::Is { value, used } => {
                self.put(field.name, &value);
                let known_hand = field.kind() == Kind::Hand && self.lexicon.hand(&value).is_some();
                let open = matches!(field.kind(), Kind::Open | Kind::Hand) && !known_hand;
                self.open_value = open.then_some((at, field));
                Ok(Some(used))
            }
            Fit::Unclear { about, readings, used } => {
                Err(self.readings(at, length.saturating_add(used), field, about, readings))
            }
            Fit::No => Ok(None),
        }
    }

    /// `26 teeth`, `broken nose`, `7.2 ph`.
    fn value_then_name(&mut self, at: usize, typed: &[&str]) -> Result<Option<usize>, Error> {
        let Some(name) = typed.get(1).map(|name| name.to_lowercase()) else { return Ok(None) };
        let Some(field) = self.open_field(|f| f.name == name) else { return Ok(None) };
        // `150 total`.
        if field.kind() == Kind::Money
            && let Fit::Is { value, used: 1 } = fit::fit(self.spec, field, typed, self.lexicon)
            && (!self.wants_skull() || !self.sorted.skulls.is_empty())
        {
            self.put(field.name, &value);
            return Ok(Some(2));
        }
        let usual = field.name == "class" && closed::list(self.spec, field).is_some();
        let takes = usual || matches!(field.kind(), Kind::Count | Kind::Number | Kind::Listed(_));
        let one: Vec<&str> = typed.iter().copied().take(1).collect();
        let first_is_tag = self.wants_skull() && self.sorted.skulls.is_empty();
        if !takes || first_is_tag {
            return Ok(None);
        }
        if let Some(doubt) = self.lacks_teeth(field, at) {
            return Err(doubt);
        }
        // `nose broken jaw whole`: the word before a name may be the value of the name before it.
        match fit::fit_named(self.spec, field, &one, self.lexicon) {
            Fit::Is { value, .. } if !usual || closed::is_usual(&value) => {
                self.put(field.name, &value);
                Ok(Some(2))
            }
            Fit::Is { .. } | Fit::No | Fit::Unclear { .. } => Ok(None),
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

    /// Text behind a separator or in quotes, for the one free text of the verb.
    fn separated_text(&mut self, at: usize, typed: &[&str]) -> Result<Option<usize>, Error> {
        let Some((word, field)) = self.words.get(at).zip(self.free_text()) else { return Ok(None) };
        let skulls_missing = self.wants_skull() && self.sorted.skulls.is_empty();
        if self.is_a_name_wanted() || skulls_missing {
            return Ok(None);
        }
        // `swap-tag 0417 for 0512`.
        let other = self.open_field(|f| f.kind() == Kind::Tag).is_some()
            && typed.get(1).is_some_and(|next| Tag::looks_like(next));
        if text::is_separator(word, self.spec) && typed.len() > 1 && !other {
            return Ok(Some(self.take_text(field, at.saturating_add(1))?.saturating_add(1)));
        }
        // Words with blanks were in quotes; a list's own word may be in quotes as well.
        let quoted = word.contains(char::is_whitespace);
        if quoted && self.lexicon.species.find(&[word.as_str()]).used == 0 {
            self.put(field.name, without_comma(word));
            return Ok(Some(1));
        }
        Ok(None)
    }

    /// Takes what stands behind a separator or a field's name as text; says how many words. Text ends
    /// where another field of the verb is named.
    pub(super) fn take_text(
        &mut self,
        field: &'static FieldSpec,
        at: usize,
    ) -> Result<usize, Error> {
        let words = self.words.get(at..).unwrap_or_default();
        let quoted = words.first().is_some_and(|word| word.contains(char::is_whitespace));
        let used = if quoted { 1 } else { self.text_ends(field, at) };
        let text = words.get(..used).unwrap_or_default().join(" ");
        if field.name == "faults" && remark::is_no_fault(&text) {
            return Ok(used);
        }
        if !quoted && let Some(doubt) = self.text_doubt(field, at, used) {
            return Err(doubt);
        }
        let typed: Vec<&str> =
            words.get(..used).unwrap_or_default().iter().map(String::as_str).collect();
        let (said, closing) =
            if quoted { (typed.as_slice(), Vec::new()) } else { self.closing(field, &typed) };
        let text = said.join(" ");
        self.put(field.name, text.trim_start_matches(':').trim().trim_end_matches([',', '-', ' ']));
        for (name, value) in closing {
            self.put(name, &value);
        }
        Ok(used)
    }

    /// How many words from here on are text: up to the name of another field with a value behind it.
    pub(super) fn text_ends(&self, text: &FieldSpec, at: usize) -> usize {
        let words = self.words.get(at..).unwrap_or_default();
        let named = |word: &str| {
            self.open_field(|f| f.name != text.name && f.name.eq_ignore_ascii_case(word)).filter(
                |f| {
                    matches!(
                        f.kind(),
                        Kind::Hand | Kind::Place | Kind::Open | Kind::Text | Kind::Listed(_)
                    )
                },
            )
        };
        let last = words.len().saturating_sub(1);
        let typed: Vec<&str> = words.iter().map(String::as_str).collect();
        let ends = (1..last.max(1)).position(|n| {
            let rest = typed.get(n..).unwrap_or_default();
            rest.first().is_some_and(|word| named(word).is_some()) || self.is_detail(rest)
        });
        ends.map_or(words.len(), |before| before.saturating_add(1))
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

/// `brain out`: a word that a switch may have behind it.
fn is_done_word(word: Option<&&str>) -> bool {
    word.is_some_and(|word| matches!(word.to_lowercase().as_str(), "out" | "yes" | "alone"))
}
