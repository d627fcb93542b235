//! What stands in a free text and is none of it: another skull, a doubt whether it happened, somebody to be
//! told, what a sum is with tax or by halves. The record has a place for each of them, so it is asked about.

use burrline_domain::{Class, verb::FieldSpec};
use burrline_terms::Kind;

use super::{
    amount::is_unit,
    doubt::unclear,
    read::Reader,
    remark::{TOLD, begins_a_sentence},
    several::{is_short_for, is_skull},
};
use crate::Error;

/// Words that say that what follows hardly happened.
const NOT_SURELY: &[&str] = &[
    "almost",
    "nearly",
    "might",
    "may",
    "maybe",
    "possibly",
    "perhaps",
    "probably",
    "could",
    "would",
    "about",
    "soon",
    "hope",
    "hopefully",
    "unsure",
    "likely",
];

/// Whom somebody tells something, and how.
const TELLS: &[&str] = &["tell", "call", "ask", "text", "phone", "ring", "inform", "email", "mail"];
const SOMEBODY: &[&str] = &[
    "customer",
    "customers",
    "owner",
    "hunter",
    "client",
    "him",
    "her",
    "them",
    "guy",
    "boss",
    "he",
    "she",
    "they",
    "about",
    "again",
    "back",
    "first",
];

/// Words of a sum that say what is to be reckoned with it.
const OF_A_SUM: &[&str] = &[
    "tax",
    "taxes",
    "taxed",
    "untaxed",
    "taxable",
    "taxfree",
    "tax-free",
    "taxexempt",
    "tax-exempt",
    "vat",
    "half",
    "each",
    "apiece",
    "now",
    "later",
    "off",
    "discount",
];

/// Words that say no more than a sum below zero does.
pub(super) const LOWERS: &[&str] = &["off", "discount"];

/// Whether a word is a sum below zero, as in `charge 0417 -12 discount`.
fn is_below_zero(word: &str) -> bool {
    let sum = word.strip_prefix('-').map(|sum| sum.trim_start_matches('$'));
    sum.is_some_and(|sum| sum.starts_with(|first: char| first.is_ascii_digit()))
}

/// Verbs in whose text a figure of three or four digits is hardly anything but a tag.
const OF_HARM: &[&str] = &["damage", "inspect", "condition", "repair"];

/// Words before a tag that join it to the skull of the line.
const JOINS: &[&str] = &["and", "&", "+", "also", "n"];

/// Words behind a tag by which the same is said of it.
const SAME: &[&str] = &["too", "also", "both", "same", "likewise", "as", "well", "aswell", "ditto"];

/// Words before a tag that say that it is none of those meant.
const WITHOUT: &[&str] = &["not", "except", "but", "without"];

fn small(word: &str) -> String {
    word.trim_matches(|c: char| !c.is_alphanumeric() && c != '&' && c != '+').to_lowercase()
}

/// Whether the words before another tag end as a sentence does, with a comma or an "and".
fn parted(first: &[String]) -> bool {
    first.last().is_none_or(|word| word.ends_with(',') || JOINS.contains(&small(word).as_str()))
}

/// Words without those at their end that join another skull: `chipped, same on`, `chipped and`.
fn without_joins(words: &[String]) -> String {
    let joins = |word: &String| {
        let word = small(word);
        JOINS.contains(&word.as_str())
            || SAME.contains(&word.as_str())
            || WITHOUT.contains(&word.as_str())
            || matches!(word.as_str(), "on" | "")
    };
    let kept =
        words.len().saturating_sub(words.iter().rev().take_while(|word| joins(word)).count());
    let text = words.get(..kept).unwrap_or_default().join(" ");
    text.trim_end_matches([',', ';', ' ']).to_owned()
}

