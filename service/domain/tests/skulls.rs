//! Heat over all goes, bags, what a place says of a skull, changes of water, and holds.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

mod common;

use burrline_domain::{
    State,
    fold::{Job, Standing},
};
use burrline_terms::{
    Happened, Name,
    words::{Piece, PlaceKind},
};
use common::{Story, at, said};

fn kind(place: &Name) -> Option<PlaceKind> {
    match place.as_str().split('-').next().unwrap() {
        "pot" => Some(PlaceKind::Pot),
        "freezer" => Some(PlaceKind::Freezer),
        "rack" => Some(PlaceKind::Rack),
        "tank" => Some(PlaceKind::Tank),
        _ => None,
    }
}

fn job(state: &State) -> &Job {
    state.jobs().values().next().unwrap()
}

fn heat(story: &Story, when: &str) -> String {
    let state = story.state();
    let hot = |place: &Name| kind(place) == Some(PlaceKind::Pot);
    job(&state).heat(hot, Happened::exactly(at(when))).to_string()
}

#[test]
fn heat_is_told_over_all_goes_with_its_doubt() {
    let mut story = Story::default();
    story.say(1, "7:00", "take-in 0680");
    story.say(1, "8:00", "in place:pot-1 0680");
    assert_eq!(heat(&story, "9:05"), "1st go, 1 h 05");
    story.say(1, "10:00", "out 0680");
    story.say(1, "10:30", "in place:tank-1 0680");
    story.say(1, "1 8:00", "out 0680");
    story.say(1, "1 9:00", "in place:pot-2 0680");
    assert_eq!(heat(&story, "1 10:05"), "2nd go, 3 h 05 in all");
    let doubt = Happened {
        not_before: at("1 10:00"),
        not_after: at("1 10:40"),
        ..Happened::exactly(at("1 10:20"))
    };
    story.say_verb(1, doubt, said("out 0680"));
    assert_eq!(heat(&story, "2 9:00"), "2nd go, 3 h 00 to 3 h 40 in all");
}

#[test]
fn a_bag_has_the_tag_and_a_letter_unless_it_was_given_a_mark() {
    let mut story = Story::default();
    story.say(1, "7:00", "take-in 0417");
    story.say(1, "8:00", "bag 0417-N");
    story.say(1, "8:01", "bag 0417/jaw mark:blue-7");
    let state = story.state();
    let marks = [Piece::Nose, Piece::Jaw, Piece::Ears].map(|p| state.bag_mark(job(&state), p));
    assert_eq!(marks, [Some("0417-N".to_owned()), Some("blue-7".to_owned()), None]);
    assert_eq!(job(&state).parts_away(), [Piece::Jaw, Piece::Nose]);
    story.say(1, "9:00", "in place:tank-1 0417-n");
    let state = story.state();
    let standing = job(&state).standing(Piece::Nose, kind);
    assert_eq!(standing.word(), "degreasing");
}

#[test]
fn the_kind_of_place_says_what_a_skull_is_doing() {
    let mut story = Story::default();
    story.say(1, "7:00", "take-in 0681");
    let word = |story: &Story| {
        let state = story.state();
        job(&state).standing(Piece::Skull, kind).word().to_owned()
    };
    assert_eq!(word(&story), "nowhere yet");
    story.say(1, "8:00", "in place:freezer-1 0681");
    assert_eq!(word(&story), "frozen");
    story.say(1, "1 8:00", "out 0681");
    let state = story.state();
    let thawing = job(&state).standing(Piece::Skull, kind);
    assert!(matches!(thawing, Standing::Thawing(_, since) if since.at == at("1 8:00")));
    story.say(1, "1 12:00", "flesh 0681");
    assert_eq!(word(&story), "out", "worked on, it thaws no more");
    story.say(1, "1 13:00", "in place:rack-1 0681");
    assert_eq!(word(&story), "drying");
    story.say(1, "3 9:00", "hand-over 0681");
    assert_eq!(word(&story), "hand-over");
}

#[test]
fn changes_of_water_are_counted_for_the_skulls_that_were_in_it() {
    let mut story = Story::default();
    story.say(1, "7:00", "take-in 0682");
    story.say(1, "7:30", "fill place:tank-1 water:100L");
    story.say(1, "7:40", "change place:tank-1");
    story.say(1, "8:00", "in place:tank-1 0682");
    story.say(1, "1 8:00", "change place:tank-1 old:greasy");
    story.say(1, "2 8:00", "change place:tank-1 old:clear");
    story.say(1, "2 9:00", "out 0682");
    story.say(1, "3 8:00", "change place:tank-1");
    let state = story.state();
    assert_eq!(state.changes_of(job(&state)), 2);
}

#[test]
fn each_time_on_hold_is_kept_with_its_reason() {
    let mut story = Story::default();
    story.say(1, "7:00", "take-in 0683");
    story.say(1, "8:00", "hold 0683 why:papers");
    story.say(1, "10:00", "hold 0683 why:decision");
    story.say(1, "11:00", "release 0683");
    story.say(1, "1 8:00", "hold 0683 why:balance");
    let state = story.state();
    let now = Happened::exactly(at("1 8:30"));
    let paused: Vec<_> =
        job(&state).paused(now).map(|(why, ms)| (why.to_string(), ms / 60_000)).collect();
    let wanted = [("papers", 120), ("decision", 60), ("balance", 30)];
    assert_eq!(paused, wanted.map(|(why, minutes)| (why.to_owned(), minutes)));
    assert_eq!(job(&state).hold.as_ref().unwrap().as_str(), "balance");
}
