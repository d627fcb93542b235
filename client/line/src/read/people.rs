//! A person among the words of a line: `ticket Ada Fenn 555-0142`, `hand-over 0417 to Ada Fenn`.
//!
//! What is sealed shows in no echo, so nothing falls into a name that can be anything else: a word that
//! means something at the counter ends a name, or is asked about.

use burrline_terms::{Kind, Tag};

use super::Reader;
use crate::{
    Error, closed,
    details::{self, contact, name_run, written},
    doubt,
    familiar::{Familiar, familiar},
    fit::{self, Fit},
    text,
};

/// Words before a person that say no more than that one follows.
const LEADS: &[(&str, &[&str])] = &[
    ("ticket", &["for", "customer", "client", "new"]),
    ("add-customer", &["for", "customer", "client", "new"]),
    ("amend-customer", &["customer"]),
    ("hand-over", &["to", "by"]),
    ("sell", &["to"]),
    ("pay", &["from", "by"]),
    ("papers", &["from", "for", "hunter"]),
    ("person", &["is"]),
];

impl Reader<'_> {
    /// A detail behind its name: `phone 555-0142`, `name Ada Fenn`.
    pub(super) fn detail(&mut self, at: usize) -> Result<Option<usize>, Error> {
        if !details::taken_by(self.spec) || (self.wants_skull() && self.sorted.skulls.is_empty()) {
            return Ok(None);
        }
        let words = typed_from(self.words, at);
        let ends = |rest: &[&str]| self.ends_name(rest);
        let Some((used, name, value)) = details::named(&words, &ends) else { return Ok(None) };
        if name == "name" {
            let run = words.get(..used).unwrap_or_default();
            let begins = details::of_word(&words).map_or(1, |(before, _)| before);
            if let Some(doubt) = self.listed_in_name(at, begins, run) {
                return Err(doubt);
            }
        }
        Ok(self.sorted.details.set(name, &value).then_some(used))
    }

    /// Whether the words at the front are a number to call or a mail address behind its name, of a verb
    /// that takes one.
    pub(crate) fn is_detail(&self, words: &[&str]) -> bool {
        let valued = || details::named(words, &|_| false);
        details::taken_by(self.spec) && valued().is_some_and(|(_, name, _)| name != "name")
    }

    /// A person that no name of a field stands before, or a number or mail address of one.
    pub(super) fn person(&mut self, at: usize) -> Result<Option<usize>, Error> {
        if !details::taken_by(self.spec) || (self.wants_skull() && self.sorted.skulls.is_empty()) {
            return Ok(None);
        }
        let words = typed_from(self.words, at);
        if let Some((used, name, value)) = contact(&words).filter(|_| self.takes_contact()) {
            return Ok(self.sorted.details.set(name, &value).then_some(used));
        }
        if self.sorted.details.name.is_some() {
            return Ok(None);
        }
        if let Some(used) = self.quoted_name(at, &words)? {
            return Ok(Some(used));
        }
        let leads = LEADS.iter().find(|(verb, _)| *verb == self.spec.word).map(|(_, words)| *words);
        let is_lead = |word: &&&str| {
            let small = word.to_lowercase();
            leads.is_some_and(|leads| leads.contains(&small.as_str()))
        };
        let lead = words.iter().take_while(is_lead).count();
        let after = words.get(lead..).unwrap_or_default();
        // `for phone 555-0142`.
        if lead > 0 && (contact(after).is_some() && self.takes_contact()) {
            return Ok(Some(lead));
        }
        let ends = |rest: &[&str]| self.ends_name(rest) || self.is_said(rest);
        let run = name_run(after, &ends);
        let (Some(name), Some(rest)) = (after.get(..run), after.get(run..)) else {
            return Ok(None);
        };
        let capitals = name.first().is_some_and(|word| word.starts_with(char::is_uppercase));
        if run == 0 || !self.is_person(lead, run, capitals, rest) {
            return if lead == 0 { self.words_before_name(at, &words) } else { Ok(None) };
        }
        if let Some(doubt) = self.doubtful_name(at, lead, name, rest) {
            return Err(doubt);
        }
        self.sorted.details.set("name", &written(name));
        Ok(Some(lead.saturating_add(run)))
    }

    /// Whether a bare number to call can be of a person: where a head or its papers are about, only
    /// behind the name.
    fn takes_contact(&self) -> bool {
        !self.wants_skull() || self.sorted.details.name.is_some()
    }

    /// Whether the words at the front end a name that stands before them: another field's name, a word
    /// of the verb's lists, a negation.
    fn ends_name(&self, rest: &[&str]) -> bool {
        let Some(word) = rest.first().map(|word| word.trim_end_matches([',', ';'])) else {
            return true;
        };
        let two = rest.get(..2).map(|two| two.join("-"));
        let is_field = |name: &str| {
            self.spec.fields.iter().any(|f| f.kind() != Kind::Sealed && f.typed_name() == name)
        };
        let field = is_field(word) || two.is_some_and(|two| is_field(&two));
        let small = word.starts_with(char::is_lowercase);
        field
            || text::is_separator(word, self.spec)
            || text::is_negative(word)
            || (small && (text::is_turning(word) || self.is_listed(word)))
            || (small && familiar(word, self.lexicon) == Familiar::Word)
    }

    /// A word in small letters that means something here, so that it is no part of a name.
    fn is_said(&self, rest: &[&str]) -> bool {
        rest.first().is_some_and(|word| {
            word.starts_with(char::is_lowercase) && familiar(word, self.lexicon) != Familiar::No
        })
    }

    /// Whether a list of the verb has a word.
    fn is_listed(&self, word: &str) -> bool {
        self.spec.fields.iter().any(|field| {
            closed::list(self.spec, field)
                .is_some_and(|list| closed::word_of(&list, &[word]).is_some())
        })
    }

    /// Whether words that read like a name are one: a number to call makes them a person's, or they are
    /// written as names are where nothing but a person is wanted.
    fn is_person(&self, lead: usize, run: usize, capitals: bool, rest: &[&str]) -> bool {
        let said = !self.sorted.details.is_empty();
        let follows = |rest: &[&str]| {
            contact(rest).is_some()
                || details::of_word(rest).is_some_and(|(_, name)| name != "name")
        };
        let near = said || follows(rest);
        let later = near || (0..rest.len()).any(|n| rest.get(n..).is_some_and(follows));
        let whole = (2..=4).contains(&run);
        match self.spec.word {
            "ticket" | "add-customer" | "amend-customer" if capitals => {
                whole || (run == 1 && later)
            }
            "ticket" | "add-customer" | "amend-customer" => near && run <= 3,
            "hand-over" | "person" => capitals && whole,
            "sell" => capitals && (whole || (lead > 0 && run == 1)),
            "papers" => capitals && whole && later,
            "pay" => capitals && whole && lead > 0,
            _ => false,
        }
    }

    /// `"Ada Fenn"` in quotes: beside a number to call it is a person; alone it may be a remark.
    fn quoted_name(&mut self, at: usize, words: &[&str]) -> Result<Option<usize>, Error> {
        let Some(word) = words.first().filter(|word| word.contains(char::is_whitespace)) else {
            return Ok(None);
        };
        let parts: Vec<&str> = word.split_whitespace().collect();
        let capitals = parts.iter().all(|part| part.starts_with(char::is_uppercase));
        let run = name_run(&parts, &|rest| {
            rest.first().is_some_and(|word| familiar(word, self.lexicon) == Familiar::Word)
        });
        if !capitals || run != parts.len() || !(2..=4).contains(&run) {
            return Ok(None);
        }
        let person = !self.wants_skull() || matches!(self.spec.word, "hand-over" | "sell");
        let name = written(&parts);
        let customer = matches!(self.spec.word, "add-customer" | "amend-customer");
        if customer || (self.spec.word == "person" && !self.sorted.skulls.is_empty()) {
            self.sorted.details.set("name", &name);
            return Ok(Some(1));
        }
        let Some(text) = self.free_text().filter(|_| person) else { return Ok(None) };
        let near = words.get(1..).and_then(contact).is_some() || !self.sorted.details.is_empty();
        if near {
            self.sorted.details.set("name", &name);
            return Ok(Some(1));
        }
        Err(doubt::unclear(
            format!(
                "{}: is \u{201c}{name}\u{201d} a person\u{2019}s name, or a remark?",
                self.spec.word
            ),
            [
                self.as_name(at, 0, 1, &name),
                (
                    format!("{} \u{201c}{name}\u{201d}", text.typed_name()),
                    self.with_field(at, 1, text, &name),
                ),
            ],
        ))
    }

    /// A choice: these words as the person's name.
    fn as_name(&self, at: usize, lead: usize, run: usize, name: &str) -> (String, Vec<String>) {
        let mut line = self.replaced(at, lead.saturating_add(run), &[]);
        line.extend(["--name".to_owned(), name.to_owned()]);
        (format!("the person\u{2019}s name, sealed: {name}"), line)
    }

    /// `name Johnny Cash` where cash is a word of the verb's own.
    fn listed_in_name(&self, at: usize, begins: usize, run: &[&str]) -> Option<Error> {
        let name = run.get(begins..)?;
        let n = name.iter().skip(1).position(|word| self.is_listed(word))?.saturating_add(1);
        Some(self.listed_or_name(at, begins, name, n))
    }

    /// A name with a word that says something here: all of it as the name, or without that word.
    fn listed_or_name(&self, at: usize, lead: usize, name: &[&str], n: usize) -> Error {
        let whole = self.as_name(at, lead, name.len(), &written(name));
        let word = name.get(n).map_or("", |word| word.trim_end_matches(','));
        let before = written(name.get(..n).unwrap_or_default());
        let listed = self.spec.fields.iter().find_map(|field| {
            let open = self.is_open(field) && closed::list(self.spec, field).is_some();
            match fit::fit(self.spec, field, &[word], self.lexicon) {
                Fit::Is { value, .. } if open => Some((field, value)),
                Fit::Is { .. } | Fit::No | Fit::Unclear { .. } => None,
            }
        });
        let rest = (!before.is_empty()).then(|| {
            let used = lead.saturating_add(name.len());
            let mut line = if let Some((field, value)) = &listed {
                let mut line = self.replaced(at, used, &[]);
                line.extend([format!("--{}", field.typed_name()), value.clone()]);
                line
            } else {
                let text = written(name.get(n..).unwrap_or_default());
                self.with_field(at, used, self.free_text()?, &text)
            };
            line.extend(["--name".to_owned(), before.clone()]);
            let what = listed.map_or("", |(field, _)| field.name);
            let label = format!("the name is {before}; {what} {}", written(name.get(n..)?));
            Some((label.replace("  ", " "), line))
        });
        doubt::unclear(
            format!("{}: is \u{201c}{word}\u{201d} part of the name?", self.spec.word),
            std::iter::once(whole).chain(rest.flatten()),
        )
    }

    /// What is not surely all of a name, or has more than a name in it.
    fn doubtful_name(&self, at: usize, lead: usize, name: &[&str], rest: &[&str]) -> Option<Error> {
        let words: Vec<&str> = name.iter().map(|word| word.trim_end_matches([',', ';'])).collect();
        let known: Vec<Familiar> = words.iter().map(|word| familiar(word, self.lexicon)).collect();
        let capitals = words.first().is_some_and(|word| word.starts_with(char::is_uppercase));
        let animal = words.len() == 2 && self.lexicon.species.find(&words).used == 2;
        let doubtful = known.iter().enumerate().position(|(n, known)| match known {
            Familiar::No => false,
            Familiar::Word => true,
            // `Tom Fenn`, `Ada Buck`; `Tom` alone may be the hand, `Whitetail Buck` the head.
            Familiar::Name if animal || words.len() == 1 => true,
            Familiar::Name => {
                let hand = words.get(n).is_some_and(|word| self.lexicon.hand(word).is_some());
                let surname = n == 1 && words.len() == 2 && !hand;
                !capitals || (n > 0 && !surname)
            }
        });
        if let Some(n) = doubtful {
            return Some(self.listed_or_name(at, lead, name, n));
        }
        // `Ada fenn 555-0142`, `Ada waiting 555-0142`.
        let next = rest.first().filter(|_| capitals)?;
        let small = next.starts_with(char::is_lowercase) && !self.ends_name(rest);
        let letters = next.chars().all(char::is_alphabetic);
        let numbered = rest.get(1..).is_some_and(|rest| contact(rest).is_some());
        let ended = name.last().is_some_and(|word| word.ends_with(','));
        (small && letters && numbered && !ended).then(|| {
            let longer: Vec<&str> = name.iter().chain([next]).copied().collect();
            self.listed_or_name(at, lead, &longer, name.len())
        })
    }

    /// `two heads Zoe Fenn 555-0142`: what stands before a person is a remark, or part of the name.
    fn words_before_name(&self, at: usize, words: &[&str]) -> Result<Option<usize>, Error> {
        let Some(field) = self.free_text().filter(|_| !self.wants_skull()) else { return Ok(None) };
        let before = words.iter().take_while(|word| word.starts_with(char::is_lowercase)).count();
        let after = words.get(before..).unwrap_or_default();
        let run = name_run(after, &|rest| self.ends_name(rest));
        let numbered = after.get(run..).is_some_and(|rest| contact(rest).is_some());
        let negative = words.first().is_some_and(|word| text::is_negative(word));
        let plain = words.iter().take(before).all(|word| {
            let detail = !negative && details::of_word(&[word]).is_some();
            !Tag::looks_like(word) && !detail && !self.is_listed(word)
        });
        if before == 0 || run == 0 || !numbered || !plain {
            return Ok(None);
        }
        let text = written(words.get(..before).unwrap_or_default());
        Err(doubt::unclear(
            format!("{}: what is \u{201c}{text}\u{201d} before the name?", self.spec.word),
            [(
                format!("{} \u{201c}{text}\u{201d}", field.typed_name()),
                self.with_field(at, before, field, &text),
            )],
        ))
    }
}

/// The words from here on, with their commas.
fn typed_from(words: &[String], at: usize) -> Vec<&str> {
    words.get(at..).unwrap_or_default().iter().map(String::as_str).collect()
}
