//! Corrections that correct nothing are told, with what to do instead.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

mod common;

use burrline_domain::verb;
use burrline_terms::{EntryName, Happened};
use common::{Story, at, clashes, said};

fn amend(story: &mut Story, life: u32, when: &str, entry: EntryName, line: &str) -> EntryName {
    let amend = verb::Amend { entry, verb: Box::new(said(line)) };
    story.say_verb(life, Happened::exactly(at(when)), amend.into())
}

#[test]
fn a_strike_of_another_benchs_line_does_nothing_and_says_so() {
    let mut story = Story::default();
    story.say(1, "8:00", "take-in 0690");
    let wash = story.say(1, "9:00", "wash 0690");
    let strike = story.say(2, "9:10", &format!("strike entries:{wash}"));
    let state = story.state();
    assert!(state.meaning(wash).is_some());
    let words = clashes(&state);
    assert!(words[0].contains("is of another bench, which alone strikes it"), "{words:?}");
    story.say(2, "9:20", &format!("strike entries:{strike}"));
    assert!(clashes(&story.state()).is_empty(), "a struck strike is no trouble");
}

#[test]
fn a_correction_of_a_line_that_has_not_arrived_waits_for_it() {
    let mut story = Story::default();
    let take_in = story.say(1, "8:00", "take-in 0691");
    let weigh = EntryName::new(3, 1);
    amend(&mut story, 1, "11:00", weigh, "weigh 0691 mass:1240g");
    assert!(clashes(&story.state())[0].contains("amend: the line 3:1 has not arrived"));
    assert_eq!(story.say(3, "10:00", "weigh 0691 mass:1420g"), weigh);
    let state = story.state();
    assert!(clashes(&state).is_empty());
    let grams = state.job(take_in).unwrap().masses[0].1.grams();
    assert_eq!(grams.to_string(), "1240");
}

#[test]
fn a_decision_is_taken_back_by_another_decision_alone() {
    let mut story = Story::default();
    story.say(1, "8:00", "take-in 0692");
    let hold = story.say(1, "9:00", "hold 0692 why:papers");
    story.say(1, "9:10", &format!("strike entries:{hold}"));
    let state = story.state();
    assert!(clashes(&state)[0].contains("is a decision; another decision takes it back"));
    assert!(state.jobs().values().next().unwrap().hold.is_some());
}

#[test]
fn an_amendment_that_cannot_stand_for_a_line_and_an_assign_of_no_skull_are_told() {
    let mut story = Story::default();
    let job = story.say(1, "8:00", "take-in 0693");
    let wash = story.say(1, "9:00", "wash 0693");
    amend(&mut story, 1, "9:10", wash, "hold 0693 why:papers");
    assert!(clashes(&story.state())[0].contains("cannot become that"));
    let fill = story.say(1, "9:20", "fill place:pot-1 water:10L");
    story.say(1, "9:30", &format!("assign entry:{fill} job:{job}"));
    assert!(clashes(&story.state())[1].contains("is about no skull"));
}

#[test]
fn a_take_in_that_is_said_again_stays_on_its_ticket_and_keeps_its_plan() {
    let mut story = Story::default();
    let ticket = story.say(1, "8:00", "ticket");
    let other = story.say(1, "8:00", "ticket");
    let job = story.say(1, "8:01", &format!("take-in 0694 ticket:{ticket} plan:simmer=120min"));
    amend(&mut story, 2, "9:00", job, "take-in 0694 points:8");
    let state = story.state();
    let taken = state.job(job).unwrap();
    assert_eq!((taken.ticket(), taken.plan.len()), (Some(ticket), 1));
    assert_eq!(state.jobs_of_ticket(ticket), [job]);
    // To say another is to move it.
    amend(&mut story, 2, "9:10", job, &format!("take-in 0694 ticket:{other}"));
    let state = story.state();
    assert_eq!(state.job(job).unwrap().ticket(), Some(other));
    assert!(state.jobs_of_ticket(ticket).is_empty());
}
