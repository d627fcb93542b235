//! Keys of customers' details that this bench keeps back after their receipt, for a shop whose disk dies
//! before its next backup.
//!
//! Each is closed to the shop's own key, so that this bench cannot read what it has given away
//! (`burrline_evidence::key_box`). It is kept for [`DAYS`] days and then removed. The bench offers them
//! where the shop says that it lacks keys, and lets go those of customers who were forgotten: it asks
//! whenever the shop has forgotten somebody since it last asked.

use burrline_evidence::{
    key_box,
    seal::{KeyId, SealKey},
};
use burrline_proto::v1::{self, restore_request::What};

use super::{Bench, checked::Checked, folder::Folder};
use crate::{
    Error,
    clock::{Clock as _, SystemClock},
};

/// For how many days a key is kept: longer than backups are apart, and than most benches are away.
pub(crate) const DAYS: i64 = 45;

const DAY_MS: i64 = 86_400_000;

/// The folder that they lie in, each under the id of its key.
const FOLDER: &str = "kept-keys";

/// How many customers the shop had forgotten when this bench last asked which keys it is to let go.
const ASKED: &str = "kept-keys-asked";

/// How many keys the shop lacked when this bench last offered its own, and how many these were.
const OFFERED: &str = "kept-keys-offered";

impl Bench {
    /// The keys of an entry have arrived: from now on this bench has them closed to the shop alone.
    pub(super) async fn keep_back(&self, n: u64) -> Result<(), Error> {
        let keys = self.keys_of(n)?;
        if !keys.is_empty() {
            let shop = self.shop_key().await?;
            let folder = self.folder.inside(FOLDER)?;
            let now = SystemClock.now().wall.0;
            for key in &keys {
                let Ok(secret) = <[u8; 32]>::try_from(key.key.as_slice()) else { continue };
                let mut fresh = [0; 32];
                getrandom::fill(&mut fresh).map_err(|e| Error::Bug(e.to_string()))?;
                let key = SealKey(secret);
                let Some(closed) = key_box::close(&key, shop, fresh) else { continue };
                let text = format!("{now}-{}", hex::encode(closed));
                folder.keep_checked(&hex::encode(key.id().0), &text)?;
            }
        }
        self.drop_keys(n)
    }

    /// The keys that this bench keeps back. Those that are over are removed first, and so is one that its
    /// disk damaged: it opens nothing any more.
    pub(super) fn kept_keys(&self) -> Result<Vec<v1::KeptKey>, Error> {
        let folder = self.folder.inside(FOLDER)?;
        let oldest = SystemClock.now().wall.0.saturating_sub(DAYS.saturating_mul(DAY_MS));
        let mut kept = Vec::new();
        // What another process is writing has no name of a key yet.
        let names = folder.names_from("")?;
        for name in names.into_iter().filter(|name| !name.starts_with('.')) {
            match read(&folder, &name).filter(|(at, _, _)| *at >= oldest) {
                Some((_, id, closed)) => {
                    kept.push(v1::KeptKey { key_id: id.0.to_vec(), closed });
                }
                None => folder.remove(&name)?,
            }
        }
        Ok(kept)
    }

    /// Offers what is kept where the shop lacks keys, and lets go what belongs to customers who were
    /// forgotten.
    pub(super) async fn mind_kept_keys(&self, greeted: &v1::GreetResponse) -> Result<(), Error> {
        let has_news = greeted.forgotten != self.folder.number(ASKED);
        if greeted.missing_keys == 0 {
            // What goes missing from here on is another matter.
            self.folder.remove(OFFERED)?;
            if !has_news {
                return Ok(());
            }
        }
        let mut kept = self.kept_keys()?;
        let offer = format!("{}-{}", greeted.missing_keys, kept.len());
        let is_new = greeted.missing_keys > 0
            && self.folder.text(OFFERED).as_deref() != Some(offer.as_str());
        if !kept.is_empty() && (is_new || has_news) {
            if !is_new {
                for key in &mut kept {
                    key.closed.clear();
                }
            }
            let answer = self.offer(kept.into_iter().map(What::KeptKey).collect()).await?;
            let folder = self.folder.inside(FOLDER)?;
            for id in answer.let_go {
                folder.remove(&hex::encode(id))?;
            }
        }
        if is_new {
            self.folder.keep_text(OFFERED, &offer)?;
        }
        self.folder.keep_number(ASKED, greeted.forgotten)
    }
}

fn read(folder: &Folder, name: &str) -> Option<(i64, KeyId, Vec<u8>)> {
    let Checked::Sound(text) = folder.checked(name)? else { return None };
    let mut id = [0; 16];
    hex::decode_to_slice(name, &mut id).ok()?;
    let (at, closed) = text.split_once('-')?;
    Some((at.parse().ok()?, KeyId(id), hex::decode(closed).ok()?))
}
