//! The tricky promises, worked through: given what was said, when a late line arrives, then.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

mod common;

use burrline_domain::{
    fold::{Misfit, Route, Until},
    verb::Ending,
};
use burrline_terms::{Happened, Moment, Money, Name, Typed, words::Piece};
use common::{Story, at, clashes, place, said, tag};
use rust_decimal::Decimal;

#[test]
fn out_before_in_in_the_wrong_order_heals() {
    let mut late = Story::default();
    late.say(1, "7:00", "take-in 0611");
    late.say(1, "8:00", "in place:pot-1 0611");
    late.say(2, "10:00", "in place:tank-2 0611");
    let state = late.state();
    assert_eq!(place(&state, "0611").as_deref(), Some("tank-2"));
    assert_eq!(clashes(&state).len(), 1, "{:?}", clashes(&state));
    assert!(clashes(&state)[0].contains("was in pot-1, never said out"));

    late.say(3, "9:50", "out 0611");
    let state = late.state();
    assert!(clashes(&state).is_empty(), "{:?}", clashes(&state));
    let job = state.jobs().values().next().unwrap();
    let heat = job.heat_minutes(|place| place.as_str() == "pot-1", at("12:00"));
    assert_eq!(heat, 110);

    let mut right = Story::default();
    right.say(1, "7:00", "take-in 0611");
    right.say(1, "8:00", "in place:pot-1 0611");
    right.say(3, "9:50", "out 0611");
    right.say(2, "10:00", "in place:tank-2 0611");
    assert_eq!(state.digest(), right.state().digest());
}

#[test]
fn a_forgotten_out_is_bounded_by_the_wash_and_narrowed_by_a_said_time() {
    let mut story = Story::default();
    story.say(1, "7:00", "take-in 0612");
    story.say(1, "8:00", "in place:pot-1 0612");
    story.say(1, "9:30", "wash 0612");
    let state = story.state();
    let job = state.jobs().values().next().unwrap();
    assert!(matches!(job.stays[0].until, Until::Unsaid(h) if h.at == at("9:30")));
    assert_eq!(job.heat_minutes(|_| true, at("12:00")), 90);
    assert_eq!(job.stays[0].shortest_ms(at("12:00")), 0);

    story.say_later(1, "9:10", "11:00", "out 0612");
    let state = story.state();
    let job = state.jobs().values().next().unwrap();
    assert!(matches!(job.stays[0].until, Until::Said(h) if h.said && h.typed == at("11:00")));
    assert_eq!(job.heat_minutes(|_| true, at("12:00")), 70);
    assert!(clashes(&state).is_empty());
}

#[test]
fn late_water_is_an_exact_sum_and_a_reading_ends_the_sum_before_it() {
    let strength = |story: &Story| {
        let state = story.state();
        let water = state.waters().get(&Name::read("tub-1").unwrap()).unwrap();
        let level = water.bath().unwrap().level().unwrap().clone();
        (level.litres, level.peroxide_grams, level.percent_wv().unwrap().round_dp(2).to_string())
    };
    let mut story = Story::default();
    story.say(1, "9:00", "fill place:tub-1 water:18L add:peroxide=2L@12%");
    assert_eq!(strength(&story), (Decimal::from(20), Decimal::from(240), "1.20".to_owned()));
    story.say(1, "11:00", "top-up place:tub-1 add:peroxide=1L@12%");
    assert_eq!(strength(&story).2, "1.71");
    let mut read = story.clone();
    story.say(2, "10:00", "top-up place:tub-1 add:peroxide=2L@12%");
    assert_eq!(strength(&story), (Decimal::from(23), Decimal::from(600), "2.61".to_owned()));

    read.say(2, "10:00", "top-up place:tub-1 add:peroxide=2L@12%");
    read.say(3, "10:30", "reading place:tub-1 strength:2.0%");
    assert_eq!(strength(&read), (Decimal::from(23), Decimal::from(560), "2.43".to_owned()));
}

