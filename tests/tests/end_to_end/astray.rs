//! Things that go astray: strays, roll-calls and swapped tags, from a line to what a hand reads.

use burrline_present::{
    named,
    readings::{CheckRoll, Strays},
};
use burrline_proto::v1;
use burrline_terms::{Tag, Typed as _, words::Role};

use crate::harness::{Hand, Shop, named};

async fn yard() -> (Shop, Hand) {
    let shop = Shop::start().await;
    let hand = shop.bench("yard-1", Role::Owner).await;
    for line in [
        "add-place rack-1 rack",
        "add-place rack-2 rack",
        "take-in 0417 whitetail 6 pt --sex male --condition \"chip on the left tine\"",
        "take-in 0418 elk 12 pt",
        "take-in 0419 whitetail 8 pt",
        "in rack-2 0417",
        "in rack-2 0418",
        "in rack-1 0419",
    ] {
        hand.says(line).await;
    }
    (shop, hand)
}

fn tags(lines: &[v1::SkullLine]) -> Vec<&str> {
    lines.iter().map(|line| line.tag.as_str()).collect()
}

#[tokio::test]
async fn a_stray_is_answered_with_who_it_can_be_and_identified_with_reason_and_witness() {
    let (shop, hand) = yard().await;
    let line = "stray \"small buck, 6 pt, chip on left\" --place rack-2";
    let receipt = hand.says(line).await.remove(0);
    assert_eq!(
        receipt.figures[..2],
        [
            "could be 0417 whitetail 6 pt: in rack-2, drying: was in rack-2 then, 6 points, male, chip, \
             left, not read since",
            "could be 0418 elk 12 pt: in rack-2, drying: was in rack-2 then, not read since",
        ]
    );
    let name = receipt.entry.unwrap();
    let stray = format!("{}:{}", name.life, name.n);
    assert!(receipt.figures.last().unwrap().contains(&format!("identify TAG --stray {stray}")));

    let listed = shop.reads(Strays { all: false }).await.lines;
    assert_eq!((listed.len(), listed[0].could_be.len()), (1, 3));

    let bare = hand.says(&format!("identify 0418 --stray {stray}")).await.remove(0);
    assert!(
        bare.figures
            .iter()
            .any(|line| line.contains("nobody said how it was told (--why), nor who")),
        "{:?}",
        bare.figures
    );
    hand.says("strike").await;
    let line = format!("identify 0417 --stray {stray} --why \"chip on left\" --witness tom");
    let said = hand.says(&line).await.remove(0);
    assert!(said.figures[0].ends_with("is its own"), "{:?}", said.figures);
    assert!(shop.reads(Strays { all: false }).await.lines.is_empty());
    let listed = shop.reads(Strays { all: true }).await.lines;
    let told = &listed[0];
    assert_eq!(
        (told.whose.as_ref().unwrap().tag.as_str(), told.why.as_str(), told.witness.as_str()),
        ("0417", "chip on left", "tom")
    );
}

#[tokio::test]
async fn a_roll_call_finds_what_does_not_agree_and_the_moves_heal_it_with_their_doubt() {
    let (shop, hand) = yard().await;
    // It went into rack-1 long ago, so when it came out of there has a doubt that shows.
    hand.says("at 2020-01-06T08:00 take-in 0420 whitetail 8 pt").await;
    hand.says("at 2020-01-06T09:00 in rack-1 0420").await;
    let check = CheckRoll {
        place: named("rack-2"),
        tags: ["0417", "0420", "0999"].map(|tag| Tag::read(tag).unwrap()).to_vec(),
    };
    let found = shop.reads(check.clone()).await;
    assert_eq!(
        (found.as_booked, tags(&found.not_read), tags(&found.elsewhere), found.unknown.clone()),
        (1, vec!["0418"], vec!["0420"], vec!["0999".to_owned()])
    );
    let receipt = hand.says("roll-call rack-2 0417 0420 0999").await.remove(0);
    assert_eq!(
        receipt.figures,
        [
            "1 as booked",
            "not read, and booked here: 0418",
            "read, and booked elsewhere: 0420",
            "read, and on no job: 0999"
        ]
    );
    hand.says("found-in rack-2 0420").await;
    hand.says("gone 0418").await;
    let found = shop.reads(check).await;
    assert_eq!((found.as_booked, found.not_read.len(), found.elsewhere.len()), (2, 0, 0));
    let stays = shop.show("0420").await.stays;
    assert!(stays[0].until_unsaid && stays[1].doubt.starts_with("between "), "{stays:?}");
    assert!(shop.clashes().await.is_empty(), "{:?}", shop.clashes().await);
}

#[tokio::test]
async fn both_numbers_find_a_skull_whose_tag_was_swapped() {
    let (shop, hand) = yard().await;
    let receipt = hand.says("swap-tag 0417 0501 cracked").await.remove(0);
    assert_eq!(receipt.said_back, "0501, was 0417 whitetail 6 pt: in rack-2, drying");
    for number in ["0417", "0501"] {
        let found = shop.find(number).await.skulls;
        let [line] = found.as_slice() else { panic!("{found:?}") };
        assert_eq!((line.tag.as_str(), line.was.as_str()), ("0501", "0417"), "{number}");
        assert_eq!(named::skull(line), "0501, was 0417 whitetail 6 pt");
        assert_eq!(shop.show(number).await.line.unwrap().tag, "0501");
    }
    // Who reads the old number off the bone means the same skull.
    hand.says("out 0417").await;
    hand.says("wash 0417").await;
    assert!(shop.trail("0501").await.last().unwrap().words.starts_with("wash"));
    assert_eq!(shop.clashes().await, [""; 0]);
}
