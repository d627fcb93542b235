//! One more fact at the end of a story is one more step; it must come to what folding all anew does.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

mod common;

use burrline_domain::{Record, State};
use common::{Story, clashes};

/// The state after each record, and the same records folded from the last that happened to the
/// first: each comes before all that are there, so nothing is ever a step.
fn by_steps_and_anew(records: &[Record]) {
    let mut steps = State::new();
    for (count, record) in records.iter().enumerate() {
        steps.apply(record.clone());
        let mut anew = State::new();
        for late in records[..=count].iter().rev() {
            anew.apply(late.clone());
        }
        assert_eq!(steps.digest(), anew.digest(), "after {}", record.entry.verb.line());
        assert_eq!(steps.clashes(), anew.clashes(), "after {}", record.entry.verb.line());
    }
}

#[test]
fn a_jobs_story_by_steps_is_its_story_folded_anew() {
    let mut story = Story::default();
    story.say(1, "08:00", "take-in 0417 species:whitetail points:8");
    story.say(1, "08:10", "papers 0417 kill_tag:K1");
    story.say(1, "09:00", "flesh 0417 brain:yes");
    story.say(1, "09:10", "in 0417 place:pot-1");
    story.say(1, "10:00", "wash 0417");
    story.say(1, "11:00", "in 0417 place:tub-1");
    story.say(1, "12:00", "quote 0417 total:120.00");
    story.say(1, "12:10", "agree 0417");
    story.say(1, "13:00", "hand-over 0417");
    story.say(1, "14:00", "tell 0417 means:phone");
    story.say(1, "15:00", "bring-back 0417");
    story.say(1, "16:00", "out 0417");
    story.say(1, "17:00", "hand-over 0417");
    by_steps_and_anew(&story.records);
}

#[test]
fn a_waters_story_by_steps_is_its_story_folded_anew() {
    let mut story = Story::default();
    story.say(1, "07:00", "top-up place:tub-1 water:1L");
    story.say(1, "08:00", "fill place:tub-1 water:30L");
    story.say(1, "09:00", "top-up place:tub-1 water:2L");
    story.say(1, "10:00", "reading place:tub-1 strength:3%");
    story.say(1, "11:00", "change place:tub-1 old:clear");
    story.say(1, "12:00", "dump place:tub-1");
    story.say(1, "13:00", "dump place:tub-1");
    by_steps_and_anew(&story.records);
}

#[test]
fn what_was_left_behind_is_told_once_however_the_story_goes_on() {
    let mut story = Story::default();
    story.say(1, "08:00", "take-in 0417");
    story.say(1, "09:00", "in 0417/jaw place:pot-1");
    story.say(1, "13:00", "hand-over 0417");
    story.say(1, "14:00", "tell 0417 means:phone");
    let told = |story: &Story| {
        clashes(&story.state()).into_iter().filter(|words| words.contains("pot-1")).count()
    };
    assert_eq!(told(&story), 1, "{:?}", clashes(&story.state()));
    by_steps_and_anew(&story.records);
    story.say(1, "15:00", "bring-back 0417");
    assert_eq!(told(&story), 0, "{:?}", clashes(&story.state()));
}
