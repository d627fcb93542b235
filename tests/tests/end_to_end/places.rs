//! What a place says of what is in it, from lines typed at a bench to what a hand reads.

use burrline_bench::{Clock as _, Nobody, SystemClock, alone::Then};
use burrline_present::readings::{Due, Floor, Recipes};
use burrline_screen::{Look, Told as _, said};
use burrline_terms::{Moment, words::Role};

use crate::harness::{Hand, Shop, named};

/// A shop with a freezer, a rack, a shelf and a pot, and a head in it.
async fn yard() -> (Shop, Hand) {
    let shop = Shop::start().await;
    let hand = shop.bench("yard-1", Role::Owner).await;
    for line in [
        "add-place freezer-1 freezer",
        "add-place rack-2 rack",
        "add-place shelf-1 shelf",
        "add-place pot-1 pot",
        "add-place tank-1 tank",
    ] {
        hand.says(line).await;
    }
    hand.takes_in("0417").await;
    hand.says("wrap 0417").await;
    (shop, hand)
}

fn look(hand: &Hand) -> Look {
    let now = SystemClock.now().wall;
    Look { zone: hand.bench.zone(), now, width: None, color: false }
}

/// The lines that a hand reads on standard output, without times and the names of entries.
async fn reads(hand: &Hand, line: &str) -> Vec<String> {
    let said = hand.types(line, &mut Nobody).await;
    said::said(&said, &look(hand)).out.iter().map(|line| bare(line)).collect()
}

/// A line without what differs from run to run.
fn bare(line: &str) -> String {
    let words = line.split_whitespace().filter(|word| !word.starts_with('['));
    let is_time = |word: &str| word.len() == 5 && word.as_bytes()[2] == b':';
    let words = words.map(|word| if is_time(word.trim_end_matches(',')) { "TIME" } else { word });
    words.collect::<Vec<_>>().join(" ")
}

async fn floor(shop: &Shop, hand: &Hand, place: &str) -> Vec<String> {
    shop.floor((!place.is_empty()).then_some(place))
        .await
        .text(&look(hand))
        .iter()
        .map(|line| bare(line))
        .collect()
}

#[tokio::test]
async fn a_freezer_a_rack_and_a_shelf_say_what_a_skull_is_doing() {
    let (shop, hand) = yard().await;
    for (line, told) in [
        ("in freezer-1 0417", "0417 whitetail 8 pt: in freezer-1, frozen since TIME"),
        ("out 0417", "0417 whitetail 8 pt: out; thawing since TIME"),
        ("in rack-2 0417", "0417 whitetail 8 pt: in rack-2, drying since TIME"),
        ("out 0417", "0417 whitetail 8 pt: out"),
        ("in shelf-1 0417", "0417 whitetail 8 pt: in shelf-1, waiting since TIME"),
    ] {
        assert_eq!(reads(&hand, line).await, [told], "{line}");
    }
    assert_eq!(
        floor(&shop, &hand, "shelf-1").await,
        ["shelf-1 shelf", "0417 whitetail 8 pt since TIME waiting"].map(str::to_owned)
    );
    let found = shop.find("0417").await.skulls;
    assert_eq!((found[0].doing.as_str(), found[0].stage.as_str()), ("waiting", "in"));
    assert!(shop.show("0417").await.facts.contains(&"stands: waiting".to_owned()));
}

#[tokio::test]
async fn a_part_is_found_by_what_stands_on_its_bag_and_has_a_place_of_its_own() {
    let (shop, hand) = yard().await;
    assert_eq!(
        reads(&hand, "bag 0417 nose").await,
        [
            "0417 whitetail 8 pt: bag nose; wrap, nose apart",
            "nose is 0417-N; say where it lies: in PLACE 0417-N"
        ]
    );
    let nowhere = floor(&shop, &hand, "").await;
    assert!(nowhere.contains(&"0417-N whitetail 8 pt nose".to_owned()), "{nowhere:?}");
    hand.says("in shelf-1 0417-N").await;
    hand.says("bag 0417 jaw --mark blue-7").await;
    for (words, piece, place) in
        [("0417-N", "nose", "shelf-1"), ("0417-n", "nose", "shelf-1"), ("blue-7", "jaw", "")]
    {
        let found = shop.find(words).await.skulls;
        let line = found.first().unwrap();
        assert_eq!((line.piece.as_str(), line.place.as_str()), (piece, place), "{words}");
    }
    assert_eq!(
        floor(&shop, &hand, "shelf-1").await,
        ["shelf-1 shelf", "0417-N whitetail 8 pt nose since TIME waiting"].map(str::to_owned)
    );
    let facts = shop.show("0417").await.facts;
    assert!(facts.contains(&"nose: waiting, bag 0417-N".to_owned()), "{facts:?}");
}

