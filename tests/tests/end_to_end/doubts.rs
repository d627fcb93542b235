//! A line that is unlikely is asked about before it is on the log; what nobody can mean is refused.

use burrline_bench::{
    Answerer, Choice, Clock, Scripted, SystemClock,
    answer::{Answer, Question},
};
use burrline_domain::BenchClock;
use burrline_proto::v1;
use burrline_terms::{Moment, words::Role};
use burrline_tests::line::Line;

use crate::{
    harness::{Hand, Shop},
    typed::run,
};

/// A head in order that was quoted at 120.00.
async fn quoted(shop: &Shop) -> Hand {
    let counter = shop.bench("counter-1", Role::Owner).await;
    counter.adds_places().await;
    counter.takes_in("0417").await;
    counter.says("quote 0417 --total 120.00").await;
    counter
}

/// A hand that answers only after something else was said at another bench.
struct Slow<'a> {
    /// Said while the hand thinks, one a question.
    meanwhile: Vec<(&'a Hand, &'a str)>,
    then: Scripted,
}

impl Answerer for Slow<'_> {
    fn answer(&mut self, question: &Question) -> Choice {
        if let Some((hand, line)) = self.meanwhile.pop() {
            let said = hand.says(line);
            tokio::task::block_in_place(|| tokio::runtime::Handle::current().block_on(said));
        }
        self.then.answer(question)
    }
}

#[tokio::test]
async fn more_than_is_owed_is_asked_about_and_left_off_it_is_not_on_the_log() {
    let shop = Shop::start().await;
    let counter = quoted(&shop).await;
    let before = shop.digest().await.records;
    let (said, asked) = counter.says_and("pay 0417 185 cash", Choice::LeaveOff).await;
    assert_eq!(asked.asked[0].against, ["185.00 paid, 120.00 owed: 65.00 too much"]);
    assert!(matches!(said.answers[..], [Answer::LeftOff { .. }]), "{said:?}");
    assert_eq!(shop.digest().await.records, before + 1, "that it was left off is noted");

    let why = Choice::Anyway("65 is for the plaque".to_owned());
    counter.says_and("pay 0417 185 cash", why).await;
    let trail = shop.trail("0417").await;
    assert_eq!(trail.last().unwrap().anyway, "65 is for the plaque");
}

#[tokio::test]
async fn what_nobody_can_mean_is_typed_wrong_and_nothing_is_recorded() {
    let shop = Shop::start().await;
    let counter = quoted(&shop).await;
    let before = shop.digest().await.records;
    for (args, words) in [
        (["pay", "0417", "12.955"], "12.955 was said, and USD has 2 digits behind the point"),
        (["pay", "0417", "0.00"], "a payment is above 0"),
        (["charge", "0417", "0.125"], "0.125 was said, and USD has 2 digits"),
    ] {
        let ran = run(&counter, &args, &[]).await;
        assert_eq!(ran.status, Some(2), "{args:?}: {}", ran.err);
        assert!(ran.err.contains(words), "{args:?}: {}", ran.err);
    }
    assert_eq!(shop.digest().await.records, before);
}

#[tokio::test]
async fn every_reason_of_every_rule_is_in_one_question() {
    let shop = Shop::start().await;
    let counter = quoted(&shop).await;
    let (_, asked) = counter.says_and("ship 0417", Choice::LeaveOff).await;
    let [question] = asked.asked.as_slice() else { panic!("{asked:?}") };
    let against = question.against.join("\n");
    assert!(against.contains("inspect it first"), "{against}");
    assert!(against.contains("120.00 still owed"), "{against}");
    assert!(!against.contains("still owed on it"), "once is enough: {against}");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_head_is_not_shipped_owing_money_because_only_the_inspection_was_shown() {
    let shop = Shop::start().await;
    let counter = quoted(&shop).await;
    counter.says("pay 0417 120 cash").await;
    let office = shop.bench("office", Role::Owner).await;
    let before = shop.digest().await.records;

    // Only the inspection is missing as the question is put; while the hand thinks, money is charged.
    let answers = [Choice::Anyway("looked at it myself".to_owned()), Choice::LeaveOff];
    let then = Scripted { answers: answers.into(), asked: Vec::new() };
    let mut slow = Slow { meanwhile: vec![(&office, "charge 0417 40 plaque")], then };
    let said = counter.types("ship 0417", &mut slow).await;
    let asked: Vec<String> = slow.then.asked.iter().map(|q| q.against.join("\n")).collect();
    assert_eq!(asked.len(), 2, "{asked:?}");
    assert!(asked[0].contains("inspect it first") && !asked[0].contains("owed"), "{asked:?}");
    assert_eq!(asked[1], "40.00 still owed: take the money first.");
    assert!(matches!(said.answers[..], [Answer::LeftOff { .. }]), "{said:?}");
    assert_eq!(shop.digest().await.records, before + 2, "the charge, and what was left off");

    // Answered to both, both reasons and both rulings are on the record.
    let answers = [
        Choice::Anyway("looked at it myself".to_owned()),
        Choice::Anyway("they pay on the first".to_owned()),
    ];
    let then = Scripted { answers: answers.into(), asked: Vec::new() };
    let mut slow = Slow { meanwhile: vec![(&office, "dispute 0417 nose")], then };
    counter.types("ship 0417", &mut slow).await;
    let trail = shop.trail("0417").await;
    let shipped = trail.iter().rev().find(|line| line.words.starts_with("ship")).unwrap();
    assert_eq!(shipped.anyway, "looked at it myself; they pay on the first");
    assert!(slow.then.asked[1].against[0].contains("a dispute is open"), "{:?}", slow.then.asked);
}

/// A rule of the house against heads that are wrapped.
async fn no_wraps(shop: &Shop, owner: &Hand) {
    let source = "fn check(job, act) { if act.verb == \"in\" && job.wrapped { #{ no: \"wet wrap: dry it first.\" } } }";
    let request = v1::PutScriptRequest {
        kind: v1::ScriptKind::Stages.into(),
        name: "house".to_owned(),
        source: source.as_bytes().to_vec(),
    };
    let digest = shop.wire.clone().put_script(request).await.unwrap().into_inner().digest;
    let digest = hex::encode(digest);
    owner.says(&format!("install-script stages house {digest}")).await;
    owner.says(&format!("activate-script {digest}")).await;
}

#[tokio::test]
async fn what_the_missing_step_brings_up_is_asked_about_too() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Owner).await;
    yard.adds_places().await;
    yard.takes_in("0616").await;
    no_wraps(&shop, &yard).await;
    let then = [Choice::Done, Choice::LeaveOff];
    let mut hand = Scripted { answers: then.into(), asked: Vec::new() };
    let said = yard.types("in pot-1 0616", &mut hand).await;
    let asked: Vec<&[String]> = hand.asked.iter().map(|q| q.against.as_slice()).collect();
    assert_eq!(
        asked,
        [
            &["wrap the antlers at the burr first.".to_owned()],
            &["wet wrap: dry it first.".to_owned()]
        ]
    );
    // The wrap was done and is on the log; what it brought up was left off.
    assert!(
        matches!(said.answers[..], [Answer::Receipt { .. }, Answer::LeftOff { .. }]),
        "{said:?}"
    );
    let words = shop.trail("0616").await.last().unwrap().words.clone();
    assert!(words.starts_with("wrap"), "{words}");
}

