//! Who carries a parcel and its number: `ship 0417 by WORD`, `ship 0417 post 9400 1118 99`.

use burrline_domain::verb::FieldSpec;

use super::Reader;
use crate::familiar::{Familiar, familiar};

/// The fewest figures of a number that is a parcel's and no tag.
const FIGURES: usize = 8;

impl Reader<'_> {
    /// A carrier by any name behind `by`, or before a parcel's number; or the number itself behind a
    /// carrier. Says how many words.
    pub(super) fn parcel_words(&mut self, at: usize) -> Option<usize> {
        if self.spec.word != "ship" || self.sorted.skulls.is_empty() {
            return None;
        }
        let words = self.words.get(at..)?;
        let first = words.first()?;
        let lead = matches!(first.to_lowercase().as_str(), "by" | "with" | "via");
        let open = self.is_open_name("carrier");
        if open {
            let name = words.get(usize::from(lead))?.trim_end_matches(',');
            let rest = words.get(usize::from(lead).saturating_add(1)..).unwrap_or_default();
            let plain = name.chars().all(|c| c.is_alphabetic() || c == '-' || c == '&')
                && familiar(name, self.lexicon) == Familiar::No;
            // `ship 0417 by Ada Fenn` names somebody.
            let last = rest.is_empty() || parcel_run(rest) > 0 || is_parcel_word(rest);
            if plain && last && (lead || !rest.is_empty()) {
                self.put("carrier", name);
                return Some(usize::from(lead).saturating_add(1));
            }
            return None;
        }
        let used = parcel_run(words);
        (used > 0 && self.is_open_name("parcel")).then(|| self.put_parcel(at, used))
    }

    /// The number behind `parcel`, with its blanks; none where one word is.
    pub(super) fn long_parcel(&mut self, field: &FieldSpec, at: usize) -> Option<usize> {
        let words = self.words.get(at..).filter(|_| field.name == "parcel")?;
        let used = figured(words);
        (used > 1).then(|| self.put_parcel(at, used))
    }

    fn put_parcel(&mut self, at: usize, used: usize) -> usize {
        let words = self.words.get(at..at.saturating_add(used)).unwrap_or_default();
        let number = words.join(" ");
        self.put("parcel", number.trim_end_matches(','));
        used
    }
}

/// Whether the number of a parcel is named next.
fn is_parcel_word(words: &[String]) -> bool {
    words.first().is_some_and(|word| {
        matches!(word.to_lowercase().as_str(), "parcel" | "tracking" | "number" | "no")
    })
}

/// How many words at the front are letters and figures as a parcel's number has them.
fn figured(words: &[String]) -> usize {
    let of_number = |word: &&String| {
        let bare = word.trim_end_matches(',');
        let figure = bare.contains(|c: char| c.is_ascii_digit());
        figure && bare.chars().all(|c| c.is_ascii_uppercase() || c.is_ascii_digit() || c == '-')
    };
    let run = words.iter().take_while(of_number).count();
    // A comma ends it.
    let comma = words.iter().take(run).position(|word| word.ends_with(','));
    comma.map_or(run, |at| at.saturating_add(1))
}

/// How many words at the front are surely a parcel's number.
fn parcel_run(words: &[String]) -> usize {
    let run = figured(words);
    let said = words.get(..run).unwrap_or_default().concat();
    let figures = said.bytes().filter(u8::is_ascii_digit).count();
    let letters = said.bytes().any(|byte| byte.is_ascii_uppercase());
    if figures >= FIGURES || (letters && figures >= 2) { run } else { 0 }
}
