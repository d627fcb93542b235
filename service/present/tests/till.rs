//! The till of a day and what was left over, from stories on paper.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

#[path = "../../domain/tests/common/mod.rs"]
mod common;

use std::sync::{
    Arc,
    atomic::{AtomicUsize, Ordering},
};

use burrline_domain::{Record, State, fold::Records, verb::PutClockRight};
use burrline_evidence::seal::SealKey;
use burrline_present::{
    Opens, desk,
    desk::till::{What, moves},
    readings::Days,
};
use burrline_proto::v1;
use burrline_terms::{Day, Happened, Money, Typed as _};
use common::{Story, at};
use proptest::prelude::*;

fn day(number: u32) -> Day {
    let first = Day::read("1970-01-01").unwrap();
    Day(first.0.checked_add(jiff::Span::new().days(number)).unwrap())
}

fn till(state: &State, number: u32) -> v1::TillResponse {
    desk::till::till(state, day(number))
}

fn told(lines: &[(&str, &str)]) -> Story {
    let mut story = Story::default();
    story.say(1, "0 6:00", "set-shop setting:zone value:UTC");
    for (when, line) in lines {
        story.say(1, when, line);
    }
    story
}

/// The last line reached the shop only then.
fn arrives(story: &mut Story, when: &str) {
    story.records.last_mut().unwrap().shop_time = at(when);
}

fn sums(till: &v1::TillResponse) -> Vec<(&str, u32, &str)> {
    till.cash.iter().map(|sum| (sum.what.as_str(), sum.number, sum.amount.as_str())).collect()
}

/// A day by hand. 200.00 + 474.50 + 50.00 - 21.40 - 300.00 - 18.40 = 384.70; counted are
/// 3 x 100 + 3 x 20 + 1 x 20 + 0.45 = 380.45, which is 4.25 short.
fn a_day() -> Story {
    told(&[
        ("1 8:00", "float amount:200"),
        ("1 8:01", "take-in 0417 species:whitetail"),
        ("1 8:02", "quote 0417 total:400.00"),
        ("1 9:00", "pay 0417 amount:374.50 means:cash"),
        ("1 9:30", "pay 0417 amount:100 means:cash"),
        ("1 9:40", "pay 0417 amount:25 means:card"),
        ("1 10:00", "refund 0417 amount:21.40 means:cash"),
        ("1 11:00", "pay-in amount:50 purse:bank why:change"),
        ("1 12:00", "pay-out amount:300 purse:safe"),
        ("1 13:00", "spent amount:18.40 what:goggles"),
        ("1 13:01", "spent amount:60 means:card what:fuel"),
        ("1 17:00", "count-till coins:3x100 coins:4x20 coins:1x0.25 coins:2x0.10"),
        ("1 17:30", "pay-out amount:180.45 purse:bank"),
        ("1 18:00", "close-till day:1970-01-02"),
    ])
}

#[test]
fn a_till_that_is_four_and_a_quarter_short() {
    let state = a_day().state();
    let told = till(&state, 1);
    assert_eq!((told.opened.as_str(), told.float), ("200.00", true));
    assert_eq!(
        sums(&told),
        [
            ("paid", 2, "474.50"),
            ("given back", 1, "21.40"),
            ("paid in", 1, "50.00"),
            ("paid out", 2, "480.45"),
            ("spent", 1, "18.40"),
        ]
    );
    let all = [&told.expected, &told.counted, &told.over, &told.after_count, &told.left];
    assert_eq!(all, ["384.70", "380.45", "-4.25", "-180.45", "200.00"]);
    let coins: Vec<(u32, &str)> = told.coins.iter().map(|c| (c.count, c.amount.as_str())).collect();
    assert_eq!(coins, [(3, "300.00"), (4, "80.00"), (1, "0.25"), (2, "0.20")]);
    assert!(told.closed && told.closed_by == "ines" && told.float_over.is_empty(), "{told:?}");
    let card = told.means.first().unwrap();
    let card = [&card.means, &card.paid, &card.given_back, &card.spent];
    assert_eq!(card, ["card", "25.00", "0.00", "60.00"]);
    // The next day opens with what was left.
    assert_eq!((till(&state, 2).opened.as_str(), till(&state, 2).float), ("200.00", false));
}

