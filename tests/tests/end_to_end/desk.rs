//! The desk: whom to call, what was taken, how jobs ended, who collects.

use burrline_bench::SystemClock;
use burrline_present::readings::{Calls, Collect, Days, Ends, Takings, Then};
use burrline_proto::v1;
use burrline_terms::{Money, Typed as _, words::Role};

use crate::harness::{Hand, Shop, which};

/// A finished head of a customer, ready to be told of.
async fn finished(counter: &Hand, tag: &str, name: &str, price: &str) {
    // Each of these is somebody else, whatever their name.
    let other = "--anyway \"a different person\"";
    counter.says(&format!("ticket --name \"{name}\" --phone 555-0142 --hand ines {other}")).await;
    counter.takes_in(tag).await;
    complete_papers(counter, tag).await;
    counter.says(&format!("quote {tag} --total {price}")).await;
    counter.says(&format!("agree {tag} counter")).await;
    counter.says(&format!("inspect {tag} --hand bo")).await;
}

async fn complete_papers(counter: &Hand, tag: &str) {
    counter
        .says(&format!(
            "papers {tag} --name \"Bo Tarn\" --address \"3 Mill Lane, Alder\" --licence L-1 \
             --killed-on 2025-11-07 --county Alder --state VA"
        ))
        .await;
}

async fn calls(hand: &Hand) -> Vec<String> {
    let answer = hand.reads(Calls {}).await;
    answer.lines.iter().map(told).collect()
}

/// One call in words: who, what for, what is to be paid, how often tried.
fn told(call: &v1::CallLine) -> String {
    let whys: Vec<String> =
        call.whys.iter().map(|why| format!("{} {}: {}", why.tag, why.kind, why.words)).collect();
    format!("{} | {} | {} | {}", call.name, whys.join(" ; "), call.owed, call.tries)
}

#[tokio::test]
async fn who_is_told_is_off_the_list_and_tries_in_vain_are_counted() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter-1", Role::Owner).await;
    finished(&counter, "0417", "Ada Fenn", "120.00").await;
    assert_eq!(calls(&counter).await, ["Ada Fenn | 0417 ready: not told yet | 120.00 | 0"]);
    for tries in 1..3 {
        counter.says("tell 0417 phone no-answer").await;
        assert_eq!(
            calls(&counter).await,
            [format!("Ada Fenn | 0417 ready: not told yet | 120.00 | {tries}")]
        );
    }
    counter.says("tell 0417 phone no-answer").await;
    assert_eq!(
        calls(&counter).await,
        ["Ada Fenn | 0417 third-try: not told yet; tried 3 times in vain: write | 120.00 | 3"]
    );
    counter.says("tell 0417 ready letter sent").await;
    assert_eq!(calls(&counter).await, [""; 0]);
}

#[tokio::test]
async fn only_a_notice_that_counts_starts_the_storage_clock() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter-1", Role::Owner).await;
    counter.says("set-shop storage \"5.00 a month after 0 days\"").await;
    counter.says("set-shop notice \"letter, sent\"").await;
    finished(&counter, "0417", "Ada Fenn", "120.00").await;
    let storage = async || {
        let papers = shop.show("0417").await.papers;
        papers.into_iter().find(|line| line.starts_with("storage")).unwrap()
    };
    counter.says("tell 0417 ready phone spoke").await;
    assert_eq!(storage().await, "storage: not started, no notice that counts");
    counter.says("tell 0417 ready letter sent").await;
    assert!(storage().await.starts_with("storage: free until"), "{}", storage().await);
    // A word that can never count is turned away with what would be right.
    let refused = counter.says("set-shop notice no-answer").await.remove(0);
    let words = format!("{:?}", refused.outcome);
    assert!(words.contains("letter, sent"), "{words}");
}

#[tokio::test]
async fn one_call_for_one_customer_the_most_urgent_first() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter-1", Role::Owner).await;
    finished(&counter, "0417", "Ada Fenn", "120.00").await;
    counter.says("ticket --name \"Otis Marr\" --phone 555-0171").await;
    for tag in ["0418", "0419"] {
        counter.takes_in(tag).await;
        complete_papers(&counter, tag).await;
        counter.says(&format!("quote {tag} --total 90.00")).await;
        counter.says(&format!("agree {tag} counter")).await;
    }
    counter.says("hold 0419 nose bone broken, glue or leave off").await;
    assert_eq!(
        calls(&counter).await,
        [
            "Ada Fenn | 0417 ready: not told yet | 120.00 | 0",
            "Otis Marr | 0419 decision: on hold: nose bone broken, glue or leave off |  | 0",
        ]
    );
    // What is sealed stays sealed for a bench of the yard, and so does money.
    let yard = shop.bench("yard-1", Role::Bench).await;
    let told = calls(&yard).await;
    assert_eq!(told[0], " | 0417 ready: not told yet |  | 0");
    assert!(
        yard.bench
            .read(days("2026-01-01", "2026-01-02"), Then::default(), &SystemClock)
            .await
            .is_err()
    );
}

fn days(from: &str, to: &str) -> Takings {
    Takings { span: None, on: Some(Days::read(&format!("{from}..{to}")).unwrap()) }
}

fn money(text: &str) -> Money {
    Money::read(text).unwrap()
}

