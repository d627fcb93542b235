//! The bench's own key: whether it is still the one that its lines are signed with, and what a bench
//! without one can do. The shop lets nobody in without one; what is signed already goes out as a file.

use std::sync::Arc;

use burrline_evidence::sign::{BenchKey, PublicKey};

use super::{Bench, checked::Checked, folder::Folder, way::Own, witness::KEY};
use crate::Error;

/// The key, or why there is none; and its public half, which is kept beside it.
#[derive(Debug)]
pub(super) struct OwnKey {
    key: Result<Arc<BenchKey>, String>,
    public: Option<PublicKey>,
}

/// The file with the public half of the key in a file of this name.
fn public_file(name: &str) -> String {
    name.replace("bench.key", "bench.pub")
}

impl OwnKey {
    /// The key that is kept under a name.
    pub(super) fn of(folder: &Folder, name: &str) -> Self {
        let public = folder.public_key(name);
        let key = match folder.key_at(name) {
            Ok(key) if public.is_none_or(|public| public == key.public()) => Ok(key),
            Ok(_) => Err("damaged: it is not the key that this bench joined with".to_owned()),
            Err(Error::Refused(_)) => Err("gone".to_owned()),
            Err(_) => Err("damaged".to_owned()),
        };
        let public = public.or_else(|| key.as_ref().ok().map(BenchKey::public));
        Self {
            key: key
                .map(Arc::new)
                .map_err(|why| lost(&folder.path(name).display().to_string(), &why)),
            public,
        }
    }

    /// What the bench shows to its shop.
    pub(super) fn shown(&self) -> Own {
        match &self.key {
            Ok(key) => Own::Key(Arc::clone(key)),
            Err(why) => Own::Lost(why.clone()),
        }
    }

    /// The public half, where it is known.
    pub(super) const fn public(&self) -> Option<PublicKey> {
        self.public
    }
}

/// A key from its hexadecimal.
pub(super) fn read_key(text: &str) -> Option<PublicKey> {
    let mut key = [0; 32];
    hex::decode_to_slice(text, &mut key).ok()?;
    Some(PublicKey(key))
}

fn lost(path: &str, why: &str) -> String {
    format!(
        "{path} is {why}. Nothing can be signed here any more, and nothing of this was kept. What was \
         said before is signed and is not lost: `burrline outbox export FILE` here, `burrline-shop accept \
         FILE` at the server. Then enroll this bench anew with a new key: burrline rejoin --code CODE (the owner \
         gets a CODE with burrline-shop invite)"
    )
}

impl Bench {
    /// The key that lines are signed with: that of the life that the bench has now.
    ///
    /// # Errors
    /// If it is gone or damaged: the words say what to do.
    pub fn key(&self) -> Result<&BenchKey, Error> {
        self.key.key.as_deref().map_err(|why| Error::Folder(why.clone()))
    }
}

impl Folder {
    /// Keeps the public half of a key beside it, so that damage to the key shows.
    ///
    /// # Errors
    /// If it cannot be written.
    pub(super) fn keep_public(&self, name: &str, key: &BenchKey) -> Result<(), Error> {
        self.keep_checked(&public_file(name), &hex::encode(key.public().0))
    }

    fn public_key(&self, name: &str) -> Option<PublicKey> {
        let Checked::Sound(text) = self.checked(&public_file(name))? else { return None };
        read_key(&text)
    }

    /// The shop's key as it is kept beside the heads that it signed.
    pub(super) fn kept_shop_key(&self) -> Option<PublicKey> {
        match self.checked(KEY)? {
            Checked::Sound(text) | Checked::Bare(text) => read_key(&text),
            Checked::Damaged => None,
        }
    }
}
