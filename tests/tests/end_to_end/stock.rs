//! Stock and strays, from lines typed at a bench to what the shop tells of them.

use burrline_present::readings::Stock;
use burrline_terms::words::Role;

use crate::harness::Shop;

#[tokio::test]
async fn what_was_booked_in_less_what_went_into_water_is_told_with_what_the_water_cost() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Owner).await;
    yard.adds_places().await;
    yard.says("receive-stock soap=10L --cost 25.00 --lot A7").await;
    yard.says("fill pot-1 30 L soap=2L").await;
    let stock = shop.reads(Stock {}).await;
    let [line] = stock.lines.as_slice() else { panic!("{stock:?}") };
    assert_eq!((line.what.as_str(), line.on_hand.as_str()), ("soap", "8"));
    assert_eq!(line.lots[0].lot, "A7");
    let pot = stock.waters.iter().find(|water| water.place == "pot-1").unwrap();
    assert_eq!((pot.cost.as_str(), pot.more), ("5.00", false));
}

#[tokio::test]
async fn a_stray_is_listed_with_who_it_can_be_until_it_is_identified() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Owner).await;
    yard.adds_places().await;
    yard.takes_in("0417").await;
    yard.says("wrap 0417").await;
    yard.says("in pot-1 0417").await;
    let found = yard.says("stray \"a nose bone\" --place pot-1").await;
    let name = found[0].entry.unwrap();
    let clashes = shop.clashes().await.concat();
    assert!(clashes.contains("could be 0417 (was in pot-1 then"), "{clashes}");
    yard.says(&format!("identify 0417 --stray {}:{} --witness noor", name.life, name.n)).await;
    assert!(!shop.clashes().await.concat().contains("stray"), "{:?}", shop.clashes().await);
}
