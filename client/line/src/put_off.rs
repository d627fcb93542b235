//! Words behind a verb that take back what was done, or say that it is still to come: `wash 426 no 428`, `out 424 in 20 min`. What was done is
//! not offered then.

use burrline_domain::On;
use burrline_terms::{Kind, words::Role};

use super::{
    doubt::{as_line, whole_line},
    read::Reader,
    several,
};
use crate::{calendar, not_so};

/// Words that take back what was done, or put it off.
const PUTS_OFF: &[&str] = &[
    "almost", "but", "cannot", "except", "half", "if", "instead", "later", "maybe", "mean",
    "isn't", "isnt", "meant", "must", "nearly", "never", "next", "no", "none", "not", "nothing",
    "or", "please", "possibly", "probably", "should", "soon", "tomorrow", "tonight", "unless",
    "until", "when", "will", "wont", "won't", "would", "yet",
];

impl Reader<'_> {
    /// What is offered where the words from `at` on take the deed back; nothing where they do not.
    pub(super) fn put_off(&self, at: usize) -> Vec<(String, Vec<String>)> {
        let rest = self.words.get(at..).unwrap_or_default();
        let Some(note) = self.not_done_so(rest) else { return Vec::new() };
        let instead = self.how_instead(at, rest);
        self.rather_of(at, rest).into_iter().chain(instead).chain([note]).collect()
    }

    /// `out 424 not clean`: it was done, and how the skull is instead.
    fn how_instead(&self, at: usize, rest: &[String]) -> Vec<(String, Vec<String>)> {
        let tags: Vec<String> =
            self.sorted.skulls.iter().filter(|skull| !skull.contains('/')).cloned().collect();
        if tags.len() < self.sorted.skulls.len() {
            return Vec::new();
        }
        let done = self.replaced(at, rest.len(), &[]);
        let look = |state: &&str| {
            let look = [vec!["look".to_owned()], tags.clone(), vec![(*state).to_owned()]].concat();
            // A look alone says no more than that.
            as_line(if self.spec.word == "look" {
                look
            } else {
                [done.clone(), vec![";".to_owned()], look].concat()
            })
        };
        not_so::instead(rest).iter().map(look).collect()
    }

    /// `wash 426 no 428`: the other one is meant. `wash 426 not 428`: that one is not.
    fn rather_of(&self, at: usize, rest: &[String]) -> Option<(String, Vec<String>)> {
        let small: Vec<String> = rest.iter().map(|word| word.to_lowercase()).collect();
        let small: Vec<&str> = small.iter().map(String::as_str).collect();
        let [skull] = self.sorted.skulls.as_slice() else { return None };
        let tag = rest.last().filter(|tag| tag.len() >= 3 && several::is_skull(tag))?;
        let rest = rest.len();
        match small.as_slice() {
            ["not", _] => Some(as_line(self.replaced(at, rest, &[]))),
            ["no" | "mean" | "meant", _] | ["i", "mean" | "meant", _] => {
                let of = self.words.iter().position(|word| word.trim_end_matches(',') == skull)?;
                let mut words = self.words.get(..at)?.to_vec();
                if let Some(word) = words.get_mut(of) {
                    tag.clone_into(word);
                }
                Some(as_line(whole_line(self.spec, &[], &self.options, &words)))
            }
            _ => None,
        }
    }

    /// `wash 426 no 428`, `out 424 in 20 min`, `flesh 423 half done`: words that take back what the line says, or
    /// put it off. They are noted alone, and nothing is said to be done.
    fn not_done_so(&self, rest: &[String]) -> Option<(String, Vec<String>)> {
        let word = |word: &String| word.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase();
        let small: Vec<String> = rest.iter().map(word).collect();
        let turned = small.iter().any(|word| PUTS_OFF.contains(&word.as_str()));
        let ahead = small.windows(2).any(
            |two| matches!(two, [word, figure] if word == "in" && figure.parse::<u32>().is_ok()),
        );
        // `after lunch` is still to come; `after 6 h` says how long it was in.
        let after = small.windows(2).any(|two| {
            matches!(two, [word, next] if matches!(word.as_str(), "after" | "before" | "once")
                && !next.starts_with(|c: char| c.is_ascii_digit()))
        });
        let ahead = ahead || after;
        let bench = self.spec.role == Role::Bench;
        let day = small.first().is_some_and(|word| bench && calendar::weekday(word).is_some());
        let deed = bench && self.spec.on == On::Skull && self.spec.word != "bag";
        let text = self.field(|f| f.kind() == Kind::Text).is_some();
        if !(turned || ahead || day) || !deed || text || self.sorted.skulls.is_empty() {
            return None;
        }
        let tags = self.sorted.skulls.iter().map(|skull| skull.split('/').next().unwrap_or(skull));
        let tags: Vec<String> = tags.map(str::to_owned).collect();
        let said = self.words.iter().filter(|word| {
            let bare = word.trim_end_matches(',');
            !self.sorted.skulls.iter().any(|skull| skull == bare)
        });
        let text = std::iter::once(self.spec.word.to_owned()).chain(said.cloned());
        let text = text.collect::<Vec<_>>().join(" ");
        let line =
            [vec!["note".to_owned()], tags, vec!["--words".to_owned(), text.clone()]].concat();
        Some((format!("only a note: \u{201c}{text}\u{201d}"), line))
    }
}
