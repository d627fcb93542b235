//! A person's details, sealed before they are said.

use burrline_domain::{Verb, VerbSpec, verb};
use burrline_evidence::seal::{SealKey, seal};
use burrline_present::private::shapes::{Shape, shapes};
use burrline_terms::{Sealed, Typed as _, words::Capacity};
use serde::Serialize;

use crate::Error;

/// The options that make up details, with what they mean.
pub const OPTIONS: &[(&str, &str)] = &[
    ("name", "the person's name; sealed"),
    ("phone", "telephone number; sealed"),
    ("email", "electronic mail address; sealed"),
    ("address", "postal address; sealed"),
    ("licence", "number of the hunting licence; sealed"),
];

/// A person's details, as typed.
#[derive(Clone, PartialEq, Eq, Default, Serialize)]
pub struct Details {
    /// Name.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Telephone number.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub phone: Option<String>,
    /// Electronic mail address.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub email: Option<String>,
    /// Postal address.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub address: Option<String>,
    /// Number of the hunting licence.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub licence: Option<String>,
}

/// Details must not reach a log by way of a debug line.
impl std::fmt::Debug for Details {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Details(sealed)")
    }
}

impl Details {
    /// What was said, for the eyes of the hand that said it.
    pub fn shown(&self) -> String {
        let all = [&self.name, &self.phone, &self.email, &self.address];
        let licence = self.licence.as_ref().map(|number| format!("licence {number}"));
        let said = all.into_iter().flatten().cloned().chain(licence);
        said.collect::<Vec<_>>().join(", ")
    }

    /// Whether nothing was said.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// Keeps one of them, if it was not said yet; says whether it was kept.
    pub fn set(&mut self, name: &str, value: &str) -> bool {
        let field = match name {
            "name" => &mut self.name,
            "phone" => &mut self.phone,
            "email" => &mut self.email,
            "address" => &mut self.address,
            "licence" => &mut self.licence,
            _ => return false,
        };
        let free = field.is_none();
        if free {
            *field = Some(value.to_owned());
        }
        free
    }

    /// These, with what others say that these do not.
    #[must_use]
    pub fn or(self, others: Self) -> Self {
        Self {
            name: self.name.or(others.name),
            phone: self.phone.or(others.phone),
            email: self.email.or(others.email),
            address: self.address.or(others.address),
            licence: self.licence.or(others.licence),
        }
    }

    /// Seals the details under a fresh key, which is for the shop's keyring alone.
    ///
    /// # Errors
    /// [`Error::Bug`] if there is no randomness.
    pub fn seal(&self) -> Result<(Sealed, SealKey), Error> {
        let bug = |e: &dyn std::fmt::Display| Error::Bug(e.to_string());
        let (mut key, mut nonce) = ([0; 32], [0; 24]);
        getrandom::fill(&mut key).map_err(|e| bug(&e))?;
        getrandom::fill(&mut nonce).map_err(|e| bug(&e))?;
        let key = SealKey(key);
        let text = serde_json::to_vec(self).map_err(|e| bug(&e))?;
        let sealed = seal(&key, nonce, &text).map_err(|e| bug(&e))?;
        let sealed = Sealed {
            key_id: sealed.key_id.0,
            nonce: sealed.nonce.to_vec(),
            ciphertext: sealed.ciphertext,
        };
        Ok((sealed, key))
    }
}

/// Other words for a detail.
const CALLED: &[(&str, &str)] = &[
    ("addr", "address"),
    ("cell", "phone"),
    ("e-mail", "email"),
    ("lic", "licence"),
    ("license", "licence"),
    ("mail", "email"),
    ("mobile", "phone"),
    ("ph", "phone"),
    ("tel", "phone"),
    ("telephone", "phone"),
];

/// Words that stand before or behind the name of a detail and say no more: `hunting licence`, `phone
/// number`.
const BESIDE: &[&str] = &["hunting", "cell", "home", "work", "street", "mailing", "mobile"];

