//! What is handed out to a customer adds up by hand, line by line.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

#[path = "../../domain/tests/common/mod.rs"]
mod common;

use burrline_domain::State;
use burrline_present::handout::{Handout, Kind, Row, handout};
use burrline_terms::{Money, Typed as _};
use common::{Story, at, tag};
use proptest::prelude::*;

fn told(state: &State, number: &str, kind: Kind) -> Handout {
    let worn = |job: &&burrline_domain::fold::Job| {
        job.take_in.as_ref().is_some_and(|t| t.skull.tag.as_ref() == Some(&tag(number)))
    };
    let job = state.jobs().values().find(worn).unwrap();
    handout(state, job, kind, String::new(), at("20 12:00"))
}

fn story(rates: &[&str], lines: &[&str]) -> State {
    let mut story = Story::default();
    story.say(1, "0 8:00", "set-shop setting:zone value:UTC");
    for rate in rates {
        story.say(1, "0 8:01", &format!("set-shop setting:{rate}"));
    }
    let ticket = story.say(1, "0 8:02", "ticket");
    for number in ["0417", "0418"] {
        let line = format!("take-in {number} species:whitetail ticket:{ticket}");
        story.say(1, "0 8:03", &line);
    }
    for (n, line) in lines.iter().enumerate() {
        story.say(1, &format!("{} 9:00", 1 + n / 4), line);
    }
    story.state()
}

fn shown(rows: &[Row]) -> Vec<(&str, &str)> {
    rows.iter().map(|row| (row.what.as_str(), row.amount.as_str())).collect()
}

fn sum<'a>(rows: impl IntoIterator<Item = &'a Row>) -> Money {
    let amounts = rows.into_iter().filter(|row| !row.amount.is_empty());
    Money::sum(amounts.map(|row| Money::read(&row.amount).unwrap()))
}

/// Whether the lines of the heads make the first sum, that with the tax the total, and the total less what
/// was paid what is to pay.
fn adds_up(paper: &Handout) {
    let total = paper.money.iter().position(|row| row.what == "total").unwrap();
    let lines = sum(paper.heads.iter().flat_map(|head| &head.rows));
    let (above, below) = paper.money.split_at(total);
    let first = above.first().unwrap_or(&below[0]);
    assert_eq!(lines, Money::read(&first.amount).unwrap(), "{paper:#?}");
    if !above.is_empty() {
        assert_eq!(sum(above), sum(below.first()), "{paper:#?}");
    }
    let (last, paid) = below.split_last().unwrap();
    let owed = Money::read(&last.amount).unwrap();
    let owed =
        if last.what == "in your favor" { Money::ZERO.checked_sub(owed).unwrap() } else { owed };
    assert_eq!(sum(paid), owed, "{paper:#?}");
}

/// 129.25 was said tax and all at 7.71 %: 120.00 and 9.25. 100.00 came with 7.71 on top. A discount of 10.77
/// has 0.77 of tax in it. By hand: 120 - 10 + 5 + 100 + 45 = 260.00, and 9.25 - 0.77 + 7.71 = 16.19.
#[test]
fn what_was_said_tax_and_all_stands_before_tax_beside_what_was_taxed_on_top() {
    let state = story(
        &["tax-rate value:state_2.9%_+_city_4.81%_from_1970-01-01"],
        &[
            "quote 0417 total:129.25",
            "quote 0418 lines:cleaning=100.00 total:107.71",
            "charge 0417 amount:-10.77 what:discount",
            "charge 0417 amount:5.00 what:tip",
            "charge 0418 amount:45.00 what:balance_of_2024",
            "pay 0417 amount:150.00 means:card",
        ],
    );
    let paper = told(&state, "0417", Kind::Receipt);
    let [one, two] = paper.heads.as_slice() else { panic!("{paper:#?}") };
    let first = [("work", "120.00"), ("discount", "-10.00"), ("tip, not taxed", "5.00")];
    assert_eq!(shown(&one.rows), first);
    assert_eq!(shown(&two.rows), [("cleaning", "100.00"), ("balance of 2024, not taxed", "45.00")]);
    assert_eq!(
        shown(&paper.money),
        [
            ("before tax", "260.00"),
            ("tax, city 4.81 %", "10.10"),
            ("tax, state 2.9 %", "6.09"),
            ("total", "276.19"),
            ("1970-01-03 paid card", "-150.00"),
            ("to pay", "126.19"),
        ]
    );
    adds_up(&paper);
}

