//! The tax of what was sold, by rate, against sums worked by hand.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

#[path = "../../domain/tests/common/mod.rs"]
mod common;

use burrline_domain::{Record, verb::AddCustomer};
use burrline_evidence::seal::SealKey;
use burrline_present::{Opens, desk};
use burrline_proto::v1;
use burrline_terms::{Day, Happened, Money, Sealed, Typed as _};
use common::{Story, at};

struct NoKeys;

impl Opens for NoKeys {
    fn key(&self, _: &[u8; 16]) -> Option<SealKey> {
        None
    }
}

fn day(text: &str) -> Day {
    Day::read(text).unwrap()
}

fn sold(story: &Story, first: &str, last: &str) -> v1::TaxReturnResponse {
    desk::tax_return(&story.state(), day(first), day(last))
}

/// A shop whose rate is 7.71 per cent in two parts, and 7.945 in three for one county.
fn shop() -> Story {
    let mut story = Story::default();
    for line in [
        "set-shop setting:zone value:UTC",
        "set-shop setting:tax-rate value:state_2.9%_+_city_4.81%_from_1970-01-01",
        "set-shop setting:tax-rate.boulder \
         value:state_2.9%_+_county_1.185%_+_city_3.86%_from_1970-01-01",
    ] {
        story.say(1, "0 8:00", line);
    }
    story
}

/// A head on a ticket of a customer of its own, who is taxed as said.
fn of_customer(story: &mut Story, number: &str, taxed_as: &str) {
    let details = Sealed { key_id: [7; 16], nonce: vec![1; 24], ciphertext: vec![2; 40] };
    let happened = Happened::exactly(at("0 9:00"));
    let customer = story.say_verb(1, happened, AddCustomer { details, class: None }.into());
    story.say(1, "0 9:01", &format!("taxed-as customer:{customer} {taxed_as}"));
    let ticket = story.say(1, "0 9:02", &format!("ticket customer:{customer}"));
    story.say(1, "0 9:03", &format!("take-in {number} species:whitetail ticket:{ticket}"));
}

/// 0417: 120.00 at 7.71 % is 9.252, so 9.25; shared 2.9 to 4.81: 3.48 and 5.77.
/// 0418: 100.00 at 7.945 % is 7.945, so 7.95; shared: 2.90, 1.19 and 3.86.
/// 0419: exempt, 200.00.
/// 0420: 100.00 by hand, tax and all: 100 / 1.0771 = 92.842, so 92.84 and 7.16; shared: 2.69 and 4.47.
/// 0421: 50.00 and 3.86 tax and a tip of 5.00, all of it given back.
/// 0422: written off.
/// 0423: 100.00 and 7.71, of which 20.00 and 1.54 were given back: 80.00, 2.32 and 3.85.
///
/// Sold: 129.25 + 107.95 + 200.00 + 100.00 + 86.17 = 623.37; tax 9.25 + 7.95 + 7.16 + 6.17 = 30.53; taxed
/// 120.00 + 100.00 + 92.84 + 80.00 = 392.84; and 392.84 + 200.00 + 30.53 = 623.37.
fn month() -> Story {
    let mut story = shop();
    of_customer(&mut story, "0418", "county:Boulder");
    of_customer(&mut story, "0419", "exempt:yes certificate:12-345 until:1970-12-31");
    for number in ["0417", "0420", "0421", "0422", "0423"] {
        story.say(1, "1 8:00", &format!("take-in {number} species:whitetail"));
    }
    for (when, line) in [
        ("1 9:00", "quote 0417 lines:cleaning=120.00 total:129.25"),
        ("1 9:00", "quote 0418 lines:cleaning=100.00 total:107.95"),
        ("1 9:00", "quote 0419 lines:cleaning=200.00 total:200.00"),
        ("1 9:00", "quote 0420 total:100.00"),
        ("1 9:00", "quote 0421 lines:cleaning=50.00 total:53.86"),
        ("1 9:00", "quote 0422 lines:cleaning=50.00 total:53.86"),
        ("1 9:00", "quote 0423 lines:cleaning=100.00 total:107.71"),
        ("1 9:01", "charge 0421 amount:5.00 what:tip"),
        ("2 9:00", "pay 0421 amount:58.86 means:cash"),
        ("2 9:00", "pay 0423 amount:107.71 means:card"),
        ("5 9:00", "write-off 0422 how:lost"),
        ("5 9:00", "hand-over 0417"),
        ("5 9:00", "hand-over 0418"),
        ("5 9:00", "ship 0419"),
        ("5 9:00", "hand-over 0420"),
        ("5 9:00", "hand-over 0421"),
        ("5 9:00", "hand-over 0423"),
        ("9 9:00", "refund 0421 amount:58.86 means:cash"),
        ("9 9:00", "refund 0423 amount:21.54 means:card"),
    ] {
        story.say(1, when, line);
    }
    story
}