/// The shop's clock is two days behind on the day 5, on which 50.00 are paid and the till is closed. Put
/// right, the payment is of the day 5, and the till that was closed keeps it.
#[test]
fn a_clock_put_right_moves_nothing_out_of_a_till_that_was_closed() {
    let mut story = told(&[("1 8:00", "float amount:200"), ("1 8:01", "take-in 0417")]);
    let paid = story.say(1, "3 9:00", "pay 0417 amount:50 means:cash");
    let closed = story.say(1, "3 18:00", "close-till day:1970-01-04");
    let before = till(&story.state(), 3);
    assert_eq!((sums(&before), before.closed), (vec![("paid", 1, "50.00")], true));
    story.say_verb(
        1,
        Happened::exactly(at("5 20:00")),
        PutClockRight { first: paid, last: closed, was: at("5 9:00") }.into(),
    );
    let state = story.state();
    assert_eq!(state.fact(paid).unwrap().happened().at, at("5 9:00"));
    let after = till(&state, 3);
    assert_eq!((sums(&after), after.closed), (vec![("paid", 1, "50.00")], true));
    assert_eq!([&after.expected, &after.left], [&before.expected, &before.left]);
    let words = &after.moves.first().unwrap().words;
    assert!(
        words.contains("put right after this till was closed: it happened Tue 06 Jan"),
        "{words}"
    );
    assert!(till(&state, 5).cash.is_empty());
    assert_eq!(till(&state, 5).elsewhere.len(), 1, "and the till of the day says where it is");
    // Takings go by the day on which it happened, and say in which till it is.
    let eyes = desk::people::Eyes::new(&NoKeys, true);
    let takings = |number| desk::takings(&state, eyes, day(number), day(number));
    let (stays, moved) = (takings(3), takings(5));
    assert_eq!([stays.net.as_str(), &stays.in_tills], ["0.00", "50.00"]);
    assert_eq!([moved.net.as_str(), &moved.in_tills], ["50.00", "0.00"]);
    let [from] = stays.of_other_days.as_slice() else { panic!("{stays:?}") };
    let [to] = moved.in_other_tills.as_slice() else { panic!("{moved:?}") };
    assert_eq!((&from.day, from), (&day(3).to_string(), to));
    // What is paid after that is in the till of its day.
    story.say(1, "6 9:00", "pay 0417 amount:10 means:cash");
    assert_eq!(sums(&till(&story.state(), 6)), [("paid", 1, "10.00")]);
}

/// The clock is five days ahead on the day 1. The till that was closed under the day 6 is that of the day
/// 1, whole, and the days between are open.
#[test]
fn a_till_that_a_fast_clock_closed_is_that_of_its_real_day() {
    let mut story = told(&[("1 8:00", "float amount:200"), ("1 8:01", "take-in 0417")]);
    let paid = story.say(1, "6 9:00", "pay 0417 amount:50 means:cash");
    let closed = story.say(1, "6 18:00", "close-till day:1970-01-07");
    story.say_verb(
        1,
        Happened::exactly(at("6 18:30")),
        PutClockRight { first: paid, last: closed, was: at("1 9:00") }.into(),
    );
    story.say(1, "7 9:00", "pay 0417 amount:10 means:cash");
    let state = story.state();
    let first = till(&state, 1);
    assert_eq!((sums(&first), first.closed), (vec![("paid", 1, "50.00")], true));
    assert!(!till(&state, 3).closed);
    assert_eq!(sums(&till(&state, 7)), [("paid", 1, "10.00")]);
}

/// Source: the petty-cash exercise of `OpenStax`, Principles of Accounting 1 (2019), 8.4: a fund of 75,
/// receipts of 45, 25 counted; 5 short.
#[test]
fn petty_cash_of_a_textbook_is_five_short() {
    let story = told(&[
        ("1 8:00", "float amount:75"),
        ("1 9:00", "spent amount:45 what:postage"),
        ("1 17:00", "count-till amount:25"),
    ]);
    let told = till(&story.state(), 1);
    assert_eq!([&told.expected, &told.over], ["30.00", "-5.00"]);
}

