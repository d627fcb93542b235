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
    let wants = Wants::of([rule.script()]);
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

/// Heads of one season, by the day on which each came in: what is counted for a head is what a look
/// at the calendar says, and not only what begins with the same figures.
#[test]
fn the_heads_of_a_season_are_counted_up_to_each_of_them() {
    let mut state = State::new();
    for record in Season::make(120, 11).records().unwrap() {
        state.apply(record);
    }
    let zone = burrline_present::view::Zone::of(&state);
    let season = |at: Moment| state.settings().season_of(zone.day(at).unwrap());
    let now = state.last_shop_time();
    let open = state.jobs().open().count();
    for job in state.jobs().values() {
        let here = job.taken_in.unwrap().at;
        let so_far = state
            .jobs()
            .values()
            .filter_map(|other| other.taken_in)
            .filter(|other| season(other.at) == season(here) && other.at <= here);
        let facts = burrline_present::judge::job_facts(&state, job, now).season;
        assert_eq!(usize::try_from(facts.jobs_so_far), Ok(so_far.count()), "{:?}", job.id);
        assert_eq!(usize::try_from(facts.open_jobs), Ok(open));
        assert_eq!(facts.year, i64::from(season(here)));
    }
}
