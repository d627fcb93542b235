//! A bug inside the shop ends its program: status 70, a clear line, and nothing answered that is not
//! on disk. And what it says when it does not even start.

#![cfg(test)]

use std::{
    io::{BufRead as _, BufReader, Read as _},
    path::Path,
    process::{Child, Command, Output, Stdio},
};

use burrline_proto::v1;
use burrline_terms::words::Role;
use burrline_tests::{
    machine::Machine,
    shop::Served,
    wire::{Client, WireBench, connect, record, verb},
};

const BREAKING: &str = env!("CARGO_BIN_EXE_burrline-shop-breaking");
const PROGRAM: &str = env!("CARGO_BIN_EXE_burrline-shop-tested");

fn serve(data: &Path, trigger: &Path, point: &str) -> (Child, String) {
    let mut child = Command::new(BREAKING)
        .args([data, trigger, Path::new(point)])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut hello = String::new();
    BufReader::new(child.stdout.take().unwrap()).read_line(&mut hello).unwrap();
    (child, hello.trim().rsplit(' ').next().unwrap().to_owned())
}

async fn says(shop: &mut Client, bench: &mut WireBench, tag: &str) -> Vec<v1::Receipt> {
    let clock = Machine::start([7; 16]).clock();
    let entry = bench.entry(verb("wash", &[("skull", tag)]).unwrap(), clock.clone());
    record(shop, vec![bench.signed(&entry, &clock)]).await.receipts
}

async fn ends_with_70_when_it_breaks(point: &str, on_disk: u64) {
    let dir = tempfile::tempdir().unwrap();
    let (data, trigger) = (dir.path().join("shop"), dir.path().join("trigger"));
    let served = Served::open(&data).await.unwrap();
    let mut wire = connect(&served.plain).await.unwrap();
    let join = WireBench::join(&mut wire, &served.code, "yard-1", Role::Bench);
    let mut yard = join.await.unwrap();
    drop(wire);
    served.close().await.unwrap();

    let (mut child, url) = serve(&data, &trigger, point);
    let mut wire = connect(&url).await.unwrap();
    assert_eq!(says(&mut wire, &mut yard, "0417").await.len(), 1);
    std::fs::write(&trigger, "").unwrap();
    assert_eq!(says(&mut wire, &mut yard, "0418").await, []);
    let status = child.wait().unwrap();
    let mut log = String::new();
    child.stderr.take().unwrap().read_to_string(&mut log).unwrap();
    assert_eq!(status.code(), Some(70), "{log}");
    assert!(log.contains("the shop broke down and ends here"), "{log}");
    assert!(log.contains(point) && log.contains(" broke\""), "{log}");

    // The next start finds what was answered, and goes on.
    let served = Served::open(&data).await.unwrap();
    let mut wire = connect(&served.plain).await.unwrap();
    let hello = v1::GreetRequest { life: yard.life() };
    assert_eq!(wire.greet(hello).await.unwrap().into_inner().held, on_disk);
    drop(wire);
    served.close().await.unwrap();
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_panic_while_an_entry_is_decided_ends_the_program() {
    ends_with_70_when_it_breaks("deciding", 1).await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_panic_in_the_committing_thread_ends_the_program() {
    // The second line had reached the disk; it was not answered, which is allowed.
    ends_with_70_when_it_breaks("committing", 2).await;
}

#[test]
fn a_start_that_fails_says_why_once() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("file");
    std::fs::write(&file, "").unwrap();
    let run = |data: &Path| -> Output {
        let serve = Command::new(PROGRAM)
            .args([
                "serve",
                "--plain-loopback",
                "--zone",
                "UTC",
                "--listen",
                "127.0.0.1:0",
                "--log",
                "off",
                "--data",
            ])
            .arg(data)
            .output();
        serve.unwrap()
    };
    let said = String::from_utf8(run(&file.join("shop")).stderr).unwrap();
    assert_eq!(said.matches("os error").count(), 1, "{said}");
    assert!(said.contains("file/shop"), "{said}");

    // A log whose head file is gone: the ledger's own words, with its cause in them.
    let data = dir.path().join("shop");
    std::fs::create_dir_all(data.join("log")).unwrap();
    std::fs::write(data.join("log/head"), "no head").unwrap();
    let output = run(&data);
    let said = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(1), "{said}");
    let words: Vec<&str> = said.trim().split(": ").collect();
    let mut once = words.clone();
    once.sort_unstable();
    once.dedup();
    assert_eq!(once.len(), words.len(), "{said}");
}
