//! A bench that holds the shop to what it signed.

use burrline_bench::{Bench, Nobody, SystemClock};
use burrline_terms::words::Role;

use crate::harness::{Hand, Shop, copy};

/// The hand's bench as it is, at the shop's new address.
fn moved(hand: &Hand, shop: &Shop) -> Bench {
    let folder = hand.bench.folder();
    let mut settings = folder.settings().unwrap();
    settings.shop.clone_from(&shop.served.url);
    folder.keep_settings(&settings).unwrap();
    Bench::open(&folder.path("")).unwrap()
}

#[tokio::test]
async fn a_shop_that_grows_is_believed_and_its_head_is_kept() {
    let shop = Shop::start().await;
    let hand = shop.bench("yard-1", Role::Owner).await;
    hand.says("hours 1h").await;
    let first = hand.bench.witness().await.unwrap();
    hand.says("hours 2h").await;
    hand.bench.catch_up(&SystemClock, None).await.unwrap();
    let second = hand.bench.witness().await.unwrap();
    assert!(second.size > first.size);
    let note = hand.bench.kept_note().unwrap().unwrap();
    assert!(note.starts_with(&format!("{}\n{}\n", second.origin, second.size)), "{note}");
}

/// A day on which the bench kept a signed head, and the folder as it was the night before.
async fn a_day() -> (Hand, tempfile::TempDir) {
    let shop = Shop::start().await;
    let hand = shop.bench("yard-1", Role::Owner).await;
    let night = tempfile::tempdir().unwrap();
    let shop = shop.restart().await;
    copy(shop.data(), night.path());
    let bench = moved(&hand, &shop);
    bench.say("hours 8h", &SystemClock, &mut Nobody).await.unwrap();
    bench.witness().await.unwrap();
    shop.served.close().await.unwrap();
    (hand, night)
}

/// What the bench says when it next holds the shop to its word.
async fn contradiction(hand: &Hand, shop: &Shop) -> String {
    let error = moved(hand, shop).witness().await.unwrap_err().to_string();
    let names = hand.bench.folder().names_from("contradiction-").unwrap();
    assert_eq!(names.len(), 1, "{names:?}");
    error
}

/// Last night's folder is put back, with no word of it: what the bench holds shows it, and nothing
/// new takes the place of what is missing.
#[tokio::test]
async fn a_shop_that_lost_records_is_named_and_takes_nothing_new() {
    let (hand, night) = a_day().await;
    let shop = Shop::open(night).await;
    let records = shop.digest().await.records;
    let bench = moved(&hand, &shop);
    let error = bench.witness().await.unwrap_err().to_string();
    assert!(error.contains(&format!("{records} of the {} that it signed are back", records + 1)));
    assert!(bench.say("hours 1h", &SystemClock, &mut Nobody).await.is_ok(), "it is kept");
    assert_eq!(shop.digest().await.records, records);
}

/// An insider with every key of the shop puts last night's folder back and writes the day anew.
#[tokio::test]
async fn a_shop_that_wrote_its_past_anew_with_its_own_keys_is_named() {
    let (hand, night) = a_day().await;
    let shop = Shop::open(night).await;
    let other = shop.bench("office", Role::Owner).await;
    for line in ["hours 1h", "hours 2h", "hours 3h"] {
        other.says(line).await;
    }
    let said = contradiction(&hand, &shop).await;
    assert!(said.contains("what was recorded has been changed"), "{said}");
}