#[test]
fn a_payment_of_a_closed_day_is_in_the_till_of_the_day_of_its_arrival() {
    let mut story = a_day();
    // A bench that was away since the afternoon comes back on day 3.
    story.say(2, "1 16:00", "pay 0417 amount:40 means:cash");
    arrives(&mut story, "3 9:00");
    let state = story.state();
    let closed = till(&state, 1);
    assert_eq!([&closed.expected, &closed.over], ["384.70", "-4.25"], "as it was closed");
    let elsewhere = closed.elsewhere.first().unwrap();
    assert_eq!((elsewhere.day.as_str(), elsewhere.amount.as_str()), ("1970-01-04", "40.00"));
    let later = till(&state, 3);
    assert_eq!(sums(&later), [("paid", 1, "40.00")]);
    let line = later.moves.first().unwrap();
    assert!(line.late && line.happened_ms == at("1 16:00").0 && line.at_ms == at("3 9:00").0);
    assert_eq!(later.left, "240.00");
}

#[test]
fn a_payment_that_comes_on_the_evening_of_a_closed_day_is_in_the_next_till() {
    let mut story = a_day();
    story.say(1, "1 19:00", "pay 0417 amount:40 means:cash");
    let state = story.state();
    assert_eq!(till(&state, 1).left, "200.00");
    assert_eq!(sums(&till(&state, 2)), [("paid", 1, "40.00")]);
}

#[test]
fn a_closed_till_is_corrected_by_lines_that_say_so() {
    let mut story = a_day();
    // 1:5 is the payment of 374.50, which was 347.50.
    let entry = burrline_terms::EntryName::new(1, 5);
    let pay = common::said("pay 0417 amount:347.50 means:cash");
    let amend =
        burrline_domain::Verb::Amend(burrline_domain::verb::Amend { entry, verb: Box::new(pay) });
    story.say_verb(1, Happened::exactly(at("4 9:00")), amend);
    let state = story.state();
    let closed = till(&state, 1);
    assert_eq!([&closed.expected, &closed.over, &closed.left], ["384.70", "-4.25", "200.00"]);
    let later = till(&state, 4);
    let lines: Vec<(bool, &str)> =
        later.moves.iter().map(|m| (m.corrects, m.amount.as_str())).collect();
    assert_eq!(lines, [(true, "-374.50"), (true, "347.50")]);
    assert_eq!(later.left, "173.00");
    // Before the day is closed a correction just holds.
    let mut open = a_day();
    open.records.pop();
    let pay = common::said("pay 0417 amount:347.50 means:cash");
    let amend =
        burrline_domain::Verb::Amend(burrline_domain::verb::Amend { entry, verb: Box::new(pay) });
    open.say_verb(2, Happened::exactly(at("4 9:00")), amend);
    let told = till(&open.state(), 1);
    assert_eq!([&told.expected, &told.over], ["357.70", "22.75"]);
}

#[test]
fn a_closed_day_is_not_closed_again() {
    let story = a_day();
    let state = story.state();
    let entry = |line: &str| {
        common::record(
            burrline_terms::EntryName::new(9, 1),
            99,
            Happened::exactly(at("2 9:00")),
            common::said(line),
        )
        .entry
    };
    let decide = |line: &str| {
        burrline_domain::decide(&state, burrline_terms::words::Role::Counter, &entry(line))
    };
    let why = decide("close-till day:1970-01-02").unwrap_err().to_string();
    assert!(why.contains("1970-01-02 is closed"), "{why}");
    assert!(decide("close-till day:1970-01-01").is_err(), "a closed day closes those before it");
    assert!(decide("close-till day:1970-01-03").is_ok());
}

#[test]
fn a_float_that_is_not_what_was_left_is_told() {
    let story = told(&[
        ("1 8:00", "float amount:200"),
        ("1 17:00", "count-till amount:200"),
        ("2 8:00", "float amount:190"),
    ]);
    let told = till(&story.state(), 2);
    assert_eq!([&told.opened, &told.float_over, &told.left], ["190.00", "-10.00", "190.00"]);
}

/// Source: a usual card exercise (1,000 at 3 per cent: 970 and 30) of Lumen Learning, Financial
/// Accounting, "Credit card sales".
#[test]
fn a_batch_settles_what_the_cards_came_to() {
    let story = told(&[
        ("1 8:01", "take-in 0417 species:whitetail"),
        ("1 9:00", "pay 0417 amount:1000 means:card"),
        ("2 9:00", "card-batch amount:1000 fee:30 number:Z-17"),
    ]);
    let state = story.state();
    assert_eq!(till(&state, 1).cards_waiting, "1000.00");
    let told = till(&state, 2);
    let batch = told.batches.first().unwrap();
    assert_eq!([&batch.amount, &batch.fee, &batch.net], ["1000.00", "30.00", "970.00"]);
    assert_eq!(told.cards_waiting, "0.00");
}

