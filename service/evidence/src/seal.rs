//! Closing a customer's details to all but those who hold the customer's key.
//!
//! XChaCha20-Poly1305, as in draft-irtf-cfrg-xchacha-03. Once the key is gone
//! from the keyring, what was sealed under it is gone too, though its bytes
//! stay on the log for ever.

use std::fmt;

use chacha20poly1305::{
    KeyInit as _, XChaCha20Poly1305,
    aead::{Aead as _, Payload},
};
use sha2::{Digest as _, Sha256};

use crate::hex_text;

const KEY_ID: &[u8] = b"burrline.v1 seal key\n";
const CODE: &[u8] = b"burrline.v1 carried code\n";

/// A secret key of 32 random bytes, one a customer. Never shown.
#[derive(Clone, PartialEq, Eq)]
pub struct SealKey(pub [u8; 32]);

/// Names a seal key without giving it away.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct KeyId(pub [u8; 16]);

/// Sealed bytes, with all that is needed to open them but the key.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sealed {
    /// Which key opens this.
    pub key_id: KeyId,
    /// The nonce it was sealed with; never the same twice under one key.
    pub nonce: [u8; 24],
    /// The ciphertext and, in its last 16 bytes, the authenticator.
    pub ciphertext: Vec<u8>,
}

/// What was asked for cannot be sealed: longer than the cipher allows (256 GiB).
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("too long to seal in one piece")]
pub struct CannotSeal;

/// Why a seal stays closed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum CannotOpen {
    /// It was sealed under another key.
    #[error("sealed under key {sealed_under}, not under key {offered}")]
    OtherKey {
        /// The key named on the seal.
        sealed_under: KeyId,
        /// The key it was tried with.
        offered: KeyId,
    },
    /// It names this key, but was changed since or never sealed with it.
    #[error("the sealed bytes were changed")]
    Changed,
}

impl SealKey {
    /// The key that a code stands for, which a person carries apart from what it opens. The code must be
    /// drawn at random, 80 bits at least, as nothing slows down whoever tries all of them.
    pub fn of_code(code: &str) -> Self {
        let mut hasher = Sha256::new();
        hasher.update(CODE);
        hasher.update(code.as_bytes());
        Self(hasher.finalize().into())
    }

    /// The key's name: the first 16 bytes of a SHA-256 under a line of its own.
    pub fn id(&self) -> KeyId {
        let mut hasher = Sha256::new();
        hasher.update(KEY_ID);
        hasher.update(self.0);
        let digest: [u8; 32] = hasher.finalize().into();
        let mut id = [0; 16];
        for (to, from) in id.iter_mut().zip(digest) {
            *to = from;
        }
        KeyId(id)
    }
}

/// Seals `plaintext` under `key`.
///
/// The nonce must be 24 fresh random bytes: two seals of one key with one nonce
/// give both texts away.
///
/// # Errors
///
/// [`CannotSeal`] if the text is longer than the cipher allows.
pub fn seal(key: &SealKey, nonce: [u8; 24], plaintext: &[u8]) -> Result<Sealed, CannotSeal> {
    let key_id = key.id();
    let ciphertext = cipher(key)
        .encrypt(&nonce.into(), Payload { msg: plaintext, aad: &key_id.0 })
        .map_err(|_| CannotSeal)?;
    Ok(Sealed { key_id, nonce, ciphertext })
}

/// Opens what [`seal`] closed.
///
/// # Errors
///
/// [`CannotOpen`] if the key is another one or the bytes were changed.
pub fn open(key: &SealKey, sealed: &Sealed) -> Result<Vec<u8>, CannotOpen> {
    let offered = key.id();
    if offered != sealed.key_id {
        return Err(CannotOpen::OtherKey { sealed_under: sealed.key_id, offered });
    }
    cipher(key)
        .decrypt(&sealed.nonce.into(), Payload { msg: &sealed.ciphertext, aad: &offered.0 })
        .map_err(|_| CannotOpen::Changed)
}

impl fmt::Debug for SealKey {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "SealKey(secret with id {})", self.id())
    }
}

impl fmt::Display for KeyId {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        hex_text::write(out, &self.0)
    }
}

impl fmt::Debug for KeyId {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "KeyId({self})")
    }
}

fn cipher(key: &SealKey) -> XChaCha20Poly1305 {
    XChaCha20Poly1305::new(&key.0.into())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const KEY: SealKey = SealKey([7; 32]);

    #[test]
    fn the_primitive_gives_the_published_ciphertext() {
        // draft-irtf-cfrg-xchacha-03, appendix A.3.1.
        let key: [u8; 32] =
            hex_text::read("808182838485868788898a8b8c8d8e8f909192939495969798999a9b9c9d9e9f")
                .unwrap();
        let nonce: [u8; 24] =
            hex_text::read("404142434445464748494a4b4c4d4e4f5051525354555657").unwrap();
        let aad = hex::decode("50515253c0c1c2c3c4c5c6c7").unwrap();
        let msg = b"Ladies and Gentlemen of the class of '99: If I could offer you only one tip \
                    for the future, sunscreen would be it.";
        let sealed = XChaCha20Poly1305::new(&key.into())
            .encrypt(&nonce.into(), Payload { msg, aad: &aad })
            .unwrap();
        assert_eq!(
            hex::encode(sealed),
            "bd6d179d3e83d43b9576579493c0e939572a1700252bfaccbed2902c21396cbb\
             731c7f1b0b4aa6440bf3a82f4eda7e39ae64c6708c54c216cb96b72e1213b452\
             2f8c9ba40db5d945b11b69b982c1bb9e3f3fac2bc369488f76b2383565d3fff9\
             21f9664c97637da9768812f615c68b13b52ec0875924c1c7987947deafd8780acf49"
        );
    }

    #[test]
    fn another_key_is_told_apart_from_changed_bytes() {
        let sealed = seal(&KEY, [1; 24], b"555 0142").unwrap();
        let other = SealKey([8; 32]);
        assert_eq!(
            open(&other, &sealed),
            Err(CannotOpen::OtherKey { sealed_under: KEY.id(), offered: other.id() })
        );
    }

    #[test]
    fn a_seal_renamed_to_another_key_stays_closed() {
        let other = SealKey([8; 32]);
        let sealed = Sealed { key_id: other.id(), ..seal(&KEY, [1; 24], b"555 0142").unwrap() };
        assert_eq!(open(&other, &sealed), Err(CannotOpen::Changed));
    }

    #[test]
    fn the_key_never_shows() {
        let shown = format!("{KEY:?} {:?}", seal(&KEY, [1; 24], b"x").unwrap());
        assert!(!shown.contains("070707") && !shown.contains("7, 7"), "{shown}");
    }

    proptest! {
        #[test]
        fn what_was_sealed_opens_and_a_flipped_bit_does_not(
            text in prop::collection::vec(any::<u8>(), 0..200),
            nonce in any::<[u8; 24]>(),
            bit in any::<prop::sample::Index>(),
        ) {
            let sealed = seal(&KEY, nonce, &text).unwrap();
            let opened = open(&KEY, &sealed);
            prop_assert_eq!(opened.as_deref(), Ok(text.as_slice()));

            let mut changed = sealed.clone();
            let at = bit.index(changed.ciphertext.len() * 8);
            changed.ciphertext[at / 8] ^= 1 << (at % 8);
            prop_assert_eq!(open(&KEY, &changed), Err(CannotOpen::Changed));
        }
    }
}
