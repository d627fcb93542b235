//! What the words of a damage may say beside it: that there is none, or whose it is.

use burrline_domain::verb::FieldSpec;

use super::{
    doubt::unclear,
    read::Reader,
    text::{is_negative, is_turning},
};
use crate::Error;

impl Reader<'_> {
    /// `damage 417 no damage`, `nose not cracked`, `not ours`: as likely that there is none.
    pub(super) fn no_damage(
        &self,
        field: &'static FieldSpec,
        at: usize,
        count: usize,
    ) -> Option<Error> {
        let words = self.raw(at, count);
        // `not known` at the end says whose it is.
        let known = words.len().saturating_sub(2);
        let ending = words.get(known..).unwrap_or_default().join("-").to_lowercase();
        let words = if ending == "not-known" { words.get(..known).unwrap_or(words) } else { words };
        let turned = words.iter().any(|word| is_turning(word) || is_negative(word));
        let first = words.first().map(|word| word.to_lowercase()).unwrap_or_default();
        let none = matches!(first.trim_end_matches(','), "ok" | "okay" | "fine" | "false" | "none");
        if self.spec.word != "damage" || field.name != "what" || !(turned || none) {
            return None;
        }
        // `lost` and `missing` are damage, and no words of doubt here.
        let doubtful = |word: &String| {
            let word = word.to_lowercase();
            !matches!(word.trim_end_matches([',', '.']), "missing" | "lost")
                && (is_turning(&word) || is_negative(&word))
        };
        if !none && !words.iter().any(doubtful) {
            return None;
        }
        let text = words.join(" ");
        let mut note = vec!["note".to_owned()];
        note.extend(self.sorted.skulls.iter().map(|skull| match skull.split_once('/') {
            Some((tag, _)) => tag.to_owned(),
            None => skull.clone(),
        }));
        note.extend(["--words".to_owned(), text]);
        Some(unclear(
            "damage: it says that something is not so; is it a damage, or a note?".to_owned(),
            [self.as_text(field, at, count), (crate::unclear::line(&note), note)],
        ))
    }

    /// `damage 417 nose chipped old`: whose it is, said by when it came; or a word of the text.
    pub(super) fn old_or_new(
        &self,
        field: &'static FieldSpec,
        at: usize,
        count: usize,
    ) -> Option<Error> {
        let whose = self.open_field(|f| f.name == "whose")?;
        let words = self.raw(at, count);
        let small: Vec<String> = words
            .iter()
            .map(|word| word.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase())
            .collect();
        let small: Vec<&str> = small.iter().map(String::as_str).collect();
        let (used, means): (usize, &[&str]) = match small.as_slice() {
            [.., "from", "before"]
            | [.., "already", "there"]
            | [.., "like", "that"]
            | [.., "at", "intake"]
            | [.., "before", "us"]
            | [.., "came", "in"] => (2, &["as-found"]),
            [
                ..,
                "old" | "already" | "before" | "existing" | "pre-existing" | "preexisting"
                | "originally",
            ] => (1, &["as-found"]),
            [.., "new" | "fresh" | "here" | "today"] => (1, &["ours", "not-known"]),
            _ => return None,
        };
        let text = words.get(..count.checked_sub(used)?)?.join(" ");
        let text = text.trim_end_matches([',', '-', ' ']);
        if self.spec.word != "damage" || text.is_empty() {
            return None;
        }
        let said = |value: &&str| {
            let mut line = self.instead(at, count, field, text);
            line.extend([format!("--{}", whose.typed_name()), (*value).to_owned()]);
            (format!("{} {value}", whose.typed_name()), line)
        };
        let about = format!(
            "damage: does \u{201c}{}\u{201d} say whose it is?",
            words.get(count.checked_sub(used)?..)?.join(" ")
        );
        Some(unclear(about, means.iter().map(said).chain([self.as_text(field, at, count)])))
    }
}
