//! The one way in which anything is read: who may, as of when, and what is told alike here and there.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

#[path = "../../domain/tests/common/mod.rs"]
mod common;

use std::path::PathBuf;

use burrline_domain::State;
use burrline_evidence::seal::SealKey;
use burrline_present::{
    Opens,
    judge::Judge,
    readings::{
        self, Asked, Asks, Floor, Present, Question, READINGS, Show, Takings, Tally, Then,
        Unreadable,
    },
    tally::{By, What},
};
use burrline_proto::v1::{self, Reason};
use burrline_terms::{Digest, Moment, Name, Skull, Typed as _};
use common::{Story, at};

struct Yard {
    state: State,
    earlier: State,
    judge: Judge,
    own: bool,
}

struct NoKeys;

impl Opens for NoKeys {
    fn key(&self, _: &[u8; 16]) -> Option<SealKey> {
        None
    }
}

impl Present for Yard {
    fn state(&self) -> &State {
        &self.state
    }

    fn at(&self, then: Then) -> Result<State, Unreadable> {
        assert!(!then.is_now(), "the present is there, and need not be folded again");
        Ok(self.earlier.clone())
    }

    fn judge(&self) -> &Judge {
        &self.judge
    }

    fn keys(&self) -> &dyn Opens {
        &NoKeys
    }

    fn now(&self) -> Moment {
        at("2 12:00")
    }

    fn has_photo(&self, _: &Digest) -> bool {
        false
    }

    fn is_own(&self) -> bool {
        self.own
    }
}

fn yard(own: bool) -> Yard {
    let mut story = Story::default();
    for line in ["add-place name:pot-1 kind:pot", "take-in 0417 species:elk"] {
        story.say(1, "1 08:00", line);
    }
    let earlier = story.state();
    story.say(1, "1 10:00", "in place:pot-1 0417");
    let judge = Judge::new(PathBuf::from("no such folder"));
    Yard { state: story.state(), earlier, judge, own }
}

fn reason<R: Asks>(reading: R, then: Then, yard: &Yard) -> Option<Reason> {
    readings::answer(reading, 0, then, yard).err().map(|why| why.reason)
}

#[test]
fn what_is_not_to_be_told_is_refused_with_a_reason_alike_here_and_there() {
    let now = Then::default();
    let nobody = Show { skull: Skull::read("9999").unwrap() };
    let by_hand = Tally { what: What::Damage, by: Some(By::Hand), season: None };
    for own in [false, true] {
        let yard = yard(own);
        let takings = Takings { span: None, on: None };
        assert_eq!(reason(takings, now, &yard), Some(Reason::Role), "money is for the counter");
        assert_eq!(reason(nobody.clone(), now, &yard), Some(Reason::NoSuchJob));
        let why = if own { Reason::Role } else { Reason::OwnCopy };
        assert_eq!(reason(by_hand.clone(), now, &yard), Some(why));
        let then = Then { of: Some(at("1 09:00")), known: None };
        assert_eq!(reason(readings::Clashes {}, then, &yard), Some(Reason::NoMoment));
    }
}

#[test]
fn as_of_a_moment_it_is_what_was_true_then() {
    let yard = yard(false);
    let floor = Floor { place: Some(Name::read("pot-1").unwrap()) };
    let here = |then| {
        let told = readings::answer(floor.clone(), 0, then, &yard).unwrap();
        told.places[0].here.len()
    };
    assert_eq!(here(Then::default()), 1);
    assert_eq!(here(Then { of: Some(at("1 09:00")), known: None }), 0);
}

#[test]
fn a_question_that_says_nothing_is_malformed_and_every_answer_fits_its_question() {
    let nothing = v1::ReadRequest::default();
    assert!(Question::try_from(&nothing).is_err());
    let floor = v1::FloorRequest { place: Some(String::new()) };
    let reading = Some(v1::read_request::Reading::Floor(floor));
    assert!(Question::try_from(&v1::ReadRequest { reading, ..nothing }).is_err());
    let due = readings::answer(readings::Due { within: None }, 0, Then::default(), &yard(true));
    let answer = v1::read_response::Answer::Due(due.unwrap());
    assert_eq!(Floor::told(v1::ReadResponse { answer: Some(answer) }), None);
}

#[test]
fn every_reading_has_a_name_of_its_own_and_says_what_it_tells() {
    let nothing = |_: &str| Vec::new();
    for (n, spec) in READINGS.iter().enumerate() {
        assert!(!spec.help.is_empty() && !spec.help.ends_with('.'), "{}", spec.word);
        assert!(READINGS[..n].iter().all(|other| other.word != spec.word), "{} twice", spec.word);
        assert_eq!(readings::spec(spec.word), Some(*spec));
        if let Ok(asked) = Asked::read(spec.word, &nothing) {
            assert_eq!(asked.spec(), *spec);
        }
    }
}
