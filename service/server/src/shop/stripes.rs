//! Locks on what an entry touches, a fixed number of them, taken in one order.

use std::{
    hash::{DefaultHasher, Hash, Hasher},
    sync::{Mutex, MutexGuard, PoisonError},
};

const STRIPES: usize = 256;

/// The locks.
#[derive(Debug)]
pub(super) struct Stripes(Vec<Mutex<()>>);

impl Stripes {
    pub(super) fn new() -> Self {
        Self((0..STRIPES).map(|_| Mutex::new(())).collect())
    }

    /// Locks what the hashes stand for; in ascending order, so that nobody waits in a circle.
    pub(super) fn lock(&self, hashes: Vec<u64>) -> Vec<MutexGuard<'_, ()>> {
        let mut wanted: Vec<usize> = hashes
            .into_iter()
            .filter_map(|hash| usize::try_from(hash.checked_rem(STRIPES.try_into().ok()?)?).ok())
            .collect();
        wanted.sort_unstable();
        wanted.dedup();
        wanted
            .into_iter()
            .filter_map(|i| self.0.get(i))
            .map(|lock| lock.lock().unwrap_or_else(PoisonError::into_inner))
            .collect()
    }
}

pub(super) fn hash(value: &impl Hash) -> u64 {
    let mut hasher = DefaultHasher::new();
    value.hash(&mut hasher);
    hasher.finish()
}
