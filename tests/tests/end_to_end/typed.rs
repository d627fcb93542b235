//! The bench's own program, with what a hand types fed to it.

use std::{
    io::Write as _,
    process::{Command, Stdio},
};

use crate::harness::Hand;

/// What a run of the program said.
pub(crate) struct Ran {
    pub(crate) status: Option<i32>,
    pub(crate) out: String,
    pub(crate) err: String,
}

/// Runs the program at a bench, with lines for whatever it asks. The shop goes on serving meanwhile.
pub(crate) async fn run(hand: &Hand, args: &[&str], typed: &[&str]) -> Ran {
    let words: Vec<String> = args.iter().map(|word| (*word).to_owned()).collect();
    crate::sealed::typed_in(&words);
    let mut command = Command::new(env!("CARGO_BIN_EXE_burrline-tested"));
    command.args(args).env("BURRLINE_BENCH", hand.bench.folder().path(""));
    command.env_remove("BURRLINE_LOG").env("NO_COLOR", "1");
    command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let typed = [typed.join("\n"), String::new()].join("\n");
    let ran = tokio::task::spawn_blocking(move || {
        let mut child = command.spawn().unwrap();
        // A program that ends before it has read all is no failure of the test.
        let _ = child.stdin.take().unwrap().write_all(typed.as_bytes());
        child.wait_with_output().unwrap()
    });
    let ran = ran.await.unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    Ran { status: ran.status.code(), out: text(ran.stdout), err: text(ran.stderr) }
}