/// Earned are 100.00 of 108.25, the rest is tax. Spent: 38.50 + 21.00 of stock, 18.40 else, 2.00 of
/// fees; the till is 1.00 short. 100.00 - 38.50 - 21.00 - 18.40 - 2.00 - 1.00 = 19.10.
#[test]
fn what_was_left_over_a_head_and_a_week() {
    let story = told(&[
        ("4 8:00", "float amount:200"),
        ("4 8:01", "take-in 0417 species:whitetail"),
        ("4 8:02", "quote 0417 lines:cleaning=100.00 total:108.25"),
        ("4 9:00", "pay 0417 amount:108.25 means:card"),
        ("4 9:30", "hand-over 0417"),
        ("5 9:00", "card-batch amount:108.25 fee:2"),
        ("5 9:10", "spent amount:38.50 stuff:peroxide=4gal"),
        ("5 9:20", "receive-stock stuff:soda=20lb cost:21.00"),
        ("6 9:30", "spent amount:18.40 what:goggles"),
        ("6 9:40", "hours worked:4h"),
        ("6 17:00", "count-till amount:142.10"),
    ]);
    let told = desk::profit(&story.state(), Days { from: day(4), to: day(10) });
    let all = told.all.as_ref().unwrap();
    let sums = [&all.earned, &all.stock, &all.spent, &all.fees, &all.over, &all.left_over];
    assert_eq!(sums, ["100.00", "59.50", "18.40", "2.00", "-1.00", "19.10"]);
    assert_eq!([&told.per_head, &told.per_week, &told.per_hour], ["19.10", "19.10", "4.78"]);
    let weeks: Vec<(&str, &str)> =
        told.weeks.iter().map(|w| (w.from_day.as_str(), w.left_over.as_str())).collect();
    // 5 January 1970, the fifth day, is a Monday.
    assert_eq!(weeks, [("1970-01-05", "19.10")]);
    let costs: Vec<(&str, &str)> =
        told.costs.iter().map(|c| (c.what.as_str(), c.amount.as_str())).collect();
    assert_eq!(
        costs,
        [("peroxide", "38.50"), ("soda", "21.00"), ("goggles", "18.40"), ("card fees", "2.00")]
    );
}

/// A log that counts how many of its records were read.
struct Counted(Vec<Record>, AtomicUsize);

impl Records for Counted {
    fn record(&self, position: u64) -> Record {
        self.1.fetch_add(1, Ordering::Relaxed);
        self.0[usize::try_from(position).unwrap()].clone()
    }
}

#[test]
fn the_till_goes_through_its_own_lines_and_no_others() {
    let mut story = a_day();
    for _ in 0..500 {
        story.say(1, "1 14:00", "wash 0417");
    }
    let before = story.say(1, "1 14:10", "pay 0417 amount:10 means:cash");
    story.say(1, "1 14:20", &format!("strike entries:{before}"));
    let log = Arc::new(Counted(story.records.clone(), AtomicUsize::new(0)));
    let source: Arc<dyn Records> = log.clone();
    let state = State::restore(&story.state().snapshot(), &source).unwrap();
    assert_eq!(moves(&state), moves(&story.state()));
    let read = log.1.load(Ordering::Relaxed);
    assert!(read < 30, "{read} of {} records were read", story.records.len());
}

#[test]
fn stock_that_was_spent_on_is_booked_in() {
    let story = told(&[("1 9:00", "spent amount:38.50 stuff:peroxide=4gal@12% lot:L-7")]);
    let stock = story.state().stock();
    let (kind, line) = stock.lines.first_key_value().unwrap();
    let lot = line.lots.first().unwrap();
    assert_eq!((kind.what.as_str(), lot.cost), ("peroxide", Some(Money::read("38.50").unwrap())));
}

/// Who was named is nothing to sums.
struct NoKeys;

impl Opens for NoKeys {
    fn key(&self, _: &[u8; 16]) -> Option<SealKey> {
        None
    }
}

