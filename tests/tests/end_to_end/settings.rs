//! The shop's settings from end to end: listed, set, refused with what to type, seen by both ways.

use burrline_bench::SystemClock;
use burrline_proto::v1;
use burrline_terms::words::Role;

use crate::harness::Shop;

fn refused(receipt: &v1::Receipt) -> v1::refusal::Reason {
    match receipt.outcome.clone().unwrap().result.unwrap() {
        v1::outcome::Result::Refused(refusal) => refusal.reason.unwrap(),
        other @ v1::outcome::Result::Done(_) => panic!("{other:?}"),
    }
}

#[tokio::test]
async fn a_setting_is_in_force_once_it_was_taken_and_listed_from_there_on() {
    let shop = Shop::start().await;
    let owner = shop.bench("office", Role::Owner).await;
    let listed = async || owner.bench.shop_settings(&SystemClock).await.unwrap().answer;
    assert_eq!((listed().await.call_tries(), listed().await.zone().is_some()), (3, true));
    owner.says("set-shop call-tries 5").await;
    owner.adds_places().await;
    owner.says("set-shop holds.pot-1 6").await;
    let now = listed().await;
    assert_eq!(now.call_tries(), 5);
    assert!(now.own().any(|own| own == ("holds.pot-1", "6")));
}

#[tokio::test]
async fn a_refused_setting_says_why_by_a_reason_of_its_own_and_what_to_type() {
    let shop = Shop::start().await;
    let owner = shop.bench("office", Role::Owner).await;
    for (line, words) in [
        ("set-shop call-tries 0", "set-shop call-tries 4"),
        ("set-shop altitude 12km", "11000m"),
        ("set-shop holds.vat-9 4", "add it first"),
        ("set-shop look-again.pot 20", "1min to 30d"),
    ] {
        let receipt = owner.says(line).await.remove(0);
        let v1::refusal::Reason::BadSetting(why) = refused(&receipt) else { panic!("{line}") };
        assert!(why.contains(words), "{line}: {why}");
    }
    let receipt = owner.says("set-shop blinds down").await.remove(0);
    assert_eq!(refused(&receipt), v1::refusal::Reason::NoSuchSetting("blinds".to_owned()));
    let receipt = owner.says("retire-bench 99").await.remove(0);
    assert_eq!(refused(&receipt), v1::refusal::Reason::NoSuchBench(99));
}
