//! How far something long has come, for whoever wants to show it.

use std::sync::Arc;

use super::Bench;

/// How far it has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress {
    /// What is being done: "sent", "copied".
    pub what: &'static str,
    /// How many are done.
    pub done: u64,
    /// Of how many, if that is known.
    pub of: Option<u64>,
}

/// Who is told.
#[derive(Clone, Default)]
pub(super) struct Watch(Option<Arc<dyn Fn(Progress) + Send + Sync>>);

impl std::fmt::Debug for Watch {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(if self.0.is_some() { "Watch(somebody)" } else { "Watch(nobody)" })
    }
}

impl Bench {
    /// Tells how far something long has come: from a first few hundred on, not for every line.
    pub fn on_progress(&mut self, watch: impl Fn(Progress) + Send + Sync + 'static) {
        self.watch = Watch(Some(Arc::new(watch)));
    }

    pub(super) fn progress(&self, what: &'static str, done: u64, of: Option<u64>) {
        if let Watch(Some(watch)) = &self.watch {
            watch(Progress { what, done, of });
        }
    }
}
