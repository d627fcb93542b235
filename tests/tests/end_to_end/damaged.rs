//! A bench whose disk damaged what it had said.

use std::process::Command;

use burrline_bench::{Bench, Nobody, SystemClock};
use burrline_terms::words::Role;
use burrline_tests::line::Line;

use crate::harness::Shop;

const BENCH: &str = env!("CARGO_BIN_EXE_burrline-tested");

/// Flips a bit in the signature of a line of the outbox, found by its words.
fn damage(bench: &Bench, words: &str) {
    let outbox = bench.folder().path("outbox");
    let mut bytes = std::fs::read(&outbox).unwrap();
    let at = bytes.windows(words.len()).position(|window| window == words.as_bytes()).unwrap();
    // The signature follows the entry, whose last field is the verb.
    bytes[at + words.len() + 20] ^= 1;
    std::fs::write(&outbox, bytes).unwrap();
}

/// The last words of the notes on the job.
async fn notes(shop: &Shop) -> Vec<String> {
    let trail = shop.trail("0417").await.into_iter().map(|line| line.words);
    let notes = trail.filter(|words| words.starts_with("note"));
    notes.map(|words| words.rsplit(' ').next().unwrap_or_default().to_owned()).collect()
}

#[tokio::test]
async fn a_line_that_the_disk_lost_is_void_and_all_others_arrive_in_order_and_in_time() {
    let shop = Shop::start().await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let yard = shop.bench_over(&line.url(), "yard-1", Role::Counter).await;
    yard.says("take-in 0417 elk").await;
    line.cut();
    for words in ["note 0417 first", "note 0417 second", "note 0417 third"] {
        yard.types(words, &mut Nobody).await;
    }
    damage(&yard.bench, "second");

    // The next command says so before anything else, once, and the bench goes on.
    let folder = yard.folder().join("bench").display().to_string();
    let run = |args: &[&str]| {
        let run = Command::new(BENCH).args(["--bench", &folder]).args(args).output().unwrap();
        let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
        (run.status.code(), text(&run.stdout), text(&run.stderr))
    };
    let (status, out, told) = run(&["note", "0417", "fourth"]);
    assert_eq!(status, Some(3), "{told}");
    assert!(out.contains("[1:5]"), "{out}");
    let lost = "[1:3] is lost, said between \u{201c}note 0417 first\u{201d} and \u{201c}note 0417 \
                third\u{201d}; it may have been \u{201c}note 0417 second\u{201d}";
    assert!(told.starts_with("this bench's disk had damaged") && told.contains(lost), "{told}");
    assert!(told.contains("say again what you know was done"), "{told}");
    let (_, out, told) = run(&["outbox"]);
    assert_eq!(told, "");
    assert!(
        out.contains("lost: the disk was damaged; it may have been: note 0417 second"),
        "{out}"
    );
    let (status, _, told) = run(&["void", "0417"]);
    assert!(status == Some(2) && told.contains("say strike"), "{told}");

    line.mend();
    let sent = yard.bench.send(&SystemClock).await.unwrap();
    assert_eq!(sent.len(), 4);
    assert_eq!(yard.bench.waiting().unwrap(), []);
    assert_eq!(notes(&shop).await, ["first", "third", "fourth"]);
    let records = shop.records().await;
    let at: Vec<i64> = records.iter().rev().take(4).map(|r| r.happened.unwrap().at_ms).collect();
    // Newest first: the void was typed when its neighbour was, and pushed nobody behind.
    assert!(at[3] <= at[2] && at[2] <= at[1] && at[1] <= at[0], "{at:?}");
    yard.says("wash 0417").await;
    assert_eq!(shop.clashes().await, [""; 0]);
}

#[tokio::test]
async fn a_line_that_the_shop_has_without_a_receipt_is_not_said_to_be_void() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Counter).await;
    yard.says("take-in 0417 elk").await;
    yard.says("note 0417 first").await;
    // As if the bench had been ended before it noted the receipt.
    yard.bench.folder().keep_text("receipts", "1").unwrap();
    damage(&yard.bench, "first");
    yard.says("note 0417 second").await;
    assert_eq!(yard.bench.waiting().unwrap(), []);
    assert_eq!(notes(&shop).await, ["first", "second"]);
    // Alone it gets the same answer.
    yard.bench.folder().keep_text("receipts", "1").unwrap();
    damage(&yard.bench, "second");
    assert_eq!(yard.bench.send(&SystemClock).await.unwrap().len(), 0);
    assert_eq!(yard.bench.waiting().unwrap(), []);
}
