//! A join code: a secret of the shop, good for one bench and a short time, and behind it the shop's
//! fingerprint. So a bench knows the shop before it tells the secret, and nobody in between learns it.

use std::{fmt, str::FromStr};

use thiserror::Error;

use crate::fingerprint::{BYTES, Fingerprint, LETTERS, grouped};

/// The letters of the secret: sixty bits, for tries are few and the time is short.
const SECRET: usize = 12;

/// The letters of the whole code.
const WHOLE: usize = 28;

/// A code as it is typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JoinCode {
    /// What the shop gave out.
    pub secret: Secret,
    /// The shop's; none in a short code.
    pub shop: Option<Fingerprint>,
}

/// What the shop gave out, in one spelling.
#[derive(Clone, PartialEq, Eq)]
pub struct Secret(String);

/// It is no join code.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error(
    "that is no join code: one has 28 letters and digits, such as K7QF-2M9X-RT4B-PW3D-9HJ2-V8QA-C4TZ, \
     or its first 12"
)]
pub struct NoJoinCode;

impl Secret {
    /// From as many random bytes, of which it takes 60 bits.
    pub fn from_random(bytes: [u8; 8]) -> Self {
        let mut letters = LETTERS.encode(&bytes);
        letters.truncate(SECRET);
        Self(letters)
    }

    /// One from what was typed: one spelling, whatever the case and the dashes.
    ///
    /// # Errors
    /// [`NoJoinCode`] if it has other letters, or more or fewer.
    pub fn read(text: &str) -> Result<Self, NoJoinCode> {
        let letters = spelled(text)?;
        if letters.len() == SECRET { Ok(Self(letters)) } else { Err(NoJoinCode) }
    }

    /// Its letters, without dashes.
    pub fn letters(&self) -> &str {
        &self.0
    }
}

impl fmt::Debug for Secret {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Secret(..)")
    }
}

impl fmt::Display for Secret {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&grouped(&self.0))
    }
}

impl fmt::Display for JoinCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.secret)?;
        self.shop.map_or(Ok(()), |shop| write!(f, "-{shop}"))
    }
}

impl FromStr for JoinCode {
    type Err = NoJoinCode;

    fn from_str(text: &str) -> Result<Self, NoJoinCode> {
        let letters = spelled(text)?;
        let (secret, shop) = letters.split_at_checked(SECRET).ok_or(NoJoinCode)?;
        let shop = match letters.len() {
            SECRET => None,
            WHOLE => Some(shop.parse().map_err(|_| NoJoinCode)?),
            _ => return Err(NoJoinCode),
        };
        Ok(Self { secret: Secret(secret.to_owned()), shop })
    }
}

/// The letters as the shop writes them.
fn spelled(text: &str) -> Result<String, NoJoinCode> {
    let one = |c: char| match c.to_ascii_uppercase() {
        'I' | 'L' => Some('1'),
        'O' => Some('0'),
        c if c != 'U' && c.is_ascii_alphanumeric() => Some(c),
        _ => None,
    };
    let letters = text.trim().chars().filter(|c| !matches!(c, '-' | ' '));
    letters.map(|c| one(c).ok_or(NoJoinCode)).collect()
}

/// The fingerprint fills the rest of the code.
const _: () = assert!(SECRET + BYTES * 8 / 5 == WHOLE, "28 letters");

#[cfg(test)]
mod tests {
    use burrline_evidence::sign::PublicKey;

    use super::*;

    #[test]
    fn a_code_is_read_back_however_it_is_typed_and_its_secret_is_never_shown_by_mistake() {
        let secret = Secret::from_random([1, 2, 3, 4, 5, 6, 7, 8]);
        let code = JoinCode { secret, shop: Some(Fingerprint::of(PublicKey([9; 32]))) };
        let text = code.to_string();
        assert_eq!(text.len(), 28 + 6, "{text}");
        assert_eq!(text.parse(), Ok(code.clone()));
        assert_eq!(text.to_lowercase().replace('-', " ").parse(), Ok(code.clone()));
        assert_eq!(text.replace('1', "i").replace('0', "o").parse(), Ok(code.clone()));
        let short: JoinCode = code.secret.to_string().parse().unwrap();
        assert_eq!((short.secret, short.shop), (code.secret.clone(), None));
        assert!(!format!("{code:?}").contains(code.secret.letters()));
        for wrong in ["", "K7QF", "K7QF-2M9X-RT4U", "K7QF-2M9X-RT4B-PW3D", "ö7QF-2M9X-RT4B"] {
            assert_eq!(wrong.parse::<JoinCode>(), Err(NoJoinCode), "{wrong}");
        }
    }
}