#[test]
fn a_sale_ends_the_job_and_what_ended_it_first_stays_its_end() {
    let mut story = Story::default();
    let own = story.say(1, "0 9:00", "take-in 0613");
    let sale = story.say(1, "4 9:00", "sell 0613 price:250 papers:bill_of_sale");
    let state = story.state();
    let job = state.job(own).unwrap();
    assert_eq!(job.ended.as_ref().map(|(_, how)| *how), Some(Ending::Sell));
    let charged: Vec<_> = job.charges.iter().map(|(entry, _, amount)| (*entry, *amount)).collect();
    assert_eq!(charged, [(sale, Money::read("250").unwrap())]);
    assert!(clashes(&state).is_empty(), "{:?}", clashes(&state));

    let mut given = Story::default();
    let own = given.say(1, "0 9:00", "take-in 0613");
    given.say(1, "3 9:00", &format!("hand-over 0613/{own}"));
    given.say(1, "4 9:00", &format!("sell 0613/{own} price:250"));
    let state = given.state();
    let ended = state.job(own).unwrap().ended.as_ref().map(|(_, how)| *how);
    assert_eq!(ended, Some(Ending::HandOver));
    assert_eq!(clashes(&state).len(), 1, "{:?}", clashes(&state));
}

#[test]
fn a_tag_used_again_keeps_each_line_on_the_job_that_wore_it_then() {
    let mut story = Story::default();
    let a = story.say(1, "0 9:00", "take-in 0613");
    story.say(1, "4 9:00", "hand-over 0613");
    let b = story.say(1, "5 9:00", "take-in 0613");
    let friday = story.say(2, "1 9:00", &format!("wash 0613/{a}"));
    let unmeant = story.say(2, "1 10:00", "wash 0613");
    let tuesday = story.say(2, "5 11:00", &format!("wash 0613/{a}"));
    let state = story.state();
    assert_eq!(state.route(friday), Some(&Route::Job(a)));
    assert_eq!(state.route(unmeant), Some(&Route::Job(a)));
    assert!(matches!(
        state.route(tuesday),
        Some(Route::Unplaced(Misfit::TagDisagrees { meant, .. })) if *meant == a
    ));
    assert_eq!(clashes(&state).len(), 1);
    assert_ne!(a, b);
}

#[test]
fn a_tag_nobody_knows_yet_attaches_when_its_clip_arrives() {
    let mut story = Story::default();
    let wash = story.say(2, "10:00", "wash 0614");
    assert!(matches!(
        story.state().route(wash),
        Some(Route::Unplaced(Misfit::UnknownTag(t))) if *t == tag("614")
    ));
    let job = story.say(1, "9:00", "take-in untagged");
    story.say(1, "9:00", &format!("clip-tag {job} tag:0614"));
    let state = story.state();
    assert_eq!(state.route(wash), Some(&Route::Job(job)));
    assert!(clashes(&state).is_empty());

    let other = story.say(3, "8:00", "take-in 0614");
    assert!(matches!(story.state().route(wash), Some(Route::Unplaced(Misfit::TwoJobs(_)))));
    story.say(1, "13:00", &format!("assign entry:{wash} job:{other}"));
    assert_eq!(story.state().route(wash), Some(&Route::Job(other)));
}

#[test]
fn jaw_and_skull_may_be_apart() {
    let mut story = Story::default();
    story.say(1, "8:00", "take-in 0615");
    story.say(1, "9:00", "bag 0615/jaw");
    story.say(1, "9:10", "in place:tank-1 0615/jaw");
    story.say(1, "9:20", "in place:pot-2 0615");
    let state = story.state();
    assert!(clashes(&state).is_empty());
    let job = state.jobs().values().next().unwrap();
    assert_eq!(job.stay_of(Piece::Jaw).unwrap().place.as_str(), "tank-1");
    assert_eq!(job.place().unwrap().as_str(), "pot-2");
    assert_eq!(job.parts_away(), [Piece::Jaw]);
}

