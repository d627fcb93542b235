//! The one free text of a verb: in quotes, behind a separator, or last in the line.

use burrline_domain::verb::{self, FieldSpec, VerbSpec};
use burrline_terms::{Arity, Kind, Tag, words::Means};

use super::{
    beside, closed,
    fit::{self, Fit},
    near,
    read::Reader,
    remark,
};
use crate::Error;

/// Words that stand between what a line is about and its text.
const SEPARATORS: &[&str] = &[":", "-", "\u{2013}", "\u{2014}", "because", "for"];

/// The texts that a line may end in, if its verb has one of them.
const FREE: &[&str] = &["words", "what", "why", "note", "faults", "value"];

/// Verbs of the counter whose last word is as likely a person as a remark.
const OF_PERSONS: &[&str] = &["ticket", "hand-over", "person", "pay", "papers", "agree"];

/// Whether a word parts the text from the rest.
pub(super) fn is_separator(word: &str, spec: &VerbSpec) -> bool {
    // `ticket for Bob` names somebody.
    let person = OF_PERSONS.contains(&spec.word) && word.chars().all(char::is_alphabetic);
    !person && SEPARATORS.contains(&word.to_lowercase().as_str())
}

/// Whether a word says that there is nothing, where a name or a text is wanted.
pub(super) fn is_negative(word: &str) -> bool {
    let word = word.to_lowercase();
    matches!(
        word.trim_end_matches('?'),
        "none"
            | "no"
            | "nobody"
            | "noone"
            | "not"
            | "nothing"
            | "missing"
            | "unknown"
            | "pending"
            | "lost"
            | "expired"
            | "without"
            | "n/a"
    ) || word.ends_with('?')
}

/// Verbs whose line ends in a remark as a matter of course.
const REMARKED: &[&str] = &[
    "spent",
    "pay-in",
    "pay-out",
    "charge",
    "inspect",
    "give-back",
    "bring-back",
    "dispute",
    "swap-tag",
    "tell",
    "condition",
    "hours",
    "write-off",
    "visit",
    "stray",
    "repair",
    "release",
    "refund",
    "close-dispute",
    "identify",
    "extra",
];

/// Verbs whose text tells what somebody said or wants, where a word such as `will` turns nothing.
const SENTENCES: &[&str] =
    &["dispute", "bring-back", "close-dispute", "give-back", "refund", "release", "tell"];

/// A head that goes back as it came.
const UNWORKED: &[&str] = &["unworked", "not-worked", "not-worked-on", "untouched"];

/// Words that turn even a sentence, where it begins with them.
const TURNS_ALL: &[&str] = &[
    "not",
    "no",
    "never",
    "none",
    "nothing",
    "later",
    "tomorrow",
    "yet",
    "cancelled",
    "canceled",
    "if",
    "unless",
    "when",
    "until",
    "after",
    "once",
    "must",
    "should",
    "need",
    "needs",
    "to",
    "today",
    "again",
    "call",
    "email",
    "refused",
    "denied",
    "wait",
    "waiting",
    "pending",
];

/// Words in a remark that may turn what the line says, or say more than a remark.
const MEANING: &[&str] = &[
    "not",
    "no",
    "never",
    "none",
    "nor",
    "or",
    "cannot",
    "can't",
    "isn't",
    "wasn't",
    "didn't",
    "don't",
    "maybe",
    "possibly",
    "probably",
    "unsure",
    "sure",
    "if",
    "to",
    "each",
    "cents",
    "cent",
    "eur",
    "euro",
    "euros",
    "usd",
    "dollars",
    "bucks",
    "percent",
    "today",
    "tomorrow",
    "yesterday",
    "noon",
    "week",
    "weeks",
    "nothing",
    "yet",
    "until",
    "again",
    "after",
    "asked",
    "asks",
    "before",
    "but",
    "call",
    "cancelled",
    "canceled",
    "could",
    "denied",
    "email",
    "except",
    "later",
    "must",
    "need",
    "needs",
    "once",
    "paid",
    "pending",
    "refund",
    "refunded",
    "refused",
    "should",
    "still",
    "unless",
    "unpaid",
    "wait",
    "waiting",
    "wants",
    "when",
    "will",
    "without",
    "won't",
    "would",
];

