//! What a tag was at a moment at which no open job wore it, and what is asked of a skull that has left.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

#[path = "../../domain/tests/common/mod.rs"]
mod common;

use burrline_present::{ask, judge::Judge, view};
use common::{Story, at, said, tag};

fn shed() -> Story {
    let mut story = Story::default();
    story.say(1, "6:00", "set-shop setting:zone value:UTC");
    story
}

fn then(story: &Story, number: &str, when: &str) -> Option<String> {
    view::tag_then(&story.state(), &tag(number), at(when))
}

/// What is asked about a line that is said now.
fn asked(story: &Story, line: &str, now: &str) -> Vec<String> {
    let ruled =
        ask::ruled(&Judge::new(std::env::temp_dir()), &story.state(), &said(line), "ines", at(now));
    let unknown = Some(ruled.unknown).filter(|words| !words.is_empty());
    unknown.into_iter().chain(ruled.objections.into_iter().map(|o| o.words)).collect()
}

#[test]
fn a_line_of_before_a_swap_is_told_what_the_tag_was_then() {
    let mut story = shed();
    story.say(1, "7:00", "take-in 0501 species:whitetail points:8");
    story.say(1, "11:42", "swap-tag 0501 tag:0601");
    assert_eq!(asked(&story, "wash 0601", "10:40"), ["0601 went on at 11:42; it was 0501 then"]);
    assert_eq!(
        asked(&story, "wash 0601", "6:30"),
        ["0601 went on at 11:42, and its head was taken in at 07:00"]
    );
    assert_eq!(asked(&story, "wash 0601", "12:00"), [""; 0]);
    // The number that came off still finds its skull, which is said back with both.
    assert_eq!(asked(&story, "wash 0501", "12:00"), [""; 0]);
    assert_eq!(
        then(&story, "0501", "12:00").unwrap(),
        "0501 was swapped for 0601 at 11:42: 0601, was 0501 whitetail 8 pt: swap-tag"
    );
}

#[test]
fn a_line_of_before_a_take_in_is_told_when_the_head_came() {
    let mut story = shed();
    story.say(1, "11:42", "take-in 0417 species:elk");
    assert_eq!(
        asked(&story, "wash 0417", "10:40"),
        ["0417 was taken in at 11:42, after that: 0417 elk: take-in"]
    );
    // What waits on the list says the same.
    story.say_later(1, "10:40", "12:00", "wash 0417");
    let words = view::clashes(&story.state()).remove(0).words;
    assert!(
        words.ends_with("(0417 was taken in at 11:42, after that: 0417 elk: take-in)"),
        "{words}"
    );
}

#[test]
fn a_line_about_an_ended_jobs_tag_is_asked_about_with_what_it_was() {
    let mut story = shed();
    let job = story.say(1, "7:00", "take-in 0417 species:whitetail points:8");
    story.say(1, "16:10", "hand-over 0417");
    let number = job.job_number();
    assert_eq!(
        asked(&story, "wash 0417", "1 9:00"),
        [format!(
            "0417 has left: it was whitetail 8 pt, job {number}, hand-over Thu 01 Jan 16:10; if this is \
             of before that, say `at TIME` first; if it came back, `bring-back {number}`"
        )]
    );
    assert_eq!(asked(&story, "note 0417 words:brass", "1 9:00").len(), 1);
    assert_eq!(asked(&story, &format!("note {number} words:brass"), "1 9:00"), [""; 0]);
    // By its number it is asked about as well; of the time before it left it is not.
    let words = asked(&story, &format!("wash {number}"), "1 9:00");
    assert!(words.len() == 1 && words[0].contains(" has left: it was whitetail"), "{words:?}");
    assert_eq!(asked(&story, &format!("wash {number}"), "15:00"), [""; 0]);
    assert_eq!(asked(&story, "wash 0417", "15:00"), [""; 0]);
    // Money and talk go on after that, and so does taking it back in.
    for line in ["pay 0417 amount:20.00", "tell 0417 means:phone", "bring-back 0417"] {
        let words = asked(&story, line, "1 9:00");
        assert!(words.iter().all(|words| !words.contains("has left")), "{line}: {words:?}");
    }
}

#[test]
fn a_tag_on_two_open_jobs_is_not_called_unknown() {
    let mut story = shed();
    story.say(1, "7:00", "take-in 0417 species:whitetail");
    story.say(1, "7:10", "take-in 0417 species:elk");
    let words = asked(&story, "wash 0417", "8:00");
    assert!(words.len() == 1 && words[0].contains("say which, by its job number"), "{words:?}");
    assert!(words[0].contains("whitetail") && words[0].contains("elk"), "{words:?}");
    assert_eq!(then(&story, "0999", "8:00"), None);
}
