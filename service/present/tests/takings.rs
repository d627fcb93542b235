//! What was taken, held and earned, from stories on paper.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

#[path = "../../domain/tests/common/mod.rs"]
mod common;

use burrline_domain::{Record, State};
use burrline_evidence::seal::SealKey;
use burrline_present::{Opens, desk};
use burrline_proto::v1;
use burrline_terms::Typed as _;
use burrline_terms::{Day, Money};
use common::Story;
use proptest::prelude::*;

fn money(text: &str) -> Money {
    Money::read(text).unwrap()
}

fn day(number: u32) -> Day {
    let first = Day::read("1970-01-01").unwrap();
    Day(first.0.checked_add(jiff::Span::new().days(number)).unwrap())
}

/// Who was named is nothing to sums.
struct NoKeys;

impl Opens for NoKeys {
    fn key(&self, _: &[u8; 16]) -> Option<SealKey> {
        None
    }
}

fn takings(state: &State, first: u32, last: u32) -> v1::TakingsResponse {
    desk::takings(state, desk::people::Eyes::new(&NoKeys, true), day(first), day(last))
}

/// The two equations that hold in any stretch of days, to the cent.
fn closes(state: &State, first: u32, last: u32) -> v1::TakingsResponse {
    let sums = takings(state, first, last);
    let sum = |words: &[&str]| Money::sum(words.iter().map(|word| money(word)));
    let means = |of: fn(&v1::TakingsLine) -> &str| {
        Money::sum(sums.by_means.iter().map(|line| money(of(line))))
    };
    assert_eq!(means(|line| &line.taken), money(&sums.taken), "{sums:?}");
    assert_eq!(means(|line| &line.given_back), money(&sums.given_back), "{sums:?}");
    assert_eq!(
        sum(&[&sums.held_before, &sums.taken]),
        sum(&[&sums.held_after, &sums.settled, &sums.given_back, &sums.on_no_job]),
        "held + settled + given back = taken: {sums:?}"
    );
    let owed_before = first.checked_sub(1).map(|day| takings(state, 0, day).owed_after);
    assert_eq!(
        sum(&[&sums.settled, &sums.owed_after]),
        sum(&[&sums.earned, &sums.kept_otherwise, owed_before.as_deref().unwrap_or("0")]),
        "earned = settled + newly owed - kept: {sums:?}"
    );
    sums
}

/// A month by hand. Tax is 8.25 per cent, half up.
///
/// Prices: 0417 120.00 + 9.90 = 129.90; 0418 100.00 + 8.25 = 108.25; 0419 185.00 + 15.26 = 200.26
/// (15.2625); 0420 90.00 + 7.43 = 97.43 (7.425).
///
/// Deposit of 100.00 on the ticket of 0417 and 0418, which owe 129.90 and 108.25, that is 6 to 5:
/// 54.5454.. and 45.4545.., so 54.55 and 45.45.
///
/// Cash: 100.00 + 50.00 + 20.00 = 170.00; card: 200.26 + 75.35 = 275.61; taken 445.61.
/// Given back: 30.00 card + 50.00 cash = 80.00. Net 365.61.
///
/// 0417 is handed over with 54.55 + 75.35 = 129.90 paid, is brought back, 20.00 is charged and paid, and
/// it is handed over again: earned 149.90. 0419: paid 200.26, price lowered by 30.00 and 30.00 given back:
/// 170.26, and it would be so without a lower price. 0420 is ruined, its 50.00 given back. Earned 149.90 + 170.26 = 320.16, tax in it 9.90 + 15.26 =
/// 25.16. Held: 45.45 for 0418. And 45.45 + 320.16 + 80.00 = 445.61.
fn month() -> Story {
    let mut story = Story::default();
    for (when, line) in [
        ("0 8:00", "set-shop setting:zone value:UTC"),
        ("1 8:00", "ticket"),
        ("1 8:01", "take-in 0417 species:whitetail ticket:1:2"),
        ("1 8:02", "take-in 0418 species:whitetail ticket:1:2"),
        ("1 8:03", "take-in 0419 species:elk"),
        ("1 8:04", "take-in 0420 species:whitetail"),
        ("1 9:00", "quote 0417 lines:cleaning=120.00 total:129.90"),
        ("1 9:01", "quote 0418 lines:cleaning=100.00 total:108.25"),
        ("1 9:02", "quote 0419 lines:cleaning=185.00 total:200.26"),
        ("1 9:03", "quote 0420 lines:cleaning=90.00 total:97.43"),
        ("1 9:10", "pay 0418 amount:100.00 means:cash"),
        ("2 9:00", "pay 0419 amount:200.26 means:card"),
        ("2 9:01", "pay 0420 amount:50.00 means:cash"),
        ("10 9:00", "pay 0417 amount:75.35 means:card only_this:yes"),
        ("10 9:01", "hand-over 0417"),
        ("12 9:00", "bring-back 0417 why:nose"),
        ("13 9:00", "charge 0417 amount:20.00 what:glue"),
        ("13 9:01", "pay 0417 amount:20.00 means:cash only_this:yes"),
        ("14 9:00", "hand-over 0417"),
        ("15 9:00", "hand-over 0419"),
        ("16 9:00", "charge 0419 amount:-30.00 what:chip"),
        ("16 9:01", "refund 0419 amount:30.00 means:card"),
        ("20 9:00", "write-off 0420 how:ruined"),
        ("20 9:01", "refund 0420 amount:50.00 means:cash"),
        ("40 9:00", "pay 0418 amount:62.80 means:check only_this:yes"),
        ("40 9:01", "hand-over 0418"),
    ] {
        story.say(1, when, line);
    }
    story
}

