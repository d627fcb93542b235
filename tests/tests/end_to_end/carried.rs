//! An outbox that is carried to the shop in a file.

use std::{
    path::{Path, PathBuf},
    process::{Command, Output},
};

use burrline_bench::{Nobody, SystemClock, copy::Verdict};
use burrline_shop::accept::{self, Accept};
use burrline_terms::words::Role;
use burrline_tests::line::Line;

use crate::harness::{Hand, Shop};

const SHOP: &str = env!("CARGO_BIN_EXE_burrline-shop-tested");
const BENCH: &str = env!("CARGO_BIN_EXE_burrline-tested");

/// The bench's file, written beside its folder, with the code that it was sealed under.
fn written(yard: &Hand, all: bool) -> (PathBuf, Option<String>) {
    let carried = yard.bench.carried(all, &SystemClock).unwrap();
    let file = yard.folder().join("yard.outbox");
    std::fs::write(&file, carried.bytes).unwrap();
    (file, carried.code)
}

/// What accepting it says, at the shop that is open.
async fn accepts(shop: &Shop, file: &Path, code: Option<String>) -> Result<(), String> {
    shop.served.shop.folder().keep_door(&shop.served.url, &[]).unwrap();
    let accept = Accept {
        file: file.to_owned(),
        data: shop.data().to_owned(),
        code,
        without_details: false,
        json: false,
    };
    accept::run(&accept).await.map(|_| ()).map_err(|error| format!("{error:#}"))
}

#[tokio::test]
async fn what_a_bench_cannot_send_is_carried_by_hand_and_it_learns_so_when_it_comes_back() {
    let shop = Shop::start().await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let yard = shop.bench_over(&line.url(), "yard-1", Role::Counter).await;
    yard.says("take-in 0417 elk").await;
    let caught = yard.bench.catch_up(&SystemClock, None).await.unwrap().unwrap();
    assert_eq!(caught.verdict, Some(Verdict::Same));
    line.cut();
    yard.types("ticket --name \"Ada Fenn\" --phone 555-0142", &mut Nobody).await;
    yard.types("take-in 0600 moose", &mut Nobody).await;
    yard.types("wash 0417", &mut Nobody).await;

    let (file, code) = written(&yard, false);
    let bytes = std::fs::read(&file).unwrap();
    assert!(!bytes.windows(3).any(|window| window == b"Ada"));
    let error = accepts(&shop, &file, None).await.unwrap_err();
    assert!(error.contains("add --code CODE"), "{error}");
    let error = accepts(&shop, &file, Some("0000".into())).await.unwrap_err();
    assert!(error.contains("not the code of this file"), "{error}");

    let before = shop.digest().await.records;
    accepts(&shop, &file, code.clone()).await.unwrap();
    assert_eq!(shop.digest().await.records, before + 4);
    assert_eq!(shop.find("fenn").await.customers.len(), 1, "the keys came along");
    let records = shop.records().await;
    let happened = records.last().unwrap().happened.unwrap();
    assert_eq!(happened.not_before_ms, happened.not_after_ms, "its copy had heard the shop's time");
    accepts(&shop, &file, code).await.unwrap();
    assert_eq!(shop.digest().await.records, before + 4, "twice is once");

    line.mend();
    assert_eq!(yard.bench.waiting().unwrap().len(), 4);
    yard.bench.send(&SystemClock).await.unwrap();
    assert_eq!(yard.bench.waiting().unwrap(), []);
    assert!(!yard.folder().join("bench/keys-2").exists(), "the shop has the key now");
    assert_eq!(shop.digest().await.records, before + 4);
    assert!(yard.bench.carried(false, &SystemClock).is_err(), "nothing waits any more");
}

#[tokio::test]
async fn a_carried_line_of_a_retired_bench_is_done_with_a_remark_and_of_a_frozen_one_it_waits() {
    let shop = Shop::start().await;
    let owner = shop.bench("office", Role::Owner).await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let yard = shop.bench_over(&line.url(), "yard-1", Role::Counter).await;
    yard.says("take-in 0417 elk").await;
    let twin = yard.copied();
    line.cut();
    yard.types("wash 0417", &mut Nobody).await;
    owner.says(&format!("retire-bench {}", yard.bench.life())).await;
    let (file, code) = written(&yard, false);
    accepts(&shop, &file, code).await.unwrap();
    let trail = shop.trail("0417").await;
    let last = trail.last().unwrap();
    assert!(last.words.starts_with("wash") && format!("{last:?}").contains("retired"), "{last:?}");

    // A machine with the same disk says something else under the same number.
    twin.types("flesh 0417", &mut Nobody).await;
    let (file, code) = written(&twin, false);
    let before = shop.digest().await.records;
    let error = accepts(&shop, &file, code).await.unwrap_err();
    assert!(error.contains("with other words") && error.contains("rejoin"), "{error}");
    assert_eq!(shop.digest().await.records, before);
    assert_eq!(twin.bench.waiting().unwrap().len(), 1, "it stays with the bench");
}