/// Source: 149.95 with 19 % in it are 126.01 and 23.94 (German administrative guideline on the turnover tax
/// act, `UStAE` 15.4, as printed there).
#[test]
fn a_price_that_is_tax_and_all_stands_as_it_was_heard_with_the_tax_told_beside() {
    let rates =
        ["currency value:EUR", "tax-rate value:19%_from_1970-01-01", "tax-prices value:included"];
    let state = story(&rates, &["quote 0417 lines:cleaning=149.95 total:149.95"]);
    let paper = told(&state, "0417", Kind::Receipt);
    assert_eq!(shown(&paper.heads[0].rows), [("cleaning", "149.95")]);
    assert_eq!(
        shown(&paper.money),
        [
            ("total", "149.95"),
            ("in it tax 19 %: 23.94", ""),
            ("in it before tax: 126.01", ""),
            ("to pay", "149.95"),
        ]
    );
    adds_up(&paper);
}

/// 160.00 were paid on a visit of 120.00 and 80.00, and one head is ready: 96.00 of it count for that.
#[test]
fn a_notice_of_one_head_says_what_of_the_payments_is_for_the_others() {
    let lines = [
        "quote 0417 total:120.00",
        "quote 0418 total:80.00",
        "pay 0417 amount:160.00 means:cash",
        "inspect 0417",
    ];
    let state = story(&[], &lines);
    let notice = told(&state, "0417", Kind::Notice);
    assert_eq!(
        shown(&notice.money),
        [
            ("total", "120.00"),
            ("1970-01-02 paid cash", "-160.00"),
            ("of it for other heads of the visit", "64.00"),
            ("to pay", "24.00"),
        ]
    );
    adds_up(&notice);
    let statement = told(&state, "0417", Kind::Statement);
    assert_eq!(statement.next, ["Ready: 0417. Please come for it."]);
    adds_up(&statement);
}

/// A price that was lowered as a whole shows by how much.
#[test]
fn a_price_that_was_lowered_as_a_whole_lists_the_discount() {
    let state = story(&[], &["quote 0417 lines:cleaning=160.00 total:150.00"]);
    let paper = told(&state, "0417", Kind::Slip);
    let rows = [("cleaning", "160.00"), ("discount", "-10.00")];
    assert_eq!(shown(&paper.heads[0].rows), rows);
    adds_up(&paper);
}

fn lines() -> impl Strategy<Value = Vec<String>> {
    let tag = prop_oneof![Just("0417"), Just("0418")];
    let cents = (1..30_000_u32)
        .prop_map(|cents| Money::new(rust_decimal::Decimal::new(i64::from(cents), 2)));
    let line = prop_oneof![
        2 => (tag.clone(), cents.clone()).prop_map(|(t, m)| format!("quote {t} total:{m}")),
        2 => (tag.clone(), cents.clone(), cents.clone())
            .prop_map(|(t, m, all)| format!("quote {t} lines:cleaning={m} total:{all}")),
        1 => (tag.clone(), cents.clone()).prop_map(|(t, m)| format!("charge {t} amount:{m} what:tip")),
        2 => (tag.clone(), cents.clone()).prop_map(|(t, m)| format!("charge {t} amount:-{m}")),
        3 => (tag.clone(), cents.clone()).prop_map(|(t, m)| format!("pay {t} amount:{m} means:cash")),
        2 => (tag.clone(), cents).prop_map(|(t, m)| format!("refund {t} amount:{m}")),
        1 => tag.clone().prop_map(|t| format!("inspect {t}")),
        1 => tag.clone().prop_map(|t| format!("hand-over {t}")),
        1 => tag.clone().prop_map(|t| format!("write-off {t} how:unclaimed")),
        1 => tag.prop_map(|t| format!("bring-back {t}")),
    ];
    prop::collection::vec(line, 0..16)
}

proptest! {
    #[test]
    fn every_paper_adds_up_by_hand(lines in lines(), included in any::<bool>()) {
        let lines: Vec<&str> = lines.iter().map(String::as_str).collect();
        let prices = if included { "tax-prices value:included" } else { "tax-by value:visit" };
        let rate = "tax-rate value:state_2.9%_+_city_4.81%_from_1970-01-01";
        let state = story(&[rate, prices], &lines);
        for kind in [Kind::Slip, Kind::Receipt, Kind::Statement, Kind::Notice] {
            for number in ["0417", "0418"] {
                adds_up(&told(&state, number, kind));
            }
        }
    }
}
