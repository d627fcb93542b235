//! What is to be told to a hand besides the answer to what it asked.

use std::sync::{Mutex, PoisonError};

use super::Bench;

/// What came up and was not told yet.
#[derive(Debug, Default)]
pub(super) struct Tidings(Mutex<Vec<String>>);

impl Tidings {
    /// Something to be told, once.
    pub(super) fn tell(&self, words: String) {
        let mut told = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if !told.contains(&words) {
            told.push(words);
        }
    }
}

impl Bench {
    /// What came up since this was last asked, such as that the shop was put back from a backup.
    pub fn tidings(&self) -> Vec<String> {
        std::mem::take(&mut *self.tidings.0.lock().unwrap_or_else(PoisonError::into_inner))
    }
}
