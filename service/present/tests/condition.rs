//! The condition as last said, by whom; what is cracked reaches the calls, the rules and the answer.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

#[path = "../../domain/tests/common/mod.rs"]
mod common;

use std::path::PathBuf;

use burrline_domain::{State, fold::Job};
use burrline_evidence::seal::SealKey;
use burrline_present::{
    Opens, condition,
    desk::{self, people::Eyes},
    evidence,
    judge::{self, Judge},
    view,
};
use burrline_terms::EntryName;
use common::{Story, at};

struct NoKeys;

impl Opens for NoKeys {
    fn key(&self, _: &[u8; 16]) -> Option<SealKey> {
        None
    }
}

fn yard() -> Story {
    let mut story = Story::default();
    story.say(1, "6:00", "set-shop setting:zone value:UTC");
    story.say(1, "6:00", "enrol-bench key:00000000000000000000000000000000000000000000000000000000000000aa name:yard-1 role:counter");
    story
}

fn job(state: &State) -> &Job {
    state.jobs().values().next().unwrap()
}

/// What `show` says under a name.
fn shown(story: &Story, name: &str) -> Vec<String> {
    let state = story.state();
    let facts = view::job_view(&state, job(&state), &NoKeys, at("23:00")).facts;
    let named = facts.iter().filter_map(|fact| fact.strip_prefix(name)?.strip_prefix(": "));
    named.map(str::to_owned).collect()
}

/// Why the customer is to be called about damage.
fn called(story: &Story, now: &str) -> Vec<String> {
    let state = story.state();
    let answer =
        desk::calls(&state, &Judge::new(PathBuf::new()), Eyes::new(&NoKeys, true), at(now));
    let whys = answer.lines.into_iter().flat_map(|line| line.whys);
    whys.filter(|why| why.kind == "damage").map(|why| why.words).collect()
}

fn told(story: &Story, line: EntryName) -> Vec<String> {
    let figures = view::figures(&story.state(), line).into_iter();
    figures.filter(|figure| figure.starts_with("photo it now")).collect()
}

const PHOTO: &str = "photograph 0417 \
    original:00000000000000000000000000000000000000000000000000000000000000aa";

#[test]
fn show_tells_the_condition_as_last_said_when_and_by_whom() {
    let mut story = yard();
    story.say(1, "7:00", "take-in 0417 species:whitetail condition:looks_whole");
    assert_eq!(
        shown(&story, "condition"),
        ["looks whole (at the take-in, ines at yard-1, Thu 01 Jan 07:00)"]
    );
    story.say(1, "8:00", "condition 0417 nose:whole jaw:whole teeth:31");
    story.say(1, "9:00", "condition 0417 nose:broken words:tip_gone");
    assert_eq!(
        shown(&story, "condition"),
        ["nose broken, tip gone (ines at yard-1, Thu 01 Jan 09:00); jaw whole, 31 teeth (ines at \
          yard-1, Thu 01 Jan 08:00)"]
    );
    assert_eq!(
        shown(&story, "condition before"),
        [
            "looks whole (at the take-in, ines at yard-1, Thu 01 Jan 07:00)",
            "nose whole, jaw whole, 31 teeth (ines at yard-1, Thu 01 Jan 08:00)",
        ]
    );
    story.say(1, "10:00", "damage 0417/jaw what:scratched whose:ours");
    let state = story.state();
    let view = view::job_view(&state, job(&state), &NoKeys, at("23:00"));
    assert_eq!(
        view.damage,
        ["jaw: scratched (ours; ines at yard-1, Thu 01 Jan 10:00)"],
        "who noted a damage is told as well"
    );
}

#[test]
fn a_condition_that_was_crossed_out_or_amended_is_told_as_it_is_now() {
    let mut story = yard();
    story.say(1, "7:00", "take-in 0417 species:whitetail condition:looks_whole");
    let seen = story.say(1, "8:00", "condition 0417 nose:broken");
    assert_eq!(called(&story, "9:00").len(), 1);
    story.say(1, "8:05", &format!("strike entries:{seen}"));
    assert_eq!(
        shown(&story, "condition"),
        ["looks whole (at the take-in, ines at yard-1, Thu 01 Jan 07:00)"]
    );
    assert_eq!(called(&story, "9:00"), [""; 0]);
}

#[test]
fn a_crack_at_the_take_in_says_photo_it_now_until_a_photo_is_named() {
    let mut story = yard();
    let taken = story.say(1, "7:00", "take-in 0417 species:whitetail condition:nose_bone_cracked");
    let photo = "photo it now: nose bone cracked; photograph 0417 latest 1";
    assert_eq!(told(&story, taken), [photo]);
    story.say(1, "7:05", PHOTO);
    assert_eq!(told(&story, taken), [""; 0]);
    // The same again is no news; that it is broken now is, and wants a photo of its own.
    story.say(1, "8:00", "condition 0417 nose:cracked");
    let again = story.say(1, "8:10", "condition 0417 nose:cracked");
    assert_eq!(told(&story, again), [""; 0]);
    let broken = story.say(1, "9:00", "condition 0417 nose:broken");
    assert_eq!(told(&story, broken), ["photo it now: nose broken; photograph 0417 latest 1"]);
    let damage = story.say(1, "9:30", "damage 0417/jaw what:tip_off");
    assert_eq!(told(&story, damage), ["photo it now: jaw: tip off; photograph 0417 latest 1"]);
}

