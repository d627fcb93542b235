//! The books of the invented season add up: every till, the cards' batches, and what takings hold.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

use std::path::PathBuf;

use burrline_domain::State;
use burrline_evidence::seal::SealKey;
use burrline_invented::Season;
use burrline_present::{Opens, desk, judge::Judge};
use burrline_terms::{Day, Moment, Money, Typed as _};

struct NoKeys;

impl Opens for NoKeys {
    fn key(&self, _: &[u8; 16]) -> Option<SealKey> {
        None
    }
}

fn money(text: &str) -> Money {
    Money::read(text).unwrap()
}

#[test]
fn every_till_of_the_season_is_closed_and_one_is_short() {
    let season = Season::make(120, 7);
    let state = State::replay(season.records().unwrap());
    let drawers = desk::till::drawer::days(&desk::till::moves(&state));
    let odd: Vec<(String, String)> = drawers
        .iter()
        .filter_map(|(day, drawer)| Some((day, drawer.over?)))
        .filter(|(_, over)| *over != Money::ZERO)
        .map(|(day, over)| (day.to_string(), over.to_string()))
        .collect();
    let short = odd.iter().all(|(day, over)| day == "2025-12-01" && over == "-4.25");
    assert!(short && odd.len() <= 1, "{odd:?}");
    // Each evening leaves the float.
    assert!(drawers.values().all(|drawer| drawer.left == Some(money("200.00"))), "{drawers:?}");
    // Stock may come in after the last customer.
    let counted = drawers.iter().filter(|(_, drawer)| drawer.counted.is_some());
    let last = counted.map(|(day, _)| *day).next_back().unwrap();
    let till = desk::till::till(&state, last);
    assert!(till.closed);
    assert_eq!(till.cards_waiting, "0.00");
    let eyes = desk::people::Eyes::new(&NoKeys, true);
    let first = Day::read("2025-08-31").unwrap();
    let takings = desk::takings(&state, eyes, first, last);
    let sum = |a: &str, b: &str| Money::sum([money(a), money(b)]);
    assert_eq!(money(&takings.net), sum(&takings.settled, &takings.held_after));
    assert_eq!(
        money(&takings.settled).checked_sub(money(&takings.kept_otherwise)),
        money(&takings.earned).checked_sub(money(&takings.owed_after))
    );
}

#[test]
fn the_season_ends_with_heads_that_have_a_promised_day() {
    let season = Season::make(120, 7);
    let state = State::replay(season.records().unwrap());
    let here = state.jobs().open();
    let (mut promised, mut all) = (0, 0);
    for job in here {
        all += 1;
        promised += usize::from(job.promise.is_some());
    }
    assert!(promised > 0 && promised <= all, "{promised} of {all}");
    let eyes = desk::people::Eyes::new(&NoKeys, true);
    let last = state.last_shop_time();
    let calls = desk::calls(&state, &Judge::new(PathBuf::new()), eyes, Moment(last.0));
    assert!(!calls.lines.is_empty());
}
