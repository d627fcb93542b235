//! The right head goes home: intake against now, and the look beside the photo.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

#[path = "../../domain/tests/common/mod.rs"]
mod common;

use burrline_domain::Verb;
use burrline_present::{evidence, likeness::Likeness, plausible};
use common::{Story, at, said};

const PHOTO: &str = "photograph 0417 original:9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08 words:left_side";

/// A whitetail with a pot, a rack and what is said of it before the work and after it.
fn shop(before: &[&str], after: &[&str]) -> Story {
    let mut story = Story::default();
    story.say(1, "0 6:00", "set-shop setting:zone value:UTC");
    story.say(1, "0 6:01", "add-place name:pot-1 kind:pot");
    story.say(1, "1 8:00", "take-in 0417 species:whitetail points:8 condition:nose_bone_chipped");
    for line in before {
        story.say(1, "1 8:30", line);
    }
    story.say(1, "1 10:00", "in place:pot-1 0417");
    story.say(1, "1 12:00", "out 0417");
    story.say(1, "1 12:30", "wash 0417");
    for line in after {
        story.say(1, "3 9:00", line);
    }
    story
}

fn told(story: &Story) -> Vec<String> {
    let state = story.state();
    Likeness::of(&state, state.jobs().values().next().unwrap()).told()
}

/// The rules that ask as it leaves, with what they say, and the step that would answer.
fn asked(story: &Story, line: &str) -> Vec<(String, String, Vec<Verb>)> {
    let (state, verb) = (story.state(), said(line));
    let job = state.jobs().values().next();
    let line = plausible::Line { state: &state, verb: &verb, before: &[], job, now: at("4 9:00") };
    let doubts = plausible::doubts(&line).into_iter();
    let ours = ["another-head", "not-recognized", "beside-its-photo"];
    let doubts = doubts.filter(|doubt| ours.contains(&doubt.rule.as_str()));
    doubts
        .map(|doubt| {
            let missing = doubt.missing.iter().map(|verb| Verb::try_from(verb).unwrap()).collect();
            (doubt.rule, doubt.words, missing)
        })
        .collect()
}

#[test]
fn what_was_never_measured_or_photographed_is_said_and_nothing_is_asked() {
    let story = shop(&[], &[]);
    assert_eq!(
        told(&story),
        [
            "it was never measured at intake, so no tape can tell it from another",
            "8 points at the take-in: count them",
            "said of it before the work: nose bone chipped",
            "no photo is on record from before the work, so nobody can look beside one",
            "nobody said that it is the head that came in: recognize 0417 yes",
        ]
    );
    assert_eq!(asked(&story, "hand-over 0417"), []);
    // What was photographed and measured after the work is no word of how it came.
    let late = shop(&[], &[PHOTO, "measure 0417 what:beam-r length:54cm"]);
    assert_eq!(
        told(&late)[0],
        "it was never measured at intake, so no tape can tell it from another"
    );
    assert_eq!(asked(&late, "hand-over 0417"), []);
}

#[test]
fn a_longer_beam_is_another_head_and_a_shorter_one_within_drying_is_not() {
    let beam = |before: &str, after: &str| {
        let before = format!("measure 0417 what:beam-r length:{before}");
        shop(&[&before], &[&format!("measure 0417 what:beam-r length:{after}")])
    };
    // The tape is good for a quarter of an inch either way; a long beam may lose two per cent.
    assert_eq!(asked(&beam("55cm", "54.5cm"), "hand-over 0417"), []);
    assert_eq!(asked(&beam("55cm", "55.6cm"), "hand-over 0417"), []);
    let longer = beam("55cm", "58cm");
    let words =
        "beam-r was 55 cm at intake and is 58 cm now: is it another head? Nothing of a skull grows";
    for line in ["hand-over 0417", "ship 0417"] {
        let asked = asked(&longer, line);
        assert_eq!(asked.len(), 1, "{asked:?}");
        assert_eq!((asked[0].0.as_str(), asked[0].1.as_str()), ("another-head", words));
    }
    assert_eq!(asked(&longer, "wash 0417"), []);
    let first = told(&longer).remove(0);
    assert!(first.contains("beam-r was 55 cm at intake and is 58 cm now"), "{first}");
    // One measure that is shorter than drying allows is a slip of the tape; two are another head.
    assert_eq!(asked(&beam("55cm", "50cm"), "hand-over 0417"), []);
    let two = shop(
        &["measure 0417 what:beam-r length:55cm", "measure 0417 what:spread length:44cm"],
        &["measure 0417 what:beam-r length:50cm", "measure 0417 what:spread length:40cm"],
    );
    assert_eq!(asked(&two, "hand-over 0417").len(), 1);
    let once = shop(&["measure 0417 what:spread length:44cm"], &[]);
    assert!(told(&once).iter().any(|line| line.ends_with("so measure again: spread")));
}

#[test]
fn one_look_beside_the_photo_is_asked_for_and_kept_with_who_looked() {
    let story = shop(&[PHOTO], &[]);
    let asks = asked(&story, "hand-over 0417");
    assert_eq!(asks.len(), 1);
    assert_eq!(
        (asks[0].0.as_str(), asks[0].1.as_str()),
        (
            "beside-its-photo",
            "look at it beside its photo of before the work (1:4 \u{201c}left side\u{201d}), and say what you \
             see: recognize 0417 yes, no or unknown"
        )
    );
    assert_eq!(asks[0].2, [said("recognize 0417 answer:yes photo:1:4")]);

    let looked = shop(&[PHOTO], &["recognize 0417 answer:yes photo:1:4 witness:tom"]);
    assert_eq!(asked(&looked, "hand-over 0417"), []);
    assert_eq!(
        told(&looked).last().unwrap(),
        "looked at, beside 1:4: it is the head that came in (ines at the shop, Sun 04 Jan 09:00, witness tom)"
    );
    let other = shop(&[PHOTO], &["recognize 0417 answer:no words:three_tines_on_the_left"]);
    let asks = asked(&other, "ship 0417");
    assert_eq!(asks.len(), 1);
    assert_eq!(asks[0].0, "not-recognized");
    assert!(asks[0].1.contains("it is another head, by three tines on the left"), "{}", asks[0].1);
    // What was answered last counts, and a packet tells all of it.
    let both = shop(&[PHOTO], &["recognize 0417 answer:no", "recognize 0417 answer:yes"]);
    assert_eq!(asked(&both, "hand-over 0417"), []);
    let state = both.state();
    let tags = evidence::findings(&state, state.jobs().values().next().unwrap());
    let tags = tags.into_iter().find(|finding| finding.question.starts_with("Which tag")).unwrap();
    assert!(tags.alarm && tags.answers.iter().any(|line| line.contains("it is another head")));
}

#[test]
fn a_look_is_no_work_on_the_skull() {
    let look = said("recognize 0417 answer:yes");
    assert!(!look.is_work() && !look.is_handiwork() && !look.needs_a_new_look());
    assert_eq!(look.skull().map(burrline_terms::Typed::show).as_deref(), Some("0417"));
}
