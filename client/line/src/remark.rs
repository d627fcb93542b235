//! What in a free text may be meant for something else: a time, a hand, another skull, a fault that is
//! none. It is asked about before it is recorded in the words of somebody else.

use burrline_domain::{Class, On, verb::FieldSpec};
use burrline_terms::Kind;

use super::{doubt::unclear, read::Reader, several::is_skull, text::is_separator, when};
use crate::Error;

/// Words of an inspection that finds nothing wrong.
const PRAISE: &[&str] = &[
    "ok",
    "okay",
    "good",
    "fine",
    "pass",
    "passed",
    "passes",
    "perfect",
    "excellent",
    "great",
    "approved",
    "ready",
    "done",
    "finished",
    "nice",
    "beautiful",
    "sound",
    "faultless",
    "flawless",
    "free",
    "complete",
    "white",
    "clean",
    "dry",
];

/// What an inspection without a fault is called.
const NO_FAULTS: &[&str] = &[
    "ok",
    "okay",
    "fine",
    "good",
    "clean",
    "pass",
    "passed",
    "no fault",
    "no faults",
    "all good",
    "all ok",
    "looks good",
    "very good",
    "perfect",
    "excellent",
    "great",
    "approved",
    "faultless",
    "flawless",
    "fault free",
];

/// What there is none of, where there is nothing to hold for.
const NO_HOLD: &[&str] = &[
    "a",
    "any",
    "hold",
    "issue",
    "issues",
    "longer",
    "more",
    "necessary",
    "need",
    "needed",
    "now",
    "problem",
    "problems",
    "reason",
    "required",
];

/// Words that put off what a line says was done.
pub(super) const PUT_OFF: &[&str] = &[
    "will",
    "would",
    "tomorrow",
    "later",
    "soon",
    "if",
    "yet",
    "needed",
    "now",
    "planned",
    "monday",
    "tuesday",
    "wednesday",
    "thursday",
    "friday",
    "saturday",
    "sunday",
    "next",
];

/// Verbs behind a second tag, which then begins a sentence and is no further skull.
const PREDICATES: &[&str] = &[
    "is", "isn't", "was", "wasn't", "were", "are", "has", "had", "have", "hasn't", "does", "did",
    "not", "never", "belongs", "came", "went", "goes", "looks", "looked", "needs", "wants", "says",
    "said", "swapped", "mixed", "got", "fell", "and",
];

/// Verbs in which somebody tells something of a skull.
pub(super) const TOLD: &[&str] = &["answer", "dispute", "close-dispute", "note", "tell", "hold"];

/// Whether the word behind a second tag makes it the beginning of a sentence.
pub(super) fn begins_a_sentence(verb: &str, next: Option<&&str>) -> bool {
    TOLD.contains(&verb)
        && next.is_some_and(|word| PREDICATES.contains(&word.to_lowercase().as_str()))
}

/// Whether the words of an inspection say that there is no fault.
pub(super) fn is_no_fault(words: &str) -> bool {
    let plain = words.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase();
    NO_FAULTS.contains(&plain.as_str())
}

/// Whether words say that the tax comes on top, and nothing else.
pub(super) fn is_plus_tax(words: &[&str]) -> bool {
    matches!(words, [plus, tax] if plus.eq_ignore_ascii_case("plus") && tax.eq_ignore_ascii_case("tax"))
}