#[test]
fn a_month_worked_by_hand_with_a_skull_that_left_twice() {
    let state = month().state();
    let sums = closes(&state, 0, 30);
    let lines: Vec<_> = sums
        .by_means
        .iter()
        .map(|m| (m.means.as_str(), m.payments, m.taken.as_str(), m.refunds, m.given_back.as_str()))
        .collect();
    assert_eq!(lines, [("cash", 3, "170.00", 1, "50.00"), ("card", 2, "275.61", 1, "30.00")]);
    let all = [&sums.taken, &sums.given_back, &sums.net, &sums.held_before, &sums.held_after];
    assert_eq!(all, ["445.61", "80.00", "365.61", "0.00", "45.45"]);
    let all =
        [&sums.settled, &sums.earned, &sums.earned_tax, &sums.owed_after, &sums.kept_otherwise];
    assert_eq!(all, ["320.16", "320.16", "25.16", "0.00", "0.00"]);
    assert_eq!(sums.handed_over, 2);
    assert_eq!(sums.otherwise, ["0420 write-off: charged 97.43, kept 0.00"]);
}

#[test]
fn what_was_earned_stays_earned_while_a_skull_is_back() {
    let state = month().state();
    let first = closes(&state, 10, 10);
    assert_eq!(
        (first.earned.as_str(), first.settled.as_str(), first.handed_over),
        ("129.90", "129.90", 1)
    );
    // Back, and 20.00 more are held: 45.45 for 0418, 200.26 for 0419, 50.00 for 0420.
    let back = closes(&state, 12, 13);
    assert_eq!(
        (back.earned.as_str(), back.held_after.as_str(), back.handed_over),
        ("0.00", "315.71", 0)
    );
    let again = closes(&state, 14, 14);
    assert_eq!(
        (again.earned.as_str(), again.settled.as_str(), again.handed_over),
        ("20.00", "20.00", 1)
    );
    let february = closes(&state, 31, 58);
    assert_eq!((february.held_before.as_str(), february.held_after.as_str()), ("45.45", "0.00"));
    assert_eq!((february.earned.as_str(), february.settled.as_str()), ("108.25", "108.25"));
}

