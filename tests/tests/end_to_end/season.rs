//! Promises, rates, load and drying, asked at a bench.

use burrline_bench::Nobody;
use burrline_present::readings::{Load, Rates, ReadyBy};
use burrline_proto::v1;
use burrline_terms::{Typed, words::Role};

use crate::harness::{Shop, which};

#[tokio::test]
async fn a_promised_day_is_held_against_the_owner_s_table() {
    let shop = Shop::start().await;
    let desk = shop.bench("desk-1", Role::Owner).await;
    desk.adds_places().await;
    desk.takes_in("0417").await;
    let promise = "promise 0417 2026-01-01";
    let quiet = desk.types(promise, &mut Nobody).await;
    assert!(!quiet.talk.iter().any(|words| words.contains("table")), "{:?}", quiet.talk);
    desk.says("set-shop ready-days.deer 60").await;
    let said = desk.types(promise, &mut Nobody).await;
    let told = said.talk.iter().find(|words| words.contains("by the owner's own table (60 days"));
    assert!(told.unwrap().ends_with("; 2026-01-01 is earlier"), "{:?}", said.talk);

    let ready_by = |share: u32| ReadyBy { skull: which("0417"), share: Some(share.into()) };
    let answer = shop.reads(ready_by(90)).await;
    assert_eq!((answer.basis.as_str(), answer.step.as_str()), ("table", "flesh"));
    assert!(!answer.day.is_empty());
    let refused = shop.refuses(ready_by(200)).await;
    assert!(refused.message().contains("say 50 to 95"), "{}", refused.message());
}

#[tokio::test]
async fn weighing_answers_with_the_verdict_and_the_settings_are_checked() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Owner).await;
    yard.adds_places().await;
    yard.takes_in("0417").await;
    let receipt = yard.says("weigh 0417 1420 g").await.remove(0);
    let [figure] = receipt.figures.as_slice() else { panic!("{:?}", receipt.figures) };
    assert!(figure.starts_with("first weighing that counts; dry is 3 weighings"), "{figure}");
    let refused = yard.says("set-shop dry-weighings 1").await.remove(0);
    let refusal = refused.outcome.unwrap().result.unwrap();
    assert!(matches!(refusal, v1::outcome::Result::Refused(_)), "{refusal:?}");

    let rates = shop.reads(Rates {}).await;
    let damage = rates.lines.iter().find(|line| line.what == "damage" && line.step == "flesh");
    assert_eq!(damage.unwrap().words, "none of 1, which still allows 79.3 % (at 95 %)");
    let load = shop.reads(Load { times: Typed::read("1.5").ok() }).await;
    assert!(load.lines.is_empty());
}
