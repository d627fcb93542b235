//! The shop's key and the heads that this bench holds, as they lie on its disk: what is damaged is kept
//! and told loudly, for a head is evidence; and the bench is a witness anew from the next head on.

use burrline_evidence::{checkpoint::Checkpoint, sign::PublicKey};
use burrline_proto::v1;

use super::{
    Bench,
    checked::Checked,
    own_key::read_key,
    restore::COPIED,
    witness::{HEAD, KEY},
};
use crate::Error;

/// What is told of a head that cannot be read.
const LOUD: &str = "WARNING: it was this bench's evidence of what the shop had signed. Keep the file and \
                    tell the owner; from the next checkpoint on this bench is a witness again";

impl Bench {
    /// The shop's key: the one that was pinned, else the one that it names now, which is kept.
    ///
    /// # Errors
    /// If the shop is out of reach, or names none, or did not sign what this bench holds.
    pub async fn shop_key(&self) -> Result<PublicKey, Error> {
        match self.folder.checked(KEY) {
            Some(Checked::Sound(text) | Checked::Bare(text)) => match read_key(&text) {
                Some(key) => return Ok(key),
                None => self.folder.set_aside(KEY, "the shop is asked for its key again"),
            },
            Some(Checked::Damaged) => {
                self.folder.set_aside(KEY, "the shop is asked for its key again");
            }
            None => {}
        }
        let key = self.named_key().await?;
        let held = self.notes()?;
        if !held.is_empty() && !held.iter().any(|note| Checkpoint::check(note, key).is_ok()) {
            return Err(Error::Refused(format!(
                "the shop names a key that did not sign the checkpoint that this bench holds in {}: \
                 ask the owner whether this is the same shop, and keep this bench as it is",
                self.folder.path(HEAD).display()
            )));
        }
        self.folder.keep_checked(KEY, &hex::encode(key.0))?;
        Ok(key)
    }

    /// The shop's key, once every head that this bench holds is one that it signed: those that are
    /// damaged are set aside, which is told loudly.
    pub(super) async fn sound_heads(&self) -> Result<PublicKey, Error> {
        let mut key = self.shop_key().await?;
        for name in [HEAD, COPIED] {
            let Some(note) = self.note_in(name) else { continue };
            if Checkpoint::check(&note, key).is_ok() {
                continue;
            }
            // The key may be what was damaged: an older program kept it without a checksum.
            let named = self.named_key().await?;
            if named != key && Checkpoint::check(&note, named).is_ok() {
                self.folder
                    .set_aside(KEY, "the key that the shop names signed what this bench holds");
                self.folder.keep_checked(KEY, &hex::encode(named.0))?;
                key = named;
            } else {
                self.folder.set_aside(name, LOUD);
            }
        }
        Ok(key)
    }

    /// The last head as it was signed, word for word.
    ///
    /// # Errors
    /// If the file cannot be read.
    pub fn kept_note(&self) -> Result<Option<String>, Error> {
        Ok(self.note_in(HEAD))
    }

    /// A head that is kept; one that is none any more is set aside.
    pub(super) fn note_in(&self, name: &str) -> Option<String> {
        let bytes = match std::fs::read(self.folder.path(name)) {
            Ok(bytes) => bytes,
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => return None,
            Err(_) => Vec::new(),
        };
        match String::from_utf8(bytes) {
            Ok(note) if Checkpoint::claimed(&note).is_ok() => Some(note),
            Ok(_) | Err(_) => {
                self.folder.set_aside(name, LOUD);
                None
            }
        }
    }

    async fn named_key(&self) -> Result<PublicKey, Error> {
        let told = self.connection.greet(v1::GreetRequest { life: self.life() }).await?;
        let key = <[u8; 32]>::try_from(told.shop_key.as_slice());
        key.map(PublicKey).map_err(|_| Error::Nonsense("it names no key".into()))
    }
}
