//! What a script costs beside plain Rust, and how long a shop takes to start on a season's log.

use std::{io::Write as _, path::PathBuf, time::Duration};

use burrline_tests::cost::{
    away::{away, floor},
    own_process::Took,
    replay::{replay, start},
    scripts::Scripts,
};
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
    /// Ask the bench in this folder for the floor by its own copy; print nanoseconds and KiB
    #[arg(long, hide = true)]
    floor: Option<PathBuf>,
    /// Start the shop in this folder from what it kept, and print the same
    #[arg(long, hide = true)]
    start: Option<PathBuf>,
    /// Start it from the first record
    #[arg(long, hide = true)]
    refold: Option<PathBuf>,
}

#[tokio::main]
async fn main() -> anyhow::Result<()> {
    let cli = Cli::parse();
    if let Some(bench) = cli.floor {
        return print(floor(&bench)?);
    }
    if let Some(shop) = cli.refold.as_ref().or(cli.start.as_ref()) {
        return print(start(shop, cli.refold.is_some()).await?);
    }
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
    // What was hashed behind the second by then is counted.
    let anew = Took::by("--refold", dir.path())?;
    let again = Took::by("--start", dir.path())?;
    let bench = tempfile::tempdir()?;
    let away = away(dir.path(), bench.path()).await?;
    for (what, took) in [
        ("a bench's copy, fetched", away.fetched),
        ("its first floor with the shop gone", away.first.time),
        ("its next floor", away.next.time),
        ("a start from the first record", anew.time),
        ("a start from what was kept", again.time),
    ] {
        writeln!(out, "{what:<42} {:>12} {:>12}", took.as_millis(), rate(took))?;
    }
    let kib = replayed.bytes.checked_div(1024).unwrap_or(0);
    for (what, took) in [
        ("memory of the first floor, MiB", away.first),
        ("memory of the next floor", away.next),
        ("memory of a start from the first record", anew),
        ("memory of a start from what was kept", again),
    ] {
        writeln!(out, "{what:<42} {:>12}", took.mib())?;
    }
    let kept = away.kept.checked_div(1024).unwrap_or(0);
    let records = replayed.records;
    writeln!(out, "{records} records of {} heads, {kib} KiB; {kept} KiB folded", cli.heads)?;
    Ok(())
}

/// What one thing took, for the process that asked.
fn print(took: Took) -> anyhow::Result<()> {
    writeln!(std::io::stdout(), "{} {}", took.time.as_nanos(), took.memory)?;
    Ok(())
}
