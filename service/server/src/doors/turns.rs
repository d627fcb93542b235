//! Whose turn it is: how many calls a caller has open, and how much of the machine all readings take.
//!
//! Recording waits for none of these. The threads that it blocks are never more than it has entries in
//! flight, and readings, trials and photos never take more than what is counted here.

use std::{
    collections::HashMap,
    net::IpAddr,
    sync::{Arc, Mutex, MutexGuard, PoisonError},
    time::Duration,
};

use burrline_evidence::sign::PublicKey;
use burrline_proto::v1::Reason;
use tokio::sync::{OwnedSemaphorePermit, Semaphore};
use tonic::Status;

use super::{rights::Class, status};
use crate::connections::neighbor;

/// How many readings are answered at once, and how many of these refold the log: each of those holds a
/// whole present of its own.
const READINGS: usize = 8;
const REFOLDS: usize = 2;
/// How many scripts are tried on history at once: each takes a processor for seconds or minutes.
const TRIALS: usize = 1;
/// How many wrong join codes are heard in a minute, from one address and from all who try: a code has 60
/// bits. So one who guesses locks nobody else out.
const WRONG_FROM_ONE: usize = 10;
const WRONG_CODES: usize = 200;
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
    wrong_from: Arc<Mutex<HashMap<IpAddr, usize>>>,
    put: Arc<Mutex<HashMap<u32, Put>>>,
}

/// A try at a join code, from an address.
#[derive(Debug)]
pub(crate) struct Attempt {
    _of_all: OwnedSemaphorePermit,
    from: IpAddr,
    all: Arc<Mutex<HashMap<IpAddr, usize>>>,
}

impl Drop for Attempt {
    fn drop(&mut self) {
        let mut all = locked(&self.all);
        let left = all.get(&self.from).map_or(0, |count| count.saturating_sub(1));
        if left == 0 {
            all.remove(&self.from);
        } else {
            all.insert(self.from, left);
        }
    }
}

/// What one bench put since the shop opened.
#[derive(Debug, Default, Clone, Copy)]
struct Put {
    scripts: usize,
    bytes: usize,
}

/// How many scripts one bench may put while the shop is open, and how many bytes: a season's trying out.
const SCRIPTS_OF_ONE: usize = 1_000;
const SCRIPT_BYTES_OF_ONE: usize = 16 * 1024 * 1024;

impl Default for Turns {
    fn default() -> Self {
        let turns = |count| Arc::new(Semaphore::new(count));
        Self {
            readings: turns(READINGS),
            refolds: turns(REFOLDS),
            trials: turns(TRIALS),
            wrong_codes: turns(WRONG_CODES),
            wrong_from: Arc::default(),
            put: Arc::default(),
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
    pub(super) fn code(&self, from: IpAddr) -> Result<Attempt, Status> {
        let words = "too many wrong join codes came within a minute: wait for one, and try again";
        let from = neighbor(from);
        let of_all = Arc::clone(&self.wrong_codes).try_acquire_owned();
        let of_all = of_all.map_err(|_| status(Reason::Busy, words))?;
        let mut all = locked(&self.wrong_from);
        let count = all.entry(from).or_default();
        if *count >= WRONG_FROM_ONE {
            return Err(status(Reason::Busy, words));
        }
        *count = count.saturating_add(1);
        drop(all);
        Ok(Attempt { _of_all: of_all, from, all: Arc::clone(&self.wrong_from) })
    }

    /// It was wrong.
    pub(super) fn was_wrong(attempt: Attempt) {
        tokio::spawn(async move {
            tokio::time::sleep(MINUTE).await;
            drop(attempt);
        });
    }

    /// Counts a script that a bench puts, so that nobody fills the disk with them.
    pub(super) fn put(&self, life: u32, bytes: usize) -> Result<(), Status> {
        let mut all = locked(&self.put);
        let put = all.entry(life).or_default();
        let (scripts, bytes) = (put.scripts.saturating_add(1), put.bytes.saturating_add(bytes));
        if scripts > SCRIPTS_OF_ONE || bytes > SCRIPT_BYTES_OF_ONE {
            let words = "this bench has put as many scripts as the shop takes from one: put what is to be \
                         installed from another bench, or after the server was started anew";
            return Err(status(Reason::TooMuch, words));
        }
        *put = Put { scripts, bytes };
        Ok(())
    }

    /// A turn to try a script.
    pub(super) async fn trial(&self) -> Result<OwnedSemaphorePermit, Status> {
        turn(&self.trials, "another script is being tried; try this one when it is done").await
    }
}

fn locked<T>(held: &Mutex<T>) -> MutexGuard<'_, T> {
    held.lock().unwrap_or_else(PoisonError::into_inner)
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
        locked(&self.0)
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
    fn one_who_guesses_codes_locks_nobody_else_out() {
        let turns = Turns::default();
        let (one, other) = ("10.0.0.1".parse().unwrap(), "10.0.0.2".parse().unwrap());
        let held: Vec<Attempt> = std::iter::from_fn(|| turns.code(one).ok()).collect();
        assert_eq!(held.len(), WRONG_FROM_ONE);
        assert!(turns.code(other).is_ok());
        drop(held);
        assert!(turns.code(one).is_ok());
    }

    #[test]
    fn a_bench_puts_so_many_scripts_and_so_many_bytes_and_no_more() {
        let turns = Turns::default();
        for _ in 0..SCRIPTS_OF_ONE {
            turns.put(1, 10).unwrap();
        }
        assert!(turns.put(1, 10).is_err());
        assert!(turns.put(2, SCRIPT_BYTES_OF_ONE + 1).is_err(), "another bench, too large");
        assert!(turns.put(2, SCRIPT_BYTES_OF_ONE).is_ok());
    }

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