/// The detail that the words at the front name, and how many words that takes.
pub(super) fn of_word(words: &[&str]) -> Option<(usize, &'static str)> {
    let small =
        |at: usize| words.get(at).map(|word| word.trim_end_matches([':', '.', ',']).to_lowercase());
    let one = |at: usize| {
        let word = small(at)?;
        let other = CALLED.iter().find(|(called, _)| *called == word);
        let word = other.map_or(word.as_str(), |(_, name)| *name);
        OPTIONS.iter().map(|(name, _)| *name).find(|name| *name == word)
    };
    let beside = small(0).is_some_and(|word| BESIDE.contains(&word.as_str()));
    let (used, name) = match one(1).filter(|_| beside) {
        Some(name) => (2, name),
        None => (1, one(0)?),
    };
    let number = small(used).is_some_and(|word| matches!(word.as_str(), "number" | "no" | "num"));
    Some((used.saturating_add(usize::from(number && name != "name")), name))
}

/// A detail behind its name at the front of some words: how many words, which, and its value. A name
/// goes as far as [`name_run`], an address as far as what `ends` it; a number may have blanks in it.
pub fn named(
    words: &[&str],
    ends: &dyn Fn(&[&str]) -> bool,
) -> Option<(usize, &'static str, String)> {
    let (before, name) = of_word(words)?;
    let value = words.get(before..).filter(|rest| !rest.is_empty())?;
    let quoted = value.first().is_some_and(|word| word.contains(char::is_whitespace));
    let (count, text) = match name {
        _ if quoted => (1, bare(value.first()?).to_owned()),
        "name" => {
            let run = name_run(value, ends);
            (run, written(value.get(..run)?))
        }
        "address" => {
            let end = (1..value.len()).find(|n| {
                let rest = value.get(*n..).unwrap_or_default();
                of_word(rest).is_some() || ends(rest) || contact(rest).is_some()
            });
            let run = end.unwrap_or(value.len());
            (run, written(value.get(..run)?))
        }
        "phone" => {
            let shaped = contact(value).filter(|(_, name, _)| *name == "phone");
            let word = bare(value.first()?);
            let digits = word.bytes().filter(u8::is_ascii_digit).count() >= 3;
            shaped.map_or_else(
                || (usize::from(digits), word.to_owned()),
                |(used, _, number)| (used, number),
            )
        }
        "email" => {
            let word = bare(value.first()?);
            (usize::from(word.contains('@')), word.to_owned())
        }
        _ => {
            let word = bare(value.first()?);
            (usize::from(word.contains(|c: char| c.is_ascii_digit())), word.to_owned())
        }
    };
    (count > 0 && !text.is_empty()).then(|| (before.saturating_add(count), name, text))
}

/// A telephone number or a mail address at the front, by its shape: how many words, which detail it is,
/// and its value.
pub(super) fn contact(words: &[&str]) -> Option<(usize, &'static str, String)> {
    (1..=words.len().min(5)).rev().find_map(|used| {
        let text = written(words.get(..used)?);
        match shapes(&text).as_slice() {
            [one] if one.words.len() == text.len() => {
                let name = match one.shape {
                    Shape::Phone => "phone",
                    Shape::Mail => "email",
                };
                Some((used, name, text))
            }
            [] | [_, ..] => None,
        }
    })
}

/// How many words at the front are a name. One that is written with capitals ends at a word without; any
/// ends at a figure, at a comma, and at what `ends` it. The comma of `Fenn, Ada` is part of it.
pub(super) fn name_run(words: &[&str], ends: &dyn Fn(&[&str]) -> bool) -> usize {
    let capital = |word: &str| word.starts_with(char::is_uppercase);
    let capitals = words.first().is_some_and(|word| capital(word));
    let mut run = 0_usize;
    for (n, word) in words.iter().enumerate() {
        let rest = words.get(n..).unwrap_or_default();
        let small = PARTICLES.contains(&bare(word)) || (*word == "&" && n > 0);
        let fits = if small { n > 0 || !capitals } else { is_name(bare(word), capitals) };
        if !fits || ends(rest) || of_word(rest).is_some() || (!capitals && capital(word)) {
            break;
        }
        if !small {
            run = n.saturating_add(1);
        }
        let next = words.get(n.saturating_add(1)).filter(|next| capitals && capital(next));
        if word.ends_with([',', ';']) && (n > 0 || next.is_none()) {
            break;
        }
    }
    run
}

/// Words as one text, without a comma at their end.
pub(super) fn written(words: &[&str]) -> String {
    bare(&words.join(" ")).to_owned()
}

fn bare(word: &str) -> &str {
    word.trim_end_matches([',', ';'])
}

