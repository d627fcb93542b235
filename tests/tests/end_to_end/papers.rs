//! A job's papers over the wire: tax on a price, compare, dates, the storage clock.

use burrline_present::readings::{Compare, Dates};
use burrline_terms::words::Role;

use crate::harness::{Shop, which};

#[tokio::test]
async fn the_script_prices_and_the_shop_taxes_and_totals() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter-1", Role::Owner).await;
    counter.says("set-shop tax-rate 8.25% from 2020-01-01").await;
    counter.takes_in("0701").await;
    counter.says("quote 0701").await;
    let job = shop.show("0701").await;
    let tax = job.charges.iter().find(|line| line.what == "tax").unwrap();
    let lines: Vec<f64> = job
        .charges
        .iter()
        .filter(|line| line.what != "tax")
        .map(|line| line.amount.parse().unwrap())
        .collect();
    let before: f64 = lines.iter().sum();
    assert!(before > 0.0, "{job:?}");
    let wanted = (before * 8.25).round() / 100.0;
    assert!((tax.amount.parse::<f64>().unwrap() - wanted).abs() < 1e-9, "{job:?}");
    assert_eq!(job.owed, format!("{:.2}", before + wanted));
    // What was heard is what the script and the tax give, so nothing is remarked.
    let quote = shop.trail("0701").await.pop().unwrap();
    assert!(quote.remarks.is_empty(), "{quote:?}");
}

#[tokio::test]
async fn yen_have_no_decimals_anywhere() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter-1", Role::Owner).await;
    counter.says("set-shop currency JPY").await;
    counter.takes_in("0702").await;
    // The price list still is in dollars, so it is asked about.
    counter.says("quote 0702 --total 12000 --anyway \"our price in yen\"").await;
    counter.says("pay 0702 5000 cash").await;
    let job = shop.show("0702").await;
    assert_eq!(
        (job.charged.as_str(), job.paid.as_str(), job.owed.as_str()),
        ("12000", "5000", "7000")
    );
    assert_eq!(job.charges[0].amount, "12000");
    let trail = shop.trail("0702").await;
    let words: Vec<&str> = trail.iter().map(|line| line.words.as_str()).collect();
    assert!(words.iter().any(|words| words.ends_with("--total 12000")), "{words:?}");
    assert!(words.iter().any(|words| words.contains(" 5000")), "{words:?}");
    // The price list was activated while the shop still had cents.
    counter.says("set-shop tax-rate 10.3% from 2020-01-01").await;
    counter.takes_in("0706").await;
    counter.says("quote 0706").await;
    let charges = shop.show("0706").await.charges;
    assert!(charges.iter().any(|line| line.what == "tax"), "{charges:?}");
    assert!(charges.iter().all(|line| !line.amount.contains('.')), "{charges:?}");
}

#[tokio::test]
async fn intake_and_hand_back_are_compared_and_the_rack_is_scored() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Owner).await;
    yard.adds_places().await;
    yard.says("take-in 0703 whitetail 8 pt --condition \"one tine chipped\"").await;
    yard.says("papers 0703 --kill-tag K-1").await;
    let rack = [
        ("spread", "17 4/8", "17 3/8"),
        ("beam-r", "21 7/8", "21 6/8"),
        ("beam-l", "21 6/8", "21 6/8"),
        ("g1-r", "3 4/8", "3 4/8"),
        ("g1-l", "4 0/8", "4 0/8"),
        ("h1-r", "4 5/8", "4 5/8"),
        ("h1-l", "4 7/8", "4 6/8"),
        ("h2-r", "4 5/8", "4 5/8"),
        ("h2-l", "4 6/8", "4 6/8"),
        ("h3-r", "4 5/8", "4 5/8"),
        ("h3-l", "4 6/8", "4 6/8"),
        ("h4-r", "3 6/8", "3 6/8"),
        ("h4-l", "4 1/8", "4 1/8"),
    ];
    for (name, before, _) in rack {
        yard.says(&format!("measure 0703 {name} {before}")).await;
    }
    yard.says("flesh 0703 --brain").await;
    for (name, _, after) in rack {
        yard.says(&format!("measure 0703 {name} {after}")).await;
    }
    let told = shop.reads(Compare { skull: which("0703") }).await;
    let comparison = told.comparison.unwrap();
    assert!(comparison.answer.starts_with("the same"), "{}", comparison.answer);
    let beam = comparison.working.iter().find(|step| step.what == "beam-r").unwrap();
    assert_eq!(beam.sum, "21 7/8 in then 21 6/8 in (-1/8 in): agrees");
    // By hand, in eighths: credit 139, right 343, left 353, apart 10; 835 and 825 in all.
    let score = told.score.unwrap();
    assert_eq!(score.answer, "gross 104 3/8, net 103 1/8");
    assert_eq!(told.others, 0);
    // What was typed is what the trail shows, unreduced.
    let trail = shop.trail("0703").await;
    assert!(trail.iter().any(|line| line.words.contains("4 0/8in")), "{trail:?}");
}

#[tokio::test]
async fn the_law_says_ask_until_the_shop_says_where_it_is_and_writes_its_rows() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter-1", Role::Owner).await;
    counter.takes_in("0704").await;
    let dates = async || shop.reads(Dates { skull: which("0704") }).await.law.unwrap();
    let law = dates().await;
    assert!(law.answer.contains("records: ask"), "{}", law.answer);
    assert!(law.cautions.iter().any(|words| words.contains("Not legal advice")));
    counter.says("set-shop state VA").await;
    assert!(dates().await.answer.contains("records VA: not yet: it is still here"));
    counter.says("set-shop law.va.records 2 years after taken-in; our own reading, 2026").await;
    let law = dates().await;
    assert!(law.answer.contains("records VA: keep through 20"), "{}", law.answer);
    assert!(law.sources.iter().any(|source| source.contains("our own reading")));
}

#[tokio::test]
async fn the_storage_clock_starts_when_the_customer_was_reached() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter-1", Role::Owner).await;
    counter.says("set-shop storage 5.00 a month after 0 days").await;
    counter.takes_in("0705").await;
    let papers = async || shop.show("0705").await.papers;
    let storage = |papers: Vec<String>| {
        papers.into_iter().find(|line| line.starts_with("storage")).unwrap_or_default()
    };
    assert_eq!(storage(papers().await), "storage: not started, no notice that counts");
    counter.says("tell 0705 phone no-answer").await;
    assert_eq!(storage(papers().await), "storage: not started, no notice that counts");
    counter.says("tell 0705 ready phone spoke").await;
    assert_eq!(storage(papers().await), "storage: not started, no notice that counts");
    counter.says("inspect 0705 --anyway \"finished elsewhere\"").await;
    counter.says("tell 0705 question phone spoke").await;
    assert_eq!(storage(papers().await), "storage: not started, no notice that counts");
    counter.says("tell 0705 ready phone spoke").await;
    let line = storage(papers().await);
    assert!(line.starts_with("storage: free until 20"), "{line}");
    // Nothing is owed by the clock alone.
    assert_eq!(shop.show("0705").await.owed, "0.00");
}
