//! Things without a tag: who it can be, whose it is, and what is wrong until that is known.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

mod common;

use burrline_domain::{fold::Reason, verb};
use burrline_terms::{Happened, Name, Phrase, Typed, words::Piece};
use common::{Story, at, clashes};

/// A small shop with a whitetail in tank-1, an elk that had been there, and a bear elsewhere.
fn shop() -> Story {
    let mut story = Story::default();
    story.say(1, "7:00", "take-in 0670 species:whitetail points:8 condition:brow_tine_chipped");
    story.say(1, "7:10", "take-in 0671 species:elk points:12");
    story.say(1, "7:20", "take-in 0672 species:bear");
    story.say(1, "8:00", "in place:tank-1 0671");
    story.say(1, "9:00", "out 0671");
    story.say(1, "9:10", "in place:tank-1 0670");
    story.say(1, "9:20", "in place:pot-1 0672");
    story
}

fn stray(story: &mut Story, life: u32, when: &str, words: &str) -> burrline_terms::EntryName {
    let (words, place) = (Phrase::read(words).unwrap(), Name::read("tank-1").ok());
    story.say_verb(life, Happened::exactly(at(when)), verb::Stray { words, place }.into())
}

#[test]
fn a_stray_is_listed_with_who_it_can_be_until_somebody_says() {
    let mut story = shop();
    let found = stray(&mut story, 2, "10:00", "8 pt skull, tine chipped");
    let state = story.state();
    let strays = state.strays();
    assert!(strays[0].open());
    let first = &strays[0].could_be[0];
    assert_eq!(state.tag_of(first.job).unwrap().to_string(), "0670");
    assert!(first.reasons.contains(&Reason::WasThere(Name::read("tank-1").unwrap())));
    assert!(first.reasons.contains(&Reason::Points(8)));
    assert!(first.reasons.contains(&Reason::NotReadSince));
    assert!(matches!(&first.reasons[2], Reason::Marks(m) if *m == ["chipped", "tine"]));
    let second = &strays[0].could_be[1];
    assert!(second.reasons.contains(&Reason::HadBeenThere(Name::read("tank-1").unwrap())));
    assert_eq!(strays[0].could_be.len(), 2, "nothing speaks for the bear");

    let words = clashes(&state);
    assert_eq!(words.len(), 1, "{words:?}");
    assert!(words[0].contains("could be 0670 (was in tank-1 then; 8 points"), "{}", words[0]);
    assert!(words[0].contains(&format!("identify TAG --stray {found}")), "{}", words[0]);

    let line = format!("identify 0670 stray:{found} why:brow_tine witness:noor");
    let said = story.say(1, "11:00", &line);
    let state = story.state();
    assert!(clashes(&state).is_empty(), "{:?}", clashes(&state));
    let strays = state.strays();
    assert!(!strays[0].open());
    assert_eq!(strays[0].claims[0].witness.unwrap().as_str(), "noor");
    assert_eq!(strays[0].claims[0].key.name, said);
    let trail = state.trail(strays[0].claims[0].job);
    assert!(trail.iter().any(|item| item.fact.record.entry.name == said));

    story.say(1, "11:05", &format!("strike entries:{said}"));
    assert!(story.state().strays()[0].open(), "a struck line says nothing");
}

#[test]
fn a_skull_whose_tag_was_read_since_is_less_likely() {
    let mut story = shop();
    stray(&mut story, 2, "10:00", "a skull");
    story.say(1, "10:30", "look 0670");
    let state = story.state();
    let strays = state.strays();
    let first = &strays[0].could_be[0];
    assert!(!first.reasons.contains(&Reason::NotReadSince), "{first:?}");
}

#[test]
fn a_loose_part_points_to_the_skull_that_it_is_off() {
    let mut story = shop();
    story.say(1, "9:30", "bag 0672/jaw");
    stray(&mut story, 2, "10:00", "a lower jaw");
    let state = story.state();
    let strays = state.strays();
    let bear =
        strays[0].could_be.iter().find(|c| c.reasons.contains(&Reason::PartIsOff(Piece::Jaw)));
    assert_eq!(state.tag_of(bear.unwrap().job).unwrap().to_string(), "0672");
}

#[test]
fn a_stray_said_to_be_of_two_jobs_is_told_and_the_later_counts() {
    let mut story = shop();
    let found = stray(&mut story, 2, "10:00", "a jaw");
    story.say(1, "11:00", &format!("identify 0670 stray:{found}"));
    let second = story.say(3, "11:10", &format!("identify 0671 stray:{found}"));
    assert!(clashes(&story.state())[0].contains("of 0670 and of 0671; the later one counts"));
    story.say(3, "11:20", &format!("strike entries:{second}"));
    assert!(clashes(&story.state()).is_empty());
}

#[test]
fn an_identify_that_arrives_before_its_stray_waits_for_it() {
    let mut story = shop();
    story.say(1, "11:00", "identify 0670 stray:2:1");
    assert!(clashes(&story.state())[0].contains("2:1, which noted the stray, has not arrived"));
    stray(&mut story, 2, "10:00", "a jaw");
    assert!(clashes(&story.state()).is_empty());
    assert!(!story.state().strays()[0].open());
}

#[test]
fn near_places_sex_age_and_the_second_look_speak_for_a_skull() {
    let mut story = Story::default();
    for line in ["add-place name:rack-1 kind:rack", "add-place name:rack-2 kind:rack"] {
        story.say(1, "6:00", line);
    }
    story.say(1, "7:00", "take-in 0670 species:whitetail sex:male points:6 age:yearling");
    story.say(1, "7:05", "condition 0670 words:chip_on_the_left_tine");
    story.say(1, "7:10", "take-in 0671 species:whitetail sex:female");
    story.say(1, "8:00", "in place:rack-1 0670");
    story.say(1, "8:00", "in place:rack-2 0671");
    let words = Phrase::read("small buck, 6 pt, chip on left").unwrap();
    let place = Name::read("rack-2").ok();
    story.say_verb(2, Happened::exactly(at("10:00")), verb::Stray { words, place }.into());
    let told = |story: &Story| -> Vec<String> {
        let state = story.state();
        let strays = state.strays();
        let one = |c: &burrline_domain::fold::Candidate| {
            let why: Vec<String> = c.reasons.iter().map(common::words::reason).collect();
            format!("{}: {}", state.tag_of(c.job).unwrap(), why.join(", "))
        };
        strays[0].could_be.iter().map(one).collect()
    };
    assert_eq!(
        told(&story),
        [
            "0670: was in rack-1 then, near by, 6 points, male, yearling, chip, left, not read since",
            "0671: was in rack-2 then, not read since"
        ]
    );
    // A roll-call reads tags too.
    story.say(1, "11:00", "roll-call place:rack-2 tags:0671");
    assert_eq!(told(&story)[1], "0671: was in rack-2 then");
}