const DAYS: u32 = 8;

fn lines() -> impl Strategy<Value = Vec<(u32, u32, String)>> {
    let tag = prop_oneof![8 => 1..3_u32, 1 => Just(9)];
    let cents = (1..30_000_u32)
        .prop_map(|cents| Money::new(rust_decimal::Decimal::new(i64::from(cents), 2)));
    let means = prop_oneof![Just(" means:cash"), Just(" means:card"), Just("")];
    let line = prop_oneof![
        4 => (tag.clone(), cents.clone(), means.clone())
            .prop_map(|(t, m, by)| format!("pay {t} amount:{m}{by}")),
        2 => (tag, cents.clone(), means).prop_map(|(t, m, by)| format!("refund {t} amount:{m}{by}")),
        1 => cents.clone().prop_map(|m| format!("pay-in amount:{m} purse:bank")),
        1 => cents.clone().prop_map(|m| format!("pay-out amount:{m} purse:safe")),
        1 => cents.clone().prop_map(|m| format!("spent amount:{m}")),
        1 => cents.clone().prop_map(|m| format!("float amount:{m}")),
        1 => cents.prop_map(|m| format!("count-till amount:{m}")),
        1 => (0..DAYS).prop_map(|d| format!("close-till day:{}", day(d))),
        1 => (0..30_u32).prop_map(|n| format!("strike entries:2:{}", n + 1)),
    ];
    prop::collection::vec((0..DAYS, 0..3_u32, line), 0..40)
}

proptest! {
    /// The tills together hold what takings hold, to the cent, and each is a sum that closes.
    #[test]
    fn tills_and_takings_agree(lines in lines()) {
        let mut story = told(&[("0 7:00", "take-in 1"), ("0 7:01", "take-in 2")]);
        for (n, (day, late, line)) in lines.iter().enumerate() {
            story.say(2, &format!("{day} {}:{:02}", 8 + n / 60, n % 60), line);
            if *late == 0 {
                arrives(&mut story, &format!("{} 9:00", DAYS + 1));
            }
        }
        let state = story.state();
        let eyes = desk::people::Eyes::new(&NoKeys, true);
        let takings = desk::takings(&state, eyes, day(0), day(DAYS + 3));
        let all = moves(&state);
        for line in &takings.by_means {
            let of = |what: What| {
                let means = |m: &&desk::till::Move| {
                    m.means.map_or("not said", burrline_terms::words::Means::word) == line.means
                };
                let these = all.iter().filter(|m| m.what == what).filter(means);
                Money::sum(these.map(desk::till::Move::counted))
            };
            prop_assert_eq!(of(What::Paid), Money::read(&line.taken).unwrap());
            prop_assert_eq!(of(What::GivenBack), Money::read(&line.given_back).unwrap());
        }
        // Of any days: taken less given back, but for what is in other tills, is in the tills.
        for first in 0..DAYS {
            let of = desk::takings(&state, eyes, day(first), day(first + 2));
            let signed = |moves: &[v1::TillMove]| {
                Money::sum(moves.iter().map(|m| {
                    let amount = Money::read(&m.amount).unwrap();
                    if m.what == "paid" { amount } else { Money::ZERO.checked_sub(amount).unwrap() }
                }))
            };
            let net = Money::read(&of.net).unwrap();
            let there = net.checked_sub(signed(&of.in_other_tills)).unwrap();
            let in_tills = Money::sum([there, signed(&of.of_other_days)]);
            prop_assert_eq!(in_tills, Money::read(&of.in_tills).unwrap());
        }
        let mut before = Money::ZERO;
        for (day, drawer) in desk::till::drawer::days(&all) {
            let of_day = all.iter().filter(|m| m.day == day);
            prop_assert_eq!(Money::sum(of_day.filter_map(desk::till::Move::in_drawer)), drawer.cash);
            let (Some(opened), Some(left)) = (drawer.opened, drawer.left) else { continue };
            let over = drawer.over.unwrap_or_default();
            prop_assert_eq!(Money::sum([opened, drawer.cash, over]), left);
            let begun = drawer.begun_with.unwrap_or(before);
            let opened_by = drawer.float_over.unwrap_or_default();
            prop_assert_eq!(Money::sum([begun, opened_by]), opened);
            before = left;
        }
    }
}
