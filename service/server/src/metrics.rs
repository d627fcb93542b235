//! What a shop counts and measures of itself while it runs. Nothing here is about a customer.

use std::{
    collections::BTreeMap,
    path::PathBuf,
    sync::{
        Mutex, MutexGuard, OnceLock, PoisonError,
        atomic::{AtomicU64, Ordering},
    },
    time::{Duration, Instant},
};

use burrline_domain::{Outcome, Record};

/// The upper bounds of the classes that syncs are counted in, in milliseconds.
pub(crate) const CLASSES: [u32; 12] = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000];

/// How long syncs took.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Syncs {
    /// How many fell into each class; the last is above all of them.
    pub classes: [u64; CLASSES.len() + 1],
    /// How many there were.
    pub count: u64,
    /// How long they took together.
    pub total: Duration,
    /// The longest.
    pub longest: Duration,
}

impl Syncs {
    fn add(&mut self, took: Duration) {
        let over = |bound: &&u32| took > Duration::from_millis(u64::from(**bound));
        let class = CLASSES.iter().take_while(over).count();
        if let Some(count) = self.classes.get_mut(class) {
            *count = count.saturating_add(1);
        }
        self.count = self.count.saturating_add(1);
        self.total = self.total.saturating_add(took);
        self.longest = self.longest.max(took);
    }

    /// A bound in milliseconds under which so many of a hundred stayed; none if there were none, or
    /// it is above all classes.
    pub fn within(&self, of_hundred: u64) -> Option<u32> {
        if self.count == 0 {
            return None;
        }
        let wanted = self.count.saturating_mul(of_hundred).div_ceil(100);
        let mut seen = 0_u64;
        let classes = CLASSES.iter().zip(&self.classes);
        classes.into_iter().find_map(|(bound, count)| {
            seen = seen.saturating_add(*count);
            (seen >= wanted).then_some(*bound)
        })
    }
}

/// What became of entries since the start.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Outcomes {
    /// Done, with or without remarks.
    pub done: u64,
    /// Refused.
    pub refused: u64,
    /// Rules that could not be checked.
    pub rules_failed: u64,
}

/// The counters of a shop.
#[derive(Debug, Default)]
pub struct Metrics {
    syncs: Mutex<Syncs>,
    outcomes: Mutex<Outcomes>,
    contacts: Mutex<BTreeMap<u32, i64>>,
    declined: Mutex<BTreeMap<&'static str, u64>>,
    codes_refused: AtomicU64,
    file: OnceLock<PathBuf>,
}

impl Metrics {
    /// Where they are written as text, once.
    pub fn write_to(&self, file: PathBuf) {
        let _ = self.file.set(file);
    }

    /// Where they are written; none if nowhere.
    pub fn file(&self) -> Option<&PathBuf> {
        self.file.get()
    }

    /// How long syncs took.
    pub fn syncs(&self) -> Syncs {
        lock(&self.syncs).clone()
    }

    /// What became of entries.
    pub fn outcomes(&self) -> Outcomes {
        *lock(&self.outcomes)
    }

    /// When each life was last in touch, in milliseconds.
    pub fn contacts(&self) -> BTreeMap<u32, i64> {
        lock(&self.contacts).clone()
    }

    /// How many entries were not taken, by the reason.
    pub fn declined(&self) -> BTreeMap<&'static str, u64> {
        lock(&self.declined).clone()
    }

    /// How many join codes opened nothing.
    pub fn codes_refused(&self) -> u64 {
        self.codes_refused.load(Ordering::Relaxed)
    }

    pub(crate) fn heard(&self, life: u32, now_ms: i64) {
        lock(&self.contacts).insert(life, now_ms);
    }

    pub(crate) fn decline(&self, reason: &'static str) {
        let mut declined = lock(&self.declined);
        let count = declined.entry(reason).or_default();
        *count = count.saturating_add(1);
    }

    pub(crate) fn refuse_code(&self) {
        self.codes_refused.fetch_add(1, Ordering::Relaxed);
    }

    pub(crate) fn record(&self, record: &Record) {
        let mut outcomes = lock(&self.outcomes);
        match &record.outcome {
            Outcome::Done(remarks) => {
                let failed = remarks.iter().filter(|remark| remark.not_checked).count();
                let failed = u64::try_from(failed).unwrap_or_default();
                outcomes.done = outcomes.done.saturating_add(1);
                outcomes.rules_failed = outcomes.rules_failed.saturating_add(failed);
            }
            Outcome::Refused(_) => outcomes.refused = outcomes.refused.saturating_add(1),
        }
    }

    /// Does what ends with a sync, and counts how long it took.
    #[expect(
        clippy::disallowed_methods,
        reason = "how long the disk takes is measured, and nothing that is recorded depends on it"
    )]
    pub(crate) fn sync<T>(&self, work: impl FnOnce() -> T) -> T {
        let begun = Instant::now();
        let done = work();
        lock(&self.syncs).add(begun.elapsed());
        done
    }
}

fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn syncs_are_counted_in_classes() {
        let mut syncs = Syncs::default();
        assert_eq!(syncs.within(50), None);
        for ms in [1, 1, 3, 4, 90, 9000] {
            syncs.add(Duration::from_millis(ms));
        }
        assert_eq!(
            (syncs.within(33), syncs.within(50), syncs.within(80)),
            (Some(1), Some(5), Some(100))
        );
        assert_eq!((syncs.within(99), syncs.longest), (None, Duration::from_secs(9)));
    }
}