/// The details in words that name nothing else: `Ada Fenn 555-0199`, `ada@fenn.example`, `Ada Fenn`.
///
/// What is no number and no mail address must read like a name, or this is no person. Without either,
/// two words at least must be written as names are, with a capital.
pub fn from_bare(words: &[String]) -> Option<Details> {
    let text = words.join(" ");
    let mut details = Details::default();
    let mut rest = text.clone();
    for found in shapes(&text) {
        let field = match found.shape {
            Shape::Phone => &mut details.phone,
            Shape::Mail => &mut details.email,
        };
        // Of two numbers nobody can say which is which.
        if field.replace(found.words.to_owned()).is_some() {
            return None;
        }
        rest = rest.replacen(found.words, " ", 1);
    }
    let bare = details.is_empty();
    let words = rest.split_whitespace().map(|word| word.trim_matches([',', ';']));
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    let whole = words.iter().filter(|word| !PARTICLES.contains(word)).count();
    let enough = if bare { 2..=4 } else { 0..=4 };
    if !enough.contains(&whole) || !words.iter().all(|word| is_name(word, bare)) {
        return None;
    }
    // `Fenn, Ada`: the comma tells which of the two is the surname.
    let surname = rest.split_whitespace().next().filter(|word| word.ends_with(','));
    details.name = match (words.as_slice(), surname) {
        ([], _) => None,
        ([last, first], Some(_)) => Some(format!("{last}, {first}")),
        (words, _) => Some(words.join(" ")),
    };
    (!details.is_empty()).then_some(details)
}

/// Whether all of the words can be of a name.
pub(super) fn are_names(words: &[String]) -> bool {
    (1..=4).contains(&words.len()) && words.iter().all(|word| is_name(word, false))
}

/// Small words within names.
const PARTICLES: &[&str] = &["van", "von", "de", "der", "den", "la", "le", "di", "du", "zu"];

/// Letters, with a hyphen, an apostrophe or the dot of an initial; `capital` wants it to begin with one.
fn is_name(word: &str, capital: bool) -> bool {
    let initial = word.strip_suffix('.').filter(|letters| letters.chars().count() <= 2);
    let letters = initial.unwrap_or(word);
    let plain = |c: char| c.is_alphabetic() || matches!(c, '-' | '\'' | '\u{2019}');
    let begins = letters.starts_with(char::is_alphabetic);
    let written = !capital || PARTICLES.contains(&word) || letters.starts_with(char::is_uppercase);
    begins && written && letters.chars().all(plain)
}

/// A line without its text, and the text as a person's details; none where the line cannot say who that
/// is, or says it already.
#[allow(clippy::wildcard_enum_match_arm, reason = "these verbs alone have a text beside a person")]
pub fn in_place_of_text(verb: &Verb) -> Option<(Verb, Details)> {
    let mut verb = verb.clone();
    let text = match &mut verb {
        Verb::Ticket(v) if v.bringer.is_none() => v.note.take()?,
        Verb::HandOver(v) if v.collector.is_none() => v.words.take()?,
        _ => return None,
    };
    let words: Vec<String> = text.as_str().split_whitespace().map(str::to_owned).collect();
    let whole = || Details { name: Some(text.to_string()), ..Details::default() };
    Some((verb, from_bare(&words).unwrap_or_else(whole)))
}

/// Whether details of a person may be said with a verb: in a field of its own, or, with a payment, in a
/// line of its own right before it.
pub fn taken_by(spec: &VerbSpec) -> bool {
    spec.word == "pay" || spec.fields.iter().any(|field| field.hint == Sealed::HINT)
}

/// The line that goes before one to say who it came from; nothing for all but a payment.
pub fn said_before(verb: &Verb, sealed: &Sealed) -> Option<Verb> {
    let Verb::Pay(pay) = verb else { return None };
    let (skull, details) = (pay.skull.clone(), Some(sealed.clone()));
    Some(verb::Person { skull, stands_as: Capacity::Giver, details }.into())
}

/// Puts sealed details into the field of the verb that takes them; says whether it has one.
pub fn put_into(verb: &mut Verb, sealed: Sealed) -> bool {
    #[allow(clippy::wildcard_enum_match_arm, reason = "these verbs alone take details")]
    let field = match verb {
        Verb::Ticket(v) => &mut v.bringer,
        Verb::Papers(v) => &mut v.details,
        Verb::HandOver(v) => &mut v.collector,
        Verb::Person(v) => &mut v.details,
        Verb::Sell(v) => &mut v.buyer,
        Verb::AmendCustomer(v) => &mut v.details,
        Verb::AddCustomer(v) => {
            v.details = sealed;
            return true;
        }
        _ => return false,
    };
    *field = Some(sealed);
    true
}

