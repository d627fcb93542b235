//! The real program with its log on real nodes of etcd: killed, taken over, moved there and back.

#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

#[path = "../../../service/etcd/tests/nodes/mod.rs"]
mod nodes;
mod program;

use std::{fs, path::Path};

use burrline_bench::{Bench, Nobody, SystemClock, answer::Answer};
use burrline_terms::words::Role;
use burrline_tests::line::Line;

use crate::program::{Program, checked, invite, run};

/// A bench says a line, and sends until the shop has answered for it: nodes that share a machine with much
/// else may take longer than a bench waits, which then keeps the line and leaves the shop alone for a while.
async fn says(bench: &Bench, line: &str) {
    bench.say(line, &SystemClock, &mut Nobody).await.unwrap();
    for _ in 0..60 {
        if bench.waiting().unwrap().is_empty() {
            return;
        }
        // What is asked for by name is asked at once, as `burrline sync` does.
        let _ = bench.send(&SystemClock).await;
    }
    panic!("the shop does not answer any more");
}

/// Copies a folder, as a hand would, without these of its files.
fn copy(from: &Path, to: &Path, without: &[&str]) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let name = entry.file_name().into_string().unwrap();
        if without.contains(&name.as_str()) {
            continue;
        }
        if entry.path().is_dir() {
            copy(&entry.path(), &to.join(name), &[]);
        } else {
            fs::copy(entry.path(), to.join(name)).unwrap();
        }
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_shop_on_three_nodes_outlives_its_server_and_a_node_and_only_one_server_records() {
    let mut nodes = nodes::Nodes::start(3);
    let dir = tempfile::tempdir().unwrap();
    let (data, second) = (dir.path().join("shop"), dir.path().join("second"));
    let ledger = ["--ledger".to_owned(), nodes.address("shop")];
    let mut first = Program::serve(&data, &ledger);
    let code = invite(&data, "owner");
    let line = Line::to(&first.url).await.unwrap();
    let folder = dir.path().join("office");
    let bench = Bench::join(&folder, &line.url(), &code, "office", Role::Owner).await.unwrap();
    says(&bench, "add-place pot-1 pot").await;
    says(&bench, "add-customer --name \"Ada Fenn\"").await;
    nodes.kill(0);
    says(&bench, "hours 1 h").await;
    nodes.start_again(0);

    // Another machine with a copy of the folder: refused while the first one lives.
    copy(&data, &second, &["door"]);
    let refused = run(&["serve", "--listen", "127.0.0.1:0", "--log", "off"], &second, &ledger);
    assert!(!refused.status.success());
    let words = String::from_utf8(refused.stderr).unwrap();
    assert!(words.contains("another server has this folder open: etcd://"), "{words}");
    says(&bench, "hours 2 h").await;

    // The first one is killed, and the other goes on with all that was answered.
    first.kill();
    let kept = bench.say("hours 3 h", &SystemClock, &mut Nobody).await.unwrap();
    assert!(matches!(kept.answers[..], [Answer::Kept { .. }]), "{kept:?}");
    let mut taken_over = Program::serve(&second, &ledger);
    line.lead_to(&taken_over.url).unwrap();
    says(&bench, "hours 4 h").await;
    assert!(bench.waiting().unwrap().is_empty());
    taken_over.kill();

    // A backup serves as the folder of a machine that has no other: the log is on the nodes.
    let copies = dir.path().join("copies");
    fs::create_dir(&copies).unwrap();
    let to = ["--begin", "--json", "--to", copies.to_str().unwrap()];
    let made = run(&[&["backup"][..], &to[..]].concat(), &second, &ledger);
    assert!(made.status.success(), "{made:?}");
    let made: serde_json::Value = serde_json::from_slice(&made.stdout).unwrap();
    let before = checked(&second, &ledger);
    assert_eq!((&made["root"], &made["digest"]), (&before["root"], &before["digest"]));
    let in_copy = Path::new(made["copy"].as_str().unwrap());
    let whole = checked(in_copy, &[]);
    assert_eq!((&whole["root"], &whole["digest"]), (&before["root"], &before["digest"]));
    let third = dir.path().join("third");
    copy(in_copy, &third, &["log"]);
    let astray = ["--ledger".to_owned(), nodes.address("shoq")];
    let refused = run(&["serve", "--listen", "127.0.0.1:0", "--log", "off"], &third, &astray);
    let words = String::from_utf8(refused.stderr).unwrap();
    assert!(words.contains("is damaged: the store is missing"), "{words}");
    let mut again = Program::serve(&third, &ledger);
    again.kill();
    assert_eq!(checked(&third, &ledger)["root"], before["root"]);

    // No key of a customer's details and no key of the shop is in any byte of any node.
    let keyring = fs::read_to_string(second.join("keyring")).unwrap();
    let secrets = keyring.split_whitespace().filter(|word| word.len() >= 64);
    let mut secrets: Vec<String> = secrets.map(|word| word[word.len() - 64..].to_owned()).collect();
    secrets.push(fs::read_to_string(second.join("shop.key")).unwrap().trim().to_owned());
    assert!(secrets.len() > 1, "the keyring holds a key");
    let known: String = before["root"].as_str().unwrap().to_owned();
    for node in 0..3 {
        let bytes = nodes.bytes(node);
        let has = |hex: &str| {
            let raw = hex::decode(hex).unwrap();
            let text = hex.as_bytes();
            bytes.windows(32).any(|window| window == raw)
                || bytes.windows(text.len()).any(|window| window == text)
        };
        assert!(has(&known), "the search finds the root of the log on node {node}");
        assert!(secrets.iter().all(|secret| !has(secret)), "a key is on node {node}");
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_server_that_was_paused_past_its_lease_ends_and_the_other_one_goes_on() {
    let nodes = nodes::Nodes::start(1);
    let dir = tempfile::tempdir().unwrap();
    let (data, second) = (dir.path().join("shop"), dir.path().join("second"));
    let ledger = ["--ledger".to_owned(), nodes.address("shop")];
    let mut paused = Program::serve(&data, &ledger);
    let code = invite(&data, "owner");
    let line = Line::to(&paused.url).await.unwrap();
    let folder = dir.path().join("office");
    let bench = Bench::join(&folder, &line.url(), &code, "office", Role::Owner).await.unwrap();
    says(&bench, "add-place pot-1 pot").await;
    copy(&data, &second, &["door"]);
    paused.signal("STOP");
    let other = Program::serve(&second, &ledger);
    line.lead_to(&other.url).unwrap();
    says(&bench, "hours 1 h").await;
    paused.signal("CONT");
    // It knows by itself that its lease is over.
    assert_eq!(paused.ends(), Some(74));
    says(&bench, "hours 2 h").await;
    assert_eq!(checked(&second, &ledger)["verdict"], "sound");
}

#[test]
fn a_start_waits_for_nodes_that_do_not_answer_and_goes_on_once_they_do() {
    let mut nodes = nodes::Nodes::start(1);
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("shop");
    let ledger = ["--ledger".to_owned(), nodes.address("shop")];
    Program::serve(&data, &ledger).kill();
    nodes.kill(0);
    let mut waiting = Program::start(&data, &ledger);
    let words = waiting.says_wrong();
    assert!(words.contains("no node answered within 10s"), "{words}");
    nodes.start_again(0);
    assert!(waiting.opens().starts_with("http://"));
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_log_moves_to_the_engine_and_back_with_the_same_root_and_the_same_present() {
    let nodes = nodes::Nodes::start(1);
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("shop");
    let address = nodes.address("shops/north");
    let ledger = ["--ledger".to_owned(), address.clone()];
    let mut program = Program::serve(&data, &[]);
    let code = invite(&data, "owner");
    let line = Line::to(&program.url).await.unwrap();
    let folder = dir.path().join("office");
    let bench = Bench::join(&folder, &line.url(), &code, "office", Role::Owner).await.unwrap();
    says(&bench, "add-place pot-1 pot").await;

    let refused = run(&["move-log", "--to", &address], &data, &[]);
    let words = String::from_utf8(refused.stderr).unwrap();
    assert!(words.contains("another server has this folder open"), "{words}");
    program.kill();
    let before = checked(&data, &[]);
    let moved = run(&["move-log", "--to", &address], &data, &[]);
    assert!(moved.status.success(), "{moved:?}");
    let there = checked(&data, &ledger);
    assert_eq!(
        (&there["root"], &there["digest"], &there["records"]),
        (&before["root"], &before["digest"], &before["records"])
    );
    // Neither the program that forgot where it is, nor one that goes elsewhere, begins another log.
    for (ledger, words) in [
        (Vec::new(), "is not in its folder: say --ledger etcd://"),
        (vec!["--ledger".to_owned(), nodes.address("shops/south")], "not at etcd://"),
    ] {
        let refused = run(&["serve", "--listen", "127.0.0.1:0", "--log", "off"], &data, &ledger);
        let said = String::from_utf8(refused.stderr).unwrap();
        assert!(!refused.status.success() && said.contains(words), "{said}");
    }
    let mut program = Program::serve(&data, &ledger);
    line.lead_to(&program.url).unwrap();
    says(&bench, "hours 1 h").await;
    program.kill();

    let longer = checked(&data, &ledger);
    let back = run(&["move-log", "--to", "folder"], &data, &[]);
    assert!(back.status.success(), "{back:?}");
    let here = checked(&data, &[]);
    assert_eq!((&here["root"], &here["digest"]), (&longer["root"], &longer["digest"]));
    let refused = run(&["serve", "--listen", "127.0.0.1:0", "--log", "off"], &data, &ledger);
    let said = String::from_utf8(refused.stderr).unwrap();
    assert!(said.contains("the log of this shop is in its folder"), "{said}");
    let program = Program::serve(&data, &[]);
    line.lead_to(&program.url).unwrap();
    says(&bench, "hours 2 h").await;
    assert_eq!(bench.waiting().unwrap().len(), 0);
}
