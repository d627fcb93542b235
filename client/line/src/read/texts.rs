//! The one free text of a verb: behind a separator or its name, or in quotes, and where it ends.

use burrline_domain::verb::FieldSpec;
use burrline_terms::{Arity, Kind, Tag};

use super::{Reader, without_comma};
use crate::{Error, remark, text};

impl Reader<'_> {
    /// Text behind a separator or in quotes, for the one free text of the verb.
    pub(crate) fn separated_text(
        &mut self,
        at: usize,
        typed: &[&str],
    ) -> Result<Option<usize>, Error> {
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
            // How the sum is taken stands behind what it is for, in quotes or not.
            let behind = typed.get(1..).unwrap_or_default();
            if self.spec.word == "charge" && remark::is_plus_tax(behind) {
                self.put(field.name, &format!("{} {}", without_comma(word), behind.join(" ")));
                return Ok(Some(3));
            }
            self.put(field.name, without_comma(word));
            return Ok(Some(1));
        }
        Ok(None)
    }

    /// Takes what stands behind a separator or a field's name as text; says how many words. Text ends
    /// where another field of the verb is named.
    pub(crate) fn take_text(
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
    pub(crate) fn text_ends(&self, text: &FieldSpec, at: usize) -> usize {
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
    pub(crate) fn free_text(&self) -> Option<&'static FieldSpec> {
        let open = |f: &FieldSpec| f.kind() == Kind::Text && self.is_open(f);
        let required = self.spec.fields.iter().find(|f| open(f) && f.arity == Arity::One);
        required.or_else(|| self.spec.fields.iter().find(|f| open(f) && text::is_free(f.name)))
    }
}
