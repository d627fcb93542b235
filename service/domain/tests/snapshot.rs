//! A present from a snapshot is the present of a refold, wherever the snapshot was taken.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

mod common;
#[path = "common/random.rs"]
mod random;

use std::sync::{
    Arc,
    atomic::{AtomicUsize, Ordering},
};

use burrline_domain::{
    Record, State,
    fold::{Records, Snapshot},
};
use burrline_terms::{EntryName, Happened};
use common::{Story, at};
use proptest::prelude::*;
use random::{read_all, records, story};

/// A log in memory, and how often somebody read a record of it.
#[derive(Default)]
struct Log(Vec<Record>, AtomicUsize);

impl Records for Log {
    fn record(&self, position: u64) -> Record {
        self.1.fetch_add(1, Ordering::Relaxed);
        self.0[usize::try_from(position).unwrap()].clone()
    }
}

fn restored(snapshot: &Snapshot, records: &[Record]) -> State {
    let log: Arc<dyn Records> = Arc::new(Log(records.to_vec(), AtomicUsize::new(0)));
    State::restore(snapshot, &log).unwrap()
}

fn alike(one: &State, other: &State) {
    assert_eq!(one.digest(), other.digest());
    assert_eq!(one.clashes(), other.clashes());
    assert_eq!(one.records(), other.records());
    assert_eq!(one.last_shop_time(), other.last_shop_time());
    assert_eq!(one.strays(), other.strays());
    assert_eq!(one.stock(), other.stock());
    assert_eq!(read_all(one), read_all(other));
    let (mut all, mut others) = (one.of_till(), other.of_till());
    assert!(all.by_ref().zip(others.by_ref()).all(|(a, b)| a.key == b.key));
    assert!(all.next().is_none() && others.next().is_none());
    for (a, b) in one.facts().zip(other.facts()) {
        assert_eq!((&*a.record, a.key, a.stamped), (&*b.record, b.key, b.stamped));
    }
    for job in one.jobs().keys() {
        let told = |state: &State| {
            let owned = |(tag, from, to): (&burrline_terms::Tag, _, _)| (tag.clone(), from, to);
            let spans: Vec<_> = state.tag_spans(*job).into_iter().map(owned).collect();
            let facts: Vec<_> = state.job(*job).unwrap().facts().collect();
            (spans, facts, state.account(*job))
        };
        assert_eq!(format!("{:?}", told(one)), format!("{:?}", told(other)));
    }
    let open = |state: &State| state.jobs().open().map(|job| job.id).collect::<Vec<EntryName>>();
    assert_eq!(open(one), open(other));
    assert!(one.snapshot() == other.snapshot(), "they would be kept in two ways");
}

proptest! {
    // Each story is cut at every position, and gone on with from there.
    #![proptest_config(ProptestConfig { cases: 150, ..ProptestConfig::default() })]

    #[test]
    fn a_restored_present_is_the_refolded_one_at_every_position(story in story()) {
        let records = records(&story);
        let mut folded = State::new();
        for (had, record) in (1..).zip(&records) {
            folded.apply(record.clone());
            let snapshot = folded.snapshot();
            alike(&restored(&snapshot, &records), &folded);
            // What comes later finds it as it was, whoever looked before.
            let (mut on, mut looked) = (restored(&snapshot, &records), restored(&snapshot, &records));
            read_all(&looked);
            for late in &records[had..] {
                on.apply(late.clone());
                looked.apply(late.clone());
            }
            let whole = State::replay(records.clone());
            alike(&on, &whole);
            alike(&looked, &whole);
        }
    }

    /// A shop goes on from one snapshot to the next, for years.
    #[test]
    fn a_snapshot_of_a_restored_present_is_as_good(story in story(), every in 1..7_usize) {
        let records = records(&story);
        let mut state = State::new();
        let mut before = Snapshot::default();
        for (had, record) in (1_usize..).zip(&records) {
            state.apply(record.clone());
            if had % every == 0 {
                before = state.snapshot_after(&before);
                state = restored(&before, &records);
            }
        }
        alike(&state, &State::replay(records.clone()));
    }

    /// The times that a wrong clock stamped are put right in it as well.
    #[test]
    fn a_clock_that_was_put_right_is_right_in_it(
        story in story(), first in 0..50_usize, length in 0..50_usize, was in 0..500_i64,
    ) {
        let mut records = records(&story);
        prop_assume!(records.len() > 2);
        let first = first % records.len();
        let last = (first + length).min(records.len() - 1);
        let named = |i: usize| records[i].entry.name;
        let said = burrline_domain::verb::PutClockRight {
            first: named(first), last: named(last), was: burrline_terms::Moment(was),
        };
        let latest = records.iter().map(|r| r.shop_time).max().unwrap().plus(1);
        let position = u64::try_from(records.len()).unwrap();
        let name = EntryName::new(1, 1000);
        let mut decided = common::record(name, position, Happened::exactly(latest), said.into());
        decided.shop_time = latest;
        records.push(decided);
        let folded = State::replay(records.clone());
        let back = restored(&folded.snapshot(), &records);
        alike(&back, &folded);
        let early = |state: &State| state.only(|record| record.position < position / 2).digest();
        prop_assert_eq!(early(&back), early(&folded));
    }
}

#[test]
fn nothing_of_a_job_that_ended_is_read_for_those_that_are_open() {
    let mut story = Story::default();
    for tag in 1..=40 {
        story.say(1, "08:00", &format!("take-in {tag} species:whitetail"));
        for minute in 10..40 {
            story.say(1, &format!("08:{minute}"), &format!("wash {tag}"));
        }
        if tag > 1 {
            story.say(1, "09:00", &format!("hand-over {tag}"));
        }
    }
    let log = Arc::new(Log(story.records.clone(), AtomicUsize::new(0)));
    let source: Arc<dyn Records> = log.clone();
    let snapshot = story.state().snapshot();
    let state = State::restore(&snapshot, &source).unwrap();
    let open: Vec<_> = state.jobs().open().collect();
    assert_eq!(open.len(), 1);
    assert_eq!(open[0].last.map(|(word, when)| (word, when.at)), Some(("wash", at("08:39"))));
    // Take-ins and ends of all jobs, and what was done to the open one.
    let read = log.1.load(Ordering::Relaxed);
    assert!(read < 120, "{read} of {} records were read", story.records.len());
    // The next snapshot takes what the last one has.
    assert_eq!(state.snapshot_after(&snapshot), snapshot);
    assert_eq!(log.1.load(Ordering::Relaxed), read);
}

#[test]
fn a_snapshot_of_other_records_is_thrown_away() {
    let mut story = Story::default();
    story.say(1, "08:00", "take-in 0417");
    story.say(1, "09:00", "hand-over 0417");
    let snapshot = story.state().snapshot();
    let mut other = Story::default();
    other.say(2, "08:00", "take-in 0417");
    other.say(2, "09:00", "hand-over 0417");
    let log: Arc<dyn Records> = Arc::new(Log(other.records, AtomicUsize::new(0)));
    assert!(State::restore(&snapshot, &log).is_none());
}