#[tokio::test]
async fn a_file_of_a_bench_that_the_shop_does_not_know_is_told_apart() {
    let shop = Shop::start().await;
    let (shop, backup) = shop.backed_up().await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let desk = shop.bench_over(&line.url(), "desk", Role::Counter).await;
    desk.says("take-in 0417 elk").await;
    line.cut();
    desk.types("wash 0417", &mut Nobody).await;
    let shop = shop.put_back(backup).await;
    let (file, code) = written(&desk, false);
    let error = accepts(&shop, &file, code).await.unwrap_err();
    assert!(error.contains("is not enrolled here"), "{error}");
}

#[tokio::test]
async fn a_gap_is_told_with_what_closes_it() {
    let shop = Shop::start().await;
    let line = Line::to(&shop.served.url).await.unwrap();
    let yard = shop.bench_over(&line.url(), "yard-1", Role::Counter).await;
    let (shop, backup) = shop.backed_up().await;
    line.lead_to(&shop.served.url).unwrap();
    yard.says("take-in 0417 elk").await;
    yard.says("note 0417 brass plate").await;
    line.cut();
    yard.types("wash 0417", &mut Nobody).await;
    let shop = shop.put_back(backup).await;
    let (file, code) = written(&yard, false);
    let error = accepts(&shop, &file, code).await.unwrap_err();
    assert!(error.contains("--all"), "{error}");
    let (file, code) = written(&yard, true);
    accepts(&shop, &file, code).await.unwrap();
    assert_eq!(shop.trail("0417").await.len(), 3);
}

fn run(program: &str, args: &[&str]) -> (Output, String) {
    let output = Command::new(program).args(args).output().unwrap();
    let said = [&output.stdout[..], &output.stderr[..]].concat();
    (output, String::from_utf8(said).unwrap())
}

#[tokio::test]
async fn the_programs_export_and_accept_with_the_shop_closed() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Counter).await;
    yard.says("take-in 0417 elk").await;
    let folder = yard.folder().join("bench").display().to_string();
    let data = shop.data().display().to_string();
    let served = shop.served;
    drop(shop.wire);
    served.close().await.unwrap();

    let (done, said) = run(BENCH, &["--bench", &folder, "wash", "0417"]);
    assert_eq!(done.status.code(), Some(3), "{said}");
    let file = yard.folder().join("yard.outbox").display().to_string();
    let (done, said) = run(BENCH, &["--bench", &folder, "outbox", "export", &file]);
    assert!(done.status.success() && said.starts_with("1 line in "), "{said}");
    let (done, said) = run(BENCH, &["--bench", &folder, "outbox", "export", &file]);
    assert_eq!(done.status.code(), Some(1), "another file is not written over: {said}");

    let (done, said) = run(SHOP, &["accept", &file, "--data", &data]);
    assert!(done.status.success(), "{said}");
    assert!(said.contains(":2  wash 0417  (recorded on 0417 elk)"), "{said}");
    assert!(said.contains("2 lines of bench yard-1: 1 recorded, 1 there already"), "{said}");
    let (_, said) = run(SHOP, &["accept", &file, "--data", &data]);
    assert!(said.contains("0 recorded, 2 there already"), "{said}");
    let (done, _) = run(SHOP, &["accept", &file, "--data", &data, "--json"]);
    let told: serde_json::Value = serde_json::from_slice(&done.stdout).unwrap();
    assert_eq!((&told["recorded"], &told["thereAlready"]), (&0.into(), &2.into()), "{told}");
    assert_eq!(told["bench"], "yard-1");
    assert!(told["ended"].is_null());
    let washed = &told["lines"][1];
    assert_eq!(
        (&washed["line"], &washed["thereAlready"]),
        (&"wash 0417".into(), &true.into()),
        "{told}"
    );
    assert_eq!(washed["skull"], "0417 elk");

    let (done, said) = run(SHOP, &["accept", &file, "--data", &folder]);
    assert!(!done.status.success() && said.contains("holds no shop"), "{said}");
    std::fs::write(&file, "something else").unwrap();
    let (done, said) = run(SHOP, &["accept", &file, "--data", &data]);
    assert!(!done.status.success() && said.contains("outbox export"), "{said}");
}