#[test]
fn strike_crosses_out_and_amend_counts_from_the_first_moment() {
    let mut story = Story::default();
    story.say(1, "8:00", "take-in 0617");
    let wash = story.say(1, "9:00", "wash 0617");
    story.say(1, "9:01", &format!("strike entries:{wash}"));
    let weigh = story.say(1, "10:00", "weigh 0617 mass:1420g");
    let before = story.records.len();
    let amended = burrline_domain::verb::Amend {
        entry: weigh,
        verb: Box::new(said("weigh 0617 mass:1240g")),
    };
    story.say_verb(1, Happened::exactly(at("11:00")), amended.into());

    let state = story.state();
    let job = state.jobs().values().next().unwrap();
    assert!(state.meaning(wash).is_none());
    assert_eq!(job.masses.len(), 1);
    assert_eq!(job.masses[0].0.at, at("10:00"));
    assert_eq!(job.masses[0].1.grams(), Decimal::from(1240));
    let trail = state.trail(job.id);
    assert!(trail.iter().any(|line| line.struck_by.is_some()), "a struck line stays visible");

    let known_before = burrline_domain::State::replay(story.records[..before].to_vec());
    let job = known_before.jobs().values().next().unwrap();
    assert_eq!(job.masses[0].1.grams(), Decimal::from(1420));
}

#[test]
fn a_minimum_counts_from_the_safe_end_and_a_said_time_settles_it() {
    let doubt = Happened {
        not_before: at("17:00"),
        not_after: at("21:00"),
        ..Happened::exactly(at("19:00"))
    };
    let mut story = Story::default();
    story.say(1, "8:00", "take-in 0620");
    let rack = story.say_verb(1, doubt, said("in place:rack-1 0620"));
    let next_day = at("1 18:00");
    let state = story.state();
    let hours = |state: &burrline_domain::State| {
        state.jobs().values().next().unwrap().stays[0].shortest_ms(next_day) / 3_600_000
    };
    assert_eq!(hours(&state), 21);
    assert_eq!(state.fact(rack).unwrap().happened().not_after, at("21:00"));
}

#[test]
fn a_payment_spreads_over_the_ticket_and_a_refund_touches_one_job() {
    let money = |text: &str| Money::read(text).unwrap();
    let mut story = Story::default();
    let ticket = story.say(1, "8:00", "ticket");
    let jobs: Vec<_> = ["0701", "0702", "0703"]
        .iter()
        .map(|number| story.say(1, "8:05", &format!("take-in {number} ticket:{ticket}")))
        .collect();
    for job in &jobs {
        story.say(1, "8:10", &format!("quote {job} total:135.00"));
    }
    story.say(1, "8:20", "pay 0701 amount:200.00");
    let state = story.state();
    let paid: Vec<_> = jobs.iter().map(|job| state.share(*job).paid).collect();
    assert_eq!(paid, [money("66.67"), money("66.67"), money("66.66")]);
    assert_eq!(state.account(jobs[0]).owed(), money("205.00"));

    story.say(1, "8:30", "refund 0702 amount:10.00");
    let state = story.state();
    assert_eq!(state.share(jobs[0]).owed(), money("68.33"));
    assert_eq!(state.share(jobs[1]).owed(), money("78.33"));
    assert_eq!(state.share(jobs[2]).owed(), money("68.34"));
}

#[test]
fn work_after_hand_over_counts_and_clashes() {
    let mut story = Story::default();
    let job = story.say(1, "8:00", "take-in 0621");
    story.say(1, "9:00", "hand-over 0621");
    story.say(2, "10:00", &format!("wash 0621/{job}"));
    assert!(clashes(&story.state())[0].contains("after the job had ended"));
    story.say(1, "9:30", &format!("bring-back 0621/{job}"));
    assert!(clashes(&story.state()).is_empty());
}

#[test]
fn moments_before_1970_and_far_ahead_do_not_trouble_the_fold() {
    let mut story = Story::default();
    for when in [i64::MIN, -1, i64::MAX] {
        story.say_verb(1, Happened::exactly(Moment(when)), said("take-in 0622"));
        story.say_verb(1, Happened::exactly(Moment(when)), said("in place:pot-1 0622"));
    }
    assert_eq!(story.state().records(), 6);
}

