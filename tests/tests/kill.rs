//! The real program, killed in the middle of load again and again: what was answered is there,
//! once, without a gap, and benches go on from what the shop holds.
//!
//! A killed process leaves its page cache behind, so this shows recovery, not durability; that is
//! for the power-cut test of the ledger.

#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

use std::{
    collections::BTreeMap,
    io::{BufRead as _, BufReader},
    path::Path,
    process::{Child, Command, Stdio},
};

use burrline_bench::{Bench, Nobody, SystemClock, answer::Answer};
use burrline_proto::{decode_entry, v1};
use burrline_terms::words::Role;
use burrline_tests::{
    line::Line,
    load::work::Work,
    machine::Machine,
    wire::{Client, WireBench, connect},
};
use tokio::{sync::watch, task::JoinSet};

const PROGRAM: &str = env!("CARGO_BIN_EXE_burrline-shop-tested");

/// The shop's program, serving a folder.
struct Program {
    child: Child,
    url: String,
}

impl Program {
    fn serve(data: &Path) -> Self {
        let mut child = Command::new(PROGRAM)
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
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut hello = String::new();
        BufReader::new(child.stdout.take().unwrap()).read_line(&mut hello).unwrap();
        let url = hello.trim().rsplit(' ').next().unwrap().to_owned();
        assert!(url.starts_with("http://"), "{hello}");
        Self { child, url }
    }

    /// Kill -9.
    fn kill(&mut self) {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
    }
}