#[cfg(test)]
mod tests {
    use burrline_evidence::seal::{KeyId, Sealed as Closed, open};

    use super::*;

    #[test]
    fn sealed_details_open_with_their_key_alone() {
        let details = Details { name: Some("Ada Fenn".into()), ..Details::default() };
        let (sealed, key) = details.seal().unwrap();
        let closed = Closed {
            key_id: KeyId(sealed.key_id),
            nonce: sealed.nonce.try_into().unwrap(),
            ciphertext: sealed.ciphertext,
        };
        assert_eq!(open(&key, &closed).unwrap(), br#"{"name":"Ada Fenn"}"#);
        assert!(open(&SealKey([1; 32]), &closed).is_err());
    }

    #[test]
    fn a_detail_stands_behind_its_name() {
        let ends = |rest: &[&str]| rest.first() == Some(&"words");
        let read = |line: &str| named(&line.split(' ').collect::<Vec<_>>(), &ends);
        let some = |used, name, value: &str| Some((used, name, value.to_owned()));
        assert_eq!(read("phone 555-0142 cash"), some(2, "phone", "555-0142"));
        assert_eq!(read("name Ada Fenn phone 1"), some(3, "name", "Ada Fenn"));
        assert_eq!(read("License K-7"), some(2, "licence", "K-7"));
        assert_eq!(read("phone 719 555 0110 cash"), some(4, "phone", "719 555 0110"));
        assert_eq!(read("cell number 555 0142"), some(4, "phone", "555 0142"));
        assert_eq!(read("hunting licence K-7"), some(3, "licence", "K-7"));
        assert_eq!(read("name Ada Fenn comes friday"), some(3, "name", "Ada Fenn"));
        assert_eq!(read("name ada fenn words she came"), some(3, "name", "ada fenn"));
        assert_eq!(read("name Bo van der Tarn, cash"), some(5, "name", "Bo van der Tarn"));
        assert_eq!(read("name Fenn, Ada 555-0142"), some(3, "name", "Fenn, Ada"));
        assert_eq!(read("address 12 Mill Road, Salida 555-0142"), {
            some(5, "address", "12 Mill Road, Salida")
        });
        assert_eq!(read("phone"), None);
        assert_eq!(read("phone later"), None);
        assert_eq!(read("cash"), None);
    }

    #[test]
    fn bare_words_are_a_person_if_all_of_them_can_be() {
        let read = |text: &str| {
            let words: Vec<String> = text.split(' ').map(str::to_owned).collect();
            let details = from_bare(&words)?;
            let all = [details.name, details.phone, details.email];
            Some(all.map(Option::unwrap_or_default).join("|"))
        };
        for (text, details) in [
            ("Ada Fenn 555-0199", "Ada Fenn|555-0199|"),
            ("ada fenn 5550199", "ada fenn|5550199|"),
            ("555-0199 Ada Fenn", "Ada Fenn|555-0199|"),
            ("Ada Fenn (303) 555-0199", "Ada Fenn|(303) 555-0199|"),
            ("Fenn, Ada +49 170 1234567", "Fenn, Ada|+49 170 1234567|"),
            ("J. O'Neil 555-0199 j@oneil.example", "J. O'Neil|555-0199|j@oneil.example"),
            ("Bo van der Tarn", "Bo van der Tarn||"),
            ("Anne-Marie Fenn", "Anne-Marie Fenn||"),
            ("555-0199", "|555-0199|"),
        ] {
            assert_eq!(read(text).as_deref(), Some(details), "{text}");
        }
        for text in [
            "two heads",
            "Fenn",
            "Ada Fenn 0417",
            "1:5",
            "555-0199 555-0142",
            "Ada Fenn call 555-0199 after 6",
            "the big one with the drop tine",
        ] {
            assert_eq!(read(text), None, "{text}");
        }
    }

    #[test]
    fn details_never_show() {
        let details = Details { phone: Some("555-0142".into()), ..Details::default() };
        assert!(!format!("{details:?}").contains("555"));
    }
}
