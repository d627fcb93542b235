//! A clock of the shop that was wrong: what it stamped is put right, and stays readable.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

mod common;

use burrline_domain::{State, Verb, decide, verb::PutClockRight};
use burrline_terms::{EntryName, Happened, Moment, words::Role};
use common::{Story, at, said};

/// Five years, which the clock was ahead of the time.
const AHEAD_MS: i64 = 5 * 365 * 86_400_000;

/// A story whose lines from the second on were stamped by a clock that was ahead.
fn ahead() -> (Story, EntryName, EntryName) {
    let mut story = Story::default();
    story.say(1, "7:00", "take-in 0611");
    let wrong = |when: &str| Happened::exactly(at(when).plus(AHEAD_MS));
    let first = story.say_verb(2, wrong("8:00"), said("in place:pot-1 0611"));
    let last = story.say_verb(1, wrong("9:30"), said("out 0611"));
    (story, first, last)
}

fn right(first: EntryName, last: EntryName, was: Moment) -> Verb {
    PutClockRight { first, last, was }.into()
}

/// The decision, at a machine whose clock is right again and behind the log.
fn decide_it(story: &mut Story, verb: Verb, machine: Moment) {
    let pinned = at("9:30").plus(AHEAD_MS);
    story.say_verb(3, Happened { typed: pinned, ..Happened::exactly(machine) }, verb);
    if let Some(record) = story.records.last_mut() {
        record.doubted = Some(machine);
    }
}

fn stay_minutes(state: &State) -> i64 {
    state.jobs().values().next().unwrap().heat_minutes(|_| true, at("20:00"))
}

#[test]
fn lines_of_a_wrong_clock_move_together_and_what_it_stamped_is_kept() {
    let (mut story, first, last) = ahead();
    decide_it(&mut story, right(first, last, at("8:00")), at("10:00"));
    let state = story.state();
    let fact = state.fact(first).unwrap();
    assert_eq!(fact.happened().at, at("8:00"));
    assert_eq!(fact.was_stamped().shop_time, at("8:00").plus(AHEAD_MS));
    assert_eq!(state.fact(last).unwrap().happened().at, at("9:30"));
    assert_eq!(stay_minutes(&state), 90);
    // The story goes on from when the decision was made, not from the wrong year.
    assert_eq!(state.last_shop_time(), at("10:00"));
    // As if it had never been wrong, but for the decision itself.
    let mut never = Story::default();
    never.say(1, "7:00", "take-in 0611");
    never.say(2, "8:00", "in place:pot-1 0611");
    never.say(1, "9:30", "out 0611");
    let of = |state: &State| state.jobs().values().next().cloned().unwrap().stays;
    assert_eq!(of(&state), of(&never.state()));
}

#[test]
fn lines_that_came_while_the_log_was_still_ahead_go_by_the_machines_word() {
    let (mut story, first, last) = ahead();
    let pinned = Happened {
        at: at("9:45"),
        not_before: at("9:45"),
        ..Happened::exactly(at("9:30").plus(AHEAD_MS))
    };
    let after = story.say_verb(
        1,
        Happened { typed: at("9:30").plus(AHEAD_MS), ..pinned },
        said("wash 0611"),
    );
    story.records.last_mut().unwrap().doubted = Some(at("9:45"));
    decide_it(&mut story, right(first, last, at("8:00")), at("10:00"));
    let state = story.state();
    let wash = state.fact(after).unwrap();
    assert_eq!(wash.record.shop_time, at("9:45"));
    assert_eq!((wash.happened().at, wash.happened().not_after), (at("9:45"), at("9:45")));
}

#[test]
fn no_line_moves_before_what_was_stamped_earlier_or_after_the_decision() {
    let (mut story, first, last) = ahead();
    // Said to have come at seven: the same moment as the line before it, and no earlier one.
    decide_it(&mut story, right(first, last, at("7:00")), at("8:00"));
    let state = story.state();
    assert_eq!(state.fact(first).unwrap().happened().at, at("7:00"));
    assert_eq!(state.fact(last).unwrap().happened().at, at("8:00"), "8:30 is after the decision");
    let refused = |verb: Verb| {
        let (story, ..) = ahead();
        let mut entry = story.records[0].entry.clone();
        (entry.name, entry.verb) = (EntryName::new(9, 1), verb);
        decide(&story.state(), Role::Owner, &entry).is_err()
    };
    assert!(refused(right(first, last, at("6:59"))), "before the line before it");
    assert!(refused(right(last, first, at("8:00"))), "the last before the first");
    assert!(refused(right(EntryName::new(7, 7), last, at("8:00"))), "no such line");
    assert!(!refused(right(first, last, at("8:00"))));
}

#[test]
fn a_later_decision_about_the_same_lines_holds_and_any_split_of_the_replay_agrees() {
    let (mut story, first, last) = ahead();
    decide_it(&mut story, right(first, last, at("7:30")), at("10:00"));
    story.say(3, "10:01", "add-hand name:ines");
    let again = right(first, last, at("8:00"));
    story.say_verb(3, Happened::exactly(at("10:02")), again);
    story.say(1, "10:30", "wash 0611");
    let state = story.state();
    assert_eq!(state.fact(first).unwrap().happened().at, at("8:00"));
    assert_eq!(stay_minutes(&state), 90);
    for cut in 0..story.records.len() {
        let mut split = State::replay(story.records[..cut].to_vec());
        for record in &story.records[cut..] {
            split.apply(record.clone());
        }
        assert_eq!(split.digest(), state.digest(), "cut at {cut}");
        assert_eq!(split.records(), state.records());
    }
}

#[test]
fn a_time_that_a_bench_told_rightly_stays_and_one_that_cannot_be_right_moves() {
    let at_and_came = |happened: Moment, stamped: Moment, was: Moment| {
        let mut story = Story::default();
        story.say(1, "7:55", "take-in 0611");
        let happened = Happened { typed: stamped, ..Happened::exactly(happened) };
        let line = story.say_verb(2, happened, said("in place:pot-1 0611"));
        decide_it(&mut story, right(line, line, was), at("10:00"));
        story.state().fact(line).unwrap().happened().at
    };
    // Five years ahead: the bench's own clock told of this morning.
    let far = at_and_came(at("8:00"), at("9:00").plus(AHEAD_MS), at("9:00"));
    assert_eq!(far, at("8:00"));
    // An hour ahead: half past eight is after the line came at eight, so it was reckoned from nine.
    let near = at_and_came(at("8:30"), at("9:00"), at("8:00"));
    assert_eq!(near, at("7:55"), "not before the line before it");
}
