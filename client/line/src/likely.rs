//! Where a word that is left over most likely belongs.

use burrline_domain::On;
use burrline_terms::{Arity, Kind, Tag};

use super::{closed, doubt::as_line, read::Reader, several};

impl Reader<'_> {
    /// `nose whole, 0422 nose cracked`: the same said of another skull.
    pub(super) fn another_line(&self, at: usize, word: &str) -> Option<(String, Vec<String>)> {
        let comma = at.checked_sub(1).and_then(|before| self.words.get(before))?.ends_with(',');
        let tag = word.len() >= 3 && Tag::looks_like(word) && !self.sorted.given.is_empty();
        if !comma || !tag || self.spec.on != On::Skull {
            return None;
        }
        let other = self.words.get(at..)?.to_vec();
        let used = self.words.len().saturating_sub(at);
        let mut line = self.replaced(at, used, &[]);
        if let Some(last) = line.last_mut() {
            *last = last.trim_end_matches(',').to_owned();
        }
        line.extend([";".to_owned(), self.spec.word.to_owned()]);
        line.extend(other);
        Some(as_line(line))
    }

    /// `flesh 0417 brain not out`: the work was done, and this part of it was not.
    pub(super) fn not_done(&self, word: &str) -> Option<(String, Vec<String>)> {
        let field = self.field(|f| f.arity == Arity::Switch && f.name == "brain")?;
        let not = matches!(word.to_lowercase().as_str(), "not" | "no" | "still" | "without");
        let at = self.words.iter().position(|word| {
            let word = word.to_lowercase();
            matches!(word.as_str(), "not" | "no" | "still" | "without") || word == field.name
        })?;
        let used = self.words.len().saturating_sub(at);
        let rest = self.words.get(at..)?;
        // `wash 0417 not clean` says nothing of the brain.
        if !rest.iter().any(|word| word.to_lowercase().starts_with(field.name))
            && word.eq_ignore_ascii_case("not")
        {
            return None;
        }
        // `wash 0417 no 0422` is of another skull.
        if rest.iter().any(|word| word.len() >= 3 && several::is_skull(word)) {
            return None;
        }
        let text = rest.join(" ");
        let tags = self.sorted.skulls.iter().map(|skull| skull.split('/').next().unwrap_or(skull));
        let mut line = self.replaced(at, used, &[]);
        if let Some(last) = line.last_mut() {
            *last = last.trim_end_matches(',').to_owned();
        }
        line.extend([";".to_owned(), "note".to_owned()]);
        line.extend(tags.map(str::to_owned));
        line.extend(["--words".to_owned(), text.clone()]);
        (not && !self.sorted.skulls.is_empty())
            .then(|| (format!("{}, and a note: \u{201c}{text}\u{201d}", self.spec.word), line))
    }

    /// `teeth loose`: how far they are open.
    pub(super) fn how_loose(&self, at: usize, word: &str) -> Vec<(String, Vec<String>)> {
        let name = word.to_lowercase();
        let field = self.open_field(|f| f.name == name && matches!(f.kind(), Kind::Listed(_)));
        let loose =
            self.words.get(at.saturating_add(1)).is_some_and(|next| next.starts_with("loose"));
        let list = field.filter(|_| loose).and_then(|field| closed::list(self.spec, field));
        let holds = list.unwrap_or_default().into_iter().filter(|word| word.starts_with("open"));
        holds
            .map(|value| {
                let line = self.replaced(at, 2, &[name.clone(), value.to_owned()]);
                (format!("{name} {value}"), line)
            })
            .collect()
    }

    /// What is left over at a take-in is rather seen than an age.
    pub(super) fn seen_rather(&self, at: usize) -> Option<(String, Vec<String>)> {
        let condition = self.open_field(|f| f.name == "condition")?;
        let rest = self.words.get(at..).filter(|_| self.spec.word == "take-in")?;
        // A customer's name goes into no words of a head.
        let capital = rest.first().is_some_and(|word| word.starts_with(char::is_uppercase));
        if capital && super::details::are_names(rest) {
            return None;
        }
        let text = rest.join(" ");
        let text = text.trim_matches(|c: char| c == ',' || c == ' ' || c == '-');
        Some((
            format!("condition \u{201c}{text}\u{201d}"),
            self.with_field(at, rest.len(), condition, text),
        ))
    }
}
