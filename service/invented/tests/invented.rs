//! The invented season holds together: the same every time, and with nothing in it that does not fit.
#![cfg(test)]

use std::collections::BTreeMap;

use burrline_domain::{
    State, Verb,
    fold::{Cause, JobClash},
};
use burrline_invented::{Season, text};

fn season() -> (Season, State) {
    let season = Season::make(400, 7);
    let state = State::replay(season.records().unwrap());
    (season, state)
}

#[test]
fn a_season_of_four_hundred_heads_is_folded_with_every_head_on_its_way() {
    let (season, state) = season();
    let records = state.records();
    assert!((8_000..20_000).contains(&records), "{records}");
    assert_eq!(state.jobs().len(), 400);
    let ended = state.jobs().values().filter(|job| job.ended.is_some()).count();
    assert!(ended > 330, "{ended} of 400 were handed over");
    let hands: std::collections::BTreeSet<_> =
        state.facts().filter_map(|fact| fact.record.entry.hand.clone()).collect();
    assert_eq!(hands.len(), 4);
    let mut kinds: BTreeMap<&str, usize> = BTreeMap::new();
    for line in &season.said {
        *kinds.entry(line.verb).or_default() += 1;
    }
    for verb in ["hold", "release", "damage", "strike", "amend", "dispute", "change", "ship"] {
        assert!(kinds.contains_key(verb), "{verb}: {kinds:?}");
    }
}

#[test]
fn what_does_not_fit_are_forgotten_outs_and_nothing_else() {
    let (_, state) = season();
    let clashes = state.clashes();
    let other: Vec<String> = clashes
        .iter()
        .filter(|clash| !matches!(clash.cause, Cause::Job(JobClash::NeverOut { .. })))
        .map(|clash| format!("{clash:?}"))
        .collect();
    assert!(
        other.is_empty(),
        "{} of {}: {:#?}",
        other.len(),
        clashes.len(),
        other.iter().take(3).collect::<Vec<_>>()
    );
    assert!((3..150).contains(&clashes.len()), "{}", clashes.len());
}

#[test]
fn the_same_seed_is_the_same_season_and_another_is_not() {
    let make = |seed| Season::make(60, seed);
    assert_eq!(make(7).text(), make(7).text());
    assert_ne!(make(7).text(), make(8).text());
    let digest = |seed| State::replay(make(seed).records().unwrap()).digest();
    assert_eq!(digest(7), digest(7));
}

#[test]
fn nobody_owes_what_the_till_has_taken() {
    let (_, state) = season();
    let ended = state.jobs().values().filter(|job| job.ended.is_some());
    let owing: Vec<String> = ended
        .filter(|job| !state.share(job.id).owed().amount().is_zero())
        .map(|job| format!("{}: {}", state.tag_of(job.id).unwrap(), state.share(job.id).owed()))
        .collect();
    assert!(owing.is_empty(), "{owing:?}");
}

#[test]
fn a_line_is_typed_as_at_a_bench() {
    let (season, _) = season();
    let typed = |verb: &str| {
        let line = season.said.iter().find(|line| line.verb == verb).unwrap();
        text::typed(line)
    };
    assert_eq!(typed("add-hand"), "add-hand --name ines");
    assert!(typed("in").starts_with("in freezer-"), "{}", typed("in"));
    assert!(typed("ticket").contains("--phone 555-01"), "{}", typed("ticket"));
    assert!(typed("amend").contains(" weigh "), "{}", typed("amend"));
    let entries = season.said.iter().filter(|line| matches!(line.verb, "take-in"));
    assert_eq!(entries.count(), 400);
}

#[test]
fn five_thousand_heads_are_a_season_too() {
    let season = Season::make(5_000, 1);
    let records = season.records().unwrap();
    let taken = records.iter().filter(|record| matches!(record.entry.verb, Verb::TakeIn(_)));
    assert_eq!(taken.count(), 5_000);
    let gone = |record: &&burrline_domain::Record| {
        matches!(record.entry.verb, Verb::HandOver(_) | Verb::Ship(_))
    };
    assert!(records.iter().filter(gone).count() > 4_000);
}
