//! A shop that was put back from an older backup.

use burrline_client::{
    Nobody, SystemClock,
    bench::{answer::Answer, copy::Verdict},
};
use burrline_domain::words::Role;
use burrline_tests::line::Line;

use crate::harness::{Hand, Shop};

async fn copies(hand: &Hand) {
    let caught = hand.bench.catch_up(&SystemClock, None).await.unwrap().unwrap();
    assert_eq!(caught.verdict, Some(Verdict::Same));
}

#[tokio::test]
async fn a_shop_put_back_takes_its_log_back_with_its_root_and_nobody_raises_an_alarm() {
    let shop = Shop::start().await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let yard = shop.bench_over(&line.url(), "yard-1", Role::Owner).await;
    let desk = shop.bench_over(&line.url(), "desk", Role::Counter).await;
    yard.says("take-in 0417 elk").await;
    let (shop, backup) = shop.backed_up().await;
    line.lead_to(&shop.served.url).unwrap();

    // After the backup: a bench joins, things are said, and every bench keeps a signed head.
    let late = shop.bench_over(&line.url(), "yard-2", Role::Bench).await;
    desk.says("take-in 0600 moose").await;
    desk.says("ticket --name \"Ada Fenn\" --phone 555-0142").await;
    late.says("wash 0417").await;
    yard.says("hold 0600 papers").await;
    for hand in [&yard, &desk, &late] {
        copies(hand).await;
        hand.bench.witness().await.unwrap();
    }
    let before = shop.digest().await;

    let shop = shop.put_back(backup).await;
    line.lead_to(&shop.served.url).unwrap();
    assert!(shop.digest().await.records < before.records);
    // The first bench gives all of it back; what is new waits until the others were heard.
    let away = yard.bench.catch_up(&SystemClock, None).await.unwrap_err().to_string();
    assert!(away.contains("waits for desk, yard-2"), "{away}");
    let told = yard.bench.tidings();
    assert!(told[0].contains("this bench gave it"), "{told:?}");
    let digest = shop.digest().await;
    assert_eq!((&digest.root, &digest.state_digest), (&before.root, &before.state_digest));
    let said = yard.types("note 0417 brass plate", &mut Nobody).await;
    assert!(matches!(said.answers[..], [Answer::Kept { waiting: 1, .. }]), "{said:?}");
    assert_eq!(shop.digest().await.records, before.records);

    desk.bench.send(&SystemClock).await.unwrap_err();
    assert_eq!(late.bench.send(&SystemClock).await.unwrap().len(), 0, "it was all given back");
    assert_eq!(yard.bench.send(&SystemClock).await.unwrap().len(), 1, "the shop is whole again");
    for hand in [&yard, &desk, &late] {
        copies(hand).await;
        hand.bench.witness().await.unwrap();
        assert_eq!(hand.bench.folder().names_from("contradiction-").unwrap(), [""; 0]);
    }
    assert_eq!(shop.show("0600").await.line.unwrap().species, "moose");
    assert_eq!(shop.clashes().await, [""; 0]);

    // And so it stays when it is opened anew.
    let records = shop.digest().await;
    let shop = shop.restart().await;
    assert_eq!(shop.digest().await, records);
    assert_eq!(shop.served.shop.restoring(), None);
}
