//! The bench's program, killed while several of it say lines on one bench: what a command had confirmed
//! is on the shop's log once and in order, and what was kept without being shown is told by the next.
//!
//! The moments come from a seed and hang on what the program has done by then, not on a clock: a file
//! that it made, bytes that passed on its line, or how often it was looked at. A run is the same as far
//! as the machine lets it be; what must hold holds in every run.

#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

use std::{
    collections::{BTreeMap, BTreeSet},
    path::{Path, PathBuf},
    process::{Command, Stdio},
    sync::Arc,
};

use burrline_bench::{Bench, Nobody, SystemClock};
use burrline_domain::Verb;
use burrline_proto::{decode_entry, v1};
use burrline_terms::{EntryName, Typed as _, words::Role};
use burrline_tests::{
    cutting::{Cutting, Weather},
    dice::Dice,
    shop::Served,
    wire::connect,
};

const BENCH: &str = env!("CARGO_BIN_EXE_burrline-tested");
const SEED: u64 = 4117;
/// Processes at once.
const HANDS: usize = 3;
/// Lines that each says, in each weather.
const LINES: usize = 9;

/// When a process is killed.
#[derive(Debug, Clone, Copy)]
enum Moment {
    /// Never.
    Ends,
    /// Once a line is about to be kept, by this process or another.
    AboutToKeep,
    /// Once something was kept.
    Kept,
    /// Once receipts were noted.
    Noted,
    /// Once so many bytes passed on the line.
    Passed(u64),
    /// Once it was looked at so often.
    Looked(usize),
}

impl Moment {
    fn thrown(dice: &mut Dice) -> Self {
        match dice.below(8) {
            0 => Self::Ends,
            1 => Self::AboutToKeep,
            2 | 3 => Self::Kept,
            4 => Self::Noted,
            5 | 6 => Self::Passed(u64::try_from(dice.below(6_000)).unwrap()),
            _ => Self::Looked(dice.below(40_000)),
        }
    }
}

/// What can be seen of a bench from outside.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Seen {
    about_to: usize,
    outbox: u64,
    receipts: Option<String>,
    passed: u64,
}

fn seen(folder: &Path, line: &Cutting) -> Seen {
    let said = |file: std::io::Result<std::fs::DirEntry>| {
        file.is_ok_and(|file| file.file_name().to_string_lossy().starts_with("said-"))
    };
    Seen {
        about_to: std::fs::read_dir(folder).unwrap().filter_map(|f| said(f).then_some(())).count(),
        outbox: std::fs::metadata(folder.join("outbox")).map_or(0, |file| file.len()),
        receipts: std::fs::read_to_string(folder.join("receipts")).ok(),
        passed: line.passed(),
    }
}

/// What one command said before it ended.
#[derive(Debug, Default)]
struct Heard {
    words: String,
    /// The number under which it confirmed its line.
    confirmed: Option<u64>,
    /// Lines that it told as kept and never shown, with their numbers.
    told: Vec<(u64, String)>,
}

/// Says a line with the bench's program, and kills it at the moment.
fn says(folder: &Path, line: &Cutting, life: u32, words: String, moment: Moment) -> Heard {
    let before = seen(folder, line);
    let mut child = Command::new(BENCH)
        .arg("--bench")
        .arg(folder)
        .args(["note", "0417", &words])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut looks = 0;
    while child.try_wait().unwrap().is_none() {
        let now = seen(folder, line);
        looks += 1;
        let reached = match moment {
            Moment::Ends => false,
            Moment::AboutToKeep => now.about_to > before.about_to,
            Moment::Kept => now.outbox > before.outbox,
            Moment::Noted => now.receipts != before.receipts,
            Moment::Passed(bytes) => now.passed >= before.passed + bytes,
            Moment::Looked(often) => looks >= often,
        };
        if reached {
            // Kill -9; it may just have ended by itself.
            let _ = child.kill();
            break;
        }
        std::thread::yield_now();
    }
    let said = child.wait_with_output().unwrap();
    let (out, err) = (String::from_utf8_lossy(&said.stdout), String::from_utf8_lossy(&said.stderr));
    let number = |line: &str| -> Option<u64> {
        let (_, name) = line.strip_suffix(']')?.rsplit_once('[')?;
        let name = EntryName::read(name).ok()?;
        (name.life == life).then_some(name.n)
    };
    // A line is confirmed once all of it was written.
    let whole = |text: &str| text.rfind('\n').map_or(String::new(), |end| text[..end].to_owned());
    let told = whole(&err);
    let told = told.lines().filter_map(|line| {
        let told = line.strip_prefix("kept before, and never shown: ")?;
        Some((number(told)?, told.to_owned()))
    });
    Heard { words, confirmed: whole(&out).lines().find_map(number), told: told.collect() }
}

