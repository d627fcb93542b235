//! Tax rounded over a whole visit, and money that is no sale, against sums worked by hand.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

#[path = "../../domain/tests/common/mod.rs"]
mod common;

use burrline_evidence::seal::SealKey;
use burrline_present::{
    Opens, ask, desk,
    desk::journal::{Account, journal},
    judge::{By, Judge},
};
use burrline_proto::v1;
use burrline_terms::{Day, Money, Typed as _};
use common::{Story, at, said};

struct NoKeys;

impl Opens for NoKeys {
    fn key(&self, _: &[u8; 16]) -> Option<SealKey> {
        None
    }
}

fn day(text: &str) -> Day {
    Day::read(text).unwrap()
}

/// Three heads of one visit at 7 per cent, rounded as said.
fn visit(by: &str) -> Story {
    let mut story = Story::default();
    for line in [
        "set-shop setting:zone value:UTC",
        "set-shop setting:tax-rate value:7%_from_1970-01-01",
        &format!("set-shop setting:tax-by value:{by}"),
    ] {
        story.say(1, "0 8:00", line);
    }
    let ticket = story.say(1, "0 9:00", "ticket");
    for number in ["0417", "0418", "0419"] {
        story.say(1, "0 9:03", &format!("take-in {number} species:whitetail ticket:{ticket}"));
    }
    story
}

fn asked(story: &Story, when: &str, before: &[&str], line: &str) -> v1::Ruled {
    let before: Vec<_> = before.iter().map(|line| said(line)).collect();
    let folder = tempfile::tempdir().unwrap();
    let judge = Judge::new(folder.path().to_owned());
    ask::ruled_after(&judge, &story.state(), &said(line), &before, By::default(), at(when))
}

/// 1.50 at 7 % is .105, so .11; three of them are .315, so .32 (R.I. Gen. Laws 44-18.1-25, reckoned).
#[test]
fn the_last_price_takes_the_cent_and_no_price_that_was_heard_changes() {
    for (by, want) in [("invoice", ["1.61", "1.61", "1.61"]), ("visit", ["1.61", "1.60", "1.61"])] {
        let mut story = visit(by);
        for (n, number) in ["0417", "0418", "0419"].into_iter().enumerate() {
            let line = format!("quote {number} lines:cleaning=1.50");
            let ruled = asked(&story, &format!("0 10:0{n}"), &[], &line);
            assert_eq!(ruled.with_tax, want[n], "{by} {number}");
            story.say(1, &format!("0 10:0{n}"), &format!("{line} total:{}", ruled.with_tax));
        }
        for number in ["0417", "0418", "0419"] {
            story.say(1, "1 9:00", &format!("hand-over {number}"));
        }
        let told = desk::tax_return(&story.state(), day("1970-01-01"), day("1970-01-31"));
        let tax = if by == "visit" { "0.32" } else { "0.33" };
        assert_eq!([&told.tax, &told.taxed], [tax, "4.50"]);
    }
}

#[test]
fn prices_that_are_told_together_are_rounded_together() {
    let story = visit("visit");
    let [one, two, three] =
        ["0417", "0418", "0419"].map(|number| format!("quote {number} lines:cleaning=1.50"));
    assert_eq!(asked(&story, "0 10:00", &[], &one).with_tax, "1.61");
    let one = format!("{one} total:1.61");
    assert_eq!(asked(&story, "0 10:00", &[&one], &two).with_tax, "1.60");
    let two = format!("{two} total:1.60");
    assert_eq!(asked(&story, "0 10:00", &[&one, &two], &three).with_tax, "1.61");
}

/// 120.00 and 8.40 tax, a tip of 10.00, and 45.00 of an older ledger: 183.40 is paid, 128.40 is sold. The
/// tip is paid out to the hands.
#[test]
fn a_tip_is_the_hands_and_an_old_balance_was_sold_before() {
    let mut story = visit("invoice");
    for line in [
        "quote 0417 lines:cleaning=120.00 total:128.40",
        "charge 0417 amount:10.00 what:tip",
        "charge 0417 amount:45.00 what:balance_of_2024",
        "pay 0417 amount:183.40 means:cash only_this:yes",
        "hand-over 0417",
        "pay-out amount:10.00 purse:hands",
    ] {
        story.say(1, "1 9:00", line);
    }
    let state = story.state();
    assert_eq!(state.share(state.jobs().keys().next().copied().unwrap()).owed(), Money::ZERO);
    let eyes = desk::people::Eyes::new(&NoKeys, true);
    let takings = desk::takings(&state, eyes, day("1970-01-01"), day("1970-01-31"));
    assert_eq!([&takings.earned, &takings.earned_tax], ["128.40", "8.40"]);
    assert_eq!([&takings.tips, &takings.old_balances], ["10.00", "45.00"]);
    assert_eq!([&takings.settled, &takings.taken], ["183.40", "183.40"]);
    let told = desk::tax_return(&state, day("1970-01-01"), day("1970-01-31"));
    assert_eq!(
        [&told.sold, &told.tax, &told.taxed, &told.untaxed],
        ["128.40", "8.40", "120.00", "0.00"]
    );
    assert_eq!(told.no_sale, "55.00");
    let books = journal(&state);
    let postings = || books.iter().flat_map(|transaction| &transaction.postings);
    let balance = |account: Account| {
        Money::sum(postings().filter(|p| p.account == account).map(|p| p.amount)).to_string()
    };
    let balances = [Account::Work, Account::Tax, Account::Tips, Account::Opening, Account::Till];
    assert_eq!(balances.map(balance), ["-120.00", "-8.40", "0.00", "-45.00", "173.40"]);
    assert_eq!(Money::sum(postings().map(|p| p.amount)), Money::ZERO);
}
