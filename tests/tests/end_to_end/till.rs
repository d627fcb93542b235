//! The till: counted, closed, and what a bench that was away had for it.

use burrline_bench::{Nobody, SystemClock};
use burrline_present::readings::Till;
use burrline_terms::words::Role;
use burrline_tests::line::Line;

use crate::{harness::Shop, typed::run};

#[tokio::test]
async fn a_till_is_counted_and_closed_and_what_arrives_later_is_in_a_later_till() {
    let shop = Shop::start().await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let counter = shop.bench("counter-1", Role::Owner).await;
    let away = shop.bench_over(&line.url(), "counter-2", Role::Counter).await;
    counter.says("take-in 0417 whitetail").await;
    counter.says("quote 0417 --lines cleaning=120.00 --total 120.00").await;
    counter.says("float 200").await;
    counter.says("pay 0417 50 cash").await;
    counter.says("spent 38.50 soda 20 lb").await;
    // A bench out of reach takes money meanwhile.
    away.says("note 0417 brass plate").await;
    line.cut();
    away.bench.say("pay 0417 20 cash", &SystemClock, &mut Nobody).await.unwrap();
    // 200 + 50 - 38.50 = 211.50, and 4.25 are not there.
    let ran = run(&counter, &["count-till", "207.25"], &[]).await;
    assert!(ran.out.contains("expected 211.50: short 4.25"), "{}{}", ran.out, ran.err);
    counter.says("close-till today").await;
    let ran = run(&counter, &["close-till", "today"], &[]).await;
    assert!(ran.err.contains("is closed"), "{}{}", ran.out, ran.err);

    line.mend();
    away.bench.send(&SystemClock).await.unwrap();
    let till = counter.reads(Till { on: None }).await;
    let told = [&till.expected, &till.counted, &till.over, &till.left];
    assert_eq!(told, ["211.50", "207.25", "-4.25", "207.25"]);
    let [late] = till.elsewhere.as_slice() else { panic!("{till:?}") };
    assert!(late.late && late.amount == "20.00" && late.day > till.day, "{late:?}");
    let page = run(&counter, &["till"], &[]).await.out;
    assert!(page.contains("short") && page.contains("said after it was closed"), "{page}");
    let stock = run(&counter, &["stock"], &[]).await.out;
    assert!(stock.contains("soda"), "{stock}");
    let profit = run(&counter, &["profit"], &[]).await.out;
    assert!(profit.contains("stock bought") && profit.contains("-38.50"), "{profit}");
    println!("{page}\n{profit}");
}
