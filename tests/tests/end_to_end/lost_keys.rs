//! Keys of customers' details that a shop lost come back from the benches that noted the details, for as
//! long as these keep them, and from nobody once the customer is forgotten.

use burrline_bench::SystemClock;
use burrline_server::check::{self, Verdict};
use burrline_terms::words::Role;
use burrline_tests::line::Line;

use crate::harness::{Hand, Shop};

fn kept(hand: &Hand) -> Vec<String> {
    hand.bench.folder().inside("kept-keys").unwrap().names_from("").unwrap()
}

#[tokio::test]
async fn keys_since_the_last_backup_come_back_with_the_records() {
    let shop = Shop::start().await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let desk = shop.bench_over(&line.url(), "desk", Role::Owner).await;
    let (shop, backup) = shop.backed_up().await;
    line.lead_to(&shop.served.url).unwrap();
    desk.says("ticket --name \"Ada Fenn\" --phone 303-555-0142").await;
    desk.says("take-in 0417 elk").await;
    desk.bench.catch_up(&SystemClock, None).await.unwrap();
    desk.bench.witness().await.unwrap();
    assert_eq!(kept(&desk).len(), 1);

    let shop = shop.put_back(backup).await;
    line.lead_to(&shop.served.url).unwrap();
    desk.bench.send(&SystemClock).await.unwrap();
    assert_eq!(shop.find("ada fenn").await.customers.len(), 1);
    let shop = shop.restart().await;
    assert_eq!(check::read(shop.data()).unwrap().verdict(), Verdict::Sound);
}

#[tokio::test]
async fn a_keyring_that_is_gone_comes_back_and_is_let_go_with_who_is_forgotten() {
    let shop = Shop::start().await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let desk = shop.bench_over(&line.url(), "desk", Role::Owner).await;
    let office = shop.bench_over(&line.url(), "office", Role::Owner).await;
    let told = desk.says("ticket --name \"Ada Fenn\" --phone 303-555-0142").await;
    let ada = told[0].entry.unwrap();
    desk.says("take-in 0417 elk").await;
    office.says("add-customer --name \"Bo Tarn\"").await;
    assert_eq!((kept(&desk).len(), kept(&office).len()), (1, 1));

    std::fs::remove_file(shop.data().join("keyring")).unwrap();
    let shop = shop.restart().await;
    line.lead_to(&shop.served.url).unwrap();
    assert_eq!(shop.served.shop.missing_keys(), 2);
    assert_eq!(shop.find("ada fenn").await.customers.len(), 0);
    desk.bench.send(&SystemClock).await.unwrap();
    assert_eq!(shop.served.shop.missing_keys(), 1);
    assert_eq!(shop.find("ada fenn").await.customers.len(), 1);
    office.bench.send(&SystemClock).await.unwrap();
    assert_eq!(shop.find("bo tarn").await.customers.len(), 1);

    // Another bench forgets her: the bench that kept her key lets it go at its next word with the shop.
    office.says(&format!("forget-customer {}:{} --anyway asked", ada.life, ada.n)).await;
    desk.bench.send(&SystemClock).await.unwrap();
    assert_eq!((kept(&desk).len(), kept(&office).len()), (0, 1));
    std::fs::remove_file(shop.data().join("keyring")).unwrap();
    let shop = shop.restart().await;
    line.lead_to(&shop.served.url).unwrap();
    for hand in [&desk, &office] {
        hand.bench.send(&SystemClock).await.unwrap();
    }
    assert_eq!(shop.served.shop.missing_keys(), 0, "hers is missing to nobody");
    assert_eq!(shop.find("ada fenn").await.customers.len(), 0);
    assert_eq!(shop.find("bo tarn").await.customers.len(), 1);
}

#[tokio::test]
async fn a_kept_key_is_removed_once_its_time_is_over_or_its_disk_damaged_it() {
    let shop = Shop::start().await;
    let desk = shop.bench("desk", Role::Owner).await;
    desk.says("add-customer --name \"Ada Fenn\"").await;
    desk.says("add-customer --name \"Bo Tarn\"").await;
    let folder = desk.bench.folder().inside("kept-keys").unwrap();
    let names = kept(&desk);
    let text = folder.text(&names[0]).unwrap();
    let old = text.replacen(text.split_once('-').unwrap().0, "1000", 1);
    std::fs::write(folder.path(&names[0]), old).unwrap();
    std::fs::remove_file(shop.data().join("keyring")).unwrap();
    let shop = shop.restart().await;
    let desk = desk.at(&shop);
    desk.bench.send(&SystemClock).await.unwrap();
    assert_eq!(kept(&desk), names[1..]);
    assert_eq!(shop.served.shop.missing_keys(), 1);
}
