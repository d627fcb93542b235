//! What every log promises: a function for each promise, given an empty log.

use burrline_evidence::merkle::{leaf_hash, root_of};
use burrline_ledger::{AppendError, Head, Ledger, MAX_BATCH_BYTES, MAX_RECORD_BYTES};
use proptest::prelude::*;

/// Hands the name of each promise to a macro that makes a test of it.
macro_rules! promises {
    ($each:ident) => {
        $each! {
            a_new_log_is_empty
            what_was_appended_is_read_in_order
            an_append_at_another_size_changes_nothing
            an_empty_batch_changes_nothing
            the_longest_record_fits_and_one_byte_more_does_not
            a_batch_over_the_limit_changes_nothing
            reading_is_bounded_by_limit_and_head
            a_reader_follows_from_another_thread
            any_batches_read_back_whole_with_the_right_root
        }
    };
}
pub(crate) use promises;

fn head_of(records: &[Vec<u8>]) -> Head {
    let leaves: Vec<_> = records.iter().map(|record| leaf_hash(record)).collect();
    Head { size: u64::try_from(records.len()).unwrap(), root: root_of(&leaves) }
}

fn three() -> Vec<Vec<u8>> {
    vec![b"take-in 0417".to_vec(), Vec::new(), b"wash 0417".to_vec()]
}

pub(crate) fn a_new_log_is_empty(log: &mut dyn Ledger) {
    assert_eq!(log.head(), Head::of_empty_log());
    assert_eq!(log.read(0, 10).unwrap(), Vec::<Vec<u8>>::new());
}

pub(crate) fn what_was_appended_is_read_in_order(log: &mut dyn Ledger) {
    assert_eq!(log.append(0, &three()).unwrap(), head_of(&three()));
    assert_eq!(log.append(3, &[b"dry".to_vec()]).unwrap().size, 4);
    assert_eq!(log.read(0, 10).unwrap(), [three(), vec![b"dry".to_vec()]].concat());
}

pub(crate) fn an_append_at_another_size_changes_nothing(log: &mut dyn Ledger) {
    log.append(0, &three()).unwrap();
    for expected in [0, 2, 4, u64::MAX] {
        let refused = log.append(expected, &three());
        assert!(
            matches!(refused, Err(AppendError::HeadMoved { expected: e, size: 3 }) if e == expected)
        );
    }
    assert_eq!(log.head(), head_of(&three()));
}

pub(crate) fn an_empty_batch_changes_nothing(log: &mut dyn Ledger) {
    log.append(0, &three()).unwrap();
    assert_eq!(log.append(3, &[]).unwrap(), head_of(&three()));
}

pub(crate) fn the_longest_record_fits_and_one_byte_more_does_not(log: &mut dyn Ledger) {
    let longest = vec![7; MAX_RECORD_BYTES];
    let refused = log.append(0, &[longest.clone(), vec![7; MAX_RECORD_BYTES + 1]]).unwrap_err();
    assert!(!refused.is_fatal());
    assert_eq!(refused.to_string(), "record 1 of the batch has 49153 bytes; the most is 49152");
    assert_eq!(log.head(), Head::of_empty_log());
    log.append(0, std::slice::from_ref(&longest)).unwrap();
    assert_eq!(log.read(0, 1).unwrap(), [longest]);
}

pub(crate) fn a_batch_over_the_limit_changes_nothing(log: &mut dyn Ledger) {
    let just = vec![vec![9; MAX_RECORD_BYTES]; MAX_BATCH_BYTES / MAX_RECORD_BYTES + 1];
    let refused = log.append(0, &just);
    assert!(matches!(refused, Err(AppendError::BatchTooLarge { .. })), "{refused:?}");
    assert_eq!(log.head(), Head::of_empty_log());
}

pub(crate) fn reading_is_bounded_by_limit_and_head(log: &mut dyn Ledger) {
    log.append(0, &three()).unwrap();
    assert_eq!(log.read(1, 1).unwrap(), [Vec::<u8>::new()]);
    assert_eq!(log.read(1, 0).unwrap().len(), 0);
    assert_eq!(log.read(2, usize::MAX).unwrap(), [b"wash 0417".to_vec()]);
    assert_eq!(log.read(3, 5).unwrap().len(), 0);
    assert_eq!(log.read(u64::MAX, 5).unwrap().len(), 0);
}

pub(crate) fn a_reader_follows_from_another_thread(log: &mut dyn Ledger) {
    const BATCHES: u64 = 40;
    let reader = log.reader();
    std::thread::scope(|scope| {
        scope.spawn(move || {
            let mut seen = 0;
            while seen < BATCHES * 3 {
                let head = reader.head();
                let records = reader.read(seen, 1000).unwrap();
                let now = seen + u64::try_from(records.len()).unwrap();
                assert!(now >= head.size && now % 3 == 0, "half a batch: {now}");
                for (at, record) in (seen..).zip(records) {
                    assert_eq!(record, at.to_string().into_bytes());
                }
                seen = now;
            }
        });
        for batch in 0..BATCHES {
            let at = batch * 3;
            let records: Vec<_> = (at..at + 3).map(|n| n.to_string().into_bytes()).collect();
            log.append(at, &records).unwrap();
        }
    });
}

pub(crate) fn any_batches_read_back_whole_with_the_right_root(log: &mut dyn Ledger) {
    let record = (any::<u8>(), 0..14_000_usize).prop_map(|(byte, length)| vec![byte; length]);
    let batches = prop::collection::vec(prop::collection::vec(record, 0..6), 0..4);
    let mut runner = proptest::test_runner::TestRunner::new(ProptestConfig {
        cases: 12,
        failure_persistence: None,
        ..ProptestConfig::default()
    });
    let log = std::cell::RefCell::new((log, Vec::<Vec<u8>>::new()));
    runner
        .run(&batches, |batches| {
            let (log, all) = &mut *log.borrow_mut();
            for batch in batches {
                let size = u64::try_from(all.len()).unwrap();
                all.extend(batch.iter().cloned());
                prop_assert_eq!(log.append(size, &batch).unwrap(), head_of(all));
            }
            prop_assert_eq!(&log.read(0, usize::MAX).unwrap(), all);
            Ok(())
        })
        .unwrap();
}
