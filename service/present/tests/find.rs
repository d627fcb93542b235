//! Finding by all that is known of a job: tags of then, numbers of papers, places, and noted words.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

#[path = "../../domain/tests/common/mod.rs"]
mod common;

use burrline_domain::{Verb, verb};
use burrline_evidence::seal::{self, SealKey};
use burrline_present::{Details, Opens, desk::people::Eyes, view};
use burrline_proto::v1;
use burrline_terms::Typed as _;
use burrline_terms::{Happened, Sealed, Tag};
use common::{Story, at};

/// A keyring with one key.
struct Keys(SealKey);

impl Opens for Keys {
    fn key(&self, id: &[u8; 16]) -> Option<SealKey> {
        (self.0.id().0 == *id).then(|| self.0.clone())
    }
}

fn keys() -> Keys {
    Keys(SealKey([7; 32]))
}

fn sealed(details: &Details) -> Sealed {
    let text = serde_json::to_vec(details).unwrap();
    let sealed = seal::seal(&keys().0, [3; 24], &text).unwrap();
    Sealed { key_id: sealed.key_id.0, nonce: sealed.nonce.to_vec(), ciphertext: sealed.ciphertext }
}

fn shed() -> Story {
    let mut story = Story::default();
    for (when, line) in [
        ("6:00", "set-shop setting:zone value:UTC"),
        ("6:00", "add-place name:pot-1 kind:pot"),
        ("7:00", "take-in 0417 species:whitetail condition:left_brow_tine_chipped"),
        ("7:05", "papers 0417 kill_tag:88-1203 county:Alder"),
        ("7:10", "take-in 0501 species:elk"),
        ("7:15", "note 0501 words:brass_plate_on_the_back"),
        ("8:00", "in place:pot-1 0417"),
        ("9:00", "take-in 0388 species:whitetail"),
        ("11:42", "swap-tag 0501 tag:0601"),
        ("16:10", "hand-over 0388"),
    ] {
        story.say(1, when, line);
    }
    story
}

fn found(story: &Story, words: &str, sees: bool) -> v1::FindResponse {
    let keys = keys();
    view::find(&story.state(), &keys, Eyes::new(&keys, sees), words)
}

/// Tag and what it was found by, of each job.
fn skulls(story: &Story, words: &str) -> Vec<(String, String)> {
    let found = found(story, words, false).skulls.into_iter();
    found.map(|line| (line.tag, line.found_by.join("; "))).collect()
}

fn one(tag: &str, by: &str) -> Vec<(String, String)> {
    vec![(tag.to_owned(), by.to_owned())]
}

#[test]
fn a_job_is_found_by_kill_tag_former_tag_and_words_of_notes_and_says_so() {
    let story = shed();
    assert_eq!(skulls(&story, "0417"), one("0417", ""), "by its own tag there is nothing to tell");
    assert_eq!(skulls(&story, "417"), one("0417", ""));
    // A tag goes before the number of a paper that happens to hold it.
    let mut other = shed();
    other.say(1, "12:00", "papers 0388 kill_tag:KT-20388");
    assert_eq!(skulls(&other, "0388"), one("0388", "tag 0388 until it left 16:10"));
    assert_eq!(skulls(&story, "88-1203"), one("0417", "kill tag 88-1203"));
    assert_eq!(skulls(&story, "881203"), one("0417", "kill tag 88-1203"));
    assert_eq!(skulls(&story, "1203"), one("0417", "kill tag 88-1203"));
    assert_eq!(skulls(&story, "0501"), one("0601", "tag 0501 until 11:42, then 0601"));
    assert_eq!(skulls(&story, "brass plate"), one("0601", "note: brass plate on the back"));
    assert_eq!(skulls(&story, "TINE"), one("0417", "take-in: left brow tine chipped"));
    assert_eq!(skulls(&story, "alder"), one("0417", "county Alder"));
    assert_eq!(skulls(&story, "0999"), []);
}