/// Words beside a sum that may turn it.
const OF_MONEY: &[&str] = &[
    "off", "discount", "coupon", "credit", "credited", "deposit", "down", "dropped", "less",
    "much", "refund", "removed", "reversed", "voided", "waived", "comped", "bounced", "declined",
    "due", "owed", "owes", "promised", "back",
];

/// Whether a text of this name ends its line.
pub(super) fn is_free(name: &str) -> bool {
    FREE.contains(&name)
}

impl Reader<'_> {
    /// Words without quotes as the text that ends the line. Nothing if they are not to be taken so
    /// without a question.
    pub(super) fn bare_text(
        &mut self,
        field: &'static FieldSpec,
        at: usize,
        typed: &[&str],
    ) -> Result<Option<usize>, Error> {
        if OF_PERSONS.contains(&self.spec.word) {
            return Ok(None);
        }
        let required = field.arity == Arity::One;
        if !required && !REMARKED.contains(&self.spec.word) {
            return Ok(None);
        }
        let count = self.text_ends(field, at);
        let typed = typed.get(..count).unwrap_or(typed);
        // `extra 0417 plaque, stand` are two wishes; beside a sum a remark says which one.
        if self.spec.word == "extra" {
            let what = self.field(|f| f.name == "what").and_then(|f| closed::list(self.spec, f));
            let wish = |word: &&str| what.as_ref().is_some_and(|list| list.contains(word));
            let sum = self.sorted.given.contains_key("amount");
            let free = |word: &&str| matches!(*word, "free" | "included" | "gratis" | "instead");
            if !sum
                || typed.iter().any(|word| wish(word) || free(word))
                || typed.first() == Some(&"and")
            {
                return Ok(None);
            }
        }
        if self.spec.word == "hours" && typed.first().is_some_and(|first| is_number(first)) {
            return Ok(None);
        }
        // What the line must say comes before a remark.
        let wanted = |f: &FieldSpec| f.arity == Arity::One && f.kind() != Kind::Text;
        if !required && self.open_field(wanted).is_some() {
            return Ok(None);
        }
        if let [word] = typed
            && let Some(asked) = self.passed_or_not(at, word)
        {
            return Err(asked);
        }
        if field.name == "faults" && remark::is_no_fault(&typed.join(" ")) {
            return Ok(Some(typed.len()));
        }
        if let Some(doubt) = self.text_doubt(field, at, typed.len()) {
            return Err(doubt);
        }
        let (text, closing) =
            if required { self.closing(field, typed) } else { (typed, Vec::new()) };
        let only = text.first().copied().filter(|_| text.len() == 1);
        // A tooth that is lost is damage.
        let lost = self.spec.word == "damage"
            && only.is_some_and(|word| matches!(word.to_lowercase().as_str(), "lost" | "missing"));
        if (only.is_some_and(is_negative) && !lost) || self.says_again(text) {
            return Ok(None);
        }
        if !required
            && !self.is_a_sentence(field, text)
            && let Some(word) = text.iter().find(|word| self.means_more(word))
        {
            // A number may be a tag, and a list's word at the end is none of a remark.
            let number = text.first().is_some_and(|first| is_number(first));
            if number || !self.closing(field, typed).1.is_empty() {
                return Ok(None);
            }
            return Err(self.more_than_a_remark(field, at, typed.len(), word));
        }
        if !required {
            if let Some(several) = self.of_several(field, at, typed, text) {
                return Err(several);
            }
            // One word alone is as likely meant for a list that is still open.
            let lists = |f: &FieldSpec| matches!(f.kind(), Kind::Listed(_));
            let one = text.len() == 1 && self.spec.word != "spent";
            if one && self.open_field(lists).is_some() {
                return Ok(None);
            }
        }
        if let Some(word) = text.iter().find(|word| self.is_slip(word, required)) {
            let at = at.saturating_add(typed.iter().position(|other| other == word).unwrap_or(0));
            return Err(self.no_place_for(at));
        }
        let first = text.first().copied().unwrap_or_default();
        let amount_said = self.sorted.given.contains_key("amount");
        let doubtful =
            is_number(first) && (!amount_said || text.len() == 1 || is_surely_tag(first));
        if self.wants_skull() && doubtful {
            return Err(self.tag_or_text(at, first, field));
        }
        if !required && text.iter().skip(1).any(|word| is_surely_tag(word)) {
            return Ok(None);
        }
        if text.is_empty() {
            return Ok(None);
        }
        let placed = self.place_at_the_end(at, text.len());
        if let Some((_, place)) = &placed {
            self.put("place", place);
        }
        // As it was typed, with its commas.
        let end = at.saturating_add(placed.map_or(text.len(), |(words, _)| words));
        let words = self.words.get(at..end).unwrap_or_default().join(" ");
        self.put(field.name, words.trim().trim_end_matches([',', '-', ' ']));
        for (name, value) in closing {
            self.put(name, &value);
        }
        Ok(Some(typed.len()))
    }

    /// `says they are not his`, `will pick up friday`: what somebody said, in their words.
    fn is_a_sentence(&self, field: &FieldSpec, text: &[&str]) -> bool {
        let word = |word: &&str| word.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase();
        let first = text.first().map(word).unwrap_or_default();
        let calls = self.spec.word == "tell" && text.iter().map(word).any(|w| w == "call");
        let hand = |text: &&str| self.lexicon.hand(&word(text)).is_some();
        let all = text.iter().map(word).collect::<Vec<_>>().join("-");
        if self.spec.word == "give-back" && UNWORKED.contains(&all.as_str()) {
            return true;
        }
        let money = self.spec.word == "refund"
            && text.iter().map(word).any(|word| OF_MONEY.contains(&word.as_str()));
        let least = if self.spec.word == "tell" { 2 } else { 3 };
        // What is wrong with a head that comes back is often what it is not.
        let off = |word: String| remark::PUT_OFF.contains(&word.as_str());
        if self.spec.word == "bring-back" {
            return text.len() > 1 && !text.iter().map(word).any(off);
        }
        // `still greasy at the base` is a fault.
        if self.spec.word == "inspect" {
            let turned = TURNS_ALL.contains(&first.as_str());
            return text.len() > 1 && !turned && !text.iter().map(word).any(off);
        }
        let verb = verb::spec(closed::synonym(&first).unwrap_or(&first)).is_some();
        SENTENCES.contains(&self.spec.word)
            && !money
            && !verb
            && text.len() >= least
            && !TURNS_ALL.contains(&first.as_str())
            && !calls
            && self.closing(field, text).1.is_empty()
            && !text.last().is_some_and(hand)
    }

    /// Whether a word of a remark may turn what the line says: a negation, another sum, a day, a hand.
    fn means_more(&self, word: &str) -> bool {
        let bare = word.trim_end_matches(|c: char| !c.is_alphanumeric()).to_lowercase();
        // `fleshing 443` names a head, and no time.
        let head = self.spec.word == "hours"
            && bare.len() >= 3
            && bare.bytes().all(|byte| byte.is_ascii_digit());
        let figure = !head
            && bare.contains(|c: char| c.is_ascii_digit())
            && (self.sorted.given.contains_key("amount") || self.spec.word == "hours");
        let day = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
            .iter()
            .any(|day| bare == *day || (bare.starts_with(day) && bare.ends_with("day")));
        let means =
            matches!(self.spec.word, "charge" | "refund") && Means::WORDS.contains(&bare.as_str());
        let money = matches!(self.spec.word, "charge" | "refund" | "extra")
            && OF_MONEY.contains(&bare.as_str())
            && !(self.lowers_a_sum() && beside::LOWERS.contains(&bare.as_str()));
        // `extra 0417 shipping 60 to Durango`.
        let towards = self.spec.word == "extra" && bare == "to";
        (MEANING.contains(&bare.as_str()) && !towards)
            || money
            || figure
            || day
            || means
            || self.lexicon.hand(&bare).is_some()
    }

    /// Whether a text has a word of a list that was said already: `as found or ours jaw cracked`.
    fn says_again(&self, text: &[&str]) -> bool {
        let given = |field: &&'static FieldSpec| {
            matches!(field.kind(), Kind::Listed(_)) && !self.is_open(field)
        };
        self.spec.fields.iter().filter(given).any(|field| {
            text.iter()
                .any(|word| fit::fit_named(self.spec, field, &[word], self.lexicon) != Fit::No)
        })
    }

    /// The text without the closed words that end the line: `ours` of `tip chipped ours`. After a
    /// word that turns its meaning around, such as `not ours`, the whole is text.
    pub(super) fn closing<'a>(
        &self,
        text: &FieldSpec,
        typed: &'a [&'a str],
    ) -> (&'a [&'a str], Vec<(&'static str, String)>) {
        let lists = |field: &&'static FieldSpec| {
            field.name != text.name
                && self.is_open(field)
                && matches!(field.kind(), Kind::Listed(_))
        };
        for from in 1..typed.len() {
            let Some((before, ending)) = typed.split_at_checked(from) else { break };
            let turned = before.iter().any(|word| is_turning(word));
            let mut values = Vec::new();
            let mut rest = ending;
            loop {
                let fits =
                    self.spec.fields.iter().filter(lists).filter_map(|field| {
                        match fit::fit(self.spec, field, rest, self.lexicon) {
                            Fit::Is { value, used } => Some((field.name, value, used)),
                            Fit::No | Fit::Unclear { .. } => None,
                        }
                    });
                let fits: Vec<_> = fits.collect();
                // A word of two lists closes nothing.
                let [(name, value, used)] = fits.as_slice() else { break };
                values.push((*name, value.clone()));
                rest = rest.get(*used..).unwrap_or_default();
            }
            if rest.is_empty() && !values.is_empty() && !turned {
                return (before, values);
            }
        }
        (typed, Vec::new())
    }

    /// A word of a remark that several lists of the verb have: `left beam broken`.
    fn of_several(
        &self,
        text: &'static FieldSpec,
        at: usize,
        typed: &[&str],
        words: &[&str],
    ) -> Option<Error> {
        let open = || self.spec.fields.iter().filter(|field| self.is_open(field));
        let lists = |word: &str| {
            let fields = open().filter(|field| matches!(field.kind(), Kind::Listed(_)));
            fields
                .filter_map(|field| match fit::fit(self.spec, field, &[word], self.lexicon) {
                    Fit::Is { value, .. } => Some((field, value)),
                    Fit::No | Fit::Unclear { .. } => None,
                })
                .collect::<Vec<_>>()
        };
        let (n, fields) = words.iter().enumerate().find_map(|(n, word)| {
            let fields = lists(word);
            (!fields.is_empty()).then_some((n, fields))
        })?;
        let whole = (text, typed.join(" "));
        Some(self.field_or_text(at, n, fields, whole))
    }

    /// Whether a word of a text is a slip away from a word of the verb's own lists, or is one that the
    /// verb takes elsewhere.
    fn is_slip(&self, word: &str, required: bool) -> bool {
        let open = self.spec.fields.iter().filter(|field| self.is_open(field));
        let lists = open.filter_map(|field| closed::list(self.spec, field)).flatten();
        let near =
            near::near(word, lists).into_iter().any(|other| !other.eq_ignore_ascii_case(word));
        if required {
            return near && word.len() > 4;
        }
        let names = self.spec.fields.iter().filter(|f| f.kind() != Kind::Text);
        let is_name = names.into_iter().any(|f| {
            f.name.eq_ignore_ascii_case(word) && matches!(f.kind(), Kind::Listed(_) | Kind::Count)
        });
        near || is_name
    }
}

/// Whether a word turns the meaning of the words behind it, or puts it in doubt.
pub(super) fn is_turning(word: &str) -> bool {
    let word = word.trim_end_matches(|c: char| !c.is_alphanumeric()).to_lowercase();
    MEANING.contains(&word.as_str()) || matches!(word.as_str(), "is" | "are" | "was" | "were")
}

fn is_number(word: &str) -> bool {
    word.starts_with(|c: char| c.is_ascii_digit()) && Tag::looks_like(word)
}

/// A number with a leading nought is typed for tags alone.
fn is_surely_tag(word: &str) -> bool {
    word.len() >= 3 && word.starts_with('0') && Tag::looks_like(word)
}
