//! A value behind its field's own name, or in front of it: `nose broken`, `kill tag K-1042`, `26 teeth`.

use burrline_domain::verb::FieldSpec;
use burrline_terms::{Arity, Kind, words::YesNo};

use super::Reader;
use crate::{
    Error, closed,
    fit::{self, Fit},
    text,
};

impl Reader<'_> {
    /// A field's own name with its value behind it: `nose broken`, `teeth 26`, `state CO`,
    /// `kill tag K-1042`; or in front, where that is how it is said: `26 teeth`, `broken nose`.
    pub(super) fn named(&mut self, at: usize, typed: &[&str]) -> Result<Option<usize>, Error> {
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
    pub(super) fn not_so(&mut self, typed: &[&str]) -> Option<usize> {
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
    pub(super) fn yes_said(&mut self, field: &'static FieldSpec, behind: &[&str]) -> Option<usize> {
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
    pub(super) fn behind_name(
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
    pub(super) fn value_then_name(
        &mut self,
        at: usize,
        typed: &[&str],
    ) -> Result<Option<usize>, Error> {
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
}

/// `brain out`: a word that a switch may have behind it.
fn is_done_word(word: Option<&&str>) -> bool {
    word.is_some_and(|word| matches!(word.to_lowercase().as_str(), "out" | "yes" | "alone"))
}
