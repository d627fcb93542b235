//! A process killed in the middle of appending has lost nothing it answered.
//!
//! This shows recovery, not durability: a killed process leaves what it wrote
//! with the kernel. For a power cut see `power_cut/`.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

use std::{
    env,
    io::{BufRead as _, BufReader, Write as _},
    path::Path,
    process::{Command, Stdio},
};

use burrline_ledger::{Ledger, SledLedger, check};

const FOLDER: &str = "BURRLINE_TEST_APPEND_TO";
const ROUNDS: u64 = 15;

/// The one record that belongs at a position.
fn record(position: u64) -> Vec<u8> {
    let length = usize::try_from(position * 7919 % 9000).unwrap();
    position.to_be_bytes().iter().copied().cycle().take(8 + length).collect()
}

/// Appends until it is killed; says the size after each answer.
fn append_for_ever(dir: &Path) {
    let mut log = SledLedger::open(dir).unwrap();
    loop {
        let size = log.head().size;
        let batch: Vec<_> = (size..size + 1 + size % 5).map(record).collect();
        let head = log.append(size, &batch).unwrap();
        writeln!(std::io::stdout(), "answered {}", head.size).unwrap();
    }
}

/// Starts a child on the folder, kills it after some answers, and gives the
/// size in its last one.
fn killed_after(dir: &Path, answers: u64) -> u64 {
    let mut child = Command::new(env::current_exe().unwrap())
        .args(["--exact", "every_answered_record_outlives_a_kill", "--nocapture"])
        .env(FOLDER, dir)
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let mut last = None;
    let mut count = 0;
    for line in BufReader::new(child.stdout.take().unwrap()).lines() {
        if let Some(size) = line.unwrap().strip_prefix("answered ") {
            last = Some(size.parse().unwrap());
            count += 1;
            if count == answers {
                child.kill().unwrap();
            }
        }
    }
    child.wait().unwrap();
    last.expect("the child answered nothing")
}

#[test]
fn every_answered_record_outlives_a_kill() {
    // The test starts itself as the child that is to be killed.
    if let Some(dir) = env::var_os(FOLDER) {
        append_for_ever(Path::new(&dir));
    }
    let dir = tempfile::tempdir().unwrap();
    let mut before = 0;
    for round in 0..ROUNDS {
        let answered = killed_after(dir.path(), 1 + round * 13 % 37);
        assert!(answered > before, "round {round}: answered {answered}, had {before}");
        let report = check(dir.path(), |_, _| ()).unwrap();
        assert!(report.is_sound(), "round {round}: {report:?}");

        let log = SledLedger::open(dir.path()).unwrap();
        before = log.head().size;
        assert!(before >= answered, "round {round}: answered {answered}, found {before}");
        let found = log.read(0, usize::MAX).unwrap();
        assert!(found == (0..before).map(record).collect::<Vec<_>>(), "round {round}: changed");
    }
}
