//! What price scripts see of a customer's other heads, of the clock, and of the shop's own words.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

#[path = "../../domain/tests/common/mod.rs"]
mod common;

use burrline_domain::{State, Verb, verb::AddCustomer};
use burrline_host::JobFacts;
use burrline_present::judge;
use burrline_terms::{EntryName, Happened, Sealed};
use common::{Story, at, tag};

fn customer(story: &mut Story, when: &str) -> EntryName {
    let details = Sealed { key_id: [7; 16], nonce: Vec::new(), ciphertext: Vec::new() };
    let add = Verb::from(AddCustomer { details, class: None });
    story.say_verb(1, Happened::exactly(at(when)), add)
}

fn facts(state: &State, number: &str, when: &str) -> JobFacts {
    let worn = |job: &&burrline_domain::fold::Job| {
        job.take_in.as_ref().is_some_and(|t| t.skull.tag.as_ref() == Some(&tag(number)))
    };
    judge::job_facts(state, state.jobs().values().find(worn).unwrap(), at(when))
}

#[test]
fn the_place_of_a_head_and_what_its_customer_brought_before_are_told() {
    let mut story = Story::default();
    let ada = customer(&mut story, "0 8:00");
    let rowan = customer(&mut story, "0 8:01");
    let mut visits = |who: EntryName, day: u32, tags: &[&str]| {
        let ticket = story.say(1, &format!("{day} 9:00"), &format!("ticket customer:{who}"));
        for (n, tag) in tags.iter().enumerate() {
            let line = format!("take-in {tag} species:whitetail ticket:{ticket}");
            story.say(1, &format!("{day} 9:1{n}"), &line);
        }
    };
    visits(ada, 0, &["0101", "0102"]);
    visits(rowan, 1, &["0103"]);
    visits(ada, 2, &["0104", "0105", "0106"]);
    story.say(1, "2 9:30", "take-in 0107 species:elk");
    story.say(1, "2 10:00", "pay 0104 amount:20 means:card");
    story.say(1, "2 11:00", "pay 0105 amount:30 means:cash");
    let state = story.state();
    let seen = |number: &str| {
        let facts = facts(&state, number, "3 8:00");
        (facts.ticket_place, facts.customer_heads, facts.customer_tickets)
    };
    assert_eq!(seen("0101"), (1, 0, 0));
    assert_eq!(seen("0102"), (2, 1, 0));
    assert_eq!(seen("0103"), (1, 0, 0));
    assert_eq!(seen("0104"), (1, 2, 1));
    assert_eq!(seen("0106"), (3, 4, 1));
    assert_eq!(seen("0107"), (1, 0, 0), "nobody said whose it is");
    let paid = |when: &str| facts(&state, "0106", when).paid_by;
    assert_eq!([paid("2 9:45"), paid("2 10:30"), paid("2 11:00")], ["", "card", "cash"]);
    assert_eq!(facts(&state, "0101", "3 8:00").paid_by, "");
}

#[test]
fn the_clock_is_the_shop_s_and_the_county_is_that_of_the_papers() {
    let mut story = Story::default();
    story.say(1, "0 8:00", "set-shop setting:zone value:America/Denver");
    story.say(1, "0 8:05", "take-in 0101 species:whitetail");
    story.say(1, "0 8:06", "papers 0101 county:Larimer");
    let facts = facts(&story.state(), "0101", "0 23:30");
    let utc = jiff::Timestamp::from_millisecond(at("0 23:30").0).unwrap();
    let here = utc.in_tz("America/Denver").unwrap();
    assert_eq!(facts.hour, i64::from(here.hour()));
    assert_eq!(facts.weekday, here.strftime("%A").to_string().to_lowercase());
    assert_eq!(facts.county, "Larimer");
}

#[test]
fn words_of_the_shop_s_own_are_there_until_they_are_taken_back() {
    let mut story = Story::default();
    story.say(1, "0 8:05", "take-in 0101 species:whitetail");
    story.say(1, "0 9:00", "set-shop setting:my.weather value:rain");
    let own =
        |story: &Story| facts(&story.state(), "0101", "3 8:00").settings.get("my.weather").cloned();
    assert_eq!(own(&story), Some("rain".to_owned()));
    story.say(1, "0 10:00", "set-shop setting:my.weather value:none");
    assert_eq!(own(&story), None);
}
