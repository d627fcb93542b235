//! Each record has its number among those of its jobs, given as it arrives and never changed.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

mod common;
#[path = "common/random.rs"]
mod random;

use std::{collections::BTreeMap, sync::Arc};

use burrline_domain::{
    OnJob, Record, State, Verb,
    fold::{Numbering, Records, Route},
    verb,
};
use burrline_terms::{EntryName, Happened};
use common::{Story, at, said};
use proptest::prelude::*;
use random::{records, story};

/// The records as a shop numbers them.
fn numbered(records: Vec<Record>) -> (State, Vec<Record>) {
    let mut state = State::new();
    let mut numbered = Vec::new();
    for mut record in records {
        record.on_jobs = state.number(&record);
        state.apply(record.clone());
        numbered.push(record);
    }
    (state, numbered)
}

/// A log in memory.
struct Log(Vec<Record>);

impl Records for Log {
    fn record(&self, position: u64) -> Record {
        self.0[usize::try_from(position).unwrap()].clone()
    }
}

/// The present put together from a snapshot of it.
fn restored(state: &State, records: &[Record]) -> State {
    let log: Arc<dyn Records> = Arc::new(Log(records.to_vec()));
    State::restore(&state.snapshot(), &log).unwrap()
}

/// After all that a random story tells.
fn late() -> Happened {
    Happened::exactly(at("9 9:00"))
}

fn note_on(job: EntryName) -> Verb {
    said(&format!("note 9999/{job} words:late"))
}

/// What each record of a story is numbered, in words.
fn told(story: &Story) -> Vec<String> {
    let (_, records) = numbered(story.records.clone());
    let on = |on: &OnJob| format!("{}:{}", on.job, on.nth);
    records.iter().map(|r| r.on_jobs.iter().map(on).collect::<Vec<_>>().join(" ")).collect()
}

#[test]
fn a_line_is_numbered_on_the_job_whose_tag_it_names_and_on_no_other() {
    let mut story = Story::default();
    story.say(1, "7:00", "add-place name:pot-1 kind:pot");
    story.say(1, "7:00", "take-in 0417");
    story.say(1, "7:05", "take-in 0418");
    story.say(1, "7:10", "flesh 0417");
    story.say(2, "7:15", "flesh 0418");
    story.say(2, "7:20", "note 0417 words:chipped");
    story.say(2, "7:30", "flesh 0999");
    assert_eq!(told(&story), ["", "1:2:1", "1:3:1", "1:2:2", "1:3:2", "1:2:3", ""]);
}

#[test]
fn what_moves_a_line_is_numbered_on_both_jobs_and_the_line_keeps_its_number() {
    let mut story = Story::default();
    story.say(1, "7:00", "take-in 0417");
    story.say(1, "7:05", "take-in 0418");
    let line = story.say(1, "7:10", "flesh 0417");
    let amend = verb::Amend { entry: line, verb: Box::new(said("flesh 0418")) };
    let moved = story.say_verb(1, Happened::exactly(at("7:20")), amend.into());
    story.say(1, "7:30", &format!("strike entries:{moved}"));
    story.say(1, "7:40", "note 0417 words:still_one_of_it");
    let told = told(&story);
    assert_eq!(told[2], "1:1:2");
    assert_eq!(told[3], "1:1:3 1:2:2", "an amendment that moves it is of both");
    assert_eq!(told[4], "1:1:4 1:2:3", "and so is what takes that back");
    assert_eq!(told[5], "1:1:5");
}

#[test]
fn a_record_that_is_left_out_of_a_log_is_named() {
    let mut story = Story::default();
    story.say(1, "7:00", "take-in 0417");
    story.say(1, "7:10", "flesh 0417");
    story.say(1, "7:20", "note 0417 words:chipped");
    let (_, mut records) = numbered(story.records.clone());
    let check = |records: &[Record]| {
        let mut numbering = Numbering::default();
        records.iter().try_for_each(|record| numbering.check(record))
    };
    assert_eq!(check(&records), Ok(()));
    records.remove(1);
    let hole = check(&records).unwrap_err();
    assert_eq!((hole.position, hole.wanted, hole.got), (2, 2, 3));
    assert_eq!(hole.to_string(), "record 2 is number 3 of job 1-1-7 by its own word; 2 comes next");
}

proptest! {
    /// Whatever is said, and in whatever order it arrives: no number is left out or given twice, every
    /// line that landed on a job as it arrived has a number there, and a present that was put together
    /// from a snapshot gives the same numbers.
    #[test]
    fn numbers_have_no_holes_and_a_snapshot_goes_on_with_them(story in story()) {
        let given = records(&story);
        let (state, all) = numbered(given);
        let mut numbering = Numbering::default();
        let mut counts: BTreeMap<EntryName, u64> = BTreeMap::new();
        let mut so_far = State::new();
        for record in &all {
            prop_assert_eq!(numbering.check(record), Ok(()));
            so_far.apply(record.clone());
            for on in &record.on_jobs {
                *counts.entry(on.job).or_default() += 1;
            }
            if let Some(job) = so_far.route(record.entry.name).and_then(Route::job) {
                let of = record.on_jobs.iter().any(|on| on.job == job);
                prop_assert!(of, "{:?} landed on {job} and is not numbered there", record.entry);
            }
        }
        for (job, last) in &counts {
            let wanted = OnJob { job: *job, nth: last + 1 };
            let next = common::record(EntryName::new(9, 1), 0, late(), note_on(*job));
            for state in [&state, &restored(&state, &all)] {
                let given = state.number(&next);
                prop_assert!(given.is_empty() || given == [wanted], "{given:?}, not {wanted:?}");
            }
        }
    }
}