#[test]
fn money_back_after_the_hand_over_is_not_owed_again() {
    let mut story = Story::default();
    for (when, line) in [
        ("0 8:00", "set-shop setting:zone value:UTC"),
        ("1 8:00", "take-in 0417 species:whitetail"),
        ("1 8:01", "quote 0417 total:100.00"),
        ("1 8:02", "pay 0417 amount:110.00 means:cash"),
        ("2 8:00", "hand-over 0417"),
        // 10.00 were too much, and 20.00 are for a chip.
        ("3 8:00", "refund 0417 amount:30.00 means:cash"),
        ("5 8:00", "bring-back 0417 why:chip"),
        ("6 8:00", "refund 0417 amount:15.00 means:cash"),
    ] {
        story.say(1, when, line);
    }
    let state = story.state();
    let told = |first, last| {
        let sums = closes(&state, first, last);
        [sums.earned, sums.settled, sums.owed_after, sums.held_after]
    };
    assert_eq!(told(0, 2), ["100.00", "110.00", "-10.00", "0.00"]);
    assert_eq!(told(3, 4), ["-20.00", "-30.00", "0.00", "0.00"]);
    assert_eq!(told(5, 9), ["-15.00", "-15.00", "0.00", "0.00"]);
}

#[test]
fn what_was_kept_of_an_unclaimed_one_is_a_deposit_again_when_it_is_claimed_after_all() {
    let mut story = Story::default();
    for (when, line) in [
        ("0 8:00", "set-shop setting:zone value:UTC"),
        ("1 8:00", "take-in 0417 species:whitetail"),
        ("1 8:01", "quote 0417 total:100.00"),
        ("1 8:02", "pay 0417 amount:40.00 means:cash"),
        ("5 8:00", "write-off 0417 how:unclaimed"),
        ("9 8:00", "bring-back 0417 why:claimed"),
        ("11 8:00", "hand-over 0417"),
    ] {
        story.say(1, when, line);
    }
    let state = story.state();
    let off = closes(&state, 0, 5);
    assert_eq!((off.kept_otherwise.as_str(), off.held_after.as_str()), ("40.00", "0.00"));
    assert_eq!(off.otherwise, ["0417 write-off: charged 100.00, kept 40.00"]);
    let back = closes(&state, 6, 10);
    assert_eq!((back.kept_otherwise.as_str(), back.held_after.as_str()), ("-40.00", "40.00"));
    let gone = closes(&state, 11, 12);
    let all = [&gone.earned, &gone.settled, &gone.owed_after];
    assert_eq!(all, ["100.00", "40.00", "60.00"]);
    assert!(closes(&state, 0, 12).otherwise.is_empty());
}

const DAYS: u32 = 12;

/// Lines that move money or end jobs, on three jobs of two tickets and on a tag that nobody knows.
fn lines() -> impl Strategy<Value = Vec<(u32, String)>> {
    let tag = prop_oneof![8 => 1..4_u32, 1 => Just(9)];
    let cents = (1..30_000_u32)
        .prop_map(|cents| Money::new(rust_decimal::Decimal::new(i64::from(cents), 2)));
    let means = prop_oneof![Just(" means:cash"), Just(" means:card"), Just("")];
    let line = prop_oneof![
        2 => (tag.clone(), cents.clone()).prop_map(|(t, m)| format!("quote {t} total:{m}")),
        1 => (tag.clone(), cents.clone()).prop_map(|(t, m)| format!("charge {t} amount:{m}")),
        1 => (tag.clone(), cents.clone()).prop_map(|(t, m)| format!("charge {t} amount:-{m}")),
        4 => (tag.clone(), cents.clone(), means.clone(), any::<bool>()).prop_map(|(t, m, by, one)| {
            format!("pay {t} amount:{m}{by}{}", if one { " only_this:yes" } else { "" })
        }),
        2 => (tag.clone(), cents, means).prop_map(|(t, m, by)| format!("refund {t} amount:{m}{by}")),
        2 => tag.clone().prop_map(|t| format!("hand-over {t}")),
        1 => tag.clone().prop_map(|t| format!("write-off {t} how:unclaimed")),
        1 => tag.clone().prop_map(|t| format!("give-back {t}")),
        3 => tag.prop_map(|t| format!("bring-back {t}")),
    ];
    prop::collection::vec((0..DAYS, line), 0..40)
}

