//! Several deeds about the same skulls, one after the other: `424 out, washed, shelf-1`, `out 424 &
//! wash`, `everything out of pot-1 to the rack`. Each becomes a line of its own.

use burrline_domain::{
    On,
    verb::{self, FieldSpec},
};
use burrline_terms::{Arity, Kind};

use super::{Line, is_verb, plain};
use crate::{closed, several};

/// What is done to the skulls, step by step.
enum Deed {
    /// A verb that needs no more than the skulls.
    Verb(&'static str),
    /// They go to a place.
    To(String),
}

impl Line<'_> {
    /// The lines of deeds that follow each other; none if the line says anything else too.
    pub(super) fn deeds(&self) -> Option<Vec<String>> {
        if self.words.iter().any(|word| word == ";" || word.starts_with("--")) {
            return None;
        }
        if let Some(moved) = self.all_moved() {
            return Some(moved);
        }
        let (tags, rest) = self.about()?;
        let mut deeds = Vec::new();
        let mut at = 0;
        let mut from = false;
        while let Some(word) = rest.get(at) {
            let bare = plain(word);
            if let Some(here) = self.lexicon.place(bare.as_str()) {
                // `out of the tub` says where it was.
                if !std::mem::take(&mut from) {
                    deeds.push(Deed::To(here.place.clone()));
                }
                at = at.saturating_add(1);
            } else if matches!(bare.as_str(), "of" | "from") {
                from = true;
                at = at.saturating_add(1);
            } else if is_small(&bare) {
                at = at.saturating_add(1);
            } else {
                let (deed, used) = bare_verb(rest.get(at..)?)?;
                deeds.push(Deed::Verb(deed));
                at = at.saturating_add(used);
            }
        }
        // One deed is a line as any other.
        let verbs = deeds.iter().filter(|deed| matches!(deed, Deed::Verb(_))).count();
        let places = deeds.len().saturating_sub(verbs);
        let last = matches!(deeds.last(), Some(Deed::To(_)));
        if deeds.len() < 2 || verbs == 0 || places > 1 || (places == 1 && !last) {
            return None;
        }
        // `out 424 to the rack` is one line already.
        if let [Deed::Verb("out" | "in"), Deed::To(_)] = deeds.as_slice()
            && rest.iter().any(|word| matches!(plain(word).as_str(), "to" | "into" | "onto" | "in"))
        {
            return None;
        }
        let lines: Vec<Vec<String>> = deeds
            .iter()
            .map(|deed| match deed {
                Deed::Verb(verb) => Self::line(&[verb], &tags),
                Deed::To(place) => Self::line(&["in", place], &tags),
            })
            .collect();
        Some(lines.join(&";".to_owned()))
    }

    /// The skulls, in front or behind the first verb, and what is said of them, that verb first.
    fn about(&self) -> Option<(Vec<String>, Vec<String>)> {
        let tag = |word: &&String| {
            let bare = word.trim_end_matches([',', ':']);
            bare.len() >= 3 && several::is_skull(bare) || matches!(bare, "&" | "and" | ",")
        };
        let lead = if tag(&self.words.first()?) { 0 } else { bare_verb(self.words)?.1 };
        let (verb, rest) = self.words.split_at_checked(lead)?;
        let tags = rest.iter().take_while(tag).count();
        let (tags, rest) = rest.split_at_checked(tags)?;
        let tags: Vec<String> = tags
            .iter()
            .map(|word| word.trim_end_matches([',', ':']).to_owned())
            .filter(|word| several::is_skull(word))
            .collect();
        // `&` behind the last tag leads to the next deed.
        (!tags.is_empty()).then(|| (tags, [verb, rest].concat()))
    }

    /// `everything out of pot-1 to the rack`: the skulls that are there.
    fn all_moved(&self) -> Option<Vec<String>> {
        let words: Vec<String> = self.words.iter().map(|word| plain(word)).collect();
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let ["everything" | "all", behind @ ..] = words.as_slice() else { return None };
        let behind = behind.strip_prefix(&["out"]).unwrap_or(behind);
        let ["of" | "from", from, "to" | "into" | "onto" | "on", behind @ ..] = behind else {
            return None;
        };
        let [to] = behind.strip_prefix(&["the"]).unwrap_or(behind) else { return None };
        let (from, to) = (self.lexicon.place(from)?, self.lexicon.place(to)?);
        let known = self.lexicon.fresh && !from.tags.is_empty();
        known.then(|| {
            let lines =
                [Self::line(&["out"], &from.tags), Self::line(&["in", &to.place], &from.tags)];
            lines.join(&";".to_owned())
        })
    }
}

fn is_small(word: &str) -> bool {
    matches!(
        word,
        "" | "&"
            | "+"
            | ","
            | "and"
            | "then"
            | "to"
            | "into"
            | "onto"
            | "on"
            | "in"
            | "the"
            | "back"
    )
}

/// A verb that is about skulls and can stand without another word: in one word, or in two.
fn bare_verb(words: &[String]) -> Option<(&'static str, usize)> {
    [2, 1].into_iter().find_map(|used| {
        let run: Vec<String> = words.get(..used)?.iter().map(|word| plain(word)).collect();
        let word = run.join("-");
        let spec =
            verb::spec(closed::synonym(&word).unwrap_or(&word)).filter(|_| is_verb(&word))?;
        let wants = |field: &FieldSpec| field.kind() != Kind::Skull && field.arity == Arity::One;
        let text = |field: &FieldSpec| {
            matches!(field.kind(), Kind::Text | Kind::Sealed | Kind::Money) && field.name != "why"
        };
        let bare = spec.on == On::Skull
            && !closed::OF_PIECES.contains(&spec.word)
            && !spec.fields.iter().any(|field| wants(field) || text(field));
        bare.then_some((spec.word, used))
    })
}
