//! Two writers on three real nodes, under load: killed, paused past their lease, a node killed or stopped.
//! What was answered is on the log once, at its position, whatever came between.
//!
//! Each round waits for what it caused, and for nothing else. `BURRLINE_ENGINE_ROUNDS` says how many,
//! `BURRLINE_ENGINE_SEED` where chance begins. Bugs that are put in on purpose must be found.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

mod nodes;

use std::{
    collections::{BTreeMap, BTreeSet},
    env,
    io::{BufRead as _, BufReader, Write as _},
    process::{Child, Command, Stdio},
    sync::mpsc::{Receiver, Sender, channel},
    time::Duration,
};

use burrline_etcd::{EtcdEngine, Planted, access::Access, address::Address};
use burrline_ledger::{Engine as _, Ledger as _, Opening};
use rustix::process::{Pid, Signal, kill_process};

const ADDRESS: &str = "BURRLINE_TEST_ENGINE";
const WRITER: &str = "BURRLINE_TEST_WRITER";
const PLANTED: &str = "BURRLINE_TEST_PLANTED";
const LEASE: Duration = Duration::from_secs(2);
/// How long nobody says anything before the rounds are given up.
const SILENCE: Duration = Duration::from_mins(1);
/// How often writers are refused in one wait before the rounds are given up.
const MOST_REFUSED: u32 = 100;

fn engine(address: &str) -> EtcdEngine {
    let address = Address::read(address).unwrap();
    EtcdEngine::new(address, Access::default(), None).with_lease(LEASE)
}

/// What a writer says: who it is, which of its lines this is, and something long.
fn record(writer: u64, n: u64) -> Vec<u8> {
    let length = usize::try_from(n * 7919 % 3000).unwrap();
    format!("{writer} {n} {}", "bone ".repeat(length / 5)).into_bytes()
}

/// Opens the log whenever it can, and appends until it is refused; says what was answered.
fn write_for_ever(address: &str, writer: u64, planted: Planted) -> ! {
    let mut n = 0;
    let mut chance = fastrand::Rng::with_seed(writer);
    let mut out = std::io::stdout();
    loop {
        let opening = Opening { may_begin: true, ..Opening::default() };
        let opened = engine(address).with_planted(planted).open(opening);
        let mut log = match opened {
            Ok(opened) => opened.ledger,
            Err(error) => {
                writeln!(out, "refused {error}").unwrap();
                continue;
            }
        };
        loop {
            // More than goes into one transaction, now and then.
            let count = if chance.u8(..8) == 0 { 150 } else { chance.u64(1..20) };
            let batch: Vec<_> = (n..n + count).map(|n| record(writer, n)).collect();
            let from = log.head().size;
            let answer = log.append(from, &batch);
            let first = n;
            // Whether it landed or not, nothing is said twice.
            n += count;
            match answer {
                Ok(_) => writeln!(out, "answered {from} {first} {count}").unwrap(),
                Err(error) => {
                    writeln!(out, "failed {error}").unwrap();
                    break;
                }
            }
        }
    }
}

/// A writer in a process of its own.
struct Writer {
    name: u64,
    child: Child,
}

impl Writer {
    fn start(address: &str, name: u64, planted: Planted, told: &Sender<(u64, String)>) -> Self {
        let mut child = Command::new(env::current_exe().unwrap())
            .args(["--exact", "answered_once_in_one_order_through_kills_pauses_and_lost_nodes"])
            .arg("--nocapture")
            .env(ADDRESS, address)
            .env(WRITER, name.to_string())
            .env(PLANTED, format!("{planted:?}"))
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let (lines, told) = (BufReader::new(child.stdout.take().unwrap()), told.clone());
        std::thread::spawn(move || {
            for line in lines.lines().map_while(Result::ok) {
                if told.send((name, line)).is_err() {
                    return;
                }
            }
        });
        Self { name, child }
    }

    fn signal(&self, signal: Signal) {
        signal_to(self.child.id(), signal);
    }
}

impl Drop for Writer {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn signal_to(pid: u32, signal: Signal) {
    let pid = Pid::from_raw(i32::try_from(pid).unwrap()).unwrap();
    kill_process(pid, signal).unwrap();
}

/// What was answered: by position, who said it and which of its lines it was.
#[derive(Default)]
struct Answered {
    at: BTreeMap<u64, (u64, u64)>,
    /// Answers that contradict each other.
    wrong: Vec<String>,
    count: u64,
    refused: u64,
}

impl Answered {
    /// Takes in one line of a writer; whether it was an answer.
    fn take(&mut self, writer: u64, line: &str) -> bool {
        let Some(answer) = line.strip_prefix("answered ") else {
            self.refused += u64::from(line.starts_with("failed "));
            return false;
        };
        let numbers: Vec<u64> = answer.split(' ').map(|word| word.parse().unwrap()).collect();
        let [from, first, count] = numbers[..] else { panic!("{line}") };
        for n in 0..count {
            if let Some(before) = self.at.insert(from + n, (writer, first + n)) {
                self.wrong
                    .push(format!("position {} was answered twice, first to {before:?}", from + n));
            }
        }
        self.count += 1;
        true
    }