#[tokio::test]
async fn forgetting_and_another_currency_are_asked_about_and_say_what_to_add() {
    let shop = Shop::start().await;
    let counter = quoted(&shop).await;
    counter.says("add-customer --name \"Ada Fenn\"").await;
    let ticket = shop.digest().await.records;
    let customer = shop.find("fenn").await.customers[0].customer.unwrap();
    let name = format!("{}:{}", customer.life, customer.n);
    for args in [["forget-customer", &name, ""], ["set-shop", "currency", "EUR"]] {
        let args: Vec<&str> = args.into_iter().filter(|word| !word.is_empty()).collect();
        let ran = run(&counter, &args, &[]).await;
        assert_eq!(ran.status, Some(1), "{args:?}: {}{}", ran.out, ran.err);
        let told = [ran.out, ran.err].concat();
        assert!(told.contains("add --anyway REASON"), "{args:?}: {told}");
    }
    assert_eq!(shop.digest().await.records, ticket, "nothing was decided");
    assert_eq!(shop.find("fenn").await.customers.len(), 1);

    counter.says(&format!("forget-customer {name} --anyway \"they asked for it\"")).await;
    assert!(shop.find("fenn").await.customers.is_empty());
}

#[tokio::test]
async fn away_the_copy_asks_the_same() {
    let shop = Shop::start().await;
    quoted(&shop).await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let counter = shop.bench_over(&line.url(), "counter-2", Role::Counter).await;
    counter.bench.catch_up(&SystemClock, None).await.unwrap();
    line.cut();
    for (typed, words) in [
        ("pay 0417 185 cash", "185.00 paid, 120.00 owed: 65.00 too much"),
        ("promise 0417 2020-01-01", "2020-01-01 is past"),
        ("weigh 0417 40lb", "40 lb: a fleshed whitetail head weighs 13.89 lb at most"),
        ("bring-back 0417", "it never left"),
    ] {
        let (said, asked) = counter.says_and(typed, Choice::LeaveOff).await;
        let against = asked.asked.first().map(|q| q.against.join("; ")).unwrap_or_default();
        assert!(against.contains(words), "{typed}: {against}");
        assert!(matches!(said.answers[..], [Answer::LeftOff { .. }]), "{said:?}");
    }
    let wrong = counter.bench.say("pay 0417 12.955", &SystemClock, &mut Scripted::default()).await;
    assert!(wrong.unwrap_err().to_string().contains("12.955 was said"));
    // Nothing waits but the notes of what was left off.
    assert_eq!(counter.bench.waiting().unwrap().len(), 4);
}

/// Nine in the morning of 29 November 2026, universal time.
struct AtNine;

impl Clock for AtNine {
    fn now(&self) -> BenchClock {
        BenchClock { wall: Moment(1_795_942_800_000), boot: [1; 16], uptime_ms: 0 }
    }
}

#[tokio::test]
async fn a_time_that_is_still_to_come_today_is_asked_about_as_yesterdays() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Owner).await;
    yard.takes_in("0417").await;
    let mut hand = Scripted::default();
    let said = yard.bench.say("at 14:00 wash 0417", &AtNine, &mut hand).await;
    let asked = said.unwrap_err().to_string();
    assert!(asked.contains("14:00 is still to come today"), "{asked}");
    assert!(asked.contains("2026-11-28T14:00 for yesterday"), "{asked}");
    // Said with its day there is nothing to ask about it.
    let mut hand = Scripted::default();
    yard.bench.say("at 2026-11-28T14:00 wash 0417", &AtNine, &mut hand).await.unwrap();
    assert!(hand.asked.iter().all(|q| !q.against.concat().contains("yesterday")), "{hand:?}");
}
