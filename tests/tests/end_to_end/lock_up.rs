//! Closing, through the real door: what is lit, in hot water, in peroxide and in the freezer, with how
//! long the shop's own rules allow, asked of the shop and of a bench's own copy.

use burrline_bench::{Clock as _, SystemClock, alone::Then};
use burrline_host::{Shipped, shipped};
use burrline_present::readings::LockUp;
use burrline_proto::v1;
use burrline_terms::{Moment, words::Role};
use burrline_tests::wire::read_now;

use crate::{
    harness::{Hand, Shop},
    scripts::install,
    typed::run,
};

const MINUTE: i64 = 60_000;

/// A time of an hour or more ago, as it is typed.
fn ago(hand: &Hand, minutes: i64) -> (i64, String) {
    let now = SystemClock.now().wall;
    let at = Moment(now.0 / MINUTE * MINUTE - minutes * MINUTE);
    let zone = hand.bench.zone();
    let typed = burrline_line::when::local(at, &zone);
    (at.0, typed.strftime("%Y-%m-%dT%H:%M").to_string())
}

async fn yard() -> (Shop, Hand) {
    let shop = Shop::start().await;
    let hand = shop.bench("yard-1", Role::Owner).await;
    for line in [
        "add-place pot-1 pot --material stainless --volume 40L",
        "add-place tub-1 tub --material plastic --volume 40L",
        "add-place freezer-1 freezer",
        "add-place rack-1 rack",
    ] {
        hand.says(line).await;
    }
    let wanted = |script: &&Shipped| ["most-heat", "peroxide-limits"].contains(&script.name);
    for script in shipped().iter().filter(wanted) {
        install(&shop, &hand, script.name, script.source).await;
    }
    let (_, at) = ago(&hand, 300);
    for tag in ["0417", "0418", "0419"] {
        for line in [
            "take-in TAG whitetail 8 pt --condition \"one tine chipped\" --hand ines",
            "papers TAG --kill-tag K-TAG",
            "flesh TAG brain",
            "condition TAG --nose whole --jaw whole",
            "wrap TAG",
        ] {
            hand.says(&format!("at {at} {}", line.replace("TAG", tag))).await;
        }
    }
    (shop, hand)
}

fn tags(lines: &[v1::InWater]) -> Vec<&str> {
    lines.iter().map(|line| line.skull.as_ref().unwrap().tag.as_str()).collect()
}

#[tokio::test]
async fn closing_tells_what_is_lit_hot_in_peroxide_and_frozen_and_how_long_the_rules_allow() {
    let (shop, hand) = yard().await;
    let (lit, at) = ago(&hand, 180);
    hand.says(&format!("at {at} fill pot-1 30 L")).await;
    hand.says(&format!("at {at} heat pot-1 lit")).await;
    let (hot, at) = ago(&hand, 90);
    hand.says(&format!("at {at} in pot-1 0417 --anyway \"as it was\"")).await;
    let (white, at) = ago(&hand, 60);
    hand.says(&format!("at {at} fill tub-1 18 L --add peroxide=2L@12%")).await;
    hand.says(&format!("at {at} in tub-1 0418 --anyway \"as it was\"")).await;
    hand.says("in freezer-1 0419").await;

    let asked = |shop: &Shop| {
        let wire = shop.wire.clone();
        async move { read_now(&wire, LockUp {}).await.unwrap() }
    };
    let told = asked(&shop).await;
    let [pot] = told.lit.as_slice() else { panic!("{told:?}") };
    assert_eq!((pot.place.as_str(), pot.since_ms, pot.flame.as_str()), ("pot-1", lit, "lit"));
    assert_eq!((tags(&told.hot), tags(&told.peroxide)), (vec!["0417"], vec!["0418"]));
    // The shipped rules: no more than 300 minutes of heat in all, and 48 hours in peroxide.
    let (pot, tub) = (&told.hot[0], &told.peroxide[0]);
    assert_eq!((pot.since_ms, pot.longest_ms), (hot, Some(hot + 300 * MINUTE)), "{pot:?}");
    assert!(pot.rule.contains("300 is the most"), "{pot:?}");
    assert_eq!((tub.since_ms, tub.longest_ms), (white, Some(white + 2880 * MINUTE)), "{tub:?}");
    assert_eq!(tub.strength_wv, "1.2", "2 L at 12 % in 20 L are 240 g");
    assert!(told.take_out.is_some());

    // A bench's own copy answers alike, with the same rules and no clock of the machine in between.
    hand.bench.catch_up(&SystemClock, None).await.unwrap();
    let alone = hand.bench.alone(&SystemClock, Then::default()).unwrap().unwrap();
    let alone = alone.read(LockUp {}, 0).unwrap();
    let times = |told: &v1::LockUpResponse| -> Vec<Option<i64>> {
        told.hot.iter().chain(&told.peroxide).map(|line| line.longest_ms).collect()
    };
    assert_eq!(times(&alone), times(&told));
    let page = run(&hand, &["lock-up"], &[]).await;
    assert_eq!(page.status, Some(0), "{}", page.err);
    for words in ["pot-1", "0417", "tub-1", "0418"] {
        assert!(page.out.contains(words), "{words}: {}", page.out);
    }

    // Off, out and emptied, it is a clean yard.
    for line in ["heat pot-1 off", "out 0417", "out 0418", "dump pot-1", "dump tub-1"] {
        hand.says(line).await;
    }
    let told = asked(&shop).await;
    assert!(told.lit.is_empty() && told.hot.is_empty() && told.peroxide.is_empty(), "{told:?}");
}
