//! A dispute with its hold, two sides beside each other, gaps, and slips.

use burrline_bench::{Bench, Choice, Ending, SystemClock, folder::Settings};
use burrline_paper::packet::names;
use burrline_present::readings::{Side, Sides, Then, Trail};
use burrline_proto::v1;
use burrline_terms::{Moment, words::Role};

use crate::{
    harness::{Hand, Shop, which},
    packet::packet,
    photos::types,
};

fn side(tag: &str, as_of_ms: Option<i64>) -> Side {
    Side { skull: Some(which(tag)), then: Then { of: as_of_ms.map(Moment), known: None } }
}

async fn sides(shop: &Shop, one: Side, other: Side) -> v1::SidesResponse {
    shop.reads(Sides { one, other }).await
}

/// Cuts the bench's line until it is mended again.
fn cut(hand: &Hand) -> Settings {
    let settings = hand.bench.settings().clone();
    let away = Settings { shop: "http://127.0.0.1:9".to_owned(), ..settings.clone() };
    hand.bench.folder().keep_settings(&away).unwrap();
    settings
}

#[tokio::test]
async fn a_dispute_holds_the_job_and_closing_it_leaves_the_hold_to_a_person() {
    let shop = Shop::start().await;
    let hand = shop.bench("counter", Role::Counter).await;
    hand.takes_in("0417").await;
    assert_eq!(types(&hand, &["dispute", "0417", "that is not my buck"]).await, Ending::Done);
    let job = shop.show("0417").await;
    assert_eq!(job.hold, "disputed: that is not my buck");
    assert!(job.facts.contains(&"disputed: yes".to_owned()), "{:?}", job.facts);

    // A second one leaves the hold as it is.
    types(&hand, &["dispute", "0417", "nor is that my tag"]).await;
    assert_eq!(shop.show("0417").await.hold, "disputed: that is not my buck");

    types(&hand, &["answer", "0417", "the tag was on all the way"]).await;
    // Nobody is there to say yes, so the hold stands.
    assert_eq!(types(&hand, &["close-dispute", "0417", "shown the trail"]).await, Ending::Done);
    let job = shop.show("0417").await;
    assert_eq!(job.hold, "disputed: that is not my buck");
    assert!(!job.facts.contains(&"disputed: yes".to_owned()));
    hand.says("release 0417").await;
    assert_eq!(shop.show("0417").await.hold, "");
}

/// What somebody wanted and was not given is part of the story: it stands on the trail and on the page, with
/// who asked and why not, and counts for nothing.
#[tokio::test]
async fn a_refused_decision_is_on_the_trail_and_on_the_page_and_counts_for_nothing() {
    let shop = Shop::start().await;
    let hand = shop.bench("counter", Role::Counter).await;
    hand.takes_in("0417").await;
    hand.says("release 0417 --hand bo").await;
    hand.says("hold 0417 papers").await;

    let trail = shop.trail("0417").await;
    let refused: Vec<_> = trail.iter().filter(|line| !line.refused.is_empty()).collect();
    assert_eq!(refused.len(), 1, "{trail:?}");
    let line = refused[0];
    assert_eq!((line.bench.as_str(), line.hand.as_str()), ("counter", "bo"));
    assert!(line.words.starts_with("release 0417"), "{}", line.words);
    assert_eq!(line.refused, "the job is not on hold");
    assert_eq!(shop.show("0417").await.hold, "papers");

    // What was known before it was asked does not have it; what is known now has it at its place.
    let known = async |position| {
        let then = Then { of: None, known: Some(position) };
        shop.reads_then(Trail { skull: which("0417") }, then).await
    };
    let before = known(line.position).await;
    assert_eq!(before.lines.len() + 2, trail.len());
    let then = known(line.position + 1).await;
    assert_eq!(then.lines.last(), Some(line));

    let files = packet(&hand, "0417").await;
    let page = String::from_utf8(files[names::PAGE].clone()).unwrap();
    assert!(page.contains("refused: the job is not on hold"), "{page}");
}

#[tokio::test]
async fn a_hold_for_another_reason_stands_and_away_the_dispute_is_kept_alone() {
    let shop = Shop::start().await;
    let hand = shop.bench("counter", Role::Counter).await;
    hand.takes_in("0417").await;
    hand.says("hold 0417 papers").await;
    types(&hand, &["dispute", "0417", "you quoted less"]).await;
    assert_eq!(shop.show("0417").await.hold, "papers");

    hand.takes_in("0418").await;
    hand.bench.catch_up(&SystemClock, None).await.unwrap();
    let settings = cut(&hand);
    assert_eq!(types(&hand, &["dispute", "0418", "you broke the nose"]).await, Ending::Away);
    hand.bench.folder().keep_settings(&settings).unwrap();
    Bench::open(&hand.bench.folder().path("")).unwrap().in_touch(&SystemClock).await;
    let job = shop.show("0418").await;
    assert_eq!(job.hold, "", "a hold is a decision, and nobody has said it yet");
    assert!(job.facts.contains(&"disputed: yes".to_owned()));
}

#[tokio::test]
async fn a_disputed_job_is_not_handed_over_without_a_reason() {
    let shop = Shop::start().await;
    let hand = shop.bench("counter", Role::Counter).await;
    hand.takes_in("0417").await;
    hand.says_and("inspect 0417 --hand bo", Choice::Anyway("looked".to_owned())).await;
    hand.says("dispute 0417 --words \"that is not my buck\"").await;
    let (_, asked) = hand.says_and("hand-over 0417 --hand ada", Choice::LeaveOff).await;
    let against: Vec<&String> = asked.asked.iter().flat_map(|question| &question.against).collect();
    assert!(against.iter().any(|words| words.contains("a dispute is open")), "{against:?}");
}

