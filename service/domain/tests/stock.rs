//! Stock by stuff and strength, and what a bath cost by the lots that went into it.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

mod common;

use burrline_domain::{
    State,
    fold::{BathCost, Kind, Measure},
};
use burrline_terms::{Money, Typed};
use common::{Story, clashes};
use rust_decimal::Decimal;

fn on_hand(state: &State, what: &str, strength: Option<u32>) -> String {
    let strength_wv = strength.map(Decimal::from);
    let kind = Kind { what: what.to_owned(), strength_wv, measure: Measure::Litres };
    state.stock().lines[&kind].on_hand().normalize().to_string()
}

fn cost(state: &State, bath: burrline_terms::EntryName) -> BathCost {
    state.stock().cost_of(bath)
}

fn money(text: &str) -> Money {
    Money::read(text).unwrap()
}

#[test]
fn what_is_booked_in_less_what_went_into_water_is_on_hand_by_strength() {
    let mut story = Story::default();
    story.say(1, "7:00", "receive-stock stuff:peroxide=20L@12% cost:80.00 lot:A");
    story.say(1, "7:00", "receive-stock stuff:Peroxide=5L@35% cost:60.00 lot:B");
    story.say(1, "8:00", "fill place:tub-1 water:18L add:peroxide=2L@12%");
    story.say(1, "9:00", "top-up place:tub-1 add:peroxide=500mL@12%");
    let state = story.state();
    assert_eq!(on_hand(&state, "peroxide", Some(12)), "17.5");
    assert_eq!(on_hand(&state, "peroxide", Some(35)), "5");
    story.say(1, "12:00", "change place:tub-1 old:cloudy");
    assert_eq!(on_hand(&story.state(), "peroxide", Some(12)), "15.5", "filled alike: 2 L again");
}

#[test]
fn a_count_is_absolute_and_a_late_line_before_it_does_not_move_it() {
    let mut story = Story::default();
    story.say(1, "7:00", "receive-stock stuff:soap=10L cost:30.00");
    story.say(1, "12:00", "count-stock stuff:soap=6L");
    assert_eq!(on_hand(&story.state(), "soap", None), "6");
    story.say(2, "9:00", "fill place:pot-1 water:20L add:soap=1L");
    assert_eq!(on_hand(&story.state(), "soap", None), "6");
    story.say(2, "13:00", "fill place:pot-1 water:20L add:soap=1L");
    assert_eq!(on_hand(&story.state(), "soap", None), "5");
    story.say(1, "14:00", "count-stock stuff:soap=8L");
    assert_eq!(on_hand(&story.state(), "soap", None), "8", "three litres more were found");
}

#[test]
fn a_bath_costs_what_its_lots_cost_the_oldest_first_and_no_cent_is_lost() {
    let mut story = Story::default();
    story.say(1, "7:00", "receive-stock stuff:peroxide=3L@12% cost:10.00 lot:A");
    story.say(1, "7:01", "receive-stock stuff:peroxide=10L@12% cost:50.00 lot:B");
    let first = story.say(1, "8:00", "fill place:tub-1 water:18L add:peroxide=2L@12%");
    let second = story.say(1, "9:00", "fill place:tub-2 water:18L add:peroxide=2L@12%");
    let state = story.state();
    let drawn = &state.stock().baths[&second];
    let lots: Vec<_> = drawn.iter().map(|d| d.lot.as_ref().unwrap().to_string()).collect();
    assert_eq!(lots, ["A", "B"], "a litre of each");
    let a = cost(&state, first).known.amount() + drawn[0].cost.unwrap().amount();
    assert_eq!(a.normalize(), Decimal::TEN, "all of lot A");
    assert_eq!(drawn[1].cost, Some(money("5.00")));
    assert!(!cost(&state, second).more);
}

