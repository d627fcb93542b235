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
    fn details_never_show() {
        let details = Details { phone: Some("555-0142".into()), ..Details::default() };
        assert!(!format!("{details:?}").contains("555"));
    }
}
