//! What a bench signs its entries with: Ed25519 (RFC 8032) over exact bytes.
//!
//! Each kind of statement is signed under its own first line, so that a
//! signature over an entry can never be shown as one over anything else. A new
//! kind of statement gets its own pair of methods and its own first line.

use std::fmt;

use ed25519_dalek::{
    Signer as _, SigningKey, VerifyingKey, ed25519::signature::MultipartVerifier as _,
};

use crate::hex_text;

const ENTRY: &[u8] = b"burrline.v1 entry\n";

/// What both sides of a TLS 1.3 handshake sign begins with (RFC 8446, section 4.4.3): 64 spaces, and one
/// of two contexts.
const HANDSHAKE: &[u8] = &[b' '; 64];

/// Whether a note's text would pass for a statement of another kind; such a text is never signed.
pub(crate) fn is_framed(text: &str) -> bool {
    [ENTRY, HANDSHAKE].iter().any(|first| text.as_bytes().starts_with(first))
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

/// These bytes are not what a TLS 1.3 handshake asks to be signed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("these bytes are not of a handshake")]
pub struct NoHandshake;

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

    pub(crate) const fn signing(&self) -> &SigningKey {
        &self.0
    }

    /// Signs a note's text as it is, for the C2SP form asks for that; [`crate::note`] keeps the
    /// text from beginning as any other statement does.
    pub(crate) fn sign_note(&self, text: &str) -> Signature {
        Signature(self.0.sign(text.as_bytes()).to_bytes())
    }

    /// Signs what a TLS 1.3 handshake asks to be signed, and nothing else: an entry and a note never
    /// begin as it does.
    ///
    /// # Errors
    ///
    /// [`NoHandshake`] if these bytes are no such thing.
    pub fn sign_handshake(&self, message: &[u8]) -> Result<Signature, NoHandshake> {
        if !message.starts_with(HANDSHAKE) {
            return Err(NoHandshake);
        }
        Ok(Signature(self.0.sign(message).to_bytes()))
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

    /// Checks a signature of a TLS 1.3 handshake, as strictly as one of an entry.
    ///
    /// # Errors
    ///
    /// [`BadSignature`] if the signature, the bytes or the key do not fit.
    pub fn check_handshake(
        &self,
        message: &[u8],
        signature: &Signature,
    ) -> Result<(), BadSignature> {
        if !message.starts_with(HANDSHAKE) {
            return Err(BadSignature);
        }
        self.check(message, signature)
    }

    /// Checks that `signature` was made over exactly this note's text.
    pub(crate) fn check_note(&self, text: &str, signature: &Signature) -> Result<(), BadSignature> {
        self.check(text.as_bytes(), signature)
    }

    /// Makes the key ready for checking many signatures.
    ///
    /// # Errors
    ///
    /// [`BadSignature`] if these bytes are no point of the curve, or one of small order: no
    /// signature is by such a key.
    pub fn ready(&self) -> Result<ReadyKey, BadSignature> {
        let key = VerifyingKey::from_bytes(&self.0).map_err(|_| BadSignature)?;
        if key.is_weak() { Err(BadSignature) } else { Ok(ReadyKey(key)) }
    }

    fn check(&self, bytes: &[u8], signature: &Signature) -> Result<(), BadSignature> {
        let key = VerifyingKey::from_bytes(&self.0).map_err(|_| BadSignature)?;
        let signature = ed25519_dalek::Signature::from_bytes(&signature.0);
        key.verify_strict(bytes, &signature).map_err(|_| BadSignature)
    }
}

/// A public key that was made ready once: finding the point for its 32 bytes costs about a tenth of
/// checking a signature.
#[derive(Clone, PartialEq, Eq)]
pub struct ReadyKey(VerifyingKey);

impl ReadyKey {
    /// As [`PublicKey::check_entry`], exactly as strict.
    ///
    /// # Errors
    ///
    /// [`BadSignature`] if the signature or the bytes do not fit.
    pub fn check_entry(&self, entry: &[u8], signature: &Signature) -> Result<(), BadSignature> {
        // The plain check compares R with the one encoding of the point that it must be, so of the
        // strict check only the small orders are left, and of these there are eight encodings.
        if SMALL_ORDER.iter().any(|small| signature.0.starts_with(small)) {
            return Err(BadSignature);
        }
        let signature = ed25519_dalek::Signature::from_bytes(&signature.0);
        self.0.multipart_verify(&[ENTRY, entry], &signature).map_err(|_| BadSignature)
    }
}

/// The encodings of the eight points whose order divides eight (RFC 8032, section 5.1.2, for the
/// form). A test finds them to be small, and all of them.
const SMALL_ORDER: [[u8; 32]; 8] = [
    with_ends(0x01, 0x00, 0x00),
    with_ends(0xec, 0xff, 0x7f),
    with_ends(0x00, 0x00, 0x00),
    with_ends(0x00, 0x00, 0x80),
    EIGHTH,
    negative(EIGHTH),
    OTHER_EIGHTH,
    negative(OTHER_EIGHTH),
];

/// One point of order eight; the other three differ by the sign of x or of y.
const EIGHTH: [u8; 32] = [
    0x26, 0xe8, 0x95, 0x8f, 0xc2, 0xb2, 0x27, 0xb0, 0x45, 0xc3, 0xf4, 0x89, 0xf2, 0xef, 0x98, 0xf0,
    0xd5, 0xdf, 0xac, 0x05, 0xd3, 0xc6, 0x33, 0x39, 0xb1, 0x38, 0x02, 0x88, 0x6d, 0x53, 0xfc, 0x05,
];
const OTHER_EIGHTH: [u8; 32] = [
    0xc7, 0x17, 0x6a, 0x70, 0x3d, 0x4d, 0xd8, 0x4f, 0xba, 0x3c, 0x0b, 0x76, 0x0d, 0x10, 0x67, 0x0f,
    0x2a, 0x20, 0x53, 0xfa, 0x2c, 0x39, 0xcc, 0xc6, 0x4e, 0xc7, 0xfd, 0x77, 0x92, 0xac, 0x03, 0x7a,
];

/// 32 bytes with the first, those between and the last given.
const fn with_ends(first: u8, between: u8, last: u8) -> [u8; 32] {
    let mut all = [between; 32];
    all[0] = first;
    all[31] = last;
    all
}

/// The point with the other sign of x.
const fn negative(mut point: [u8; 32]) -> [u8; 32] {
    point[31] ^= 0x80;
    point
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

impl fmt::Debug for ReadyKey {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "ReadyKey({})", PublicKey(self.0.to_bytes()))
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
mod published;
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
    fn the_list_of_small_points_has_all_eight_and_no_other() {
        let small: std::collections::BTreeSet<_> = SMALL_ORDER.into_iter().collect();
        assert_eq!(small.len(), 8, "a group of order eight has eight points");
        for point in small {
            assert!(VerifyingKey::from_bytes(&point).unwrap().is_weak(), "{}", hex::encode(point));
            assert_eq!(PublicKey(point).ready(), Err(BadSignature));
        }
    }

    /// Whoever has the secret key can make a signature whose point is the neutral one. The plain
    /// check takes it, and the strict one must not.
    #[test]
    fn a_point_of_small_order_in_a_signature_is_turned_away() {
        use curve25519_dalek::scalar::{Scalar, clamp_integer};
        use sha2::{Digest as _, Sha512};

        let secret = Sha512::digest(key().0.to_bytes());
        let secret = clamp_integer(secret[..32].try_into().unwrap());
        let mut neutral = [0; 32];
        neutral[0] = 1;
        let message = under(ENTRY, b"wash 0417");
        let public = key().public();
        let hashed = Sha512::digest([&neutral[..], &public.0, &message].concat());
        let k = Scalar::from_bytes_mod_order_wide(&hashed.into());
        let s = k * Scalar::from_bytes_mod_order(secret);
        let made: [u8; 64] = [neutral, s.to_bytes()].concat().try_into().unwrap();

        let plain = ed25519_dalek::Signature::from_bytes(&made);
        let verifying = VerifyingKey::from_bytes(&public.0).unwrap();
        assert!(verifying.multipart_verify(&[&message], &plain).is_ok(), "else this tries nothing");
        let made = Signature(made);
        assert_eq!(public.check_entry(b"wash 0417", &made), Err(BadSignature));
        assert_eq!(public.ready().unwrap().check_entry(b"wash 0417", &made), Err(BadSignature));
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
            let ready = key().public().ready().unwrap();
            prop_assert_eq!(key().public().check_entry(&entry, &good), Ok(()));
            prop_assert_eq!(ready.check_entry(&entry, &good), Ok(()));

            let flip = |bytes: &mut [u8]| {
                let at = bit.index(bytes.len() * 8);
                bytes[at / 8] ^= 1 << (at % 8);
            };
            let mut bad_entry = entry.clone();
            flip(&mut bad_entry);
            prop_assert_eq!(key().public().check_entry(&bad_entry, &good), Err(BadSignature));
            prop_assert_eq!(ready.check_entry(&bad_entry, &good), Err(BadSignature));
            let mut bad = good;
            flip(&mut bad.0);
            prop_assert_eq!(key().public().check_entry(&entry, &bad), Err(BadSignature));
            prop_assert_eq!(ready.check_entry(&entry, &bad), Err(BadSignature));
            let mut other = key().public();
            flip(&mut other.0);
            prop_assert_eq!(other.check_entry(&entry, &good), Err(BadSignature));
            let other = other.ready().and_then(|other| other.check_entry(&entry, &good));
            prop_assert_eq!(other, Err(BadSignature));
        }
    }
}
