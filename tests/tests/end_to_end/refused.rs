//! What was left off after a question and what was refused can be read, near and away.

use burrline_bench::{Choice, Ending, Nobody, SystemClock};
use burrline_domain::Verb;
use burrline_present::readings::{Days, Refused, Rules, Then};
use burrline_proto::{decode_record, v1};
use burrline_terms::{Typed as _, words::Role};
use prost::Message as _;

use crate::harness::{Hand, Shop, named};

fn all() -> Refused {
    let days = Days::read("2020-01-01..2099-12-31").unwrap();
    Refused { days: Some(days), at_bench: None, rule: None }
}

async fn listed(bench: &Hand, asked: Refused) -> Vec<v1::RefusedLine> {
    bench.reads(asked).await.lines
}

/// The lines that were left off, as they are on the log.
async fn noted(shop: &Shop) -> Vec<String> {
    let left_off = |record: v1::Record| {
        let (record, _) = decode_record(&record.encode_to_vec()).unwrap();
        let Verb::LeftOff(left_off) = record.entry.verb else { return None };
        Some(left_off.what.to_string())
    };
    shop.records().await.into_iter().filter_map(left_off).collect()
}

#[tokio::test]
async fn what_a_hand_leaves_off_is_listed_with_the_rule_that_objected_and_changes_nothing() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Owner).await;
    yard.adds_places().await;
    yard.takes_in("0417").await;
    let before = shop.show("0417").await;
    let (said, asked) = yard.says_and("in pot-9 0417 --hand bo", Choice::LeaveOff).await;
    assert_eq!((said.ending(), asked.asked.len()), (Ending::Refused, 1));
    let after = shop.show("0417").await;
    assert_eq!((after.facts, after.stays), (before.facts, before.stays));
    assert_eq!(shop.clashes().await, [""; 0]);

    let lines = listed(&yard, all()).await;
    let [line] = lines.as_slice() else { panic!("{lines:?}") };
    assert_eq!((line.line.as_str(), line.left_off), ("in pot-9 0417", true));
    assert_eq!((line.bench.as_str(), line.hand.as_str()), ("yard-1", "bo"));
    assert_eq!(line.rules, ["place"]);
    assert_eq!(line.skull.as_ref().map(|skull| skull.tag.as_str()), Some("0417"));

    let rule = |rule: &str| Refused { rule: Some(named(rule)), ..all() };
    let at = |bench: &str| Refused { at_bench: Some(named(bench)), ..all() };
    assert_eq!(listed(&yard, rule("place")).await.len(), 1);
    assert_eq!(listed(&yard, rule("wrap-first")).await, []);
    assert_eq!(listed(&yard, at("yard-1")).await.len(), 1);
    assert_eq!(listed(&yard, at("yard-2")).await, []);
    let long_ago = Refused { days: Some(Days::read("2020-01-01").unwrap()), ..all() };
    assert_eq!(listed(&yard, long_ago).await, []);

    let rules = shop.reads(Rules { since: None }).await;
    let rules = rules.rules;
    let place = rules.iter().find(|line| line.rule == "place").unwrap();
    assert_eq!((place.left_off, place.anyway), (1, 0));
}

#[tokio::test]
async fn what_nobody_answered_is_not_noted_and_a_slip_is_taken_back_past_the_note() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Owner).await;
    yard.adds_places().await;
    yard.takes_in("0417").await;
    yard.types("in pot-9 0417", &mut Nobody).await;
    assert_eq!(noted(&shop).await, [""; 0]);

    yard.says("note 0417 first").await;
    yard.says_and("in pot-9 0417", Choice::LeaveOff).await;
    yard.says("strike").await;
    let trail = shop.trail("0417").await;
    let note = trail.iter().find(|line| line.words.starts_with("note")).unwrap();
    assert!(note.struck, "the last thing that was said is taken back, not what was left off");
    assert_eq!(listed(&yard, all()).await.len(), 1);
}

#[tokio::test]
async fn a_decision_that_was_refused_stands_in_the_same_list() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Owner).await;
    yard.says("add-place pot-1 pot").await;
    yard.says("add-place pot-1 pot").await;
    let lines = listed(&yard, all()).await;
    let [line] = lines.as_slice() else { panic!("{lines:?}") };
    assert!(!line.left_off && line.why.contains("there already"), "{line:?}");
    assert_eq!(line.rules, ["already"]);
}

#[tokio::test]
async fn away_it_waits_with_everything_else_and_is_read_from_the_copy() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Owner).await;
    yard.adds_places().await;
    yard.takes_in("0417").await;
    yard.bench.catch_up(&SystemClock, None).await.unwrap();
    let nowhere = "http://127.0.0.1:9";
    let mut settings = yard.bench.folder().settings().unwrap();
    let home = std::mem::replace(&mut settings.shop, nowhere.to_owned());
    yard.bench.folder().keep_settings(&settings).unwrap();
    let away = yard.copied();
    let (said, _) = away.says_and("in pot-9 0417", Choice::LeaveOff).await;
    assert_eq!(said.ending(), Ending::Refused);
    let reading = away.bench.read(all(), Then::default(), &SystemClock).await.unwrap();
    assert!(reading.how_old.is_some());
    assert_eq!(reading.answer.lines.len(), 1);
    assert_eq!(noted(&shop).await, [""; 0]);

    settings.shop = home;
    away.bench.folder().keep_settings(&settings).unwrap();
    let back = away.copied();
    back.bench.send(&SystemClock).await.unwrap();
    assert_eq!(noted(&shop).await, ["in pot-9 0417"]);
}

#[tokio::test]
async fn nothing_that_a_person_wrote_freely_is_in_the_note() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Owner).await;
    yard.adds_places().await;
    yard.says_and("note 0999 \"call Ada Fenn 555-0142\"", Choice::LeaveOff).await;
    assert_eq!(noted(&shop).await, ["note 0999"]);
    let lines = listed(&yard, all()).await;
    assert!(lines[0].rules.iter().any(|rule| rule == "unknown-tag"), "{lines:?}");
}
