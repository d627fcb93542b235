//! Benches that need a new life because a file of theirs is gone, and what they are by it afterwards.

use std::process::Command;

use burrline_bench::{Bench, Nobody, SystemClock, alone::Then, answer::Answer, patience::READING};
use burrline_evidence::sign::{BenchKey, PublicKey};
use burrline_paper::packet;
use burrline_present::{lives, readings::Floor};
use burrline_proto::v1::{self, restore_request::What};
use burrline_terms::{Moment, Skull, Typed as _, words::Role};
use burrline_tests::{
    cutting::{Cutting, Weather},
    dice::Dice,
    line::Line,
};

use crate::harness::{Hand, Shop};

const BENCH: &str = env!("CARGO_BIN_EXE_burrline-tested");

/// What the bench's program said, and its status.
fn run(hand: &Hand, args: &[&str]) -> (String, Option<i32>) {
    let folder = hand.bench.folder().path("");
    let done = Command::new(BENCH).arg("--bench").arg(folder).args(args).output().unwrap();
    let (out, err) = (String::from_utf8_lossy(&done.stdout), String::from_utf8_lossy(&done.stderr));
    (format!("{out}{err}"), done.status.code())
}

#[tokio::test]
async fn a_packet_that_a_bench_makes_in_its_new_life_is_signed_with_that_lifes_key() {
    let shop = Shop::start().await;
    let hand = shop.bench("counter", Role::Owner).await;
    hand.says("take-in 0417 whitetail 8 pt").await;
    let folder = hand.bench.folder().path("");
    let (bench, new) = Bench::rejoin(&folder, &shop.served.code, None, &SystemClock).await.unwrap();
    assert_eq!(new.again, 0);
    let skull = Skull::read("0417").unwrap();
    let (_, files) = burrline_cli::gather::gather(&bench, &skull).await.unwrap();
    let report = packet::verify::verify(&files, &[]);
    assert!(report.is_sound(), "{report:?}");
    let said = bench.say("note 0417 \"in its new life\"", &SystemClock, &mut Nobody).await.unwrap();
    assert!(matches!(said.answers[..], [Answer::Receipt { .. }]), "{said:?}");
    let (_, files) = burrline_cli::gather::gather(&bench, &skull).await.unwrap();
    assert!(packet::verify::verify(&files, &[]).is_sound());
}

