//! What a bench signs its entries with: Ed25519 (RFC 8032) over exact bytes.
//!
//! Each kind of statement is signed under its own first line, so that a
//! signature over an entry can never be shown as one over anything else. A new
//! kind of statement gets its own pair of methods and its own first line.

use std::fmt;

use ed25519_dalek::{Signer as _, SigningKey, VerifyingKey};

use crate::hex_text;

const ENTRY: &[u8] = b"burrline.v1 entry\n";

/// Whether a note's text would pass for a statement of another kind; such a text is never signed.
pub(crate) fn is_framed(text: &str) -> bool {
    text.as_bytes().starts_with(ENTRY)
}

/// A bench's secret signing key. Its bytes are wiped on drop and never shown.
pub struct BenchKey(SigningKey);

/// The public half of a signing key, as 32 bytes of RFC 8032, section 5.1.5.
///
/// Any 32 bytes can be held here; whether they are a usable key shows when a
/// signature is checked.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PublicKey(pub [u8; 32]);

/// A signature, as 64 bytes of RFC 8032, section 5.1.6.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct Signature(pub [u8; 64]);

/// The signature does not belong to these bytes under this key.
///
/// It does not say which of the three is wrong, as that cannot be known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("the signature does not fit the entry and the key")]
pub struct BadSignature;

impl BenchKey {
    /// The key that RFC 8032 derives from a 32-byte secret seed.
    pub fn from_seed(seed: [u8; 32]) -> Self {
        Self(SigningKey::from_bytes(&seed))
    }

    /// The public half, to be shown to anybody.
    pub fn public(&self) -> PublicKey {
        PublicKey(self.0.verifying_key().to_bytes())
    }

    /// Signs a note's text as it is, for the C2SP form asks for that; [`crate::note`] keeps the
    /// text from beginning as any other statement does.
    pub(crate) fn sign_note(&self, text: &str) -> Signature {
        Signature(self.0.sign(text.as_bytes()).to_bytes())
    }

    /// Signs an entry's exact bytes.
    pub fn sign_entry(&self, entry: &[u8]) -> Signature {
        Signature(self.0.sign(&under(ENTRY, entry)).to_bytes())
    }
}

impl PublicKey {
    /// Checks that `signature` was made over exactly these entry bytes.
    ///
    /// Strict: keys and signature points of small order are turned away, as
    /// one such signature can fit many messages.
    ///
    /// # Errors
    ///
    /// [`BadSignature`] if the signature, the bytes or the key do not fit.
    pub fn check_entry(&self, entry: &[u8], signature: &Signature) -> Result<(), BadSignature> {
        self.check(&under(ENTRY, entry), signature)
    }

    /// Checks that `signature` was made over exactly this note's text.
    pub(crate) fn check_note(&self, text: &str, signature: &Signature) -> Result<(), BadSignature> {
        self.check(text.as_bytes(), signature)
    }

    fn check(&self, bytes: &[u8], signature: &Signature) -> Result<(), BadSignature> {
        let key = VerifyingKey::from_bytes(&self.0).map_err(|_| BadSignature)?;
        let signature = ed25519_dalek::Signature::from_bytes(&signature.0);
        key.verify_strict(bytes, &signature).map_err(|_| BadSignature)
    }
}

impl fmt::Debug for BenchKey {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "BenchKey(secret of {})", self.public())
    }
}

impl fmt::Display for PublicKey {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        hex_text::write(out, &self.0)
    }
}

impl fmt::Debug for PublicKey {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "PublicKey({self})")
    }
}

impl fmt::Debug for Signature {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str("Signature(")?;
        hex_text::write(out, &self.0)?;
        out.write_str(")")
    }
}

fn under(first_line: &[u8], bytes: &[u8]) -> Vec<u8> {
    [first_line, bytes].concat()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    // RFC 8032, section 7.1, test 2.
    const SEED: &str = "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb";
    const PUBLIC: &str = "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c";
    const OVER_72: &str = "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da\
                           085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00";

    fn key() -> BenchKey {
        BenchKey::from_seed(hex_text::read(SEED).unwrap())
    }

    #[test]
    fn the_primitive_gives_the_published_signature() {
        assert_eq!(key().public().to_string(), PUBLIC);
        assert_eq!(hex::encode(key().0.sign(&[0x72]).to_bytes()), OVER_72);
    }

    #[test]
    fn an_entry_is_signed_under_its_own_first_line() {
        let plain = Signature(key().0.sign(b"wash 0417").to_bytes());
        assert_eq!(key().public().check_entry(b"wash 0417", &plain), Err(BadSignature));
        let framed = Signature(key().0.sign(b"burrline.v1 entry\nwash 0417").to_bytes());
        assert_eq!(key().public().check_entry(b"wash 0417", &framed), Ok(()));
    }

    #[test]
    fn a_key_of_small_order_signs_nothing() {
        // The neutral point as key, with R neutral and s zero, satisfies the
        // plain verification equation for every message.
        let mut neutral = [0; 32];
        neutral[0] = 1;
        let mut signature = [0; 64];
        signature[0] = 1;
        assert_eq!(PublicKey(neutral).check_entry(b"x", &Signature(signature)), Err(BadSignature));
    }

    #[test]
    fn the_seed_never_shows() {
        assert_eq!(format!("{:?}", key()), format!("BenchKey(secret of {PUBLIC})"));
    }

    proptest! {
        #[test]
        fn one_flipped_bit_anywhere_is_noticed(
            entry in prop::collection::vec(any::<u8>(), 1..100),
            bit in any::<prop::sample::Index>(),
        ) {
            let good = key().sign_entry(&entry);
            prop_assert_eq!(key().public().check_entry(&entry, &good), Ok(()));

            let flip = |bytes: &mut [u8]| {
                let at = bit.index(bytes.len() * 8);
                bytes[at / 8] ^= 1 << (at % 8);
            };
            let mut bad_entry = entry.clone();
            flip(&mut bad_entry);
            prop_assert_eq!(key().public().check_entry(&bad_entry, &good), Err(BadSignature));
            let mut bad = good;
            flip(&mut bad.0);
            prop_assert_eq!(key().public().check_entry(&entry, &bad), Err(BadSignature));
            let mut other = key().public();
            flip(&mut other.0);
            prop_assert_eq!(other.check_entry(&entry, &good), Err(BadSignature));
        }
    }
}