#[test]
fn what_has_left_is_found_after_what_is_here() {
    let story = shed();
    assert_eq!(
        skulls(&story, "whitetail"),
        [("0417".to_owned(), "species".to_owned()), ("0388".to_owned(), "species".to_owned())]
    );
    assert_eq!(skulls(&story, "0388"), one("0388", "tag 0388 until it left 16:10"));
    assert_eq!(skulls(&story, "hand-over"), one("0388", "left: hand-over"));
    let left = found(&story, "0388", false).skulls.remove(0);
    assert!(left.ended && left.how_ended == "hand-over");
}

#[test]
fn every_word_must_be_found_each_anywhere() {
    let story = shed();
    assert_eq!(skulls(&story, "whitetail pot-1"), one("0417", "in pot-1; species"));
    assert_eq!(skulls(&story, "pot-1 whitetail"), one("0417", "in pot-1; species"));
    assert_eq!(skulls(&story, "elk pot-1"), []);
    assert_eq!(skulls(&story, ""), []);
}

#[test]
fn a_number_within_another_is_not_taken_for_it() {
    let mut story = shed();
    story.say(1, "12:00", "note 0601 words:came_in_a_crate_with_0417");
    let found = skulls(&story, "0417");
    assert_eq!(found[0], ("0417".to_owned(), String::new()), "its own tag goes first");
    assert_eq!(found[1].0, "0601");
    assert_eq!(skulls(&story, "41"), [], "two digits are no part of a number");
}

#[test]
fn of_many_that_have_left_the_newest_are_listed_and_the_others_counted() {
    let mut story = Story::default();
    for n in 0..40 {
        let hour = n / 2;
        story.say(1, &format!("{hour}:10"), &format!("take-in {} species:bobcat", 100 + n));
        story.say(1, &format!("{hour}:20"), &format!("give-back {}", 100 + n));
    }
    let found = found(&story, "bobcat", false);
    assert_eq!((found.skulls.len(), found.more), (30, 10));
    assert!(found.skulls[0].tag.starts_with("013"), "{:?}", found.skulls[0]);
}

#[test]
fn a_licence_is_looked_through_only_for_who_may_read_it() {
    let mut story = shed();
    let ada = Details {
        name: "Ada Fenn".to_owned(),
        phone: "303-555-0142".to_owned(),
        licence: "WY-88-4321".to_owned(),
        ..Details::default()
    };
    let hunter = Details { licence: "CO-55-9876".to_owned(), ..Details::default() };
    let say = |story: &mut Story, verb: Verb| {
        story.say_verb(1, Happened::exactly(at("13:00")), verb);
    };
    say(&mut story, verb::AddCustomer { details: sealed(&ada), class: None }.into());
    let skull = burrline_terms::Skull::tagged(Tag::read("0417").unwrap());
    let papers = verb::Papers { skull, details: Some(sealed(&hunter)), ..papers() };
    say(&mut story, papers.into());
    let by = |words: &str, sees: bool| {
        let found = found(&story, words, sees);
        let customers = found.customers.into_iter().map(|one| one.found_by);
        let skulls = found.skulls.into_iter().map(|one| one.found_by.join("; "));
        customers.chain(skulls).collect::<Vec<_>>()
    };
    assert_eq!(by("WY-88-4321", true), ["licence"]);
    assert_eq!(by("4321", true), ["licence"]);
    assert_eq!(by("9876", true), ["the hunter's licence"]);
    for words in ["WY-88-4321", "4321", "9876", "CO-55-9876"] {
        assert_eq!(by(words, false), [""; 0], "{words} is for a counter and for the owner");
    }
    assert_eq!(by("fenn", false), ["name"]);
    assert_eq!(by("0142", false), ["phone"]);
}

fn papers() -> verb::Papers {
    let Verb::Papers(papers) = common::said("papers 0417") else { panic!("papers are papers") };
    papers
}
