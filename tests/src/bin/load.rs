//! Drives a shop with many benches, and measures the machine's own ceiling beside it.

use std::{io::Write as _, path::PathBuf, sync::Arc, time::Duration};

use anyhow::Context as _;
use burrline_server::shop::Shop;
use burrline_tests::{
    load::{
        ceiling,
        cpu::BENCH_THREADS,
        drive::{Drive, Driven, drive},
        figures::{Ceiling, Figures, per_second},
    },
    shop::Served,
};
use clap::Parser;
use tokio::runtime::{Builder, Handle};

/// Drive a shop with many benches and print how fast it answers
///
/// Every entry is signed by its bench, checked, judged by the stage rules and on disk before it is
/// answered; what lies within the measured time is printed below the figures. Without
/// --url a new shop is opened in a folder of its own, served on loopback by this process, and the
/// machine's ceiling is measured right after: the records of the run, read back from the log, are
/// appended to one file in the batches in which the shop made them durable, each batch synced.
#[derive(Debug, Parser)]
#[command(name = "burrline-load", after_help = "Exit status: 0 done, 1 failed, 2 usage.")]
struct Cli {
    /// How many benches
    #[arg(long, default_value_t = 4)]
    benches: usize,
    /// How many seconds new entries are sent
    #[arg(long, default_value_t = 5)]
    seconds: u64,
    /// How many entries each bench keeps in flight
    #[arg(long, default_value_t = 32, value_parser = clap::value_parser!(u16).range(1..=256))]
    window: u16,
    /// How many entries a second, of all benches together, are signed before the clock starts
    #[arg(long, default_value_t = 15_000)]
    ahead: usize,
    /// Runs with 1, 4, 16 and 64 benches, each at a shop of its own
    #[arg(long, conflicts_with_all = ["benches", "url"])]
    table: bool,
    /// A shop that is open already; its ceiling is not measured
    #[arg(long, requires = "code")]
    url: Option<String>,
    /// What a bench joins that shop with
    #[arg(long, requires = "url")]
    code: Option<String>,
    /// Where the shop's folder is made; default: where the system keeps what is temporary
    #[arg(long)]
    dir: Option<PathBuf>,
}

fn main() -> anyhow::Result<()> {
    let cli = Cli::parse();
    // Apart, so that it can be told what is the work of the shop and what that of the benches.
    let shop = Builder::new_multi_thread().thread_name("shop").enable_all().build()?;
    let benches = Builder::new_multi_thread()
        .thread_name(BENCH_THREADS)
        .worker_threads(1)
        .enable_all()
        .build()?;
    shop.block_on(run(&cli, benches.handle()))
}

async fn run(cli: &Cli, runtime: &Handle) -> anyhow::Result<()> {
    let counts = if cli.table { vec![1, 4, 16, 64] } else { vec![cli.benches] };
    print(Figures::HEADING)?;
    for benches in counts {
        let all_ahead = usize::try_from(cli.seconds)?.saturating_mul(cli.ahead);
        let how = Drive {
            benches,
            window: cli.window.into(),
            time: Duration::from_secs(cli.seconds),
            run: u16::try_from(std::process::id().checked_rem(10_000).unwrap_or(0))?,
            ahead: all_ahead.checked_div(benches).context("at least one bench is wanted")?,
        };
        let figures = match (&cli.url, &cli.code) {
            (Some(url), Some(code)) => Figures::of(how, &on(runtime, url, code, how).await?, None),
            _ => at_own_shop(cli, runtime, how).await?,
        };
        print(&figures.to_string())?;
    }
    print("")?;
    print(Figures::NOTES)?;
    Ok(())
}

/// Drives a shop from the benches' own threads.
async fn on(runtime: &Handle, url: &str, code: &str, how: Drive) -> anyhow::Result<Driven> {
    let (url, code) = (url.to_owned(), code.to_owned());
    runtime.spawn(async move { drive(&url, &code, how).await }).await?
}

/// Drives a shop of its own, and then the disk alone.
async fn at_own_shop(cli: &Cli, runtime: &Handle, how: Drive) -> anyhow::Result<Figures> {
    let dir = match &cli.dir {
        Some(dir) => tempfile::tempdir_in(dir)?,
        None => tempfile::tempdir()?,
    };
    let served = Served::open(&dir.path().join("shop")).await?;
    let watching = tokio::task::spawn_blocking({
        let shop = Arc::clone(&served.shop);
        move || watch(&shop)
    });
    let driven = on(runtime, &served.plain, &served.code, how).await?;
    let reader = served.shop.reader().clone();
    served.close().await?;
    let sizes = watching.await??;
    let to = *sizes.last().context("nothing was recorded")?;
    let answered = u64::try_from(driven.latencies.len())?;
    let from = to.saturating_sub(answered);
    let records = reader.read(from, driven.latencies.len())?;
    let batches: Vec<usize> = sizes
        .windows(2)
        .filter_map(|pair| Some((*pair.first()?, *pair.last()?)))
        .filter(|(_, end)| *end > from)
        .map(|(start, end)| usize::try_from(end.saturating_sub(start.max(from))))
        .collect::<Result<_, _>>()?;
    let path = dir.path().join("ceiling");
    let count = batches.len();
    let (written, took) = ceiling::append(&path, &records, batches)?;
    let ceiling = Ceiling { rate: per_second(written, took), batches: count };
    Ok(Figures::of(how, &driven, Some(ceiling)))
}

/// Every size that the log had on disk, on a thread and a runtime of its own so that few are
/// missed; two batches that are missed count as one, which flatters the ceiling, not the shop.
fn watch(shop: &Shop) -> anyhow::Result<Vec<u64>> {
    let mut durable = shop.durable();
    let runtime = Builder::new_current_thread().build()?;
    runtime.block_on(async move {
        let mut sizes = vec![*durable.borrow_and_update()];
        while durable.changed().await.is_ok() {
            sizes.push(*durable.borrow_and_update());
        }
        Ok(sizes)
    })
}

fn print(line: &str) -> std::io::Result<()> {
    let mut out = std::io::stdout().lock();
    writeln!(out, "{line}")?;
    out.flush()
}
