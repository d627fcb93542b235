//! What a bench joins by: where the shop is, and the code that its owner gave out.

use burrline_evidence::sign::PublicKey;
use burrline_tls::{address::Address, client::Expected, code::JoinCode};

use super::{
    folder::{Folder, Settings},
    own_key::read_key,
    patience::Times,
    way::{Own, Way},
};
use crate::Error;

/// An address and a code, as they were typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Joining {
    /// Where the shop is.
    pub address: Address,
    /// What its owner gave out.
    pub code: JoinCode,
}

impl Joining {
    /// Reads what was typed.
    ///
    /// # Errors
    /// [`Error::Usage`] says what would be right.
    pub fn read(address: &str, code: &str) -> Result<Self, Error> {
        let address: Address = address.parse().map_err(|bad| Error::usage(format!("{bad}")))?;
        let code: JoinCode = code.parse().map_err(|bad| Error::usage(format!("{bad}")))?;
        if code.shop.is_none() && !address.is_plain() {
            let words = "type the whole join code: its last 16 letters tell this bench that it is the \
                         right shop. Or type `burrline join` alone: it looks for the shop, and asks";
            return Err(Error::usage(words));
        }
        Ok(Self { address, code })
    }

    /// The way to the shop, for whoever comes.
    pub(super) fn way(&self, own: Own) -> Way {
        let shop = self.code.shop.map_or(Expected::Whoever, Expected::Fingerprint);
        Way { address: self.address.clone(), shop, own, patience: Times::AT_A_JOIN }
    }

    /// What the shop is told.
    pub(super) fn secret(&self) -> String {
        self.code.secret.letters().to_owned()
    }
}

impl Settings {
    /// The way to the shop that the bench joined.
    ///
    /// # Errors
    /// If the address or the key cannot be read.
    pub(super) fn way(&self, folder: &Folder, own: Own) -> Result<Way, Error> {
        let wrong = |words: String| Error::Folder(format!("bench.toml: {words}"));
        let address: Address = self.shop.parse().map_err(|bad| wrong(format!("{bad}")))?;
        let shop = match (&self.shop_key, address.is_plain()) {
            (_, true) => Expected::Whoever,
            (Some(text), false) => {
                let key = read_key(text).ok_or_else(|| wrong("shop_key is no key".to_owned()))?;
                Expected::Key(key)
            }
            // A bench that joined in the clear knows the shop by what it has of its log.
            (None, false) => Expected::Key(known(folder).ok_or_else(|| {
                wrong("it names no shop_key, and the shop is not spoken to in the clear".to_owned())
            })?),
        };
        Ok(Way { address, shop, own, patience: self.patience })
    }
}

/// The key of the shop whose signed heads the bench holds.
fn known(folder: &Folder) -> Option<PublicKey> {
    folder.kept_shop_key()
}