async fn takings(counter: &Hand, from: &str, to: &str) -> v1::TakingsResponse {
    counter.reads(days(from, to)).await
}

/// Held before, and what was taken, less what was given back and what is no longer held, is what is
/// held now. To the cent.
fn closes(sums: &v1::TakingsResponse) {
    let sum = |plus: &[&str], minus: &[&str]| {
        let up = Money::sum(plus.iter().map(|text| money(text)));
        up.checked_sub(Money::sum(minus.iter().map(|text| money(text)))).unwrap()
    };
    assert_eq!(
        sum(&[&sums.held_before, &sums.taken], &[&sums.given_back, &sums.settled, &sums.on_no_job]),
        money(&sums.held_after),
        "{sums:?}"
    );
}

#[tokio::test]
async fn takings_close_to_the_cent_over_a_ticket_of_three() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter-1", Role::Owner).await;
    counter.says("set-shop tax-rate 8.25% from 2020-01-01").await;
    counter.says("at 2025-11-14T09:00 ticket --name \"Otis Marr\" --phone 555-0171").await;
    for tag in ["0415", "0416", "0417"] {
        // The ticket of the day is today's, so a ticket of another day is named.
        counter.says(&format!("at 2025-11-14T09:01 take-in {tag} whitetail --ticket 1:3")).await;
        counter
            .says(&format!(
                "at 2025-11-14T09:05 quote {tag} --lines cleaning=124.71 --total 135.00"
            ))
            .await;
    }
    counter.says("at 2025-11-14T09:10 pay 0415 200 cash").await;
    counter.says("at 2025-11-14T09:11 pay 0999 5 card --anyway \"tag not clipped yet\"").await;
    counter.says("at 2025-11-20T10:00 refund 0416 6.67 card --anyway \"a wrong card\"").await;
    counter.says("at 2025-11-28T10:00 pay 0415 68.33 check --only-this").await;
    counter.says("at 2025-11-28T10:01 hand-over 0415 --anyway \"paid\"").await;
    counter.says("at 2025-12-02T10:01 give-back 0417 --why \"changed his mind\"").await;

    let first = takings(&counter, "2025-11-14", "2025-11-14").await;
    closes(&first);
    assert_eq!((first.taken.as_str(), first.held_after.as_str()), ("205.00", "200.00"));
    assert_eq!(first.on_no_job, "5.00");
    assert_eq!(
        (first.by_means[0].means.as_str(), first.by_means[0].taken.as_str()),
        ("cash", "200.00")
    );

    let month = takings(&counter, "2025-11-01", "2025-11-30").await;
    closes(&month);
    assert_eq!((month.net.as_str(), month.handed_over), ("266.66", 1));
    assert_eq!((month.earned.as_str(), month.earned_tax.as_str()), ("135.00", "10.29"));
    // 66.67 and 68.33 were paid for 0415; 66.67 less 6.67 for 0416, 66.66 for 0417.
    assert_eq!((month.settled.as_str(), month.held_after.as_str()), ("135.00", "126.66"));
    assert_eq!(month.owed_after, "0.00");

    let december = takings(&counter, "2025-12-01", "2025-12-31").await;
    closes(&december);
    assert_eq!(december.otherwise, ["0417 give-back: charged 135.00, kept 66.66"]);
    assert_eq!((december.held_before.as_str(), december.held_after.as_str()), ("126.66", "60.00"));
}

#[tokio::test]
async fn ends_other_than_hand_over_are_listed_and_a_jaw_left_behind_too() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter-1", Role::Owner).await;
    counter.adds_places().await;
    for tag in ["0417", "0418", "0419"] {
        finished(&counter, tag, "Ada Fenn", "10.00 --anyway friend").await;
        counter.says(&format!("pay {tag} 10 cash --anyway again")).await;
    }
    counter.says("in tank-2 0417 jaw").await;
    let card = counter.reads(Collect { skull: which("0417") }).await;
    assert_eq!(card.parts_away, ["jaw in tank-2, bag 0417-J"]);
    assert_eq!((card.customer.as_str(), card.owed.as_str()), ("Ada Fenn", "0.00"));
    counter.says("person 0417 collector --name \"Cal Dorsey\"").await;
    let card = counter.reads(Collect { skull: which("0417") }).await;
    assert_eq!(card.collectors, ["Cal Dorsey"]);

    counter.says("hand-over 0417 --name \"Cal Dorsey\" --anyway \"jaw follows\"").await;
    counter.says("write-off 0418 unclaimed --rule \"asked the agency\"").await;
    counter.says("hand-over 0419 --anyway ok").await;
    let ends = counter.reads(Ends { from: None, to: None }).await;
    let lines: Vec<String> = ends
        .lines
        .iter()
        .map(|line| format!("{} | {} | {}", line.how, line.words, line.left_here.join(", ")))
        .collect();
    assert_eq!(
        lines,
        [
            "hand-over | to Cal Dorsey | jaw in tank-2, bag 0417-J",
            "write-off unclaimed | asked the agency | "
        ]
    );
    // It comes back for re-work, and is no end any more.
    counter.says("bring-back 0417 \"jaw joined\"").await;
    let answer = counter.reads(Ends { from: None, to: None }).await;
    assert_eq!(answer.lines.len(), 1);
}