#[test]
fn a_head_that_is_whole_asks_for_no_photo_and_no_call() {
    let mut story = yard();
    let taken = story.say(1, "7:00", "take-in 0417 species:whitetail condition:no_cracks");
    let seen = story.say(1, "8:00", "condition 0417 nose:whole jaw:whole teeth:31");
    assert_eq!(told(&story, taken), [""; 0]);
    assert_eq!(told(&story, seen), [""; 0]);
    assert_eq!(called(&story, "9:00"), [""; 0]);
}

#[test]
fn a_chip_at_the_take_in_wants_a_photo_and_no_call() {
    let mut story = yard();
    let taken = story.say(1, "7:00", "take-in 0417 species:whitetail condition:one_tine_chipped");
    assert_eq!(told(&story, taken), ["photo it now: one tine chipped; photograph 0417 latest 1"]);
    assert_eq!(called(&story, "8:00"), [""; 0]);
}

#[test]
fn what_is_cracked_is_a_reason_to_call_until_they_were_told() {
    let mut story = yard();
    story.say(1, "7:00", "take-in 0417 species:whitetail condition:nose_cracked");
    assert_eq!(
        called(&story, "8:00"),
        ["tell them: nose cracked (ines at yard-1, Thu 01 Jan 07:00), no photo yet"]
    );
    story.say(1, "8:05", PHOTO);
    assert_eq!(
        called(&story, "8:10"),
        ["tell them: nose cracked (ines at yard-1, Thu 01 Jan 07:00)"]
    );
    story.say(1, "8:30", "tell 0417 means:phone result:no-answer");
    assert_eq!(called(&story, "9:00").len(), 1, "a try in vain told nobody");
    story.say(1, "9:30", "tell 0417 means:phone result:spoke");
    assert_eq!(called(&story, "9:40"), [""; 0]);
    assert_eq!(called(&story, "20 9:40"), [""; 0], "they know it, and need not hear it again");
    story.say(1, "10:00", "damage 0417 what:beam_scratched whose:ours");
    assert_eq!(called(&story, "10:05").len(), 1, "what came since is news to them");
}

#[test]
fn a_part_that_is_whole_after_all_is_no_reason_to_call() {
    let mut story = yard();
    story.say(1, "7:00", "take-in 0417 species:whitetail condition:nose_cracked");
    story.say(1, "8:00", "condition 0417 nose:whole");
    assert_eq!(called(&story, "9:00"), [""; 0]);
}

#[test]
fn rules_and_the_packet_count_the_condition_as_last_said() {
    let mut story = yard();
    story.say(1, "7:00", "take-in 0417 species:whitetail condition:nasal_bone_cracked,_jaw_fine");
    let facts = |story: &Story| {
        let state = story.state();
        judge::job_facts(&state, job(&state), at("23:00"))
    };
    let seen = facts(&story);
    assert_eq!((seen.nose.as_str(), seen.jaw.as_str()), ("cracked", ""));
    assert_eq!(seen.cracked, ["nasal bone cracked, jaw fine"]);
    assert!(seen.pieces_said.is_empty(), "said since take-in is said with the hide off");
    story.say(1, "8:00", "damage 0417/nose what:broke_at_the_crack whose:ours");
    assert_eq!(facts(&story).nose, "broken");
    story.say(1, "9:00", "condition 0417 nose:broken jaw:whole");
    let state = story.state();
    let findings = evidence::findings(&state, job(&state));
    let question = "What was its condition, and when was that said?";
    let condition = findings.iter().find(|one| one.question == question).unwrap();
    assert_eq!(
        condition.answers[0],
        "as last said: nose broken, jaw whole (ines at yard-1, Thu 01 Jan 09:00)"
    );
    assert_eq!(condition.answers.len(), 3, "{:?}", condition.answers);
}

#[test]
fn a_condition_that_was_said_after_the_take_in_counts_as_said() {
    let mut story = yard();
    story.say(1, "7:00", "take-in 0417 species:whitetail");
    let said = |story: &Story| {
        let state = story.state();
        judge::job_facts(&state, job(&state), at("23:00")).condition_said
    };
    assert!(!said(&story));
    story.say(1, "8:00", "condition 0417 nose:whole");
    assert!(said(&story), "whoever said it before the knife is not asked to say it again");
    assert!(condition::as_last_said(&story.state(), job(&story.state())).is_some());
}
