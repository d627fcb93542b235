//! Out of reach: what is said waits on the bench, and arrives once.

use burrline_client::{Nobody, SystemClock, bench::answer::Answer};
use burrline_domain::words::Role;
use burrline_tests::line::Line;

use crate::harness::Shop;

#[tokio::test]
async fn facts_wait_on_the_bench_decisions_are_refused_and_all_arrives_once() {
    let shop = Shop::start().await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let yard = shop.bench_over(&line.url(), "yard-1", Role::Counter).await;
    yard.says("take-in 0417 elk").await;
    let before = shop.digest().await.records;

    line.cut();
    let said = yard.types("wash 0417", &mut Nobody).await;
    assert!(matches!(said.answers[..], [Answer::Kept { waiting: 1, .. }]), "{said:?}");
    let said = yard.types("note 0417 left ear bone loose", &mut Nobody).await;
    assert!(matches!(said.answers[..], [Answer::Kept { waiting: 2, .. }]), "{said:?}");
    let hold = yard.bench.say("hold 0417 papers", &SystemClock, &mut Nobody).await;
    assert!(hold.unwrap_err().to_string().contains("needs the shop"));
    assert_eq!(yard.bench.waiting().unwrap().len(), 2);
    assert_eq!(shop.digest().await.records, before);

    line.mend();
    assert_eq!(yard.bench.send(&SystemClock).await.unwrap().len(), 2);
    assert_eq!(yard.bench.send(&SystemClock).await.unwrap().len(), 0);
    assert!(yard.bench.waiting().unwrap().is_empty());
    assert_eq!(shop.digest().await.records, before + 2);
}
