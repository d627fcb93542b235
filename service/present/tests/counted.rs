//! A paper counts a job's lines as whoever checks a packet counts them again, without going through the log.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

#[path = "../../domain/tests/common/mod.rs"]
mod common;

use burrline_domain::{Record, verb::Amend};
use burrline_present::evidence::counted::{count, lines_of};
use burrline_terms::{EntryName, Happened};
use common::{Story, at, said};
use proptest::prelude::*;

/// Lines on two jobs, by tag and by number, and corrections of any line before, corrections among them.
fn lines() -> impl Strategy<Value = Vec<(usize, usize, usize)>> {
    prop::collection::vec((0..6_usize, 0..40_usize, 0..4_usize), 0..40)
}

proptest! {
    #[test]
    fn lines_are_counted_as_whoever_reads_all_of_the_log_counts_them(lines in lines()) {
        let mut story = Story::default();
        let jobs = ["0417", "0418"].map(|tag| story.say(1, "1 8:00", &format!("take-in {tag} species:elk")));
        let mut names: Vec<EntryName> = jobs.to_vec();
        for (minute, (kind, which, of)) in lines.into_iter().enumerate() {
            let when = format!("2 {}:{:02}", minute / 60, minute % 60);
            let target = names[which % names.len()];
            let skull = [jobs[0].job_number(), jobs[1].job_number(), "0417".into(), "0418".into()][of].clone();
            let line = match kind {
                0 | 1 => said(&format!("note {skull} words:a")),
                2 => said(&format!("wash {skull}")),
                3 => said(&format!("strike entries:{target}")),
                4 => said(&format!("assign entry:{target} job:{}", jobs[of % 2])),
                _ => Amend { entry: target, verb: Box::new(said(&format!("note {skull} words:b"))) }.into(),
            };
            let life = u32::try_from(1 + of % 2).unwrap();
            names.push(story.say_verb(life, Happened::exactly(at(&when)), line));
        }
        let state = story.state();
        for job in jobs {
            let all: Vec<&Record> = story.records.iter().collect();
            prop_assert_eq!(lines_of(&state, job), count(all, job));
        }
    }
}
