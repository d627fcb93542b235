//! The benches' public keys, each made ready for checking once.

use std::{
    collections::BTreeMap,
    sync::{Arc, PoisonError, RwLock},
};

use burrline_evidence::sign::{BadSignature, PublicKey, ReadyKey};

/// Keys that were used, as many as there are lives; whose a key is, the decided head says.
#[derive(Debug, Default)]
pub(super) struct Keys(RwLock<BTreeMap<PublicKey, Arc<ReadyKey>>>);

impl Keys {
    /// A key of an enrolled bench, ready for checking.
    ///
    /// # Errors
    /// [`BadSignature`] if no signature can be by this key.
    pub(super) fn ready(&self, key: PublicKey) -> Result<Arc<ReadyKey>, BadSignature> {
        let known = self.0.read().unwrap_or_else(PoisonError::into_inner).get(&key).cloned();
        if let Some(ready) = known {
            return Ok(ready);
        }
        let ready = Arc::new(key.ready()?);
        let mut known = self.0.write().unwrap_or_else(PoisonError::into_inner);
        known.insert(key, Arc::clone(&ready));
        Ok(ready)
    }
}