#[test]
fn a_strike_of_a_strike_brings_the_line_back_and_many_strikes_cost_little() {
    let mut story = Story::default();
    story.say(1, "8:00", "take-in 0630");
    let wash = story.say(1, "9:00", "wash 0630");
    let strike = story.say(1, "9:01", &format!("strike entries:{wash}"));
    assert!(story.state().meaning(wash).is_none());
    story.say(1, "9:02", &format!("strike entries:{strike}"));
    assert!(story.state().meaning(wash).is_some());

    // Each strike names all strikes before it: 2^60 ways to go back if any were gone twice.
    let mut strikes = vec![wash];
    for minute in 10..59 {
        let names: Vec<String> = strikes.iter().map(|name| format!("entries:{name}")).collect();
        strikes.push(story.say(1, &format!("9:{minute}"), &format!("strike {}", names.join(" "))));
    }
    assert!(story.state().meaning(wash).is_none());
}

#[test]
fn a_deposit_said_before_its_take_in_is_not_lost() {
    let mut story = Story::default();
    let job = story.say(1, "8:00", "take-in 0631");
    story.say(2, "7:00", &format!("pay {job} amount:100.00"));
    story.say(1, "8:10", "quote 0631 total:120.00");
    assert_eq!(story.state().share(job).owed().to_string(), "20.00");
}

#[test]
fn a_recipe_gives_what_was_not_said() {
    let mut story = Story::default();
    story.say(1, "7:00", "recipe name:white water:18L add:peroxide=2L@12%");
    story.say(1, "8:00", "fill place:tub-1 recipe:white water:8L");
    let state = story.state();
    let water = state.waters().get(&Name::read("tub-1").unwrap()).unwrap();
    let level = water.bath().unwrap().level().unwrap();
    assert_eq!((level.litres, level.peroxide_grams), (Decimal::from(10), Decimal::from(240)));
}

#[test]
fn work_after_an_inspection_wants_another() {
    let mut story = Story::default();
    let job = story.say(1, "8:00", "take-in 0632");
    story.say(1, "9:00", "inspect 0632");
    assert!(story.state().job(job).unwrap().inspected_by.is_some());
    story.say(1, "10:00", "repair 0632");
    assert!(story.state().job(job).unwrap().inspected_by.is_none());
}

#[test]
fn a_strength_read_in_a_water_of_unknown_volume_is_kept() {
    let mut story = Story::default();
    story.say(1, "8:00", "fill place:tub-3");
    story.say(1, "8:10", "reading place:tub-3 strength:2%");
    let state = story.state();
    let water = state.waters().get(&Name::read("tub-3").unwrap()).unwrap();
    let level = water.bath().unwrap().level().unwrap();
    assert_eq!(level.percent_wv(), Some(Decimal::from(2)));
    assert!(level.has_peroxide());
}

#[test]
fn carrying_and_weighing_a_skull_makes_nobody_a_worker_on_it() {
    let mut story = Story::default();
    story.say(1, "8:00", "take-in 0633");
    for line in ["in place:pot-1 0633", "out 0633", "weigh mass:1420g 0633", "look 0633"] {
        story.say(1, "9:00", line);
    }
    let hands = |story: &Story| story.state().jobs().values().next().unwrap().hands.len();
    assert_eq!(hands(&story), 0);
    story.say(1, "10:00", "wash 0633");
    assert_eq!(hands(&story), 1);
}

#[test]
fn a_skull_is_coated_where_it_stands() {
    let mut story = Story::default();
    story.say(1, "8:00", "take-in 0634");
    story.say(1, "9:00", "in place:rack-1 0634");
    story.say(1, "10:00", "coat 0634");
    let state = story.state();
    let job = state.jobs().values().next().unwrap();
    assert!(job.stays[0].open(), "{:?}", job.stays);
    assert!(clashes(&state).is_empty());
}