#[tokio::test]
async fn two_jobs_and_two_moments_are_compared_by_what_differs() {
    let shop = Shop::start().await;
    let hand = shop.bench("counter", Role::Owner).await;
    hand.adds_places().await;
    hand.takes_in("0417").await;
    hand.takes_in("0418").await;
    let before = shop.served.shop.now().0;
    for line in ["wrap 0417", "in pot-1 0417", "damage 0417 nose \"split\" --whose ours"] {
        hand.says_and(line, Choice::Anyway("as it was".to_owned())).await;
    }
    let answer = sides(&shop, side("0417", None), side("0418", None)).await;
    let row = |what: &str| answer.rows.iter().find(|row| row.what == what);
    assert_eq!(row("damage").unwrap().one, "nose: split (ours)");
    assert_eq!(row("damage").unwrap().other, "");
    assert!(row("steps").unwrap().one.ends_with("wrap, in pot-1"), "{answer:?}");
    assert!(row("species").is_none(), "the same is left out: {answer:?}");

    let then = sides(&shop, side("0417", Some(before)), side("0417", None)).await;
    assert!(then.rows.iter().any(|row| row.what == "damage" && row.one.is_empty()), "{then:?}");
    assert_eq!(sides(&shop, side("0417", None), side("0417", None)).await.rows, []);

    let floor = |as_of_ms: Option<i64>| Side {
        skull: None,
        then: Then { of: as_of_ms.map(Moment), known: None },
    };
    let then = sides(&shop, floor(Some(before)), floor(None)).await;
    let pot = then.rows.iter().find(|row| row.what == "pot-1").unwrap();
    assert_eq!((pot.one.as_str(), pot.other.as_str()), ("", "0417"));

    // As typed; and the older meaning of a tag alone stays.
    assert_eq!(types(&hand, &["compare", "0417", "0418"]).await, Ending::Done);
    assert_eq!(types(&hand, &["compare", "floor", "--as-of", "00:00"]).await, Ending::Done);
    assert_eq!(types(&hand, &["compare", "0417"]).await, Ending::Done);
    assert_eq!(types(&hand, &["compare", "0417", "0417"]).await, Ending::Usage);
    hand.bench.catch_up(&SystemClock, None).await.unwrap();
    cut(&hand);
    assert_eq!(types(&hand, &["compare", "0417", "0418"]).await, Ending::Done);
}

#[tokio::test]
async fn a_crossed_out_and_an_amended_line_say_by_whom() {
    let shop = Shop::start().await;
    let hand = shop.bench("counter", Role::Counter).await;
    hand.takes_in("0417").await;
    let weighed = hand.says("weigh 0417 1420g").await.pop().unwrap().entry.unwrap();
    hand.says(&format!("amend {}:{} weigh 0417 1240g", weighed.life, weighed.n)).await;
    hand.says("note 0417 \"a slip\"").await;
    hand.says("strike").await;
    let trail = shop.trail("0417").await;
    let amended = trail.iter().find(|line| line.entry == Some(weighed)).unwrap();
    assert!(amended.formerly.contains("1420") && amended.told.contains("1240"), "{amended:?}");
    assert!(amended.corrected.contains("at counter"), "{amended:?}");
    let struck = trail.iter().find(|line| line.words.contains("a slip")).unwrap();
    assert!(struck.struck && struck.struck_by.is_some(), "{struck:?}");
    assert!(struck.corrected.contains("at counter"), "{struck:?}");
}

#[tokio::test]
async fn a_slip_of_away_is_the_benchs_word_and_printed_later_the_shops() {
    let shop = Shop::start().await;
    let hand = shop.bench("counter", Role::Counter).await;
    hand.says("ticket --name \"Ada Fenn\"").await;
    hand.takes_in("0417").await;
    hand.bench.catch_up(&SystemClock, None).await.unwrap();
    let page = hand.folder().join("slip.html");
    let print = ["slip", "0417", "--evidence", "--html", page.to_str().unwrap()];
    let settings = cut(&hand);
    types(&hand, &["take-in", "0419", "whitetail", "6", "pt", "--condition", "whole"]).await;
    let print_new = ["slip", "0419", "--evidence", "--html", page.to_str().unwrap()];
    assert_eq!(types(&hand, &print_new).await, Ending::Done);
    let away = std::fs::read_to_string(&page).unwrap();
    assert!(away.contains("signed by the bench alone"), "{away}");
    assert!(away.contains("tag 0419") && away.contains("burrline.v1/bench/"), "{away}");

    hand.bench.folder().keep_settings(&settings).unwrap();
    assert_eq!(types(&hand, &["sync"]).await, Ending::Done);
    assert_eq!(types(&hand, &print).await, Ending::Done);
    let near = std::fs::read_to_string(&page).unwrap();
    assert!(
        near.contains("signed head of the log") && near.contains("burrline.v1/shop/"),
        "{near}"
    );
    // The paper is the customer's own, and names them.
    assert!(near.contains("tag 0417") && near.contains("for Ada Fenn"), "{near}");
    assert_eq!(types(&hand, &print_new).await, Ending::Done);
    assert!(std::fs::read_to_string(&page).unwrap().contains("burrline.v1/shop/"));
}
