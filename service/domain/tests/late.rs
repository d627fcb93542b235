//! What comes late: recipes and customers said after the lines that build on them.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

mod common;

use burrline_domain::{
    Outcome, Refusal, State, decide,
    fold::{Customer, Route},
    verb,
};
use burrline_terms::{Happened, Name, Sealed, Typed, canon::Canon, words::Role};
use common::{Story, at};
use rust_decimal::Decimal;

fn litres(state: &State, place: &str) -> Decimal {
    state.waters().get(&Name::read(place).unwrap()).unwrap().bath().unwrap().level().unwrap().litres
}

#[test]
fn a_recipe_that_arrives_after_a_filling_counts_for_it_and_only_from_its_own_time() {
    let mut story = Story::default();
    story.say(1, "8:00", "fill place:tub-1 recipe:white");
    story.say(1, "9:30", "fill place:tub-2 recipe:white");
    assert_eq!(litres(&story.state(), "tub-2"), Decimal::ZERO);
    story.say(2, "9:00", "recipe name:white water:10L");
    assert_eq!(litres(&story.state(), "tub-1"), Decimal::ZERO, "not in force yet");
    assert_eq!(litres(&story.state(), "tub-2"), Decimal::from(10));
}

#[test]
fn the_recipe_in_force_is_the_one_of_the_time_not_the_one_that_came_last() {
    let mut story = Story::default();
    story.say(1, "9:00", "recipe name:white water:10L");
    story.say(2, "7:00", "recipe name:white water:30L");
    story.say(1, "8:00", "fill place:tub-1 recipe:white");
    story.say(1, "10:00", "fill place:tub-2 recipe:white");
    let state = story.state();
    assert_eq!(litres(&state, "tub-1"), Decimal::from(30));
    assert_eq!(litres(&state, "tub-2"), Decimal::from(10));
}

fn sealed(byte: u8) -> Sealed {
    Sealed { key_id: [byte; 16], nonce: vec![byte], ciphertext: vec![byte] }
}

fn name(text: &str) -> Name {
    Name::read(text).unwrap()
}

fn customer(state: &State) -> &Customer {
    state.shop().customers.values().next().unwrap()
}

#[test]
fn a_class_that_was_set_later_stays_when_the_customer_arrives_late() {
    let mut story = Story::default();
    let ada = burrline_terms::EntryName::new(2, 1);
    let amend = verb::AmendCustomer { customer: ada, details: None, class: Some(name("guide")) };
    story.say_verb(1, Happened::exactly(at("9:00")), amend.into());
    let add = verb::AddCustomer { details: sealed(1), class: Some(name("walk-in")) };
    story.say_verb(2, Happened::exactly(at("8:00")), add.into());
    let late = story.state();
    assert_eq!(customer(&late).class(), Some(&name("guide")));

    story.records.reverse();
    let in_order = State::replay(story.records);
    assert_eq!(customer(&in_order).class(), Some(&name("guide")));
    assert_eq!(late.digest(), in_order.digest());
}

#[test]
fn a_struck_customer_is_gone_and_can_still_be_forgotten() {
    let mut story = Story::default();
    let add = verb::AddCustomer { details: sealed(1), class: None };
    let ada = story.say_verb(1, Happened::exactly(at("8:00")), add.into());
    story.say(1, "8:01", &format!("strike entries:{ada}"));
    assert!(story.state().shop().customers.is_empty());

    let forget = story.say(1, "8:02", &format!("forget-customer customer:{ada}"));
    let entry = story.records.last().unwrap().entry.clone();
    assert_eq!(entry.name, forget);
    let before = State::replay(story.records[..2].to_vec());
    assert_eq!(decide(&before, Role::Owner, &entry), Ok(()));
    assert!(story.state().is_about_forgotten(ada));
    assert!(decide(&story.state(), Role::Owner, &entry).is_err(), "once is enough");
}

#[test]
fn the_digest_of_a_job_tells_its_papers_weight_and_inspector() {
    let digest = |line: &str| {
        let mut story = Story::default();
        let job = story.say(1, "8:00", "take-in 0640");
        story.say(1, "9:00", line);
        let mut out = Canon::new();
        out.add(story.state().job(job).unwrap());
        out.finish()
    };
    for (one, other) in [
        ("papers 0640 kill_tag:88-1", "papers 0640 kill_tag:88-2"),
        ("weigh 0640 mass:1420g", "weigh 0640 mass:1240g"),
        ("inspect 0640", "inspect 0640 faults:chalky"),
        ("look 0640 tissue:clean", "look 0640 tissue:tight"),
        ("replan 0640 plan:simmer=120min", "replan 0640 plan:simmer=90min"),
        ("damage 0640 what:crack", "damage 0640 what:chip"),
    ] {
        assert_ne!(digest(one), digest(other), "{one}");
        assert_eq!(digest(one), digest(one));
    }
}

#[test]
fn a_take_in_that_is_there_already_under_another_name_is_no_job_of_its_own() {
    let mut story = Story::default();
    let job = story.say(1, "7:00", "take-in 0417");
    // A machine with the same disk said it again under a new life.
    let again = story.say(3, "7:00", "take-in 0417");
    let record = story.records.last_mut().unwrap();
    record.entry.formerly = Some(job);
    record.outcome = Outcome::Refused(Refusal::Already(name(&job.to_string())));
    let wash = story.say(3, "8:00", &format!("wash 0417/{again}"));
    let state = story.state();
    assert_eq!(state.jobs().keys().collect::<Vec<_>>(), [&job]);
    assert_eq!(state.route(wash), Some(&Route::Job(job)), "lines that mean it find the one job");
    assert!(state.clashes().is_empty());
}
