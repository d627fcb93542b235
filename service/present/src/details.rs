//! Who somebody is, and who can open that.

use burrline_evidence::seal::{self, KeyId, SealKey};
use burrline_terms::Sealed;
use serde::{Deserialize, Serialize};

/// Who somebody is, as a bench sealed it. Unset is empty.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Details {
    /// Name.
    pub name: String,
    /// Telephone number.
    pub phone: String,
    /// Electronic mail.
    pub email: String,
    /// Postal address.
    pub address: String,
    /// Licence number.
    pub licence: String,
}

/// Opens sealed details: the shop by its keyring, a bench by the keys that it was given.
pub trait Opens {
    /// The key with this id, if it is still there.
    fn key(&self, id: &[u8; 16]) -> Option<SealKey>;

    /// The details; none without the key.
    fn open_details(&self, sealed: &Sealed) -> Option<Details> {
        let key = self.key(&sealed.key_id)?;
        let sealed = seal::Sealed {
            key_id: KeyId(sealed.key_id),
            nonce: sealed.nonce.as_slice().try_into().ok()?,
            ciphertext: sealed.ciphertext.clone(),
        };
        serde_json::from_slice(&seal::open(&key, &sealed).ok()?).ok()
    }
}
