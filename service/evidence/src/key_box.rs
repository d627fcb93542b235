//! A customer's key, closed to all but the shop: for a bench that keeps it back until the shop has surely
//! a backup of it.
//!
//! The shop has one key pair, an Ed25519 key. Its point and its scalar serve X25519 as well (both are the
//! same curve). So a box is made as in ECIES: a fresh pair for each box, the secret that both sides can
//! compute, SHA-256 over it and both public keys, and XChaCha20-Poly1305 under that, with the id of the
//! customer's key bound to it. A key is used for one box, so its nonce is zero.

use chacha20poly1305::{
    KeyInit as _, XChaCha20Poly1305,
    aead::{Aead as _, Payload},
};
use ed25519_dalek::{SigningKey, VerifyingKey};
use sha2::{Digest as _, Sha256};

use crate::{
    seal::{KeyId, SealKey},
    sign::{BenchKey, PublicKey},
};

const DOMAIN: &[u8] = b"burrline.v1 key box\n";

/// Closes a key to the shop with this public key. `fresh` must be 32 random bytes that are used for nothing
/// else; none if the shop's key is no usable one.
pub fn close(key: &SealKey, shop: PublicKey, fresh: [u8; 32]) -> Option<Vec<u8>> {
    let once = SigningKey::from_bytes(&fresh);
    let public = once.verifying_key().to_bytes();
    let cipher = cipher(&once, &public, &shop.0, &shop.0)?;
    let payload = Payload { msg: &key.0, aad: &key.id().0 };
    let closed = cipher.encrypt(&[0; 24].into(), payload).ok()?;
    Some([public.as_slice(), &closed].concat())
}

/// Opens what [`close`] made for this shop; none if it is another shop's, was changed, or holds another key.
pub fn open(closed: &[u8], id: KeyId, shop: &BenchKey) -> Option<SealKey> {
    let (once, closed) = closed.split_first_chunk::<32>()?;
    let cipher = cipher(shop.signing(), once, once, &shop.public().0)?;
    let opened = cipher.decrypt(&[0; 24].into(), Payload { msg: closed, aad: &id.0 }).ok()?;
    let key = SealKey(opened.try_into().ok()?);
    (key.id() == id).then_some(key)
}

/// The cipher that both sides come to: by the secret of one and the point of the other.
fn cipher(
    own: &SigningKey,
    once: &[u8; 32],
    other: &[u8; 32],
    shop: &[u8; 32],
) -> Option<XChaCha20Poly1305> {
    let other = VerifyingKey::from_bytes(other).ok().filter(|other| !other.is_weak())?;
    let shared = other.to_montgomery().mul_clamped(own.to_scalar_bytes());
    let mut hash = Sha256::new();
    hash.update(DOMAIN);
    hash.update(once);
    hash.update(shop);
    hash.update(shared.to_bytes());
    let key: [u8; 32] = hash.finalize().into();
    Some(XChaCha20Poly1305::new(&key.into()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_shop_alone_opens_a_box_and_no_byte_of_it_may_be_another() {
        let shop = BenchKey::from_seed([1; 32]);
        let key = SealKey([5; 32]);
        let closed = close(&key, shop.public(), [9; 32]).unwrap();
        assert_eq!(closed.len(), 32 + 32 + 16);
        assert_eq!(open(&closed, key.id(), &shop), Some(key.clone()));
        assert_eq!(open(&closed, key.id(), &BenchKey::from_seed([2; 32])), None);
        assert_eq!(open(&closed, SealKey([6; 32]).id(), &shop), None);
        for at in 0..closed.len() {
            let mut other = closed.clone();
            other[at] ^= 1;
            assert_eq!(open(&other, key.id(), &shop), None, "byte {at}");
        }
        assert!(!closed.windows(8).any(|part| part == [5; 8]));
        assert_ne!(closed, close(&key, shop.public(), [8; 32]).unwrap());
    }
}
