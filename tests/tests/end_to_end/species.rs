//! One name for each animal, whatever was typed, and animals that a shop adds itself.

use burrline_bench::Choice;
use burrline_terms::words::Role;

use crate::harness::{Shop, remarks};

async fn needs_a_wrap(take_in: &str) -> bool {
    let shop = Shop::start().await;
    let yard = shop.bench("yard", Role::Owner).await;
    yard.adds_places().await;
    for line in
        [take_in, "papers 0601 --kill-tag K-1", "flesh 0601 brain", "condition 0601 --nose whole"]
    {
        yard.says(line).await;
    }
    let (_, asked) = yard.says_and("in pot-1 0601", Choice::Done).await;
    asked.asked.iter().any(|question| question.against.iter().any(|words| words.contains("wrap")))
}

#[tokio::test]
async fn antlers_are_wrapped_by_points_then_by_animal_and_sex() {
    for (take_in, wrap) in [
        ("take-in 0601 --species wt --sex male --condition whole", true),
        ("take-in 0601 --species whitetail --sex female --condition whole", false),
        (
            "take-in 0601 --species whitetail --sex female --points 3 --condition whole --anyway counted",
            true,
        ),
        ("take-in 0601 --points 8 --condition whole", true),
        ("take-in 0601 --species caribou --sex female --condition whole", true),
        ("take-in 0601 --species pronghorn --sex male --condition whole", false),
    ] {
        assert_eq!(needs_a_wrap(take_in).await, wrap, "{take_in}");
    }
}

#[tokio::test]
async fn a_shop_adds_an_animal_once_and_then_knows_it_by_every_spelling() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter", Role::Counter).await;
    let add = "add-species barasingha --spellings \"swamp deer\" --head antlers --group deer";
    let receipts = counter.says(add).await;
    assert_eq!(remarks(receipts[0].outcome.as_ref()), Some(Vec::new()));
    let again = counter.says(add).await;
    assert_eq!(remarks(again[0].outcome.as_ref()), None, "nothing new in it");
    counter.says("take-in 0602 --species \"swamp deer\" --condition whole").await;
    assert_eq!(shop.find("barasingha").await.skulls.len(), 1);

    // Recorded under another spelling, it is found and counted as the same animal.
    counter.says("take-in 0603 --species wt --condition whole").await;
    assert_eq!(shop.find("white-tail").await.skulls.len(), 1);
}
