//! Closing and opening again, and one folder for one shop.

use burrline_terms::words::Role;
use burrline_tests::shop::Served;

use crate::harness::Shop;

#[tokio::test]
async fn a_restart_in_good_order_gives_the_same_digest_and_root() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Owner).await;
    yard.adds_places().await;
    yard.takes_in("0417").await;
    yard.says("wrap 0417").await;
    yard.says("fill pot-1 18 L soap=30mL").await;
    yard.says("in pot-1 0417").await;
    yard.says("charge 0417 185.00").await;
    let before = shop.digest().await;
    let shop = shop.restart().await;
    assert_eq!(shop.digest().await, before);
    assert_eq!(shop.show("0417").await.owed, "185.00");
}

#[tokio::test]
async fn a_second_server_on_the_same_folder_is_told_so() {
    let shop = Shop::start().await;
    let error = Served::open(shop.data()).await.unwrap_err().to_string();
    assert!(error.starts_with("another server has this folder open"), "{error}");
    // The first one does not mind.
    assert!(shop.digest().await.records > 0);
}
