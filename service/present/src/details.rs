//! Who somebody is, and who can open that.

use burrline_domain::Sealed;
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
    /// The details; none without the key.
    fn open_details(&self, sealed: &Sealed) -> Option<Details>;
}
