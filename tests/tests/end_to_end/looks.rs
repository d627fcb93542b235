//! Who looked at what is on the log, and what is not for a reader is not told.

use burrline_present::readings::{Days, Find, Show, Trail, WhoLooked};
use burrline_proto::v1::{self, Reason};
use burrline_terms::{Day, Phrase, Typed as _, words::Role};
use burrline_tests::wire;
use tonic_types::StatusExt as _;

use crate::harness::{Hand, Shop, which};

const TICKET: &str = "ticket --name \"Ada Fenn\" --phone 555-0142";

/// A head of a customer with a price, at a counter.
async fn with_a_head() -> (Shop, Hand) {
    let shop = Shop::start().await;
    let counter = shop.bench("counter-1", Role::Counter).await;
    counter.says(TICKET).await;
    counter.takes_in("0417").await;
    counter.says("quote 0417 120").await;
    counter.says("pay 0417 40 cash").await;
    (shop, counter)
}

async fn who_looked(owner: &Hand, skull: Option<&str>) -> Vec<String> {
    let days = Days::read("2020-01-01..2099-12-31").unwrap();
    let asked = WhoLooked { days: Some(days), at_bench: None, skull: skull.map(which) };
    let told = owner.reads(asked).await;
    let shown = |line: v1::LookedLine| {
        let things = line.things.into_iter().map(|thing| {
            let of = thing.skull.map(|skull| format!(" {}", skull.tag)).unwrap_or_default();
            format!("{} x{}{of}", thing.what, thing.times)
        });
        format!("{}: {}", line.bench, things.collect::<Vec<_>>().join(", "))
    };
    let mut lines: Vec<String> = told.lines.into_iter().map(shown).collect();
    lines.sort();
    lines
}

#[tokio::test]
async fn who_looked_at_details_took_an_export_or_a_packet_is_on_the_log_and_the_owner_reads_it() {
    let (shop, counter) = with_a_head().await;
    let owner = shop.bench("office", Role::Owner).await;
    let viewer = shop.bench("wall", Role::Viewer).await;
    let yard = shop.bench("yard-1", Role::Bench).await;
    for hand in [&counter, &counter, &viewer, &yard] {
        hand.reads(Show { skull: which("0417") }).await;
    }
    let words = Phrase::read("fenn").unwrap();
    counter.reads(Find { words }).await;
    let skull = Some(crate::harness::skull("0417"));
    owner.bench.connection().evidence(v1::EvidenceRequest { skull }).await.unwrap();
    let said = v1::ExportedRequest { life: owner.bench.life() };
    owner.bench.connection().exported(said).await.unwrap();
    let before = shop.records().await.len();
    shop.served.shop.say_looks(false);
    assert_eq!(shop.records().await.len(), before, "a stretch of time is told when it is over");
    // As the shop closes, all of it is told.
    let shop = shop.restart().await;
    let owner = owner.at(&shop);
    let all = who_looked(&owner, None).await;
    assert_eq!(
        all,
        [
            "counter-1: collect x1 0417, find x1, show x2 0417",
            "office: export x1, packet x1 0417",
            "wall: show x1 0417"
        ],
        "a bench that works by tags looks at no details"
    );
    assert_eq!(
        who_looked(&owner, Some("0417")).await,
        [
            "counter-1: collect x1 0417, find x1, show x2 0417",
            "office: packet x1 0417",
            "wall: show x1 0417"
        ]
    );
    let records = shop.records().await;
    let said = records.iter().filter(|record| {
        let entry = burrline_proto::decode_entry(&record.entry).unwrap();
        entry.name.life == 0 && matches!(entry.verb, burrline_domain::Verb::Glances(_))
    });
    assert_eq!(said.count(), 3, "one line a bench");
    assert!(!format!("{records:?}").to_lowercase().contains("fenn"), "never what was searched by");
    let today = WhoLooked {
        days: Some(Days::of(Day::read("2026-01-01").unwrap())),
        at_bench: None,
        skull: None,
    };
    let life = shop.bench("counter-2", Role::Counter).await.bench.life();
    let refused = wire::read(&shop.wire, today, life, burrline_present::readings::Then::default());
    let refused = refused.await.unwrap_err().get_details_error_info().unwrap();
    assert_eq!(Reason::of_word(&refused.reason), Reason::Role);
}

#[tokio::test]
async fn a_bench_and_a_viewer_are_told_neither_names_nor_money() {
    let (shop, counter) = with_a_head().await;
    for (name, role) in [("yard-1", Role::Bench), ("wall", Role::Viewer)] {
        let hand = shop.bench(name, role).await;
        let show = hand.reads(Show { skull: which("0417") }).await.job.unwrap();
        let told = format!("{show:?}");
        assert!(!told.contains("Fenn") && !told.contains("40.00"), "{told}");
        let trail = hand.reads(Trail { skull: which("0417") }).await.lines;
        let told: Vec<&str> = trail.iter().map(|line| line.told.as_str()).collect();
        assert!(told.ends_with(&["quote 0417", "pay 0417"]), "{told:?}");
        let told = format!("{trail:?}");
        assert!(!told.contains("40.00") && !told.contains("120.00"), "{told}");
        for words in ["fenn", "0142"] {
            let words = Phrase::read(words).unwrap();
            assert!(hand.reads(Find { words }).await.customers.is_empty());
        }
    }
    let show = counter.reads(Show { skull: which("0417") }).await.job.unwrap();
    assert_eq!((show.customer_name.as_str(), show.paid.as_str()), ("Ada Fenn", "40.00"));
}

#[tokio::test]
async fn a_counters_fact_from_a_bench_counts_is_marked_and_is_taken_over_at_a_counter() {
    let (shop, counter) = with_a_head().await;
    let yard = shop.bench("yard-1", Role::Bench).await;
    let receipt = yard.says("pay 0417 25 cash").await.remove(0);
    let name = receipt.entry.unwrap();
    assert_eq!(shop.show("0417").await.paid, "65.00", "what has happened has happened");
    let marked = shop.clashes().await;
    let [words] = marked.as_slice() else { panic!("{marked:?}") };
    assert!(
        words.starts_with("pay: said at a bench for bench work, and it is for counter work"),
        "{words}"
    );
    assert_eq!(shop.show("0417").await.clashes.len(), 1);
    counter.says(&format!("amend {}:{} pay 0417 25 cash", name.life, name.n)).await;
    assert_eq!(shop.clashes().await, Vec::<String>::new());
    assert_eq!(shop.show("0417").await.paid, "65.00");
}

#[tokio::test]
async fn a_viewer_records_nothing_at_its_own_folder_or_at_the_shop() {
    let (shop, _) = with_a_head().await;
    let viewer = shop.bench("wall", Role::Viewer).await;
    let mut nobody = burrline_bench::Nobody;
    let said = viewer.bench.say("note 0417 hello", &burrline_bench::SystemClock, &mut nobody);
    let refused = said.await.unwrap_err().to_string();
    assert!(refused.contains("viewer") || refused.contains("role"), "{refused}");
    assert_eq!(viewer.bench.said().unwrap(), 0, "nothing waits in its outbox");
}
