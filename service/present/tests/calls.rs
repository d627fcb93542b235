//! Whom to call: ranked by what it costs the shop, one call a customer, and what can be sent to them.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

#[path = "../../domain/tests/common/mod.rs"]
mod common;

use std::path::PathBuf;

use burrline_domain::verb::AddCustomer;
use burrline_evidence::seal::SealKey;
use burrline_present::{Details, Opens, desk, judge::Judge};
use burrline_proto::v1;
use burrline_terms::{Happened, Sealed};
use common::{Story, at};

/// Opens what was sealed for Ada and Bo, by the first byte of the key's name.
struct Names;

impl Opens for Names {
    fn key(&self, _: &[u8; 16]) -> Option<SealKey> {
        None
    }

    fn open_details(&self, sealed: &Sealed) -> Option<Details> {
        let (name, phone, email) = match sealed.key_id.first()? {
            1 => ("Ada Fenn", "555-0142", "ada@fenn.example"),
            2 => ("Bo Tarn", "555-0199", ""),
            _ => return None,
        };
        let [name, phone, email] = [name, phone, email].map(str::to_owned);
        Some(Details { name, phone, email, ..Details::default() })
    }
}

/// Heads on a ticket of a customer.
fn of_customer(story: &mut Story, key: u8, numbers: &[&str]) {
    let details = Sealed { key_id: [key; 16], nonce: vec![1; 24], ciphertext: vec![2; 40] };
    let happened = Happened::exactly(at("0 9:00"));
    let customer = story.say_verb(1, happened, AddCustomer { details, class: None }.into());
    let ticket = story.say(1, "0 9:02", &format!("ticket customer:{customer}"));
    for number in numbers {
        story.say(1, "0 9:03", &format!("take-in {number} species:whitetail ticket:{ticket}"));
        story.say(1, "0 9:04", &format!("papers {number} kill_tag:88-1203 state:CO"));
    }
}

fn shop() -> Story {
    let mut story = Story::default();
    for line in [
        "set-shop setting:zone value:UTC",
        "set-shop setting:name value:Crooked_Lantern",
        "set-shop setting:shop-phone value:555-0100",
    ] {
        story.say(1, "0 8:00", line);
    }
    of_customer(&mut story, 1, &["0417", "0418", "0420"]);
    of_customer(&mut story, 2, &["0419"]);
    of_customer(&mut story, 3, &["0421", "0422"]);
    for line in [
        "quote 0417 total:120.00",
        "quote 0418 total:60.00",
        "agree 0417",
        "agree 0418",
        "promise 0419 by:1970-01-12",
        "promise 0421 by:1970-01-15",
        "dispute 0422 words:not_my_buck",
        "inspect 0417",
        "inspect 0418",
    ] {
        story.say(1, "9 9:00", line);
    }
    story
}

fn calls(story: &Story, when: &str) -> v1::CallsResponse {
    desk::calls(
        &story.state(),
        &Judge::new(PathBuf::new()),
        desk::people::Eyes::new(&Names, true),
        at(when),
    )
}

fn kinds(call: &v1::CallLine) -> Vec<(&str, &str)> {
    call.whys.iter().map(|why| (why.kind.as_str(), why.tag.as_str())).collect()
}

#[test]
fn what_costs_the_shop_comes_first_and_a_customer_is_one_call() {
    let told = calls(&shop(), "12 9:00");
    let names: Vec<&str> = told.lines.iter().map(|call| call.name.as_str()).collect();
    // Ready and not paid; late; in dispute and promised in two days.
    assert_eq!(names, ["Ada Fenn", "Bo Tarn", ""]);
    let [ada, bo, third] = told.lines.as_slice() else { panic!("{told:?}") };
    assert_eq!(kinds(ada), [("ready", "0417"), ("ready", "0418")]);
    assert_eq!(ada.owed, "180.00");
    assert_eq!(kinds(bo), [("late", "0419")]);
    assert_eq!(kinds(third), [("dispute", "0422"), ("promised", "0421")]);
    assert!(third.sealed && third.text.is_empty());
    // Nobody is called for gaps in papers alone: 0420 has no hunter's licence.
    assert!(told.papers.iter().all(|call| kinds(call).iter().all(|(kind, _)| *kind == "papers")));
    assert!(told.papers.iter().any(|call| kinds(call).iter().any(|(_, tag)| *tag == "0420")));
}

/// They were reached at 9:30 and said at 10:00 that it is not theirs: that waits for an answer, here and gone.
#[test]
fn a_dispute_that_is_opened_after_a_call_is_on_the_list_and_goes_on_after_the_hand_over() {
    let mut story = shop();
    let of = |story: &Story, when: &str| -> Vec<(String, String)> {
        let whys = calls(story, when).lines.into_iter().flat_map(|call| call.whys);
        whys.filter(|why| why.tag == "0417").map(|why| (why.kind, why.words)).collect()
    };
    let tell = story.say(1, "10 9:30", "tell 0417 means:phone result:spoke");
    story.say(1, "10 9:30", &format!("purpose 0417 what:ready entry:{tell}"));
    assert!(of(&story, "10 9:45").is_empty());
    story.say(1, "10 10:00", "dispute 0417 words:not_my_buck");
    let dispute = ("dispute".to_owned(), "a dispute is open".to_owned());
    assert_eq!(of(&story, "10 10:01"), std::slice::from_ref(&dispute));
    story.say(1, "10 11:00", "hand-over 0417");
    assert_eq!(of(&story, "10 12:00"), std::slice::from_ref(&dispute));
    let balance = ("balance".to_owned(), "left, and not paid, in dispute".to_owned());
    assert_eq!(of(&story, "30 9:00"), [dispute, balance]);
}

#[test]
fn a_text_says_what_the_log_knows_and_one_line_says_that_it_was_sent() {
    let mut story = shop();
    let told = calls(&story, "10 9:00");
    let ada = told.lines.first().unwrap();
    assert_eq!(
        ada.text,
        "Crooked Lantern for Ada Fenn: ready to collect: 2 heads (0417, 0418). To pay: 180.00. \
         Questions: 555-0100."
    );
    assert!(ada.sms.starts_with("sms:5550142?body=Crooked%20Lantern%20for%20Ada%20Fenn%3A"));
    assert!(ada.mail.starts_with("mailto:ada@fenn.example?subject=Crooked%20Lantern&body="));
    assert_eq!(ada.sent, "tell 0417 0418 ready");
    story.say(1, "10 9:30", "set-shop setting:text.ready value:{name}:_come[,_{owed}]!");
    assert_eq!(calls(&story, "10 10:00").lines.first().unwrap().text, "Ada Fenn: come, 180.00!");
}

#[test]
fn a_wish_not_to_be_texted_holds_on_every_visit_until_it_is_taken_back() {
    let mut story = shop();
    story.say(1, "9 10:00", "contact 0420 means:text wish:never words:no_texts_please");
    let told = calls(&story, "10 9:00");
    let ada = told.lines.first().unwrap();
    assert_eq!((ada.sms.as_str(), ada.not_by.as_slice()), ("", ["text".to_owned()].as_slice()));
    assert!(!ada.mail.is_empty(), "mail is another means");
    story.say(1, "9 10:01", "contact 0417 means:email wish:never");
    let told = calls(&story, "10 9:00");
    let ada = told.lines.first().unwrap();
    assert_eq!([&ada.text, &ada.mail, &ada.sent], ["", "", ""]);
    story.say(1, "9 10:02", "contact 0417 means:text wish:again");
    let told = calls(&story, "10 9:00");
    assert!(!told.lines.first().unwrap().sms.is_empty());
}
