//! A line of which not every part goes through, and what a line cannot know by itself.

use burrline_bench::{Choice, Ending, Error, Nobody, Scripted, SystemClock, answer::Answer};
use burrline_line::{self as line, Unclear};
use burrline_terms::words::Role;

use crate::{
    harness::{Hand, Shop},
    typed::run,
};

/// What is asked about a line, with nobody there to answer; nothing of it is recorded.
async fn asked(shop: &Shop, bench: &Hand, typed: &str) -> Unclear {
    let before = shop.records().await.len();
    let said = bench.bench.say(typed, &SystemClock, &mut Nobody).await;
    assert_eq!(shop.records().await.len(), before, "{typed}");
    match said {
        Err(Error::Unclear(unclear)) => unclear,
        other => panic!("{typed}: {other:?}"),
    }
}

#[tokio::test]
async fn of_several_skulls_one_that_is_unknown_is_asked_about_before_the_rest_is_recorded() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Owner).await;
    yard.adds_places().await;
    yard.takes_in("0417").await;
    yard.takes_in("0418").await;
    let before = shop.records().await.len();

    // A pipe records nothing of the line, and is told what to type.
    let typed = "wash 0417 0418 0499";
    let error = yard.bench.say(typed, &SystemClock, &mut Nobody).await.unwrap_err();
    assert_eq!(error.ending(), Ending::Usage);
    assert!(error.to_string().contains("to record the rest: wash 0417 0418"), "{error}");
    assert_eq!(shop.records().await.len(), before);

    // Nor does a hand that says so; only that it was left off is noted.
    let (said, asked) = yard.says_and(typed, Choice::LeaveOff).await;
    assert_eq!(asked.asked[0].rest, "wash 0417 0418");
    assert_eq!(said.ending(), Ending::Refused);
    assert_eq!(shop.records().await.len(), before + 1);

    let (said, _) = yard.says_and(typed, Choice::Without).await;
    let receipts = said.answers.iter().filter(|answer| matches!(answer, Answer::Receipt { .. }));
    assert_eq!(receipts.count(), 2, "{said:?}");
    assert!(shop.trail("0418").await.last().unwrap().words.starts_with("wash"));
}

#[tokio::test]
async fn what_a_rule_says_of_one_skull_holds_up_the_whole_line_until_it_is_answered() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Owner).await;
    yard.adds_places().await;
    yard.takes_in("0417").await;
    yard.takes_in("0418").await;
    yard.says("wrap 0418").await;
    let before = shop.records().await.len();
    let typed = "in pot-1 0417 0418";
    let error = yard.bench.say(typed, &SystemClock, &mut Nobody).await.unwrap_err();
    let told = error.to_string();
    assert!(told.contains("wrap the antlers") && told.contains("add --yes-done"), "{told}");
    assert!(
        told.contains("to record the rest: in 0418 pot-1") || told.contains("in pot-1 0418"),
        "{told}"
    );
    assert_eq!(shop.records().await.len(), before);
    let mut hand = Scripted { answers: [Choice::Done].into(), asked: Vec::new() };
    let said = yard.types(typed, &mut hand).await;
    assert_eq!(said.answers.len(), 3, "the wrap that was not said, and both: {said:?}");
}

#[tokio::test]
async fn a_share_of_what_is_owed_is_asked_with_its_sum() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter-1", Role::Owner).await;
    counter.takes_in("0417").await;
    counter.says("quote 0417 185.01").await;
    counter.says("agree 0417").await;
    let lines = |unclear: &Unclear| {
        unclear.choices.iter().map(|choice| line::unclear::line(&choice.words)).collect::<Vec<_>>()
    };
    let half = asked(&shop, &counter, "0417 paid half cash").await;
    assert_eq!(lines(&half), ["pay 0417 92.51 cash ; note 0417 --words half"]);
    counter.says("pay 0417 85.01 cash").await;
    let half = asked(&shop, &counter, "pay 0417 half now, rest next week").await;
    assert_eq!(
        lines(&half),
        [
            "pay 0417 50.00 ; note 0417 --words \"half, rest next week\"",
            "pay 0417 92.51 ; note 0417 --words \"half, rest next week\""
        ],
        "of what is owed, or of the whole price"
    );
    let rest = asked(&shop, &counter, "0417 paid the rest card").await;
    assert_eq!(lines(&rest), ["pay 0417 100.00 card"]);
    counter.says("pay 0417 100.00 card").await;
    let none = counter.bench.say("0417 paid half", &SystemClock, &mut Nobody).await.unwrap_err();
    assert!(none.to_string().contains("say the sum"), "{none}");
}

#[tokio::test]
async fn a_name_that_is_nearly_a_known_customer_s_is_asked_about() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter-1", Role::Owner).await;
    counter.says("ticket \"Kay Johnson\" 555-0142").await;
    counter.takes_in("0417").await;
    counter.says("quote 0417 185").await;
    counter.says("agree 0417").await;
    let known = asked(&shop, &counter, "ticket \"Kay Jonson\" 555-0177").await;
    assert!(known.about.contains("Kay Johnson"), "{known:?}");
    assert_eq!(known.choices.len(), 2, "{known:?}");
    let giver = asked(&shop, &counter, "pay 0417 50 cash --name \"Kay Jonson\"").await;
    let labels: Vec<&str> = giver.choices.iter().map(|choice| choice.label.as_str()).collect();
    assert_eq!(labels, ["Kay Johnson", "Kay Jonson, as typed"]);
    // As it is written, or nobody's: nothing is asked.
    counter.says("pay 0417 20 cash --name \"Kay Johnson\"").await;
    counter.says("pay 0417 30 cash --name \"Bo Tarn\"").await;
}

#[tokio::test]
async fn a_line_of_two_times_records_neither_deed_where_one_of_them_cannot_be() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Owner).await;
    yard.adds_places().await;
    yard.takes_in("0417").await;
    let before = shop.records().await.len();
    // It came out before it went in.
    let ran = run(&yard, &["bench"], &["in pot-1 0417 0:02 out 0:01"]).await;
    assert_eq!(ran.status, Some(2), "{}", ran.err);
    assert!(ran.err.contains("0:01"), "{}", ran.err);
    assert_eq!(shop.records().await.len(), before);
}
