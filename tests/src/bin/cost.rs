//! What a script costs beside plain Rust, and how long a shop takes to start on a season's log.

use std::{io::Write as _, time::Duration};

use burrline_tests::cost::{replay::replay, scripts::Scripts};
use clap::Parser;

/// Measure what a script costs beside plain Rust, and how long a shop takes to start
///
/// Scripts run as the shop runs them: in the sandbox, under its limits and its deadline, from
/// facts to a checked answer. The plain functions give the same answers, which a test holds them
/// to. The log of the start is made up, twenty records a head, and lies in a folder like a shop's.
/// All figures are processor time, so that others who work on the machine change little.
#[derive(Debug, Parser)]
#[command(name = "burrline-cost", after_help = "Exit status: 0 done, 1 failed, 2 usage.")]
struct Cli {
    /// How many milliseconds each script is run
    #[arg(long, default_value_t = 500)]
    milliseconds: u64,
    /// How many heads the log tells of
    #[arg(long, default_value_t = 5_000)]
    heads: usize,
}

#[tokio::main]
async fn main() -> anyhow::Result<()> {
    let cli = Cli::parse();
    let mut out = std::io::stdout().lock();
    let scripts = Scripts::new(Duration::from_millis(cli.milliseconds))?;
    writeln!(out, "{:<42} {:>12} {:>12} {:>6}", "one evaluation", "script ns", "Rust ns", "ratio")?;
    for cost in scripts.measure()? {
        let script = cost.script.as_nanos();
        write!(out, "{:<42} {script:>12}", cost.what)?;
        match cost.plain.map(|plain| plain.as_nanos()) {
            Some(plain) => {
                let ratio = script.checked_div(plain).unwrap_or(0);
                writeln!(out, " {plain:>12} {ratio:>6}")?;
            }
            None => writeln!(out)?,
        }
    }
    let dir = tempfile::tempdir()?;
    let replayed = replay(dir.path(), cli.heads).await?;
    let rate = |took: Duration| {
        let records = u128::try_from(replayed.records).unwrap_or(u128::MAX);
        records.saturating_mul(1_000_000).checked_div(took.as_micros()).unwrap_or(0)
    };
    writeln!(out)?;
    writeln!(out, "{:<42} {:>12} {:>12}", "a log read again", "ms", "records/s")?;
    for (what, took) in [
        ("hashing them into the tree", replayed.hash),
        ("reading the bytes", replayed.decode),
        ("folding", replayed.fold),
        ("the digest of the present", replayed.digest),
        ("a shop's start, with the store checked", replayed.open),
    ] {
        writeln!(out, "{what:<42} {:>12} {:>12}", took.as_millis(), rate(took))?;
    }
    let kib = replayed.bytes.checked_div(1024).unwrap_or(0);
    writeln!(out, "{} records of {} heads, {kib} KiB", replayed.records, cli.heads)?;
    Ok(())
}
