//! Who handed the money over: sealed, for the counter and the owner, and nowhere else in clear.

use burrline_bench::{Choice, SystemClock};
use burrline_present::readings::{Days, Takings, Then};
use burrline_terms::{Typed as _, words::Role};

use crate::{
    harness::{Hand, Shop},
    typed::run,
};

async fn priced(shop: &Shop) -> Hand {
    let counter = shop.bench("counter-1", Role::Owner).await;
    counter.says("ticket --name \"Otis Marr\" --phone 555-0171").await;
    counter.says("take-in 0417 whitetail").await;
    counter.says("quote 0417 --lines cleaning=120.00 --total 120.00").await;
    counter
}

fn all_days() -> Takings {
    Takings { span: None, on: Some(Days::read("2020-01-01..2100-01-01").unwrap()) }
}

#[tokio::test]
async fn a_payment_says_by_whom_and_the_name_is_for_the_counter_alone() {
    let shop = Shop::start().await;
    let counter = priced(&shop).await;
    counter.says("pay 0417 50 cash --name \"Cal Dorsey\" --phone 555-0188").await;
    counter.says("pay 0417 70 card").await;

    let takings = counter.reads(all_days()).await;
    let [paid] = takings.by_others.as_slice() else { panic!("{takings:?}") };
    assert_eq!(
        (paid.name.as_str(), paid.amount.as_str(), paid.means.as_str()),
        ("Cal Dorsey", "50.00", "cash")
    );
    assert_eq!(takings.taken, "120.00");
    let page = run(&counter, &["takings", "day"], &[]).await.out;
    assert!(page.contains("50.00 cash by Cal Dorsey"), "{page}");

    // The trail and the slip say that it was somebody else, and the log has no name in it.
    let trail = shop.trail("0417").await;
    let told: Vec<&str> = trail
        .iter()
        .filter(|line| line.words.starts_with("pay"))
        .flat_map(|line| &line.figures)
        .map(String::as_str)
        .collect();
    assert_eq!(told, ["the money was given by somebody else than the customer, named under seal"]);
    let slip = run(&counter, &["slip", "0417", "--width", "120"], &[]).await.out;
    assert!(slip.contains("given by somebody else"), "{slip}");
    assert!(!slip.contains("Cal Dorsey"), "{slip}");
    for record in shop.records().await {
        let bytes = String::from_utf8_lossy(&prost::Message::encode_to_vec(&record)).into_owned();
        assert!(!bytes.contains("Cal Dorsey") && !bytes.contains("555-0188"));
    }

    // A bench without the right is told no sums, and so no names.
    let yard = shop.bench("yard-1", Role::Bench).await;
    assert!(yard.bench.read(all_days(), Then::default(), &SystemClock).await.is_err());

    // Taken back, the whole of it goes; and who is forgotten is forgotten here too.
    counter.says("pay 0417 5 cash --name \"Dee Elm\" --anyway \"a tip\"").await;
    counter.says("strike").await;
    let takings = counter.reads(all_days()).await;
    assert_eq!((takings.by_others.len(), takings.taken.as_str()), (1, "120.00"));
    counter.says("forget-customer 1:1 --anyway \"they asked for it\"").await;
    let takings = counter.reads(all_days()).await;
    assert_eq!(takings.by_others[0].name, "");
}

#[tokio::test]
async fn money_for_one_head_of_a_visit_says_that_it_counts_for_all_of_it() {
    let shop = Shop::start().await;
    let counter = priced(&shop).await;
    counter.says("take-in 0418 whitetail 6 pt --condition whole").await;
    counter.says("quote 0418 100").await;
    let [paid] = counter.says("pay 0418 100 card").await.try_into().unwrap();
    assert_eq!(paid.figures, ["it counts for the whole visit, 0417 0418: 120.00 is still owed"]);
    let [rest] = counter.says("pay 0417 120 cash").await.try_into().unwrap();
    assert_eq!(rest.figures, ["it counts for the whole visit, 0417 0418: nothing is owed"]);
    counter.says("take-in 0419 elk --condition whole").await;
    counter.says("quote 0419 210").await;
    let [alone] = counter.says("pay 0419 50 cash").await.try_into().unwrap();
    assert_eq!(alone.figures, Vec::<String>::new(), "of one head nothing is to be said");
}

#[tokio::test]
async fn of_money_that_was_not_paid_after_all_nobody_is_named() {
    let shop = Shop::start().await;
    let counter = priced(&shop).await;
    counter.says("pay 0417 50 cash").await;
    let before = shop.records().await.len();
    let line = "pay 0417 50 cash --name \"Cal Dorsey\"";
    let (said, asked) = counter.says_and(line, Choice::LeaveOff).await;
    assert_eq!((said.answers.len(), asked.asked.len()), (1, 1), "{said:?}");
    // The one record is that it was left off, and it names nobody.
    assert_eq!(shop.records().await.len(), before + 1);
}

#[tokio::test]
async fn an_amended_payment_keeps_who_gave_it_and_a_look_has_no_name() {
    let shop = Shop::start().await;
    let counter = priced(&shop).await;
    let receipts = counter.says("pay 0417 50 cash --name \"Cal Dorsey\"").await;
    let pay = receipts.last().unwrap().entry.unwrap();
    counter.says(&format!("amend {}:{} pay 0417 60 cash", pay.life, pay.n)).await;
    let takings = counter.reads(all_days()).await;
    let paid = &takings.by_others[0];
    assert_eq!((paid.name.as_str(), paid.amount.as_str()), ("Cal Dorsey", "60.00"));
    let wrong =
        burrline_line::parse("look 0417 tight --name \"Cal\"", &burrline_line::Lexicon::default());
    assert!(wrong.is_err(), "a look is nobody's money");
}