/// One hand says its lines one after the other; returns what it heard, in order.
fn hand(
    folder: PathBuf,
    line: Arc<Cutting>,
    life: u32,
    name: String,
    mut dice: Dice,
) -> Vec<Heard> {
    let say = |i: usize| {
        let moment = Moment::thrown(&mut dice);
        says(&folder, &line, life, format!("{name} line {i:03}"), moment)
    };
    (0..LINES).map(say).collect()
}

/// What the shop has of a life, by number.
async fn log(url: &str, life: u32) -> BTreeMap<u64, Verb> {
    let mut shop = connect(url).await.unwrap();
    let request = v1::FollowRequest { from: 0, stop_when_caught_up: true, for_copy: false };
    let mut stream = shop.follow(request).await.unwrap().into_inner();
    let mut log = BTreeMap::new();
    while let Some(one) = stream.message().await.unwrap() {
        let Some(v1::follow_response::What::Record(record)) = one.what else { continue };
        let entry = decode_entry(&record.entry).unwrap();
        if entry.name.life == life {
            assert!(log.insert(entry.name.n, entry.verb).is_none());
        }
    }
    log
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn whatever_moment_a_bench_is_killed_at_what_it_confirmed_is_there_once_and_in_order() {
    let dir = tempfile::tempdir().unwrap();
    let shop = Served::open(&dir.path().join("shop")).await.unwrap();
    let line = Arc::new(Cutting::to(&shop.url).await.unwrap());
    let folder = dir.path().join("yard");
    let bench =
        Bench::join(&folder, &line.url(), &shop.code, "yard-1", Role::Counter).await.unwrap();
    let life = bench.life();
    bench.say("take-in 0417 elk", &SystemClock, &mut Nobody).await.unwrap();

    let mut dice = Dice::new(SEED);
    let mut heard: Vec<Vec<Heard>> = Vec::new();
    let breaks = Weather::Breaks(Dice::new(SEED + 1), 9_000);
    for (i, weather) in [Weather::Fair, Weather::Away, breaks].into_iter().enumerate() {
        line.set(weather);
        let mut hands = tokio::task::JoinSet::new();
        for name in 0..HANDS {
            let (folder, line, dice) = (
                folder.clone(),
                Arc::clone(&line),
                Dice::new(u64::try_from(dice.between(0, i64::MAX)).unwrap()),
            );
            hands.spawn_blocking(move || hand(folder, line, life, format!("w{i}h{name}"), dice));
        }
        heard.extend(hands.join_all().await);
    }
    line.set(Weather::Fair);
    let last = {
        let (folder, line) = (folder.clone(), Arc::clone(&line));
        let say = move || says(&folder, &line, life, "the last".to_owned(), Moment::Ends);
        tokio::task::spawn_blocking(say).await.unwrap()
    };
    assert!(last.confirmed.is_some(), "{last:?}");
    bench.send(&SystemClock).await.unwrap();
    assert_eq!(bench.waiting().unwrap(), []);

    let log = log(&shop.plain, life).await;
    let numbers: Vec<u64> = log.keys().copied().collect();
    assert!(numbers.iter().copied().eq(1..=log.len().try_into().unwrap()), "{numbers:?}");
    let note = |verb: &Verb| {
        if let Verb::Note(note) = verb { note.words.to_string() } else { String::new() }
    };
    let notes: BTreeMap<u64, String> = log.iter().skip(1).map(|(n, v)| (*n, note(v))).collect();
    let once: BTreeSet<&String> = notes.values().collect();
    assert_eq!(once.len(), notes.len(), "a line is there twice: {notes:?}");

    let all = || heard.iter().flatten().chain([&last]);
    let confirmed: BTreeMap<u64, &str> =
        all().filter_map(|heard| Some((heard.confirmed?, heard.words.as_str()))).collect();
    for (n, words) in &confirmed {
        assert_eq!(notes.get(n).map(String::as_str), Some(*words), "line {n}");
    }
    // What was kept by a process that did not live to show it was told by another.
    let told: BTreeMap<u64, &str> =
        all().flat_map(|heard| &heard.told).map(|(n, line)| (*n, line.as_str())).collect();
    for (n, words) in &notes {
        let told = told.get(n).is_some_and(|line| line.contains(words.as_str()));
        assert!(confirmed.contains_key(n) || told, "line {n}, {words}, was never told");
    }
    for hand in &heard {
        let order: Vec<&String> =
            notes.values().filter(|words| hand.iter().any(|h| h.words == **words)).collect();
        assert!(order.is_sorted(), "{order:?}");
    }
    let commands = heard.iter().flatten().count();
    let kept = notes.len();
    assert!(confirmed.len() < kept && kept < commands, "{} {kept} {commands}", confirmed.len());
    drop(bench);
    shop.close().await.unwrap();
}