#[tokio::test(flavor = "multi_thread")]
async fn an_outbox_that_is_gone_is_told_and_no_number_of_it_is_given_again() {
    let shop = Shop::start().await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let yard = shop.bench_over(&line.url(), "yard-1", Role::Counter).await;
    yard.says("take-in 0417 elk").await;
    yard.says("note 0417 the last that was sent").await;
    line.cut();
    yard.types("wash 0417", &mut Nobody).await;
    std::fs::remove_file(yard.bench.folder().path("outbox")).unwrap();
    line.mend();
    let (said, status) = run(&yard, &["note", "0417", "brass plate"]);
    assert!(said.contains("[1:3] is lost") && said.contains("[1:4]"), "{said}");
    assert!(said.contains("say again what you know was done"), "{said}");
    assert_eq!(status, Some(0), "{said}");
    let words: Vec<String> = shop.trail("0417").await.into_iter().map(|line| line.words).collect();
    assert!(words.iter().any(|words| words.contains("the last that was sent")), "{words:?}");
    assert!(words.iter().any(|words| words.contains("brass plate")), "{words:?}");
    assert!(!words.iter().any(|words| words.starts_with("wash")), "nobody knows of it: {words:?}");
    assert_eq!(shop.clashes().await, [""; 0]);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_bench_whose_key_is_gone_says_all_that_waited_again_in_its_new_life() {
    let shop = Shop::start().await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let yard = shop.bench_over(&line.url(), "yard-1", Role::Counter).await;
    yard.says("take-in 0417 elk").await;
    line.cut();
    yard.types("note 0417 said while away", &mut Nobody).await;
    std::fs::remove_file(yard.bench.folder().path("bench.key")).unwrap();
    line.mend();
    let (said, status) = run(&yard, &["wash", "0417"]);
    assert!(said.contains("bench.key is gone") && said.contains("burrline rejoin"), "{said}");
    assert_eq!(status, Some(1), "{said}");
    let (said, status) = run(&yard, &["rejoin", "--code", &shop.served.code]);
    assert!(said.contains("has a new enrollment, 2: 1 said again"), "{said}");
    assert_eq!(status, Some(0), "{said}");
    let trail = shop.trail("0417").await;
    let away: Vec<_> = trail.iter().filter(|line| line.words.contains("while away")).collect();
    assert_eq!(away.len(), 1, "{trail:?}");
    assert_eq!(away[0].said_first.map(|first| first.life), Some(1));
}

/// A shop that was put back and waits for its only bench.
async fn waits_for_one() -> (Shop, Line, Hand) {
    let shop = Shop::start().await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let yard = shop.bench_over(&line.url(), "yard-1", Role::Owner).await;
    yard.says("take-in 0417 elk").await;
    let (shop, backup) = shop.backed_up().await;
    line.lead_to(&shop.served.url).unwrap();
    yard.says("note 0417 after the backup").await;
    yard.bench.catch_up(&SystemClock, None).await.unwrap();
    yard.bench.witness().await.unwrap();
    std::fs::write(backup.path().join("put-back"), "").unwrap();
    let shop = shop.put_back(backup).await;
    line.lead_to(&shop.served.url).unwrap();
    (shop, line, yard)
}

#[tokio::test]
async fn nobody_without_the_key_of_a_bench_can_have_a_shop_stop_waiting_for_it() {
    let (shop, _line, yard) = waits_for_one().await;
    let restoring = shop.served.shop.restoring().unwrap();
    assert!(restoring.contains("waits for yard-1"), "{restoring}");
    let greeted = shop.wire.clone().greet(v1::GreetRequest { life: 1 }).await.unwrap().into_inner();
    let key = PublicKey(greeted.shop_key.try_into().unwrap());
    let now = Moment(greeted.now_ms);
    let other = BenchKey::from_seed([7; 32]);
    for proofs in [
        Vec::new(),
        vec![lives::proof(1, &other, key, now).unwrap()],
        vec!["no note at all".to_owned()],
        // By the right key, long ago.
        vec![lives::proof(1, yard.bench.key().unwrap(), key, Moment(now.0 - 3_600_000)).unwrap()],
    ] {
        let hello = v1::RestoreHello { life: 1, proofs, ..Default::default() };
        let hello = v1::RestoreRequest { what: Some(What::Hello(hello)) };
        let answer = shop.wire.clone().restore(tokio_stream::once(hello)).await.unwrap();
        let restoring = answer.into_inner().restoring;
        assert!(restoring.contains("waits for yard-1"), "{restoring}");
    }
    // Its own bench is heard, and the shop is whole.
    yard.bench.send(&SystemClock).await.unwrap();
    assert_eq!(shop.served.shop.restoring(), None);
    assert!(shop.trail("0417").await.iter().any(|line| line.words.contains("after the backup")));
}

#[tokio::test]
async fn a_shop_that_waits_is_not_said_to_be_silent() {
    let (shop, _line, yard) = waits_for_one().await;
    let asked = yard.bench.read_at_shop(Floor { place: None }, READING).await;
    let words = asked.unwrap_err().to_string();
    assert!(words.contains("takes nothing new yet: it was put back"), "{words}");
    assert!(!words.contains("does not answer"), "{words}");
    assert!(shop.served.shop.restoring().is_some());
}

#[tokio::test]
async fn a_bench_whose_first_fetch_was_cut_works_away_by_what_came() {
    let shop = Shop::start().await;
    let desk = shop.bench("desk", Role::Counter).await;
    desk.says("take-in 0417 elk").await;
    for n in 0..60 {
        desk.says(&format!("note 0417 \"{n} of many lines that fill the line to the yard\"")).await;
    }
    let line = Cutting::to(&shop.served.url).await.unwrap();
    let yard = shop.bench_over(&line.url(), "yard-1", Role::Bench).await;
    // The connection breaks behind the greeting and long before the end of the log.
    let breaks = |seed: &u64| (4_000..8_000).contains(&Dice::new(*seed).below(10_000));
    let seed = (0..1_000).find(breaks).unwrap();
    line.set(Weather::Breaks(Dice::new(seed), 10_000));
    let bench = Bench::open(&yard.bench.folder().path("")).unwrap();
    bench.catch_up(&SystemClock, None).await.unwrap_err();
    line.set(Weather::Away);
    assert!(bench.copied().unwrap().mark().is_some());
    assert!(bench.alone(&SystemClock, Then::default()).unwrap().is_some());
    let said = bench.say("wash 0417", &SystemClock, &mut Nobody).await.unwrap();
    assert!(matches!(said.answers[..], [Answer::Kept { waiting: 1, .. }]), "{said:?}");
    line.set(Weather::Fair);
    let bench = Bench::open(&yard.bench.folder().path("")).unwrap();
    assert_eq!(bench.send(&SystemClock).await.unwrap().len(), 1);
    assert_eq!(shop.clashes().await, [""; 0]);
}