impl Drop for Program {
    fn drop(&mut self) {
        // Dead already, unless the test failed.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// A code, made while the program serves the folder.
fn invite(data: &Path, role: &str, benches: u32) -> String {
    let benches = benches.to_string();
    let made = Command::new(PROGRAM)
        .args(["invite", "--role", role, "--benches", &benches, "--data"])
        .arg(data)
        .output()
        .unwrap();
    assert!(made.status.success(), "{made:?}");
    let said = String::from_utf8(made.stdout).unwrap();
    said.lines().next().unwrap().to_owned()
}

/// A bench that keeps what it said, as every bench does, and where the shop said that it is.
struct Sender {
    bench: WireBench,
    work: Work,
    machine: Machine,
    said: Vec<v1::RecordRequest>,
    answered: BTreeMap<u64, u64>,
}

impl Sender {
    async fn join(shop: &mut Client, code: &str, i: usize) -> Self {
        let bench = WireBench::join(shop, code, &format!("yard-{i}"), Role::Counter).await.unwrap();
        let machine = Machine::start([1; 16]);
        Self { bench, work: Work::of(i, 0), machine, said: Vec::new(), answered: BTreeMap::new() }
    }

    fn says(&mut self, entries: usize) {
        for _ in 0..entries {
            let clock = self.machine.clock();
            let entry = self.bench.entry(self.work.say().unwrap(), clock.clone());
            self.said.push(self.bench.signed(&entry, &clock));
        }
    }

    /// Sends from what the shop holds on, until all is answered or the shop is gone.
    async fn sends(mut self, url: String, answers: watch::Sender<usize>) -> Self {
        let Ok(mut shop) = connect(&url).await else { return self };
        let hello = v1::GreetRequest { life: self.bench.life() };
        let Ok(hello) = shop.greet(hello).await else { return self };
        let held = hello.into_inner().held;
        // What was answered, the shop must hold.
        let answered = self.answered.last_key_value().map_or(0, |(n, _)| *n);
        assert!(held >= answered, "answered {answered}, held {held}");
        let rest = self.said[usize::try_from(held).unwrap()..].to_vec();
        let Ok(stream) = shop.record(tokio_stream::iter(rest)).await else { return self };
        let mut stream = stream.into_inner();
        while let Ok(Some(answer)) = stream.message().await {
            let receipt = answer.receipt.unwrap();
            self.answered.insert(receipt.entry.unwrap().n, receipt.position);
            answers.send_modify(|count| *count += 1);
        }
        self
    }
}

/// Everything on the log: the bytes that each life said, by number, with their positions.
async fn log(url: &str) -> BTreeMap<u32, BTreeMap<u64, (u64, Vec<u8>)>> {
    let mut shop = connect(url).await.unwrap();
    let request = v1::FollowRequest { from: 0, stop_when_caught_up: true, for_copy: false };
    let mut stream = shop.follow(request).await.unwrap().into_inner();
    let mut log: BTreeMap<u32, BTreeMap<u64, (u64, Vec<u8>)>> = BTreeMap::new();
    let mut next = 0;
    while let Some(one) = stream.message().await.unwrap() {
        let Some(v1::follow_response::What::Record(record)) = one.what else { continue };
        assert_eq!(record.position, next);
        next += 1;
        let name = decode_entry(&record.entry).unwrap().name;
        let before =
            log.entry(name.life).or_default().insert(name.n, (record.position, record.entry));
        assert_eq!(before, None, "{name} is there twice");
    }
    log
}

/// All senders at once; the program is killed once so many answers came, if it is to be killed.
async fn round(program: &mut Program, senders: Vec<Sender>, kill_at: Option<usize>) -> Vec<Sender> {
    let (answers, mut count) = watch::channel(0);
    let mut running = JoinSet::new();
    for sender in senders {
        running.spawn(sender.sends(program.url.clone(), answers.clone()));
    }
    drop(answers);
    if let Some(kill_at) = kill_at {
        count.wait_for(|count| *count >= kill_at).await.unwrap();
        program.kill();
    }
    let mut senders = running.join_all().await;
    senders.sort_by_key(|sender| sender.bench.life());
    senders
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn what_was_answered_survives_kills_in_the_middle_of_load_once_and_without_a_gap() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("shop");
    let mut program = Program::serve(&data);
    let code = invite(&data, "owner", 4);
    let mut shop = connect(&program.url).await.unwrap();
    let mut senders = Vec::new();
    for i in 0..3 {
        senders.push(Sender::join(&mut shop, &code, i).await);
    }
    let line = Line::to(&program.url).await.unwrap();
    let folder = dir.path().join("counter");
    let bench = Bench::join(&folder, &line.url(), &code, "counter", Role::Counter).await.unwrap();

    for kill_at in [1, 97, 300, 444] {
        for sender in &mut senders {
            sender.says(200);
        }
        senders = round(&mut program, senders, Some(kill_at)).await;
        let said: usize = senders.iter().map(|sender| sender.said.len()).sum();
        let answered: usize = senders.iter().map(|sender| sender.answered.len()).sum();
        assert!(said > answered, "it was not killed in the middle");

        // With the shop dead a bench keeps what is said.
        let kept = bench.say("hours 1 h", &SystemClock, &mut Nobody).await.unwrap();
        assert!(matches!(kept.answers[..], [Answer::Kept { .. }]), "{kept:?}");
        program = Program::serve(&data);
        line.lead_to(&program.url).unwrap();
        let told = bench.say("hours 2 h", &SystemClock, &mut Nobody).await.unwrap();
        assert!(matches!(told.answers[..], [Answer::Receipt { .. }]), "{told:?}");
        assert!(bench.waiting().unwrap().is_empty());
    }
    senders = round(&mut program, senders, None).await;

    let log = log(&program.url).await;
    for sender in &senders {
        let held = &log[&sender.bench.life()];
        let wanted =
            (1..).zip(&sender.said).map(|(n, said)| (n, &said.entry.as_ref().unwrap().entry));
        let got = held.iter().map(|(n, (_, bytes))| (*n, bytes));
        assert!(got.eq(wanted), "life {} is not what it said", sender.bench.life());
        for (n, position) in &sender.answered {
            assert_eq!(held[n].0, *position);
        }
    }
    assert_eq!(log[&bench.life()].len(), 8);

    program.kill();
    let check = Command::new(PROGRAM).args(["check", "--data"]).arg(&data).output().unwrap();
    let report = String::from_utf8(check.stdout).unwrap();
    assert!(check.status.success() && report.contains("sound: no gap"), "{report}");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn who_was_forgotten_stays_forgotten_when_the_program_is_killed_right_after_the_answer() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("shop");
    let mut program = Program::serve(&data);
    let code = invite(&data, "owner", 4);
    let folder = dir.path().join("office");
    let bench = Bench::join(&folder, &program.url, &code, "office", Role::Owner).await.unwrap();
    for line in ["add-customer --name \"Ada Fenn\"", "add-customer --name \"Bo Tarn\""] {
        bench.say(line, &SystemClock, &mut Nobody).await.unwrap();
    }
    let keys = || std::fs::read_to_string(data.join("keyring")).unwrap().lines().count();
    assert_eq!(keys(), 2);
    let line = format!("forget-customer {}:1 --anyway asked", bench.life());
    let told = bench.say(&line, &SystemClock, &mut Nobody).await.unwrap();
    assert!(matches!(told.answers[..], [Answer::Receipt { .. }]), "{told:?}");
    program.kill();
    assert_eq!(keys(), 1);
}
