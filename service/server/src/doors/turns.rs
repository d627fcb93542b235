//! Whose turn it is: how many calls a caller has open, and how much of the machine all readings take.
//!
//! Recording waits for none of these. The threads that it blocks are never more than it has entries in
//! flight, and readings, trials and photos never take more than what is counted here.

use std::{
    collections::HashMap,
    sync::{Arc, Mutex, MutexGuard, PoisonError},
    time::Duration,
};

use burrline_evidence::sign::PublicKey;
use burrline_proto::v1::Reason;
use tokio::sync::{OwnedSemaphorePermit, Semaphore};
use tonic::Status;

use super::{rights::Class, status};

/// How many readings are answered at once, and how many of these refold the log: each of those holds a
/// whole present of its own.
const READINGS: usize = 8;
const REFOLDS: usize = 2;
/// How many scripts are tried on history at once: each takes a processor for seconds or minutes.
const TRIALS: usize = 1;
/// How many wrong join codes are heard in a minute, from all who try: a code has 60 bits.
const WRONG_CODES: usize = 20;
const MINUTE: Duration = Duration::from_mins(1);
/// How long a call waits for its turn.
const PATIENCE: Duration = Duration::from_secs(5);

/// The turns of all readings.
#[derive(Debug, Clone)]
pub(crate) struct Turns {
    readings: Arc<Semaphore>,
    refolds: Arc<Semaphore>,
    trials: Arc<Semaphore>,
    wrong_codes: Arc<Semaphore>,
}

impl Default for Turns {
    fn default() -> Self {
        let turns = |count| Arc::new(Semaphore::new(count));
        Self {
            readings: turns(READINGS),
            refolds: turns(REFOLDS),
            trials: turns(TRIALS),
            wrong_codes: turns(WRONG_CODES),
        }
    }
}

impl Turns {
    /// A turn to answer from the present.
    pub(super) async fn reading(&self) -> Result<OwnedSemaphorePermit, Status> {
        turn(&self.readings, "the shop answers as many readings as it can; ask again in a moment")
            .await
    }

    /// A turn to fold the log anew.
    pub(super) async fn refold(&self) -> Result<OwnedSemaphorePermit, Status> {
        turn(&self.refolds, "the shop looks back for others just now; ask again in a moment").await
    }

    /// A try at a join code. A wrong one is given back only after a while.
    pub(super) fn code(&self) -> Result<OwnedSemaphorePermit, Status> {
        let words = "too many wrong join codes came within a minute: wait for one, and try again";
        let code = Arc::clone(&self.wrong_codes).try_acquire_owned();
        code.map_err(|_| status(Reason::Busy, words))
    }

    /// It was wrong.
    pub(super) fn was_wrong(code: OwnedSemaphorePermit) {
        tokio::spawn(async move {
            tokio::time::sleep(MINUTE).await;
            drop(code);
        });
    }

    /// A turn to try a script.
    pub(super) async fn trial(&self) -> Result<OwnedSemaphorePermit, Status> {
        turn(&self.trials, "another script is being tried; try this one when it is done").await
    }
}

async fn turn(turns: &Arc<Semaphore>, words: &str) -> Result<OwnedSemaphorePermit, Status> {
    let turn = tokio::time::timeout(PATIENCE, Arc::clone(turns).acquire_owned()).await;
    turn.ok().and_then(Result::ok).ok_or_else(|| status(Reason::Busy, words))
}

/// What each key has open.
#[derive(Debug, Clone, Default)]
pub(super) struct Open(Arc<Mutex<HashMap<(PublicKey, Class), usize>>>);

/// A call that is open, until it is dropped.
#[derive(Debug)]
pub(super) struct OpenCall {
    all: Open,
    whose: (PublicKey, Class),
}

impl Open {
    /// Opens a call of a class for a key.
    ///
    /// # Errors
    /// If it has as many open as it may.
    pub(super) fn call(&self, key: PublicKey, class: Class) -> Result<OpenCall, Status> {
        let whose = (key, class);
        let mut open = self.held();
        let count = open.entry(whose).or_default();
        if *count >= class.at_once() {
            let words = "this bench has too many calls open at once; ask again when one is done";
            return Err(status(Reason::Busy, words));
        }
        *count = count.saturating_add(1);
        Ok(OpenCall { all: self.clone(), whose })
    }

    fn held(&self) -> MutexGuard<'_, HashMap<(PublicKey, Class), usize>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Drop for OpenCall {
    fn drop(&mut self) {
        let mut open = self.all.held();
        let left = open.get(&self.whose).map_or(0, |count| count.saturating_sub(1));
        if left == 0 {
            open.remove(&self.whose);
        } else {
            open.insert(self.whose, left);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_has_so_many_calls_of_a_class_open_and_no_other_key_has_fewer_for_it() {
        let open = Open::default();
        let (own, other) = (PublicKey([1; 32]), PublicKey([2; 32]));
        let held: Vec<OpenCall> =
            std::iter::from_fn(|| open.call(own, Class::Photo).ok()).collect();
        assert_eq!(held.len(), Class::Photo.at_once());
        assert!(open.call(own, Class::Recording).is_ok(), "another class");
        assert!(open.call(other, Class::Photo).is_ok(), "another key");
        drop(held);
        assert!(open.call(own, Class::Photo).is_ok());
        assert!(open.held().is_empty());
    }
}