#[test]
fn what_is_used_before_it_is_booked_in_comes_from_the_lot_that_is_booked_in_late() {
    let mut story = Story::default();
    story.say(1, "6:00", "receive-stock stuff:peroxide=1L@12% cost:4.00");
    let bath = story.say(1, "8:00", "fill place:tub-1 water:18L add:peroxide=3L@12%");
    let state = story.state();
    assert_eq!(on_hand(&state, "peroxide", Some(12)), "-2");
    assert_eq!(cost(&state, bath), BathCost { known: money("4.00"), more: true });
    let words = clashes(&state);
    assert!(words[0].contains("peroxide 12 %: 2 L more was used than booked in"), "{words:?}");

    story.say(2, "9:00", "receive-stock stuff:peroxide=20L@12% cost:100.00");
    let state = story.state();
    assert_eq!(on_hand(&state, "peroxide", Some(12)), "18");
    assert_eq!(cost(&state, bath), BathCost { known: money("14.00"), more: false });
    assert!(clashes(&state).is_empty());
}

#[test]
fn a_shop_that_books_nothing_in_is_short_of_nothing() {
    let mut story = Story::default();
    let bath = story.say(1, "8:00", "fill place:tub-1 water:18L add:peroxide=2L@12%");
    let state = story.state();
    assert!(state.stock().lines.is_empty());
    assert!(clashes(&state).is_empty());
    assert_eq!(cost(&state, bath), BathCost { known: Money::ZERO, more: true });
}

#[test]
fn a_struck_filling_gives_back_what_it_took() {
    let mut story = Story::default();
    story.say(1, "7:00", "receive-stock stuff:soap=10L");
    let fill = story.say(1, "8:00", "fill place:pot-1 water:20L add:soap=1L");
    story.say(1, "8:01", &format!("strike entries:{fill}"));
    assert_eq!(on_hand(&story.state(), "soap", None), "10");
}

#[test]
fn a_thing_is_stock_from_its_first_booking_on() {
    let mut story = Story::default();
    story.say(1, "7:00", "fill place:pot-1 water:20L add:soap=1L");
    story.say(1, "8:00", "receive-stock stuff:soap=10L");
    assert_eq!(on_hand(&story.state(), "soap", None), "10", "what was there before was never told");
}

fn pieces(state: &State, what: &str) -> String {
    let kind = Kind { what: what.to_owned(), strength_wv: None, measure: Measure::Pieces };
    state.stock().lines[&kind].on_hand().normalize().to_string()
}

#[test]
fn work_takes_from_the_stock_what_the_owner_says_that_one_of_it_uses() {
    let mut story = Story::default();
    story.say(1, "0 7:00", "receive-stock stuff:plaque=10 cost:120.00");
    story.say(1, "0 7:00", "receive-stock stuff:sealer=1L cost:20.00");
    let before = story.say(1, "1 7:00", "take-in 0417");
    story.say(1, "2 7:00", "mount 0417");
    story.say(1, "2 7:10", "coat 0417");
    assert_eq!(pieces(&story.state(), "plaque"), "10", "nothing is set");

    story.say(1, "2 8:00", "set-shop setting:uses.mount value:1_plaque,_2_screws");
    story.say(1, "2 8:00", "set-shop setting:uses.coat value:30_mL_sealer");
    let state = story.state();
    assert_eq!(pieces(&state, "plaque"), "9");
    assert_eq!(on_hand(&state, "sealer", None), "0.97");
    let screws = Kind { what: "screws".to_owned(), strength_wv: None, measure: Measure::Pieces };
    assert!(!state.stock().lines.contains_key(&screws), "what nobody booked in is no stock");

    story.say(1, "3 7:00", &format!("mount 0417/{before}"));
    story.say(1, "3 8:00", "count-stock stuff:plaque=7");
    story.say(1, "3 9:00", "set-shop setting:uses.coat value:none");
    let state = story.state();
    assert_eq!(pieces(&state, "plaque"), "7", "a count is absolute");
    assert_eq!(on_hand(&state, "sealer", None), "1", "the setting was taken back");
}

#[test]
fn it_is_low_at_what_the_owner_said_and_by_the_same_measure_alone() {
    let plaque = Kind { what: "plaque".to_owned(), strength_wv: None, measure: Measure::Pieces };
    let amount = |text: &str| burrline_terms::Amount::read(text).unwrap();
    assert!(plaque.is_low(Decimal::from(5), amount("5")));
    assert!(plaque.is_low(Decimal::from(-1), amount("5")));
    assert!(!plaque.is_low(Decimal::from(6), amount("5")));
    assert!(!plaque.is_low(Decimal::from(1), amount("5L")));
}
