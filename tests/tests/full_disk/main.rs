//! The shop's program on a disk that fills up, takes nothing, or fails: nothing is lost, readings go
//! on, the bench is told what it is, and recording goes on by itself.

#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

mod small;

use std::{
    io::{BufRead as _, BufReader, Lines},
    path::{Path, PathBuf},
    process::{Child, ChildStdout, Command, Output, Stdio},
};

use small::{Mood, Small};
use tempfile::TempDir;

const SHOP: &str = env!("CARGO_BIN_EXE_burrline-shop-tested");
const BENCH: &str = env!("CARGO_BIN_EXE_burrline-tested");
const MB: usize = 1 << 20;

/// A yard whose shop lies on a small disk; its bench, and the temporary folder, lie on another.
struct Yard {
    disk: Small,
    dir: TempDir,
    _mounted: fuser::BackgroundSession,
}

/// The shop's program, and what it prints.
struct Serving {
    child: Child,
    says: Lines<BufReader<ChildStdout>>,
}

impl Drop for Serving {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Serving {
    /// Waits for a line that begins with these words, and gives its last word.
    fn hears(&mut self, words: &str) -> String {
        let line = self.says.find(|line| line.as_ref().unwrap().starts_with(words));
        let line = line.expect(words).unwrap();
        line.split_whitespace().find(|word| word.starts_with("http")).unwrap().to_owned()
    }
}

impl Yard {
    fn new() -> Self {
        let dir = tempfile::tempdir().unwrap();
        let disk = Small::new(96 * MB);
        let mount = dir.path().join("disk");
        std::fs::create_dir(&mount).unwrap();
        let mounted = fuser::spawn_mount(disk.clone(), &mount, &fuser::Config::default()).unwrap();
        Self { disk, dir, _mounted: mounted }
    }

    fn path(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }

    fn data(&self) -> PathBuf {
        self.path("disk/shop")
    }

    fn serve(&self, listen: &str) -> Serving {
        let mut child = Command::new(SHOP)
            .args([
                "serve",
                "--plain-loopback",
                "--zone",
                "UTC",
                "--listen",
                listen,
                "--log",
                "off",
            ])
            .args(["--disk-warn", "16 MiB", "--disk-floor", "8 MiB", "--data"])
            .arg(self.data())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let says = BufReader::new(child.stdout.take().unwrap()).lines();
        Serving { child, says }
    }

    fn shop(&self, words: &[&str]) -> Output {
        Command::new(SHOP).args(words).arg("--data").arg(self.data()).output().unwrap()
    }

    /// What the bench's command printed, and its status.
    fn bench(&self, words: &[&str]) -> (String, i32) {
        self.at("office", words)
    }

    fn at(&self, bench: &str, words: &[&str]) -> (String, i32) {
        let mut program = Command::new(BENCH);
        let done = program.arg("--bench").arg(self.path(bench)).args(words).output().unwrap();
        (words_of(&done), done.status.code().unwrap())
    }

    /// A bench with nothing of its own that waits is answered by the shop.
    fn expect_readings(&self) {
        let (said, status) = self.at("desk", &["show", "0417"]);
        assert!(status == 0 && !said.contains("own copy"), "{said}");
    }

    /// A shop with a bench that has said something; and where it listens.
    fn begun(&self) -> (Serving, String) {
        let mut serving = self.serve("127.0.0.1:0");
        let url = serving.hears("The shop is open");
        for bench in ["office", "desk"] {
            let said = words_of(&self.shop(&["invite", "--role", "owner"]));
            let code = said.lines().next().unwrap();
            let join = ["join", &url, "--code", code, "--name", bench, "--role", "owner"];
            let (said, status) = self.at(bench, &join);
            assert_eq!(status, 0, "{said}");
        }
        let (said, status) =
            self.bench(&["take-in", "0417", "elk", "--condition", "nothing broken"]);
        assert_eq!(status, 0, "{said}");
        (serving, url.trim_start_matches("http://").to_owned())
    }

