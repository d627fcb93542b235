//! In which units a hand reads: the shop's setting, whatever was typed.

use burrline_proto::v1;
use burrline_terms::words::Role;

use crate::harness::{Hand, Shop};

async fn level(shop: &Shop, place: &str) -> v1::BathLine {
    let mut places = shop.floor(Some(place)).await.places;
    places.remove(0).bath.unwrap()
}

async fn figures(hand: &Hand, line: &str) -> String {
    hand.says(line)
        .await
        .iter()
        .flat_map(|receipt| receipt.figures.clone())
        .collect::<Vec<_>>()
        .join("\n")
}

#[tokio::test]
async fn a_shop_that_set_us_units_reads_gallons_fahrenheit_and_pounds_whatever_was_typed() {
    let shop = Shop::start().await;
    let owner = shop.bench("office", Role::Owner).await;
    owner.adds_places().await;
    let typed = figures(&owner, "fill pot-1 30 L").await;
    assert!(typed.contains("pot-1: 30 L"), "nothing is set: {typed}");
    owner.says("heat pot-1 lit 190F").await;
    let bath = level(&shop, "pot-1").await;
    assert_eq!((bath.level.as_str(), bath.heat.as_str()), ("30 L", "lit, 190 \u{b0}F"));

    owner.says("set-shop units us").await;
    let bath = level(&shop, "pot-1").await;
    assert_eq!((bath.level.as_str(), bath.litres.as_str()), ("7.93 gal", "30"));
    let topped = figures(&owner, "top-up pot-1 2 qt").await;
    assert!(topped.contains("pot-1: 8.43 gal"), "{topped}");
    let heated = figures(&owner, "heat pot-1 boil").await;
    assert!(heated.contains("\u{b0}F") && !heated.contains("\u{b0}C"), "{heated}");
    assert!(!heated.contains(" mm"), "{heated}");
    owner.takes_in("0417").await;
    owner.says("weigh 0417 1420 g").await;
    let weighed = |view: v1::JobView| {
        view.facts.into_iter().find(|fact| fact.starts_with("weighed")).unwrap()
    };
    assert_eq!(weighed(shop.show("0417").await), "weighed: 3 lb 2.1 oz");

    owner.says("set-shop units metric").await;
    let bath = level(&shop, "pot-1").await;
    assert_eq!((bath.level.as_str(), bath.heat.as_str()), ("31.89 L", "boil, 87.8 \u{b0}C"));
    assert_eq!(weighed(shop.show("0417").await), "weighed: 1420 g");
}

#[tokio::test]
async fn a_rules_remark_on_a_bath_reads_in_the_shops_degrees_and_never_in_thirty_figures() {
    let shop = Shop::start().await;
    let owner = shop.bench("office", Role::Owner).await;
    owner.says("add-place tub-1 tub --material plastic").await;
    owner.says("fill tub-1 18 L 2 L 12 %").await;
    let remarked = |receipts: Vec<v1::Receipt>| {
        let remarks = crate::harness::remarks(receipts[0].outcome.as_ref()).unwrap();
        remarks.into_iter().map(|remark| remark.words).collect::<Vec<_>>().join("; ")
    };
    let words = remarked(owner.says("reading tub-1 --temperature 141F").await);
    assert!(words.contains("at 60.6 C"), "{words}");
    owner.says("set-shop units us").await;
    let words = remarked(owner.says("reading tub-1 --temperature 141F").await);
    assert!(words.contains("at 141 F"), "{words}");
}

#[tokio::test]
async fn units_are_us_or_metric_and_nothing_else() {
    let shop = Shop::start().await;
    let owner = shop.bench("office", Role::Owner).await;
    let receipts = owner.says("set-shop units imperial").await;
    assert_eq!(crate::harness::remarks(receipts[0].outcome.as_ref()), None);
}
