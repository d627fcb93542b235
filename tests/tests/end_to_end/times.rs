//! When something happened, and what was known of it when.

use burrline_domain::{BenchClock, Moment, words::Role};
use burrline_proto::v1;
use burrline_tests::wire::{WireBench, record, verb};

use crate::harness::{Shop, skull};

const HOUR: u64 = 3_600_000;
const MINUTE: u64 = 60_000;

/// The clocks of a bench whose wall clock stands in 2001.
fn clocks(uptime_ms: u64) -> BenchClock {
    BenchClock { wall: Moment(1_000_000_000_000), boot: [9; 16], uptime_ms }
}

/// Sends what was said `ago` milliseconds before now, away.
async fn late(
    shop: &mut Shop,
    bench: &mut WireBench,
    ago: u64,
    word: &str,
    fields: &[(&str, &str)],
) -> v1::Receipt {
    let now = clocks(100 * HOUR);
    let entry = bench.entry(verb(word, fields).unwrap(), clocks(100 * HOUR - ago));
    let answered = record(&mut shop.wire, vec![bench.signed(&entry, &now)]).await;
    answered.receipts.into_iter().next().unwrap_or_else(|| panic!("{:?}", answered.ended))
}

#[tokio::test]
async fn late_entries_of_a_bench_whose_clock_is_off_by_years_happen_when_they_did() {
    let mut shop = Shop::start().await;
    let mut counter = shop.wire_bench("counter", Role::Counter).await;
    let mut yard_1 = shop.wire_bench("yard-1", Role::Bench).await;
    let mut yard_2 = shop.wire_bench("yard-2", Role::Bench).await;
    let tag = ("skull", "0611");
    late(&mut shop, &mut counter, 6 * HOUR, "take-in", &[tag]).await;
    late(&mut shop, &mut counter, 5 * HOUR, "in", &[("place", "pot-1"), tag]).await;

    // What happened second arrives first.
    let into = late(&mut shop, &mut yard_2, 2 * HOUR, "in", &[("place", "tank-2"), tag]).await;
    let records = shop.records().await;
    let arrived = records.last().unwrap().shop_time_ms;
    let happened = into.happened.unwrap();
    assert_eq!(arrived - happened.at_ms, 7_200_000);
    assert_eq!((happened.not_before_ms, happened.not_after_ms), (happened.at_ms, happened.at_ms));
    assert!(shop.clashes().await.concat().contains("pot-1"));

    let out = late(&mut shop, &mut yard_1, 2 * HOUR + 10 * MINUTE, "out", &[tag]).await;
    assert_eq!(shop.clashes().await, [""; 0]);
    let stays = shop.show("0611").await.stays;
    let places: Vec<&str> = stays.iter().map(|stay| stay.place.as_str()).collect();
    assert_eq!(places, ["pot-1", "tank-2"]);
    assert_eq!(stays[0].until_ms, Some(out.happened.unwrap().at_ms));
    assert!(!stays[0].until_unsaid && stays[1].until_ms.is_none());

    // What was true then, by what is known now.
    let floor = async |as_of_ms| {
        let request = v1::FloorRequest { as_of_ms, ..v1::FloorRequest::default() };
        let floor = shop.wire.clone().floor(request).await.unwrap().into_inner();
        let full = floor.places.into_iter().filter(|place| !place.here.is_empty());
        full.map(|place| place.name).collect::<Vec<String>>()
    };
    assert_eq!(floor(None).await, ["tank-2"]);
    assert_eq!(floor(Some(happened.at_ms - 3_600_000)).await, ["pot-1"]);
    assert_eq!(floor(Some(happened.at_ms - 60_000)).await, [""; 0]);
}

#[tokio::test]
async fn before_an_amendment_was_known_the_answer_was_another() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Counter).await;
    yard.says("take-in 0417 elk").await;
    let weighed = yard.says("weigh 0417 1,420 g").await.remove(0);
    let known = shop.digest().await.records;
    let name = weighed.entry.unwrap();
    yard.says(&format!("amend {}:{} weigh 0417 1240 g", name.life, name.n)).await;

    let facts = async |as_known| {
        let request = v1::ShowRequest { skull: Some(skull("0417")), as_of_ms: None, as_known };
        let facts = shop.show_as(request).await.facts;
        facts.into_iter().find(|fact| fact.starts_with("weighed")).unwrap()
    };
    assert_eq!(facts(None).await, "weighed: 1240 g");
    assert_eq!(facts(Some(known)).await, "weighed: 1420 g");
    let trail = shop.trail("0417").await;
    let line = trail.iter().find(|line| line.entry == Some(name)).unwrap();
    assert!(line.formerly.contains("1420g") && line.words.contains("1240g"), "{line:?}");
}