#[tokio::test]
async fn heat_is_told_over_all_goes_at_in_out_and_look_and_on_the_floor() {
    let (shop, hand) = yard().await;
    for line in [
        "take-in 0611 whitetail 8 pt --condition whole",
        "papers 0611 --kill-tag K-1",
        "flesh 0611 brain",
        "condition 0611 --nose whole --jaw whole",
        "wrap 0611",
        "fill pot-1 30 L",
    ] {
        hand.says(&format!("at 2020-01-06T07:00 {line}")).await;
    }
    hand.says("at 2020-01-06T08:00 in pot-1 0611").await;
    let first = reads(&hand, "at 2020-01-06T09:05 look 0611 softening").await;
    assert!(first.contains(&"heat: 1st go, 1 h 05".to_owned()), "{first:?}");
    let out = reads(&hand, "at 2020-01-06T10:00 out 0611").await;
    assert!(out.contains(&"heat: 1st go, 2 h 00".to_owned()), "{out:?}");
    let again = reads(&hand, "at 2020-01-07T09:00 in pot-1 0611").await;
    assert!(again.contains(&"heat: 2nd go, 2 h 00 in all".to_owned()), "{again:?}");
    let of = Some(Moment(1_578_391_500_000)); // 2020-01-07 10:05 UTC
    let floor = Floor { place: Some(named("pot-1")) };
    let then = shop.reads_then(floor, Then { of, known: None }).await;
    let here = then.places.iter().find(|place| place.name == "pot-1").unwrap();
    assert_eq!(here.here[0].heat, "2nd go, 3 h 05 in all");
    let due = shop.reads(Due { within: None }).await.lines;
    let look = due.iter().find(|line| line.what.starts_with("look at it")).unwrap();
    assert!(look.what.ends_with("; by then 2nd go, 4 h 30 in all"), "{}", look.what);
}

#[tokio::test]
async fn a_change_is_one_word_and_says_who_is_back_in_and_by_which_version() {
    let (shop, hand) = yard().await;
    hand.says("recipe deer-soak --water 30L --add soap=1L --soak 3d").await;
    hand.says("fill tank-1 --recipe deer-soak").await;
    hand.says("in tank-1 0417").await;
    hand.says("recipe deer-soak --water 25L --soak 3d").await;
    let told = reads(&hand, "change tank-1").await;
    assert_eq!(
        told,
        [
            "change tank-1",
            "tank-1: 31 L",
            "by deer-soak, version 1; version 2 is in force: `burrline fill tank-1 --recipe deer-soak` \
             takes that",
            "back in: 0417 (its 1st change)"
        ]
    );
    let floor = floor(&shop, &hand, "tank-1").await;
    assert!(floor[0].ends_with("deer-soak v1 (v2 is in force)"), "{floor:?}");
    let facts = shop.show("0417").await.facts;
    assert!(facts.contains(&"water changed around it: once".to_owned()), "{facts:?}");

    let all = shop.reads(Recipes { recipe: None }).await.versions;
    let told: Vec<_> = all.iter().map(|v| (v.version, v.water.as_str(), v.waters.len())).collect();
    assert_eq!(told, [(1, "30L", 1), (2, "25L", 0)]);
    let refused = shop.refuses(Recipes { recipe: Some(named("salt")) }).await;
    assert_eq!(refused.message(), "no recipe is called salt; there are deer-soak");
}