    /// What the log holds, which is sound.
    fn expect_sound(&self, lines: &[&str]) {
        let said = words_of(&self.shop(&["check"]));
        assert!(said.contains("sound: no gap"), "{said}");
        let (trail, _) = self.bench(&["trail", "0417"]);
        for line in lines {
            assert_eq!(trail.matches(line).count(), 1, "{line}: {trail}");
        }
    }
}

fn words_of(done: &Output) -> String {
    let (out, err) = (String::from_utf8_lossy(&done.stdout), String::from_utf8_lossy(&done.stderr));
    format!("{out}{err}")
}

fn marker(data: &Path) -> PathBuf {
    data.join("log/copy-afresh")
}

#[test]
fn recording_stops_before_the_disk_is_full_and_goes_on_once_there_is_room() {
    let yard = Yard::new();
    let (serving, _) = yard.begun();
    let free = yard.disk.free();
    yard.disk.turns(Mood { taken: free - 4 * MB, ..Mood::default() });
    let (said, status) = yard.bench(&["note", "0417", "brass plate"]);
    assert_eq!(status, 3, "{said}");
    assert!(said.contains("its disk is full") && said.contains("kept, 1 waiting"), "{said}");
    assert!(!said.contains("out of reach") && !said.contains("does not answer"), "{said}");
    // Readings go on, and so does the program; nothing was written to the full disk.
    yard.expect_readings();
    let (said, status) = yard.bench(&["sync"]);
    assert!(status == 3 && said.contains("its disk is full"), "{said}");
    assert!(!marker(&yard.data()).exists());

    yard.disk.turns(Mood::default());
    let (said, status) = yard.bench(&["sync"]);
    assert_eq!(status, 0, "{said}");
    drop(serving);
    yard.expect_sound(&["brass plate"]);
}

#[test]
fn a_quota_ends_the_program_the_next_start_only_reads_and_goes_on_by_itself() {
    let yard = Yard::new();
    let (mut serving, listen) = yard.begun();
    yard.disk.turns(Mood { quota: true, ..Mood::default() });
    let (said, status) = yard.bench(&["note", "0417", "brass plate"]);
    assert!(status == 3 && said.contains("kept, 1 waiting"), "{said}");
    assert_eq!(serving.child.wait().unwrap().code(), Some(74), "the disk's status");

    let mut serving = yard.serve(&listen);
    serving.hears("The shop only reads");
    yard.expect_readings();
    let (said, status) = yard.bench(&["sync"]);
    assert!(status == 3 && said.contains("answers readings"), "{said}");

    yard.disk.turns(Mood::default());
    serving.hears("The shop is open");
    let (said, status) = yard.bench(&["sync"]);
    assert_eq!(status, 0, "{said}");
    drop(serving);
    yard.expect_sound(&["brass plate"]);
}

#[test]
fn after_a_failed_sync_the_store_is_proved_while_readings_go_on() {
    let yard = Yard::new();
    let (mut serving, listen) = yard.begun();
    yard.disk.turns(Mood { no_sync: true, ..Mood::default() });
    let (said, status) = yard.bench(&["note", "0417", "brass plate"]);
    assert!(status == 3 && said.contains("kept, 1 waiting"), "{said}");
    assert_eq!(serving.child.wait().unwrap().code(), Some(74));
    assert!(marker(&yard.data()).exists());

    let mut serving = yard.serve(&listen);
    serving.hears("The shop only reads");
    yard.expect_readings();
    yard.disk.turns(Mood::default());
    serving.hears("The shop is open");
    assert!(!marker(&yard.data()).exists());
    let (said, status) = yard.bench(&["sync"]);
    assert_eq!(status, 0, "{said}");
    drop(serving);
    yard.expect_sound(&["brass plate"]);
}

#[test]
fn a_disk_that_is_mounted_for_reading_alone_is_served_for_reading() {
    let yard = Yard::new();
    let (serving, listen) = yard.begun();
    drop(serving);
    yard.disk.turns(Mood { read_only: true, ..Mood::default() });
    let mut serving = yard.serve(&listen);
    serving.hears("The shop only reads");
    yard.expect_readings();
    let (said, status) = yard.bench(&["note", "0417", "brass plate"]);
    assert!(status == 3 && said.contains("kept, 1 waiting"), "{said}");
    yard.disk.turns(Mood::default());
    serving.hears("The shop is open");
    assert_eq!(yard.bench(&["sync"]).1, 0);
    drop(serving);
    yard.expect_sound(&["brass plate"]);
}
