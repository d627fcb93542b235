//! What is shown is what is known: readings after coming back, the condition, tags of then.

use burrline_bench::{Choice, Nobody, SystemClock, alone::Then};
use burrline_present::readings::{Calls, Find, Trail};
use burrline_terms::{Phrase, Typed as _, words::Role};
use burrline_tests::{line::Line, wire::read};

use crate::harness::{Hand, Shop, which};

/// What a bench reads of a job's trail, from the shop if it is in reach.
async fn trail(hand: &Hand, tag: &str) -> (Vec<String>, bool) {
    let trail = Trail { skull: which(tag) };
    let reading = hand.bench.read(trail, Then::default(), &SystemClock).await.unwrap();
    let words = reading.answer.lines.into_iter().map(|line| line.words).collect();
    (words, reading.how_old.is_some())
}

#[tokio::test]
async fn the_first_reading_after_coming_back_holds_the_benchs_own_lines() {
    let shop = Shop::start().await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let yard = shop.bench_over(&line.url(), "yard-1", Role::Owner).await;
    yard.takes_in("0417").await;
    yard.bench.catch_up(&SystemClock, None).await.unwrap();
    line.cut();
    yard.types("wash 0417", &mut Nobody).await;
    yard.types("note 0417 \"brass plate\"", &mut Nobody).await;
    let (away, by_copy) = trail(&yard, "0417").await;
    assert!(by_copy);
    line.mend();
    let (back, by_copy) = trail(&yard, "0417").await;
    assert!(!by_copy, "the shop is there and answers");
    assert_eq!(back.len(), away.len(), "{back:?}");
    assert!(back.last().unwrap().contains("brass plate"), "{back:?}");
    assert!(yard.bench.waiting().unwrap().is_empty());
    let talk = yard.bench.in_touch(&SystemClock).await;
    assert!(talk.contains(&"2 lines sent that waited here".to_owned()), "{talk:?}");
}

#[tokio::test]
async fn back_in_reach_the_shop_is_not_asked_as_if_what_waits_were_unsaid() {
    let shop = Shop::start().await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let yard = shop.bench_over(&line.url(), "yard-1", Role::Owner).await;
    yard.adds_places().await;
    yard.takes_in("0417").await;
    yard.bench.catch_up(&SystemClock, None).await.unwrap();
    line.cut();
    yard.types("wrap 0417", &mut Nobody).await;
    line.mend();
    // The rule wants the antlers wrapped: they are, and nobody is asked whether.
    let (_, asked) = yard.says_and("in pot-1 0417", Choice::LeaveOff).await;
    assert_eq!(asked.asked, []);
    let said = shop.trail("0417").await;
    assert!(said.last().unwrap().words.starts_with("in pot-1"), "{said:?}");
}

#[tokio::test]
async fn a_crack_says_photo_it_now_and_reaches_calls_and_show() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter", Role::Counter).await;
    let taken = counter.says("take-in 0417 whitetail --condition \"nose bone cracked\"").await;
    let photo = "photo it now: nose bone cracked; photograph 0417 latest 1";
    assert!(taken[0].figures.contains(&photo.to_owned()), "{:?}", taken[0].figures);
    let calls = counter.reads(Calls {}).await;
    let whys = calls.lines.iter().flat_map(|line| &line.whys);
    let damage: Vec<&str> = whys.filter(|w| w.kind == "damage").map(|w| w.words.as_str()).collect();
    assert!(damage.len() == 1 && damage[0].contains("nose bone cracked"), "{damage:?}");
    counter.says("condition 0417 --nose broken --hand ines").await;
    let shown = shop.show("0417").await;
    let condition = shown.facts.iter().find(|fact| fact.starts_with("condition: ")).unwrap();
    assert!(condition.starts_with("condition: nose broken (ines at counter, "), "{condition}");
}

#[tokio::test]
async fn a_line_about_a_tag_that_has_left_is_asked_about_near_and_away() {
    let shop = Shop::start().await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let yard = shop.bench_over(&line.url(), "yard-1", Role::Owner).await;
    yard.says("take-in 0417 whitetail 8 pt").await;
    yard.says("give-back 0417").await;
    yard.bench.catch_up(&SystemClock, None).await.unwrap();
    let (_, near) = yard.says_and("wash 0417", Choice::LeaveOff).await;
    line.cut();
    let (_, away) = yard.says_and("wash 0417", Choice::LeaveOff).await;
    for asked in [near, away] {
        let against = &asked.asked[0].against;
        assert!(against[0].starts_with("0417 has left: it was whitetail 8 pt"), "{against:?}");
    }
}

#[tokio::test]
async fn away_a_crack_asks_for_its_photo_too_and_only_once() {
    let shop = Shop::start().await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let yard = shop.bench_over(&line.url(), "yard-1", Role::Owner).await;
    yard.takes_in("0417").await;
    yard.bench.catch_up(&SystemClock, None).await.unwrap();
    line.cut();
    let said = yard.types("condition 0417 --nose cracked", &mut Nobody).await;
    let photo = "photo it now: nose cracked; photograph 0417 latest 1";
    assert!(said.talk.contains(&photo.to_owned()), "{:?}", said.talk);
    let said = yard.types("condition 0417 --nose cracked", &mut Nobody).await;
    assert!(!said.talk.iter().any(|words| words.contains("photo it now")), "{:?}", said.talk);
}

#[tokio::test]
async fn find_looks_through_licences_for_a_counter_alone() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter", Role::Counter).await;
    let yard = shop.bench("yard-1", Role::Bench).await;
    counter.says("ticket --name \"Ada Fenn\" --licence WY-88-4321").await;
    counter.says("take-in 0417 elk").await;
    counter.says("papers 0417 --kill-tag 88-1203").await;
    let find = async |life: u32, words: &str| {
        let find = Find { words: Phrase::read(words).unwrap() };
        read(&shop.wire, find, life, Then::default()).await.unwrap()
    };
    let found = find(counter.bench.life(), "4321").await.customers;
    assert_eq!((found.len(), found[0].found_by.as_str()), (1, "licence"));
    for life in [yard.bench.life(), 0] {
        assert!(find(life, "4321").await.customers.is_empty(), "{life}");
    }
    let found = find(yard.bench.life(), "88-1203").await.skulls;
    assert_eq!(found[0].found_by, ["kill tag 88-1203"]);
}
