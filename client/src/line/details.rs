//! A person's details, sealed before they are said.

use burrline_domain::{Sealed, Typed as _, Verb, VerbSpec, verb, words::Capacity};
use burrline_evidence::seal::{SealKey, seal};
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

/// A detail behind its name at the front of some words: how many words, which, and its value. A name
/// has as many words as no digit or other detail's name ends.
pub(super) fn named(words: &[&str]) -> Option<(usize, &'static str, String)> {
    let first = words.first()?.to_lowercase();
    let name = match first.as_str() {
        "license" => "licence",
        "mail" | "e-mail" => "email",
        "tel" | "telephone" => "phone",
        other => other,
    };
    let (name, _) = OPTIONS.iter().find(|(known, _)| *known == name)?;
    let value = words.get(1..).filter(|rest| !rest.is_empty())?;
    let is_other = |word: &&str| OPTIONS.iter().any(|(known, _)| known.eq_ignore_ascii_case(word));
    let long = matches!(*name, "name" | "address");
    let quoted = value.first().is_some_and(|word| word.contains(char::is_whitespace));
    let count = if long && !quoted {
        let ends = |word: &&str| {
            is_other(word) || (*name == "name" && word.contains(|c: char| c.is_ascii_digit()))
        };
        value.iter().position(ends).unwrap_or(value.len())
    } else {
        1
    };
    let text = value.get(..count).filter(|text| !text.is_empty())?.join(" ");
    Some((count.saturating_add(1), name, text))
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
        let read = |line: &str| named(&line.split(' ').collect::<Vec<_>>());
        let some = |used, name, value: &str| Some((used, name, value.to_owned()));
        assert_eq!(read("phone 555-0142 cash"), some(2, "phone", "555-0142"));
        assert_eq!(read("name Ada Fenn phone 1"), some(3, "name", "Ada Fenn"));
        assert_eq!(read("License K-7"), some(2, "licence", "K-7"));
        assert_eq!(read("phone"), None);
        assert_eq!(read("cash"), None);
    }

    #[test]
    fn details_never_show() {
        let details = Details { phone: Some("555-0142".into()), ..Details::default() };
        assert!(!format!("{details:?}").contains("555"));
    }
}
