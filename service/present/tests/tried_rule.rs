//! Rules tried on a whole season, each act judged by the story before it. The season is invented.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

use std::sync::Arc;

use burrline_domain::State;
use burrline_host::{Clock as _, Kind, MonotonicClock, Sandbox, Script, Stages, shipped};
use burrline_invented::Season;
use burrline_present::{
    judge::Wants,
    scripts::{Trial, tried_act},
};
use burrline_proto::v1;
use burrline_terms::Moment;

/// How often a rule was asked over a season, and what it objected to.
fn tried(season: &Season, name: &str) -> (usize, Vec<v1::BacktestAct>) {
    let source = shipped().iter().find(|script| script.name == name).unwrap().source;
    let sandbox = Arc::new(Sandbox::default());
    let script = Script::compile(&sandbox, Kind::Stages, name, source).unwrap();
    let rule = Stages::new(script).unwrap();
    let wants = Wants::of([source]);
    let trial = Trial { from: Moment(0), until: Moment(i64::MAX) };
    let (mut state, mut asked, mut objected) = (State::new(), 0, Vec::new());
    let clock = MonotonicClock::start();
    for record in season.records().unwrap() {
        if let Some(said) = tried_act(&state, &rule, wants, trial, &record) {
            asked += 1;
            objected.extend(said);
        }
        state.apply(record);
    }
    println!("{name}: {asked} acts of {} records in {:?}", state.records(), clock.now());
    (asked, objected)
}

#[test]
fn a_rule_that_was_kept_all_season_objects_to_nothing_and_a_new_one_says_to_what() {
    let season = Season::make(400, 7);
    let (asked, objected) = tried(&season, "dry-before-coat");
    assert!(asked >= 360, "every coat is asked about: {asked}");
    assert_eq!(objected, [], "this shop waits long enough");
    // Nobody in the invented shop looks for the ear bones before a second go.
    let (_, objected) = tried(&season, "fragile-bones");
    assert!(objected.len() > 20, "{}", objected.len());
    for act in &objected {
        assert!(act.objects && act.line.starts_with("in "), "{act:?}");
        assert!(act.words.contains("not said since take-in"), "{act:?}");
    }
}
