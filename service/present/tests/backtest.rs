//! A price list tried on a season of five thousand jobs. The season is invented.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

#[path = "../../domain/tests/common/mod.rs"]
mod common;

use std::sync::Arc;

use burrline_host::{Clock, Kind, MonotonicClock, Prices, Pricing, Sandbox, Script, shipped};
use burrline_present::{
    judge::Wants,
    scripts::{Trial, at_its_end, ended, priced},
};
use burrline_terms::Moment;
use common::Story;

const JOBS: u32 = 5_000;

#[test]
fn a_season_of_five_thousand_jobs_is_priced_anew_by_what_was_known_at_each_end() {
    let mut story = Story::default();
    for n in 0..JOBS {
        let (tag, day) = (10_000 + n, n / 50);
        let species = if n % 5 == 0 { "elk" } else { "whitetail" };
        story.say(1, &format!("{day} 08:00"), &format!("take-in {tag} species:{species}"));
        story.say(1, &format!("{day} 08:05"), &format!("quote {tag} total:120"));
        story.say(1, &format!("{} 08:00", day + 30), &format!("hand-over {tag}"));
    }
    let state = story.state();
    let list = shipped().iter().find(|script| script.name == "deer-family").unwrap();
    let sandbox = Arc::new(Sandbox::default());
    let script = Script::compile(&sandbox, Kind::Pricing, list.name, list.source).unwrap();
    let wants = Wants::of([&script]);
    let pricing = Prices::of([Pricing::new(script).unwrap()]);

    let clock = MonotonicClock::start();
    let trial = Trial { from: Moment(0), until: Moment(i64::MAX) };
    let jobs = ended(&state, trial);
    let prices: Vec<_> = jobs
        .iter()
        .filter_map(|job| at_its_end(&state, *job, wants))
        .map(|job| priced(&pricing, job))
        .collect();
    println!("{} jobs priced in {:?}", prices.len(), clock.now());

    assert_eq!(prices.len(), usize::try_from(JOBS).unwrap());
    assert!(prices.iter().all(|price| price.heard == "120.00" && price.failure.is_empty()));
    let elk = prices.iter().filter(|price| price.gives == "215.00" && price.group == "elk");
    assert_eq!(elk.count(), 1_000);
    assert_eq!(prices.iter().filter(|price| price.gives == "125.00").count(), 4_000);
    // Nothing is asked of what ended outside the time.
    let early = Trial { until: Moment(31 * 86_400_000), ..trial };
    assert_eq!(ended(&state, early).len(), 50);
}