    /// Waits for so many answers of one writer, or of any; whoever is only refused has its end too.
    fn wait(&mut self, told: &Receiver<(u64, String)>, mut answers: u32, of: Option<u64>) {
        let (mut refused, mut last) = (0, String::new());
        while answers > 0 && self.wrong.is_empty() {
            let Ok((writer, line)) = told.recv_timeout(SILENCE) else {
                panic!("nobody says anything any more; the last word was: {last}");
            };
            refused += u32::from(line.starts_with("refused "));
            assert!(refused < MOST_REFUSED, "{of:?} is only refused; the last word was: {line}");
            let is_answer = self.take(writer, &line);
            if is_answer && of.is_none_or(|of| of == writer) {
                answers -= 1;
            }
            last = line;
        }
    }
}

/// Holds the log against what was answered.
fn verify(address: &str, answered: &Answered) -> Result<u64, String> {
    if let Some(wrong) = answered.wrong.first() {
        return Err(wrong.clone());
    }
    let log = engine(address).open(Opening::default()).map_err(|error| error.to_string())?.ledger;
    let records = log.read(0, usize::MAX).map_err(|error| error.to_string())?;
    let different: BTreeSet<&Vec<u8>> = records.iter().collect();
    if different.len() != records.len() {
        return Err("something is on the log twice".to_owned());
    }
    for (position, (writer, n)) in &answered.at {
        let found = usize::try_from(*position).ok().and_then(|at| records.get(at));
        if found != Some(&record(*writer, *n)) {
            return Err(format!(
                "line {n} of writer {writer} was answered, and is not at {position}"
            ));
        }
    }
    Ok(log.head().size)
}

/// Plays rounds and says what was answered; `only` plays one kind of round alone.
fn play(
    rounds: u64,
    seed: u64,
    planted: Planted,
    only: Option<u8>,
) -> Result<(u64, Answered), String> {
    let mut nodes = nodes::Nodes::start(3);
    let address = nodes.address("shop");
    let (tell, told) = channel();
    let mut chance = fastrand::Rng::with_seed(seed);
    let mut next_name = 0;
    let mut start = || {
        next_name += 1;
        Writer::start(&address, next_name, planted, &tell)
    };
    let mut writers = vec![start(), start()];
    let mut answered = Answered::default();
    answered.wait(&told, 5, None);
    for _ in 0..rounds {
        let node = chance.usize(..3);
        // Who answered last holds the log.
        let holder = answered.at.last_key_value().map(|(_, (writer, _))| *writer).unwrap();
        let holder = writers.iter().position(|writer| writer.name == holder).unwrap_or(0);
        match only.unwrap_or_else(|| chance.u8(..5)) {
            0 => {
                writers[holder] = start();
                answered.wait(&told, chance.u32(1..30), None);
            }
            1 => {
                // Until the other one took over: then it goes on as if nothing had been.
                writers[holder].signal(Signal::STOP);
                let other = writers[1 - holder].name;
                answered.wait(&told, chance.u32(1..30), Some(other));
                writers[holder].signal(Signal::CONT);
                answered.wait(&told, chance.u32(20..60), None);
            }
            2 => {
                nodes.kill(node);
                answered.wait(&told, chance.u32(1..60), None);
                nodes.start_again(node);
                answered.wait(&told, chance.u32(1..10), None);
            }
            3 => {
                signal_to(nodes.pid(node), Signal::STOP);
                answered.wait(&told, chance.u32(1..60), None);
                signal_to(nodes.pid(node), Signal::CONT);
            }
            _ => {
                // A majority is gone: nothing is answered until it is back.
                nodes.kill(node);
                nodes.kill((node + 1) % 3);
                nodes.start_again(node);
                nodes.start_again((node + 1) % 3);
                answered.wait(&told, chance.u32(1..10), None);
            }
        }
        if !answered.wrong.is_empty() {
            break;
        }
    }
    drop(writers);
    drop(tell);
    for (writer, line) in told.iter().collect::<Vec<_>>() {
        answered.take(writer, &line);
    }
    verify(&address, &answered).map(|size| (size, answered))
}

fn number(name: &str) -> Option<u64> {
    env::var(name).ok()?.parse().ok()
}

#[test]
fn answered_once_in_one_order_through_kills_pauses_and_lost_nodes() {
    // The test starts itself as the writers.
    if let (Ok(address), Some(writer)) = (env::var(ADDRESS), number(WRITER)) {
        let planted = match env::var(PLANTED).as_deref() {
            Ok("NoFence") => Planted::NoFence,
            Ok("AnswerFirst") => Planted::AnswerFirst,
            _ => Planted::Nothing,
        };
        write_for_ever(&address, writer, planted);
    }
    let rounds = number("BURRLINE_ENGINE_ROUNDS").unwrap_or(8);
    let seed = number("BURRLINE_ENGINE_SEED").unwrap_or(1);
    let (size, answered) = play(rounds, seed, Planted::Nothing, None).unwrap();
    writeln!(
        std::io::stdout(),
        "{rounds} rounds from seed {seed}: {size} records, {} answers, {} writers that were refused",
        answered.count,
        answered.refused
    )
    .unwrap();
}

#[test]
fn a_writer_without_a_fence_is_found_out() {
    let found = play(6, 1, Planted::NoFence, Some(1));
    let words = found.err().expect("a writer that was paused wrote over another's lines");
    writeln!(std::io::stdout(), "no fence: {words}").unwrap();
}

#[test]
fn an_answer_before_the_transaction_is_found_out() {
    let found = play(6, 1, Planted::AnswerFirst, Some(0));
    let words = found.err().expect("lines were answered that are not on the log");
    writeln!(std::io::stdout(), "answered first: {words}").unwrap();
}