impl Reader<'_> {
    /// What a text may be meant for beside itself. `at` is where it begins, `count` its words.
    pub(super) fn text_doubt(
        &self,
        field: &'static FieldSpec,
        at: usize,
        count: usize,
    ) -> Option<Error> {
        self.opposite(field, at, count)
            .or_else(|| self.another_skull(field, at, count))
            .or_else(|| self.not_surely(field, at, count))
            .or_else(|| self.told_to_somebody(field, at, count))
            .or_else(|| self.of_the_sum(field, at, count))
            .or_else(|| self.time_at_the_end(field, at, count))
            .or_else(|| self.hand_at_the_end(field, at, count))
            .or_else(|| self.old_or_new(field, at, count))
            .or_else(|| self.no_damage(field, at, count))
            .or_else(|| self.praise(field, at, count))
            .or_else(|| self.more_than_the_condition(field, at, count))
    }

    /// `wash 417 - very greasy`: the words behind a dash of a verb that has no text, as a note.
    pub(super) fn noted(&mut self, at: usize, word: &str) -> Option<usize> {
        let dash = matches!(word, "-" | "\u{2013}" | "\u{2014}");
        let texts = self.spec.fields.iter().any(|field| field.kind() == Kind::Text);
        let fact = self.spec.class == Class::Fact && self.spec.on == On::Skull;
        if !dash || texts || !fact || self.sorted.skulls.is_empty() {
            return None;
        }
        let words = self.words.get(at.saturating_add(1)..).filter(|words| !words.is_empty())?;
        let more = |word: &String| {
            let bare = word.trim_matches(|c: char| !c.is_alphanumeric());
            self.lexicon.hand(bare).is_some()
                || is_denial(&bare.to_lowercase())
                || (bare.len() >= 3 && is_skull(bare))
        };
        if words.iter().any(more) || ending_time(words).is_some() {
            return None;
        }
        let (text, used) = (words.join(" "), words.len());
        self.sorted.noted = Some(text);
        Some(used.saturating_add(1))
    }

    /// `dispute 0417 settled`, `hold 0417 lifted`, `stray none`: the words deny what the verb says.
    fn opposite(&self, field: &'static FieldSpec, at: usize, count: usize) -> Option<Error> {
        let words = self.raw(at, count);
        let word = |word: &String| word.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase();
        let first = words.first().map(word)?;
        let over = [
            "settled",
            "withdrawn",
            "closed",
            "over",
            "resolved",
            "off",
            "lifted",
            "released",
            "release",
        ];
        let unworked = ["planned", "off", "sick", "less", "vacation", "holiday", "unpaid", "about"];
        let denies = match self.spec.word {
            // `hold 0417 no kill tag` says why.
            "hold" if is_denial(&first) => {
                let next = words.get(1).map(word).unwrap_or_default();
                next.is_empty() || NO_HOLD.contains(&next.as_str())
            }
            "dispute" | "hold" => over.contains(&first.as_str()) || is_denial(&first),
            "stray" => is_denial(&first),
            "hours" => words.iter().map(word).any(|word| unworked.contains(&word.as_str())),
            "charge" => words.iter().map(word).any(|word| word == "undo"),
            _ => false,
        };
        denies.then(|| {
            unclear(
                format!(
                    "{}: \u{201c}{}\u{201d} seems to say the opposite; record it all the same?",
                    self.spec.word,
                    words.join(" ")
                ),
                [self.as_text(field, at, count)],
            )
        })
    }

    /// A word of a remark that says more than one: it is for the hand to say that it is the remark.
    pub(super) fn more_than_a_remark(
        &self,
        field: &'static FieldSpec,
        at: usize,
        count: usize,
        word: &str,
    ) -> Error {
        let time = self.at_the_end(at.saturating_add(count).saturating_sub(1));
        let time = time.filter(|_| count == 1);
        unclear(
            format!(
                "{}: \u{201c}{word}\u{201d} may say more than a remark does; is all of it the {}?",
                self.spec.word,
                field.typed_name()
            ),
            time.into_iter().chain([self.as_text(field, at, count)]),
        )
    }

    /// Where a text begins with the mark that parts it from the rest, and its words with that.
    fn with_mark(&self, at: usize, count: usize) -> (usize, usize) {
        let before = at.checked_sub(1).and_then(|before| Some((before, self.words.get(before)?)));
        match before.filter(|(_, word)| is_separator(word, self.spec)) {
            Some((before, _)) => (before, count.saturating_add(1)),
            None => (at, count),
        }
    }

    /// The line with another text in place of these words.
    pub(super) fn instead(
        &self,
        at: usize,
        count: usize,
        field: &FieldSpec,
        text: &str,
    ) -> Vec<String> {
        let (at, count) = self.with_mark(at, count);
        self.with_field(at, count, field, text)
    }

    /// The line without these words.
    pub(super) fn left_out(&self, at: usize, count: usize) -> Vec<String> {
        let (at, count) = self.with_mark(at, count);
        self.replaced(at, count, &[])
    }

    pub(super) fn raw(&self, at: usize, count: usize) -> &[String] {
        self.words.get(at..at.saturating_add(count)).unwrap_or_default()
    }

    pub(super) fn as_text(
        &self,
        field: &'static FieldSpec,
        at: usize,
        count: usize,
    ) -> (String, Vec<String>) {
        let text = self.raw(at, count).join(" ");
        let label = format!("{} \u{201c}{text}\u{201d}", field.typed_name());
        (label, self.instead(at, count, field, &text))
    }

    /// `jaw missing 4 teeth`: the teeth that it lacks, or those that were counted.
    pub(super) fn lacks_teeth(&self, field: &'static FieldSpec, at: usize) -> Option<Error> {
        let before = at.checked_sub(1).and_then(|before| self.words.get(before))?;
        let hurt = ["missing", "broken", "cracked"].contains(&before.to_lowercase().as_str());
        if self.spec.word != "condition" || field.kind() != Kind::Count || !hurt {
            return None;
        }
        let count = self.words.get(at)?;
        let words = self.field(|f| f.kind() == Kind::Text)?;
        let rest = self.words.len().saturating_sub(at);
        let text = format!("{before} {}", self.raw(at, rest).join(" "));
        Some(unclear(
            format!("condition: were {count} {} counted, or are they {before}?", field.name),
            [
                (format!("{} {count}", field.name), self.with_field(at, 2, field, count)),
                (
                    format!("{} \u{201c}{text}\u{201d}", words.typed_name()),
                    self.with_field(at, rest, words, &text),
                ),
            ],
        ))
    }

    /// The place at the end of a text: `tooth in tub-1`.
    pub(super) fn place_at_the_end(&self, at: usize, count: usize) -> Option<(usize, String)> {
        self.open_field(|f| f.kind() == Kind::Place)?;
        let words = self.raw(at, count);
        let (last, before) = words.split_last()?;
        let place = self.lexicon.place(last)?;
        let (word, text) = before.split_last()?;
        let of = matches!(word.to_lowercase().as_str(), "in" | "on" | "at" | "from" | "by");
        (of && !text.is_empty()).then(|| (text.len(), place.place.clone()))
    }

    /// `nose cracked at 10:40`: the time of the damage, or of saying it.
    fn time_at_the_end(&self, field: &'static FieldSpec, at: usize, count: usize) -> Option<Error> {
        let words = self.raw(at, count);
        let (from, time) = ending_time(words)?;
        if self.spec.class != Class::Fact {
            return None;
        }
        let before = words.get(..from)?.join(" ");
        let mut line = vec!["at".to_owned()];
        line.extend(time.split(' ').map(str::to_owned));
        let plain = before.trim_end_matches([',', ' ']);
        line.extend(if plain.is_empty() {
            self.left_out(at, count)
        } else {
            self.instead(at, count, field, plain)
        });
        Some(unclear(
            format!("{}: is {time} when it happened?", self.spec.word),
            [(format!("at {time}"), line), self.as_text(field, at, count)],
        ))
    }

    /// `nose cracked by tom`, `… tom`: who says it, or a word of the text.
    fn hand_at_the_end(&self, field: &'static FieldSpec, at: usize, count: usize) -> Option<Error> {
        let words = self.raw(at, count);
        let (last, before) = words.split_last()?;
        let hand = self.lexicon.hand(last.trim_end_matches('.'))?;
        let by = before.last().is_some_and(|word| word.eq_ignore_ascii_case("by"));
        let before = before.get(..before.len().saturating_sub(usize::from(by)))?.join(" ");
        let mut said = if before.is_empty() {
            self.left_out(at, count)
        } else {
            self.instead(at, count, field, &before)
        };
        said.extend(["--hand".to_owned(), hand.to_owned()]);
        Some(unclear(
            format!("{}: what of \u{201c}{hand}\u{201d}?", self.spec.word),
            [self.as_text(field, at, count), (format!("{hand} says so"), said)],
        ))
    }

    /// `inspect 417 looks good`: hardly a fault.
    fn praise(&self, field: &'static FieldSpec, at: usize, count: usize) -> Option<Error> {
        let words = self.raw(at, count);
        let word = |word: &String| word.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase();
        let again = |word: &str| matches!(word, "again" | "later" | "tomorrow");
        let praised = words.iter().map(word).any(|w| PRAISE.contains(&w.as_str()) || again(&w));
        if field.name != "faults" || !praised {
            return None;
        }
        Some(unclear(
            "inspect: is that a fault?".to_owned(),
            [("no fault".to_owned(), self.left_out(at, count)), self.as_text(field, at, count)],
        ))
    }

    /// `nose whole except tip`: words right behind a state may take it back.
    fn more_than_the_condition(
        &self,
        field: &'static FieldSpec,
        at: usize,
        count: usize,
    ) -> Option<Error> {
        let stated =
            self.spec.fields.iter().any(|f| {
                matches!(f.kind(), Kind::Listed(_)) && self.sorted.given.contains_key(f.name)
            });
        let before = at.checked_sub(1).and_then(|before| self.words.get(before))?;
        let parted = before.ends_with([',', ';', '-', ':']);
        // `cracked` may go on; `whole` and `missing` say all that there is.
        let all = matches!(before.to_lowercase().as_str(), "whole" | "missing");
        (self.spec.word == "condition" && stated && all && !parted).then(|| {
            unclear(
                format!(
                    "condition: does \u{201c}{}\u{201d} change what stands before it?",
                    self.raw(at, count).join(" ")
                ),
                [self.as_text(field, at, count)],
            )
        })
    }
}

/// A word that denies what follows it.
fn is_denial(word: &str) -> bool {
    matches!(word, "not" | "no" | "never" | "none" | "nothing" | "isn't" | "wasn't")
}

/// A time at the end of some words, and where it begins: `at 10:40`, `this morning`, `9 am`.
pub(super) fn ending_time(words: &[String]) -> Option<(usize, String)> {
    (0..words.len()).find_map(|from| {
        let rest = words.get(from..)?;
        let first = rest.first()?.to_lowercase();
        let named = first == "at";
        let time = rest.get(usize::from(named)..)?;
        let half = time.last().is_some_and(|last| {
            let last = last.to_lowercase().replace('.', "");
            last.ends_with("am") || last.ends_with("pm")
        });
        let begins = named || matches!(first.as_str(), "this" | "yesterday" | "about" | "around");
        let clock = half && first.starts_with(|c: char| c.is_ascii_digit());
        if !(begins || clock) || time.is_empty() {
            return None;
        }
        let (taken, said) = when::at_front(time).ok()?;
        (taken == time.len()).then_some((from, said))
    })
}
