//! What each life said, by the digests of its exact bytes: the same name with other bytes is no repeat.
//!
//! Of what a snapshot covers only the numbers are in memory; its bytes are on the log.

use std::{
    collections::BTreeMap,
    fmt::{Debug, Formatter},
    sync::Arc,
};

use burrline_evidence::merkle::{Hash, leaf_hash};

/// Where the bytes of entries are read that are on the log already.
pub trait SignedBytes: Send + Sync {
    /// The entry of the record at a position, as it was signed.
    fn signed(&self, position: u64) -> Vec<u8>;
}

/// What each life said.
#[derive(Default)]
pub(super) struct Said {
    /// How many entries of each life are on the log alone, and where they are read.
    before: BTreeMap<u32, u64>,
    log: Option<Arc<dyn SignedBytes>>,
    /// The digests of those since.
    since: BTreeMap<u32, Vec<Hash>>,
}

impl Said {
    pub(super) fn before(before: BTreeMap<u32, u64>, log: Arc<dyn SignedBytes>) -> Self {
        Self { before, log: Some(log), since: BTreeMap::new() }
    }

    pub(super) fn push(&mut self, life: u32, bytes: &[u8]) {
        self.since.entry(life).or_default().push(leaf_hash(bytes));
    }

    /// The last number of a life; 0 if it said nothing.
    pub(super) fn last(&self, life: u32) -> u64 {
        let since = self.since.get(&life).map_or(0, Vec::len);
        self.first(life).saturating_add(u64::try_from(since).unwrap_or(u64::MAX))
    }

    fn first(&self, life: u32) -> u64 {
        self.before.get(&life).copied().unwrap_or(0)
    }

    /// Whether a life said these very bytes under a number; `position` is where that record lies.
    pub(super) fn is(&self, life: u32, n: u64, bytes: &[u8], position: u64) -> bool {
        let Some(index) = n.checked_sub(1) else { return false };
        let Some(since) = index.checked_sub(self.first(life)) else {
            return self.log.as_ref().is_some_and(|log| log.signed(position) == bytes);
        };
        let said = usize::try_from(since).ok().and_then(|i| self.since.get(&life)?.get(i));
        said.is_some_and(|said| *said == leaf_hash(bytes))
    }
}

impl Debug for Said {
    fn fmt(&self, f: &mut Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Said").field("before", &self.before).finish_non_exhaustive()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A log whose record at a position has the position's own bytes.
    struct Log;

    impl SignedBytes for Log {
        fn signed(&self, position: u64) -> Vec<u8> {
            position.to_le_bytes().to_vec()
        }
    }

    #[test]
    fn a_repeat_is_known_by_its_bytes_wherever_they_are() {
        let mut said = Said::before(BTreeMap::from([(1, 2)]), Arc::new(Log));
        said.push(1, b"third");
        said.push(2, b"first");
        assert_eq!((said.last(1), said.last(2), said.last(3)), (3, 1, 0));
        assert!(said.is(1, 2, &7_u64.to_le_bytes(), 7) && !said.is(1, 2, b"other", 7));
        assert!(said.is(1, 3, b"third", 9) && !said.is(1, 3, b"other", 9));
        assert!(said.is(2, 1, b"first", 8) && !said.is(2, 2, b"first", 8));
        assert!(!said.is(1, 0, b"third", 9) && !said.is(3, 1, b"third", 9));
    }
}
