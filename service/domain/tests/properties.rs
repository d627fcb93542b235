//! No story panics; any split and any order of arrival that keeps each bench's own gives one state.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

mod common;
#[path = "common/random.rs"]
mod random;

use burrline_domain::{Record, State, Verb};
use proptest::prelude::*;
use random::{Said, read_all, records, story};

proptest! {
    // Each story is copied at every place and gone on with from there, so there are fewer of them.
    #![proptest_config(ProptestConfig { cases: 150, ..ProptestConfig::default() })]

    /// Copies share what is equal: what is done to one is never seen in the other.
    #[test]
    fn a_copy_stays_as_it_was_and_goes_on_by_itself(story in story(), cut in 0..40_usize) {
        let records = records(&story);
        let mut first = State::replay(records.iter().take(cut).cloned());
        let mut copies = vec![(cut.min(records.len()), first.clone())];
        for (had, record) in (1..).zip(&records).skip(cut) {
            first.apply(record.clone());
            copies.push((had, first.clone()));
        }
        for (had, mut copy) in copies {
            let (before, behind) = records.split_at(had);
            let plain = State::replay(before.iter().cloned());
            prop_assert_eq!(plain.digest(), copy.digest());
            prop_assert_eq!(read_all(&plain), read_all(&copy));
            for record in behind {
                copy.apply(record.clone());
            }
            prop_assert_eq!(first.digest(), copy.digest());
            prop_assert_eq!(first.clashes(), copy.clashes());
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1_500, ..ProptestConfig::default() })]

    #[test]
    fn a_replay_in_two_parts_is_the_replay_in_one(story in story(), cut in 0..40_usize) {
        let records = records(&story);
        let whole = State::replay(records.clone());
        let mut parts = State::replay(records.iter().take(cut).cloned());
        let _ = parts.digest();
        for record in records.into_iter().skip(cut) {
            parts.apply(record);
        }
        prop_assert_eq!(whole.digest(), parts.digest());
        prop_assert_eq!(whole.clashes(), parts.clashes());
        prop_assert_eq!(read_all(&whole), read_all(&parts));
    }

    #[test]
    fn the_order_of_arrival_does_not_matter(story in story(), picks in prop::collection::vec(0..3_usize, 150)) {
        // What a wrong clock stamped is a stretch of the log, so it goes by the order on it.
        let goes_by_the_log = |said: &Said| matches!(said.verb, Verb::PutClockRight(_));
        let story: Vec<Said> = story.into_iter().filter(|s| !goes_by_the_log(s)).collect();
        let records = records(&story);
        let mut queues: Vec<Vec<Record>> = (1..4)
            .map(|life| records.iter().filter(|r| r.entry.name.life == life).cloned().collect())
            .collect();
        for queue in &mut queues {
            queue.reverse();
        }
        let mut shuffled = Vec::new();
        for pick in picks {
            if let Some(mut record) = queues[pick].pop() {
                record.position = u64::try_from(shuffled.len()).unwrap();
                shuffled.push(record);
            }
        }
        prop_assume!(queues.iter().all(Vec::is_empty));
        let (a, b) = (State::replay(records), State::replay(shuffled));
        prop_assert_eq!(a.digest(), b.digest());
        prop_assert_eq!(a.clashes(), b.clashes());
        prop_assert_eq!(a.strays(), b.strays());
        prop_assert_eq!(a.stock(), b.stock());
    }
}
