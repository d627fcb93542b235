//! The condition of a head as it is spoken: `shot through the skull`, `left antler broken`, `ok`.

use burrline_terms::words::YesNo;

use super::Reader;
use crate::{closed, text};

/// Parts of a head that have no field of their own, so that what is said of them is a remark.
const PARTS: &[&str] = &[
    "antler", "antlers", "base", "beam", "beams", "brow", "bullet", "burr", "cheek", "ear", "ears",
    "eye", "eyes", "fang", "fangs", "forehead", "hole", "holes", "horn", "horns", "incisor",
    "incisors", "molar", "molars", "orbit", "palate", "pedicle", "plate", "point", "points",
    "sheath", "sheaths", "socket", "teeth", "tine", "tines", "tooth", "tusk", "tusks",
];

impl Reader<'_> {
    /// Words of a condition that say one thing to anybody; how many they are.
    pub(super) fn condition_words(&mut self, at: usize, typed: &[&str]) -> Option<usize> {
        if self.spec.word != "condition" || self.sorted.skulls.is_empty() {
            return None;
        }
        let small: Vec<String> = typed.iter().map(|word| word.to_lowercase()).collect();
        let small: Vec<&str> = small.iter().map(String::as_str).collect();
        if self.is_open_name("shot") {
            match small.as_slice() {
                ["not", "shot", ..] => {
                    self.put("shot", YesNo::No.word());
                    return Some(2);
                }
                ["shot", next, ..] if closed::is_answer(next) => {}
                ["shot", rest @ ..] => {
                    self.put("shot", YesNo::Yes.word());
                    // Where it is shot is told in words.
                    let says_more = !rest.is_empty() && !self.begins_field(rest);
                    return Some(if says_more { self.remark(at)? } else { 1 });
                }
                _ => {}
            }
        }
        let all = small.join(" ");
        let sound = closed::SOUND.contains(&all.as_str())
            || matches!(all.as_str(), "all good" | "all ok" | "no damage" | "nothing broken");
        if sound {
            return self.remark(at);
        }
        let end = self.field(|f| f.name == "words").map_or(0, |words| self.text_ends(words, at));
        let run = small.get(..end).unwrap_or_default();
        let part = run.iter().any(|word| PARTS.contains(word));
        let turned = run.iter().any(|word| text::is_turning(word));
        // A count or a state of the verb's own is no remark.
        let own = run.first().is_some_and(|word| word.bytes().all(|b| b.is_ascii_digit()));
        (part && !turned && !own && !self.begins_field(run)).then(|| self.remark(at)).flatten()
    }

    /// Whether a field of the verb is named at the front.
    fn begins_field(&self, words: &[&str]) -> bool {
        let one = words.first().copied().unwrap_or_default();
        let two = words.get(..2).map(|two| two.join("_")).unwrap_or_default();
        [one, &two].iter().any(|name| {
            let called = closed::field_called(self.spec.word, name);
            self.field(|f| f.name == *name || Some(f.name) == called).is_some()
        })
    }

    /// Takes the words from here on as the remark; how many they are.
    fn remark(&mut self, at: usize) -> Option<usize> {
        let field = self.open_field(|f| f.name == "words")?;
        let used = self.text_ends(field, at);
        let words = self.words.get(at..at.saturating_add(used))?.join(" ");
        self.put(field.name, words.trim_end_matches(','));
        Some(used)
    }
}