#[test]
fn a_month_of_sales_is_told_by_rate_to_the_cent() {
    let told = sold(&month(), "1970-01-01", "1970-01-31");
    let sums = [&told.sold, &told.tax, &told.taxed, &told.exempt, &told.untaxed];
    assert_eq!(sums, ["623.37", "30.53", "392.84", "200.00", "0.00"]);
    let lines: Vec<_> = told
        .lines
        .iter()
        .map(|line| (line.name.as_str(), line.percent.as_str(), &*line.taxed, &*line.tax))
        .collect();
    assert_eq!(
        lines,
        [
            ("city", "3.86", "100.00", "3.86"),
            ("city", "4.81", "292.84", "14.09"),
            ("county", "1.185", "100.00", "1.19"),
            ("state", "2.9", "392.84", "11.39"),
        ]
    );
    let exempt: Vec<_> =
        told.exempt_sales.iter().map(|sale| (&*sale.certificate, &*sale.amount)).collect();
    assert_eq!(exempt, [("12-345", "200.00")]);
}

#[test]
fn what_is_given_back_later_lowers_the_tax_of_that_day_and_takings_tell_the_same() {
    let story = month();
    let before = sold(&story, "1970-01-01", "1970-01-08");
    // 0421 brought 58.86 by then, 5.00 of it a tip, which is no sale; 0423 107.71.
    let sums = [&before.sold, &before.tax, &before.untaxed, &before.no_sale];
    assert_eq!(sums, ["698.77", "35.93", "0.00", "5.00"]);
    let after = sold(&story, "1970-01-09", "1970-01-31");
    let sums = [&after.sold, &after.tax, &after.taxed, &after.no_sale];
    assert_eq!(sums, ["-75.40", "-5.40", "-70.00", "-5.00"]);
    let eyes = desk::people::Eyes::new(&NoKeys, true);
    for (first, last) in [("1970-01-01", "1970-01-08"), ("1970-01-09", "1970-01-31")] {
        let takings = desk::takings(&story.state(), eyes, day(first), day(last));
        let told = sold(&story, first, last);
        assert_eq!((takings.earned, takings.earned_tax), (told.sold, told.tax));
    }
}

#[test]
fn a_rate_holds_from_its_day_and_an_exemption_until_its_last() {
    let mut story = shop();
    of_customer(&mut story, "0417", "exempt:yes until:1970-01-03");
    story.say(1, "3 9:00", "quote 0417 total:107.71");
    story.say(1, "4 9:00", "hand-over 0417");
    let told = sold(&story, "1970-01-01", "1970-01-31");
    assert_eq!([&told.tax, &told.exempt], ["7.71", "0.00"], "its last day is over");
    let quoted = |record: &&mut Record| record.happened.at == at("3 9:00");
    let quote = story.records.iter_mut().find(quoted).unwrap();
    quote.happened = Happened::exactly(at("2 9:00"));
    let told = sold(&story, "1970-01-01", "1970-01-31");
    assert_eq!([&told.tax, &told.exempt], ["0.00", "107.71"]);
    assert!(Money::read(&told.sold).is_ok());
}