fn story(lines: &[(u32, String)]) -> Vec<Record> {
    let mut story = Story::default();
    story.say(1, "0 0:00", "set-shop setting:zone value:UTC");
    story.say(1, "0 0:01", "ticket");
    for (tag, ticket) in [(1, " ticket:1:2"), (2, " ticket:1:2"), (3, "")] {
        story.say(1, "0 0:02", &format!("take-in {tag}{ticket}"));
    }
    for (n, (day, line)) in lines.iter().enumerate() {
        story.say(2, &format!("{day} {}:{:02}", 1 + n / 60, n % 60), line);
    }
    story.records
}

proptest! {
    #[test]
    fn any_order_of_entries_adds_up_to_the_cent(
        lines in lines(), cut in 0..DAYS, order in any::<prop::sample::Index>()
    ) {
        let records = story(&lines);
        let state = State::replay(records.clone());
        let whole = closes(&state, 0, DAYS);
        // Two stretches of days are the whole; and so is each day for itself.
        let parts = [closes(&state, 0, cut), closes(&state, cut + 1, DAYS + 1)];
        let days: Vec<_> = (0..=DAYS).map(|day| closes(&state, day, day)).collect();
        for of in [
            |s: &v1::TakingsResponse| money(&s.taken),
            |s: &v1::TakingsResponse| money(&s.given_back),
            |s: &v1::TakingsResponse| money(&s.settled),
            |s: &v1::TakingsResponse| money(&s.earned),
            |s: &v1::TakingsResponse| money(&s.kept_otherwise),
            |s: &v1::TakingsResponse| money(&s.on_no_job),
        ] {
            prop_assert_eq!(Money::sum(parts.iter().map(of)), of(&whole));
            prop_assert_eq!(Money::sum(days.iter().map(of)), of(&whole));
        }
        // Whoever arrived first: the sums are the same.
        let fixed = 5.min(records.len());
        let mut late = records;
        let moved = order.index(late.len() - fixed + 1).min(late.len() - fixed);
        late[fixed..].rotate_left(moved);
        for (position, record) in late.iter_mut().enumerate() {
            record.position = u64::try_from(position).unwrap();
        }
        prop_assert_eq!(takings(&State::replay(late), 0, DAYS), whole);
    }
}

/// A sale by hand: 107.00 with 7 per cent within is 100.00 and 7.00 of tax; 60.00 was paid, 47.00 is owed.
#[test]
fn what_the_shop_sells_of_its_own_is_earned_with_its_tax_and_owed_until_it_is_paid() {
    let mut story = Story::default();
    story.say(1, "0 6:00", "set-shop setting:zone value:UTC");
    story.say(1, "0 6:00", "set-shop setting:tax-rate value:7%_from_1970-01-01");
    let own = story.say(1, "1 8:00", "take-in 0417 species:whitetail");
    story.say(1, "1 8:01", "take-in 0418 species:elk");
    story.say(1, "2 9:00", "sell 0417 price:107 papers:bill_of_sale");
    story.say(1, "2 9:00", &format!("pay 0417/{own} amount:60 means:cash"));
    let state = story.state();
    let sums = closes(&state, 0, 3);
    assert_eq!((&*sums.taken, &*sums.earned, &*sums.owed_after), ("60.00", "107.00", "47.00"));
    assert_eq!(sums.earned_tax, "7.00");
    assert_eq!(state.share(own).owed(), money("47"));

    let sales = desk::sales(&state, desk::people::Eyes::new(&NoKeys, true), desk::Days::default());
    let sold: Vec<_> =
        sales.sold.iter().map(|line| (&*line.price, &*line.owed, &*line.papers)).collect();
    assert_eq!(sold, [("107.00", "47.00", "bill of sale")]);
    assert_eq!((&*sales.sum, sales.here.len()), ("107.00", 1));

    let ends = desk::ends(&state, desk::people::Eyes::new(&NoKeys, true), desk::Days::default());
    assert_eq!((&*ends.lines[0].how, &*ends.lines[0].words), ("sell", "bill of sale"));
}
