//! A bench that was away while the owner declared a loss heals at one contact, and stops nobody.

use burrline_bench::{SystemClock, copy::Verdict};
use burrline_server::{check, shop::Wish};
use burrline_terms::{Phrase, Typed as _, words::Role};
use burrline_tests::line::Line;

use crate::harness::{Hand, Shop};

async fn copies(hand: &Hand) {
    let caught = hand.bench.catch_up(&SystemClock, None).await.unwrap().unwrap();
    assert_eq!(caught.verdict, Some(Verdict::Same));
}

/// What `burrline sync` does.
async fn syncs(hand: &Hand) -> String {
    hand.bench.send(&SystemClock).await.unwrap();
    copies(hand).await;
    hand.bench.witness().await.unwrap();
    hand.bench.tidings().join("\n")
}

/// How the accident went.
#[derive(Debug, Clone, Copy)]
struct Accident {
    /// The file `checkpoints` was saved from the broken folder.
    with_checkpoints: bool,
    /// How many lines were said after the loss was declared.
    since: usize,
    /// The bench that was away had copied what was lost, and not only a checkpoint over it.
    copied: bool,
}

async fn a_bench_comes_back(how: Accident) {
    let shop = Shop::start().await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let yard = shop.bench_over(&line.url(), "yard-1", Role::Owner).await;
    let away = shop.bench_over(&line.url(), "yard-2", Role::Counter).await;
    yard.says("take-in 0417 elk").await;
    for hand in [&yard, &away] {
        copies(hand).await;
    }
    let (shop, backup) = shop.backed_up().await;
    line.lead_to(&shop.served.url).unwrap();
    let records = shop.digest().await.records;
    away.says("take-in 0600 moose").await;
    yard.says("wash 0417").await;
    away.says("note 0417 brass plate").await;
    if how.copied {
        copies(&away).await;
    }
    away.bench.witness().await.unwrap();
    if how.with_checkpoints {
        let file = "checkpoints";
        std::fs::copy(shop.data().join(file), backup.path().join(file)).unwrap();
    }

    let shop = shop.put_back(backup).await;
    std::fs::write(shop.data().join("put-back"), "").unwrap();
    let shop = shop.restart().await;
    line.lead_to(&shop.served.url).unwrap();
    yard.bench.send(&SystemClock).await.unwrap_err();
    let words = Phrase::read("the yard laptop drowned").unwrap();
    Wish { from: None, words }.leave(shop.data()).unwrap();
    syncs(&yard).await;
    for n in 0..how.since {
        yard.says(&format!("hours {}h", n + 1)).await;
    }
    yard.bench.witness().await.unwrap();

    // The laptop was dried.
    let told = syncs(&away).await;
    assert!(
        told.contains("WARNING") && told.contains("the yard laptop drowned"),
        "{how:?}: {told}"
    );
    assert!(told.contains(&format!("lost records {records} to")), "{how:?}: {told}");
    assert_eq!(away.bench.folder().names_from("contradiction-").unwrap(), [""; 0], "{how:?}");
    // What it said itself is on the log again, once.
    let trail = shop.trail("0417").await;
    let noted = trail.iter().filter(|line| line.words.starts_with("note")).count();
    assert_eq!(noted, 1, "{how:?}: {trail:?}");
    assert_eq!(shop.show("0600").await.line.unwrap().species, "moose");

    // Nobody was stopped, and once is enough.
    assert_eq!(shop.served.shop.restoring(), None, "{how:?}");
    yard.says("note 0417 dried").await;
    syncs(&yard).await;
    for hand in [&yard, &away] {
        assert_eq!(syncs(hand).await, "", "{how:?}");
        assert_eq!(hand.bench.folder().names_from("contradiction-").unwrap(), [""; 0]);
    }
    let shop = shop.restart().await;
    assert!(check::read(shop.data()).unwrap().is_sound(), "{how:?}");
}

#[tokio::test]
async fn a_bench_that_was_away_while_a_loss_was_declared_heals_at_one_contact() {
    for with_checkpoints in [true, false] {
        for since in [0, 9] {
            for copied in [true, false] {
                Box::pin(a_bench_comes_back(Accident { with_checkpoints, since, copied })).await;
            }
        }
    }
}

/// What was lost before the declared loss begins is no part of it.
#[tokio::test]
async fn a_declared_loss_explains_nothing_before_it_begins() {
    let shop = Shop::start().await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let yard = shop.bench_over(&line.url(), "yard-1", Role::Owner).await;
    let away = shop.bench_over(&line.url(), "yard-2", Role::Counter).await;
    let (shop, early) = shop.backed_up().await;
    line.lead_to(&shop.served.url).unwrap();
    yard.says("take-in 0417 elk").await;
    copies(&away).await;
    away.bench.witness().await.unwrap();
    let shop = shop.put_back(early).await;
    line.lead_to(&shop.served.url).unwrap();
    // Others take the places of what was lost, and the loss is said to begin behind them.
    let fresh = shop.bench("office", Role::Owner).await;
    for typed in ["hours 1h", "hours 2h", "hours 3h"] {
        fresh.says(typed).await;
    }
    std::fs::write(shop.data().join("put-back"), "").unwrap();
    let shop = shop.restart().await;
    line.lead_to(&shop.served.url).unwrap();
    let words = Phrase::read("nothing to see here").unwrap();
    Wish { from: None, words }.leave(shop.data()).unwrap();
    let caught = away.bench.catch_up(&SystemClock, None).await.unwrap().unwrap();
    assert_eq!(caught.verdict, Some(Verdict::Differs));
    away.bench.witness().await.unwrap_err();
    assert!(!away.bench.folder().names_from("contradiction-").unwrap().is_empty());
}
