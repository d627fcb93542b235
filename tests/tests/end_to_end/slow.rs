//! Followers that are slow, or never read at all: they hold nobody up, and the shop does not grow by
//! what they leave lying.

use std::{
    io::{BufRead as _, BufReader},
    path::Path,
    process::{Child, Command, Stdio},
};

use burrline_domain::BenchClock;
use burrline_proto::v1::{self, follow_response::What};
use burrline_terms::words::Role;
use burrline_tests::{
    machine::Machine,
    wire::{WireBench, connect, verb},
};
use tonic::Streaming;

const SHOP: &str = env!("CARGO_BIN_EXE_burrline-shop-tested");
/// How many records the followers have before them, of about two kilobytes each.
const RECORDS: usize = 1_200;
/// How many followers never read.
const STALLED: usize = 24;

/// The shop's program, for its memory is its own.
struct Program {
    child: Child,
    url: String,
    code: String,
}

impl Program {
    fn serve(data: &Path) -> Self {
        let mut child = Command::new(SHOP)
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
        let mut hello = BufReader::new(child.stdout.take().unwrap());
        let mut next = || {
            let mut line = String::new();
            hello.read_line(&mut line).unwrap();
            line.trim().to_owned()
        };
        let (first, how) = (next(), next());
        let url = first.rsplit(' ').next().unwrap().to_owned();
        // Nobody reads this at a terminal, so no code goes into it.
        assert!(how.contains("burrline-shop invite --role owner"), "{how}");
        let invite =
            Command::new(SHOP).args(["invite", "--role", "owner", "--data"]).arg(data).output();
        let said = String::from_utf8(invite.unwrap().stdout).unwrap();
        let code = said.lines().next().unwrap().to_owned();
        Self { child, url, code }
    }

    /// How much of it is in memory, in kilobytes.
    fn memory(&self) -> u64 {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.child.id())).unwrap();
        let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:")).unwrap();
        line.trim().trim_end_matches(" kB").parse().unwrap()
    }
}

impl Drop for Program {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

async fn follower(url: &str) -> Streaming<v1::FollowResponse> {
    // A connection of its own, as a program of its own has.
    let mut shop = connect(url).await.unwrap();
    let request = v1::FollowRequest { from: 0, stop_when_caught_up: true, for_copy: false };
    shop.follow(request).await.unwrap().into_inner()
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn followers_that_never_read_hold_nobody_up_and_cost_the_shop_no_memory() {
    let dir = tempfile::tempdir().unwrap();
    let program = Program::serve(&dir.path().join("shop"));
    let mut shop = connect(&program.url).await.unwrap();
    let mut bench = WireBench::join(&mut shop, &program.code, "office", Role::Owner).await.unwrap();
    let machine = Machine::start([3; 16]);
    let words = "a line that says much and tells little ".repeat(48);
    let stray = |words: &str| verb("stray", &[("words", words)]).unwrap();
    let mut says = async |count: usize, clock: BenchClock| {
        let verbs = (0..count).map(|_| stray(&words)).collect();
        bench.say(&mut shop, verbs, clock).await.unwrap().len()
    };
    assert_eq!(says(RECORDS, machine.clock()).await, RECORDS);

    let before = program.memory();
    let mut stalled = Vec::new();
    for _ in 0..STALLED {
        let mut follower = follower(&program.url).await;
        assert!(follower.message().await.unwrap().is_some());
        stalled.push(follower);
    }
    // Others go on, and while they do the shop has all the time to pile something up.
    for _ in 0..20 {
        assert_eq!(says(10, machine.clock()).await, 10);
    }
    let mut quick = follower(&program.url).await;
    let mut read = 0;
    while let Some(one) = quick.message().await.unwrap() {
        read += usize::from(matches!(one.what, Some(What::Record(_))));
    }
    assert!(read >= RECORDS + 200, "{read}");
    let grown = program.memory().saturating_sub(before);
    let left_lying = u64::try_from(STALLED * RECORDS * 2 * words.len() / 1024).unwrap();
    println!("{grown} kB for {STALLED} followers who have {left_lying} kB before them");
    assert!(grown < left_lying / 3, "{grown} kB of {left_lying} kB");

    // And when one reads after all, nothing is missing.
    let mut late = stalled.swap_remove(0);
    let mut position = 0;
    while let Some(one) = late.message().await.unwrap() {
        if let Some(What::Record(record)) = one.what {
            position += 1;
            assert_eq!(record.position, position);
        }
    }
    assert!(position >= u64::try_from(RECORDS + 200).unwrap(), "{position}");
}