impl Reader<'_> {
    /// `cracked, 422 ok`, `chipped and 433`, `chipped, same on 434`: what is said of another skull is a
    /// line of its own, or the same of both.
    pub(super) fn another_skull(
        &self,
        field: &'static FieldSpec,
        at: usize,
        count: usize,
    ) -> Option<Error> {
        if !self.wants_skull() {
            return None;
        }
        let words = self.raw(at, count);
        let known = |tag: &str| {
            let mut worn = self.lexicon.places.iter().flat_map(|here| &here.tags);
            worn.any(|other| tag.len() >= 3 && is_short_for(tag, other))
        };
        let before = |n: usize| n.checked_sub(1).and_then(|before| words.get(before));
        let begins = |n: &usize| {
            let Some(word) = words.get(*n) else { return false };
            let tag = word.trim_end_matches([',', '.']);
            let comma = before(*n).is_some_and(|word| word.ends_with(','));
            let joined = before(*n).is_some_and(|word| JOINS.contains(&small(word).as_str()));
            let same =
                words.get(n.saturating_add(1)).is_some_and(|w| SAME.contains(&small(w).as_str()));
            // A leading nought is typed for tags alone; and what is wrong with a skull has no such figure.
            let unit = words.get(n.saturating_add(1)).is_some_and(|unit| is_unit(unit));
            let digits = tag.bytes().all(|byte| byte.is_ascii_digit());
            let surely = (tag.len() == 4 && tag.starts_with('0'))
                || (OF_HARM.contains(&self.spec.word) && digits && tag.len() <= 4 && !unit);
            tag.len() >= 3 && is_skull(tag) && (comma || surely || joined || same || known(tag))
        };
        let from = (0..words.len()).find(begins)?;
        let (first, other) = words.split_at_checked(from)?;
        let led = first.last().map(|word| small(word)).unwrap_or_default();
        let told = TOLD.contains(&self.spec.word);
        let tells =
            told && begins_a_sentence(self.spec.word, other.get(1).map(String::as_str).as_ref());
        // `hold 0418 not 0419` and `for 0419` begin no second line; a note may be about two.
        let part =
            matches!(led.as_str(), "for" | "of" | "instead" | "from" | "with" | "like" | "than");
        if part || tells || (told && (WITHOUT.contains(&led.as_str()) || !parted(first))) {
            return None;
        }
        let tag = other.first()?.trim_end_matches([',', '.']);
        let behind = other.get(1..).unwrap_or_default();
        let text = without_joins(first);
        let whole = self.as_text(field, at, count);
        let about = format!("{}: is {tag} another skull?", self.spec.word);
        if WITHOUT.contains(&led.as_str()) {
            let alone = if text.is_empty() {
                self.left_out(at, count)
            } else {
                self.instead(at, count, field, &text)
            };
            return Some(unclear(about, [(format!("nothing is said of {tag}"), alone), whole]));
        }
        // The same is said of both.
        if behind.iter().all(|word| SAME.contains(&small(word).as_str())) && !text.is_empty() {
            let mut both = self.instead(at, count, field, &text);
            both.push(tag.to_owned());
            return Some(unclear(about, [(format!("the same of {tag} too"), both), whole]));
        }
        if text.is_empty() {
            return None;
        }
        let mut line = self.instead(at, count, field, &text);
        line.push(";".to_owned());
        // `433 jaw cracked`: of the other skull in the same verb, where it has no verb of its own.
        let more = std::iter::once(tag.to_owned()).chain(behind.iter().cloned());
        line.extend(more);
        let label = format!("two lines, the second: {}", other.join(" "));
        Some(unclear(about, [(label, line), whole]))
    }

    /// `damage 425 nose almost broke`: hardly a damage.
    pub(super) fn not_surely(
        &self,
        field: &'static FieldSpec,
        at: usize,
        count: usize,
    ) -> Option<Error> {
        let states = matches!(self.spec.word, "damage" | "condition" | "repair" | "inspect");
        if !states || field.kind() != Kind::Text {
            return None;
        }
        let words = self.raw(at, count);
        let doubt = words.iter().find(|word| NOT_SURELY.contains(&small(word).as_str()))?;
        let about = format!(
            "{}: \u{201c}{}\u{201d} may say that it did not happen; is it recorded, or only a note?",
            self.spec.word,
            small(doubt)
        );
        let note = self.as_note(words);
        Some(unclear(
            about,
            [
                (format!("only: {}", crate::unclear::line(&note)), note),
                self.as_text(field, at, count),
            ],
        ))
    }

    /// `damage 425 nose chipped tell customer`: what is still to be told is no part of the damage.
    pub(super) fn told_to_somebody(
        &self,
        field: &'static FieldSpec,
        at: usize,
        count: usize,
    ) -> Option<Error> {
        let told = TOLD.contains(&self.spec.word) || self.spec.class != Class::Fact;
        if told || !self.wants_skull() {
            return None;
        }
        let words = self.raw(at, count);
        let tells = |n: &usize| {
            let word = |at: usize| words.get(at).map(|word| small(word)).unwrap_or_default();
            TELLS.contains(&word(*n).as_str())
                && SOMEBODY.contains(&word(n.saturating_add(1)).as_str())
        };
        let from = (0..words.len()).find(tells)?;
        let (first, wish) = words.split_at_checked(from)?;
        let text = without_joins(first);
        let mut line = if text.is_empty() {
            self.left_out(at, count)
        } else {
            self.instead(at, count, field, &text)
        };
        line.push(";".to_owned());
        line.extend(self.as_note(wish));
        let about =
            format!("{}: \u{201c}{}\u{201d} is still to be done", self.spec.word, wish.join(" "));
        let label = format!("and a note: \u{201c}{}\u{201d}", wish.join(" "));
        Some(unclear(about, [(label, line), self.as_text(field, at, count)]))
    }

    /// `charge 424 20 glue plus tax`, `charge 421 20 untaxed plaque`: how a sum is to be taken is no word of
    /// what it is for.
    pub(super) fn of_the_sum(
        &self,
        field: &'static FieldSpec,
        at: usize,
        count: usize,
    ) -> Option<Error> {
        if !matches!(self.spec.word, "charge" | "extra") {
            return None;
        }
        let words = self.raw(at, count);
        // `plus tax` at the end is reckoned by the shop.
        let kept = words.len().saturating_sub(2);
        let ending: Vec<&str> =
            words.get(kept..).unwrap_or_default().iter().map(String::as_str).collect();
        let reckoned = crate::remark::is_plus_tax(&ending);
        let words = if reckoned { words.get(..kept).unwrap_or_default() } else { words };
        let lowered = self.lowers_a_sum();
        let says_more = |word: &&String| {
            let word = small(word);
            OF_A_SUM.contains(&word.as_str()) && !(lowered && LOWERS.contains(&word.as_str()))
        };
        let word = words.iter().find(says_more)?;
        let about = format!(
            "{}: what is \u{201c}{}\u{201d}? A charge is one sum, and its tax is reckoned by the \
             shop's rates; say the whole sum, or a line for each",
            self.spec.word,
            small(word)
        );
        Some(unclear(about, [self.as_text(field, at, count)]))
    }

    /// Whether the line names a sum below zero, as `charge 0417 -12 discount` does.
    pub(super) fn lowers_a_sum(&self) -> bool {
        self.words.iter().any(|word| is_below_zero(word))
    }

    /// A note of the line's skulls.
    fn as_note(&self, words: &[String]) -> Vec<String> {
        let tags =
            self.sorted.skulls.iter().map(|skull| {
                skull.split_once('/').map_or(skull.clone(), |(tag, _)| tag.to_owned())
            });
        let front = std::iter::once("note".to_owned()).chain(tags);
        front.chain(["--words".to_owned(), words.join(" ")]).collect()
    }
}
