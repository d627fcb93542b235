//! The next potful, asked at a bench and over the wire, with the shipped rules in force.

use burrline_present::readings::{Next, TakeOut};
use burrline_proto::v1;
use burrline_terms::words::Role;

use crate::harness::{Shop, named};

#[tokio::test]
async fn the_next_potful_names_who_goes_in_and_why_the_rest_does_not() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Owner).await;
    yard.says("add-place pot-1 pot --volume 40L").await;
    yard.takes_in("0417").await;
    yard.takes_in("0418").await;
    yard.says("hold 0418 waiting for the salvage permit").await;
    // Fleshed all the same, without papers: the shop's own rule says so here too.
    yard.says("take-in 0419 whitetail").await;
    yard.says("flesh 0419 brain --anyway \"it was turning\"").await;

    let next = shop.reads(Next { place: named("pot-1") }).await;
    let tag = |line: &Option<v1::SkullLine>| line.as_ref().unwrap().tag.clone();
    let [pick] = next.picks.as_slice() else { panic!("{next:?}") };
    assert_eq!(tag(&pick.skull), "0417");
    assert_eq!(pick.first, ["wrap the antlers at the burr first"]);
    assert_eq!(next.room, "holds 32 L of heads and water");
    let left: Vec<String> =
        next.left_out.iter().map(|one| format!("{} {}", tag(&one.skull), one.why)).collect();
    assert_eq!(left[0], "0418 on hold: waiting for the salvage permit");
    assert!(left[1].contains("; papers first: licence and kill tag"), "{left:?}");

    let refused = shop.refuses(Next { place: named("pot-7") }).await;
    assert_eq!(refused.message(), "no place is called pot-7; there are pot-1");
}

#[tokio::test]
async fn what_to_take_out_of_the_freezer_is_told_with_when_it_is_thawed() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Owner).await;
    yard.says("add-place freezer-1 freezer").await;
    yard.says("take-in 0417 whitetail 8 pt --condition whole").await;
    yard.says("papers 0417 --kill-tag K-1").await;
    yard.says("in freezer-1 0417").await;
    let potfuls = |potfuls| TakeOut { potfuls: Some(potfuls) };
    assert!(shop.reads(potfuls(0)).await.take_out.is_empty(), "there is no pot yet");
    yard.says("add-place pot-1 pot").await;
    let told = shop.reads(potfuls(1)).await;
    let [one] = told.take_out.as_slice() else { panic!("{told:?}") };
    assert_eq!(
        (one.pot.as_str(), one.skull.as_ref().unwrap().place.as_str()),
        ("pot-1", "freezer-1")
    );
    assert!(told.pots[0].starts_with("pot-1 taken for 4 heads"), "{:?}", told.pots);
    let refused = shop.refuses(potfuls(7)).await;
    assert_eq!(refused.message(), "7 potfuls in a day cannot be; say 1 to 6");
}
