//! What was moved and never said: found in a place, gone from one, and the doubt about when.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

mod common;

use burrline_domain::{
    State,
    fold::{Job, Until},
};
use burrline_terms::{Happened, words::Piece};
use common::{Story, at, clashes, place};

fn job(state: &State) -> &Job {
    state.jobs().values().next().unwrap()
}

fn between(from: &str, until: &str) -> Happened {
    Happened { not_before: at(from), ..Happened::exactly(at(until)) }
}

#[test]
fn what_is_found_elsewhere_left_and_came_at_some_time_since_it_was_last_said_to_be_anywhere() {
    for (lines, since) in [
        (&["8:00 in place:pot-1 0417"][..], "8:00"),
        (&["8:00 in place:pot-1 0417", "9:30 out 0417"], "9:30"),
        (&[], "7:00"),
    ] {
        let mut story = Story::default();
        story.say(1, "7:00", "take-in 0417");
        for line in lines {
            let (when, line) = line.split_once(' ').unwrap();
            story.say(1, when, line);
        }
        story.say(1, "17:00", "found-in place:rack-2 0417");
        let state = story.state();
        let doubt = between(since, "17:00");
        let stays = &job(&state).stays;
        let last = stays.last().unwrap();
        assert_eq!((last.place.as_str(), last.from, last.until), ("rack-2", doubt, Until::Now));
        if lines.len() == 1 {
            assert_eq!(stays[0].until, Until::Unsaid(doubt));
        }
        assert!(clashes(&state).is_empty(), "{:?}", clashes(&state));
        assert_eq!(place(&state, "0417").as_deref(), Some("rack-2"));
    }
}

#[test]
fn doubt_neither_shortens_a_drying_nor_hides_a_long_simmer() {
    let mut story = Story::default();
    story.say(1, "7:00", "take-in 0417");
    story.say(1, "8:00", "in place:pot-1 0417");
    story.say(1, "17:00", "found-in place:rack-2 0417");
    let state = story.state();
    let [pot, rack] = job(&state).stays.as_slice() else { panic!() };
    let (hour, now) = (3_600_000, at("20:00"));
    assert_eq!((pot.shortest_ms(now), pot.longest_ms(now)), (0, 9 * hour));
    assert_eq!((rack.shortest_ms(now), rack.longest_ms(now)), (3 * hour, 12 * hour));
}

#[test]
fn what_is_gone_is_in_no_place_and_does_not_clash() {
    let mut story = Story::default();
    story.say(1, "7:00", "take-in 0417");
    story.say(1, "8:00", "in place:rack-2 0417");
    story.say(1, "17:00", "gone 0417");
    let state = story.state();
    assert_eq!(job(&state).stays[0].until, Until::Unsaid(between("8:00", "17:00")));
    assert_eq!(place(&state, "0417"), None);
    assert!(clashes(&state).is_empty());
    // Said of what is in no place, nothing moves.
    story.say(1, "17:05", "gone 0417");
    assert_eq!(job(&story.state()).stays.len(), 1);
    assert!(clashes(&story.state()).is_empty());
}

#[test]
fn a_line_that_comes_late_takes_the_doubt_away() {
    let mut story = Story::default();
    story.say(1, "7:00", "take-in 0417");
    story.say(1, "8:00", "in place:pot-1 0417");
    story.say(1, "17:00", "found-in place:rack-2 0417");
    story.say_later(2, "10:00", "18:00", "out 0417");
    story.say_later(2, "10:05", "18:00", "in place:rack-2 0417");
    let state = story.state();
    let stays = &job(&state).stays;
    assert_eq!(stays.len(), 2, "found where it is booked, it stays as it was: {stays:?}");
    assert_eq!(stays[1].from.at, at("10:05"));
    assert!(clashes(&state).is_empty());
}

#[test]
fn a_part_is_found_by_itself() {
    let mut story = Story::default();
    story.say(1, "7:00", "take-in 0417");
    story.say(1, "8:00", "in place:pot-1 0417");
    story.say(1, "9:00", "bag 0417-N");
    story.say(1, "17:00", "found-in place:shelf-1 0417-N");
    let state = story.state();
    assert_eq!(job(&state).stay_of(Piece::Nose).unwrap().place.as_str(), "shelf-1");
    assert_eq!(job(&state).place().unwrap().as_str(), "pot-1");
    assert_eq!(job(&state).parts_away(), [Piece::Nose]);
}

#[test]
fn a_swapped_tag_is_remembered_and_one_that_came_off_at_the_end_is_not() {
    let mut story = Story::default();
    story.say(1, "7:00", "take-in 0388");
    story.say(1, "8:00", "swap-tag 0388 tag:0417 why:cracked");
    let former = |story: &Story| -> Vec<String> {
        let state = story.state();
        state.former_tags(job(&state).id).iter().map(ToString::to_string).collect()
    };
    assert_eq!(former(&story), ["0388"]);
    story.say(1, "9:00", "swap-tag 0417 tag:0501");
    assert_eq!(former(&story), ["0388", "0417"]);
    // The first one goes on again.
    story.say(1, "10:00", "swap-tag 0501 tag:0388");
    assert_eq!(former(&story), ["0417", "0501"]);
    // It wears none once it is handed over.
    story.say(1, "11:00", "hand-over 0388");
    assert_eq!(former(&story), ["0388", "0417", "0501"]);
}
