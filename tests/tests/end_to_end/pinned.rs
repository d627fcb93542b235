//! Checkpoints where people keep them: a fresh one behind what a dispute may turn on, and one to print.

use burrline_evidence::checkpoint::Checkpoint;
use burrline_paper::packet::{
    outside::Outside,
    verify::{Verdict, verify},
};

use crate::{
    harness::Hand,
    packet::{disputed, packet},
    photos::types,
};

async fn kept(hand: &Hand) -> u64 {
    let note = hand.bench.kept_note().unwrap().unwrap();
    Checkpoint::check(&note, hand.bench.shop_key().await.unwrap()).unwrap().size
}

#[tokio::test]
async fn a_damage_a_condition_a_dispute_and_what_was_told_are_pinned_at_once() {
    let (shop, hand) = disputed().await;
    types(&hand, &["note", "0421", "nothing that turns a dispute"]).await;
    for line in [
        &["damage", "0421", "jaw", "cracked at the tub", "--whose", "ours"][..],
        &["condition", "0421", "--nose", "broken"],
        &["dispute", "0421", "nor is that my jaw", "--anyway", "said again"],
        &["tell", "0421", "--means", "phone", "--purpose", "question"],
    ] {
        let before = shop.records().await.len();
        types(&hand, line).await;
        assert!(shop.records().await.len() > before, "{line:?}");
        // The hold that a dispute asks for comes after it.
        assert!(kept(&hand).await > u64::try_from(before).unwrap(), "{line:?}");
    }
}

#[tokio::test]
async fn the_checkpoint_that_is_printed_to_pin_up_checks_a_packet() {
    let (_shop, hand) = disputed().await;
    hand.says("note 0421 \"before it is printed\"").await;
    let file = hand.folder().join("checkpoint.html");
    types(&hand, &["checkpoint", "--html", &file.display().to_string()]).await;
    let printed = Outside::of_slip("checkpoint.html", &std::fs::read_to_string(&file).unwrap());
    hand.says("note 0421 \"after\"").await;
    let report = verify(&packet(&hand, "0421").await, &[printed]);
    assert_eq!(report.verdict(), Verdict::Proved, "{:#?}", report.checks);
    let pin = &report.pins[0];
    assert_eq!(pin.records + 1, pin.of, "{:?}", report.pinned);
}
