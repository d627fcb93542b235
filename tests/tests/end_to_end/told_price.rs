//! The price that was told is the price on the log, or the difference is said first.

use burrline_bench::{Choice, answer::Answer};
use burrline_terms::words::Role;

use crate::harness::Shop;

#[tokio::test]
async fn a_price_that_is_not_the_one_that_was_told_is_asked_about_with_its_reason() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter-1", Role::Owner).await;
    let line = "take-in 0417 whitetail 8 pt skinned --condition ok";
    let (said, _) = counter.says_and(line, Choice::LeaveOff).await;
    let price = said.talk.iter().find(|line| line.contains("price:")).unwrap();
    assert!(price.contains("price: 120.00"), "{price}");
    counter.says("promise 0417 friday --anyway \"he asked for it\"").await;
    let before = shop.trail("0417").await.len();
    let (said, asked) = counter.says_and("quote 0417", Choice::LeaveOff).await;
    let against = asked.asked[0].against.join("\n");
    assert!(against.contains(": 120.00; now 180.00 (cleaning, whitetail 120.00"), "{against}");
    assert!(against.contains("another day is promised than then"), "{against}");
    assert!(matches!(said.answers[..], [Answer::LeftOff { .. }]), "{said:?}");
    assert_eq!(
        shop.show("0417").await.charged,
        "0.00",
        "nothing was recorded but that it was left off"
    );
    assert!(shop.trail("0417").await.len() <= before + 1);

    // What the customer heard is said by hand; as the list has it, its lines go with it.
    counter.says("quote 0417 180.00").await;
    let charges = shop.show("0417").await.charges;
    assert_eq!(charges.len(), 2, "{charges:?}");
    let (said, _) = counter.says_and("agree 0417", Choice::LeaveOff).await;
    let agreed = said.talk.join("; ");
    assert!(agreed.contains("0417: agreed to 180.00, heard in"), "{agreed}");
    assert!(shop.trail("0417").await.pop().unwrap().words.contains("--quote"));

    // The same price told again stays agreed, and is not asked about.
    counter.says("quote 0417").await;
    let facts = shop.show("0417").await.facts;
    assert!(facts.contains(&"agreed: yes".to_owned()), "{facts:?}");
}

#[tokio::test]
async fn what_comes_in_together_is_told_as_it_stands_on_the_ticket() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter-1", Role::Owner).await;
    counter.says("ticket --name \"Ada Fenn\" --phone 555-0142").await;
    counter.says("take-in 0417 0418 whitetail 8 pt skinned --condition ok").await;
    // The list of this shop takes nothing off for a second head, so nothing is asked.
    counter.says("quote 0417").await;
    counter.says("quote 0418").await;
    assert_eq!(shop.show("0418").await.charged, "120.00");
}

#[tokio::test]
async fn a_sum_that_is_said_by_hand_is_taxed_by_the_same_rules_or_is_tax_and_all() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter-1", Role::Owner).await;
    counter.says("set-shop tax-rate state 2.9% + city 4.81% from 2020-01-01").await;
    counter.takes_in("0417").await;
    counter.says("quote 0417 --lines cleaning=100.00 --anyway \"a friend\"").await;
    assert_eq!(shop.show("0417").await.charged, "107.71");
    // 20.00 at 7.71 % are 1.542.
    let (said, _) = counter.says_and("charge 0417 20 glue plus tax", Choice::LeaveOff).await;
    assert!(said.talk.iter().any(|line| line == "20.00 and 1.54 tax make 21.54"), "{said:?}");
    let job = shop.show("0417").await;
    assert_eq!(
        (job.charged.as_str(), job.charges.last().unwrap().what.as_str()),
        ("129.25", "glue")
    );
    // 10.77 / 1.0771 = 9.999.
    let (said, _) = counter.says_and("charge 0417 10.77 stain", Choice::LeaveOff).await;
    let within = "10.77 tax and all, 0.77 of it tax; where tax comes on top say plus tax";
    assert!(said.talk.iter().any(|line| line == within), "{said:?}");
    // A tip is never taxed, and a discount takes its tax off.
    let (said, _) = counter.says_and("charge 0417 5 tip", Choice::LeaveOff).await;
    assert!(!said.talk.iter().any(|line| line.contains("tax")), "{said:?}");
    counter.says("charge 0417 -10 --what \"discount plus tax\"").await;
    assert_eq!(shop.show("0417").await.charged, "134.25");
}
