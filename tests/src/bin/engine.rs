//! How fast a shop answers with its log on etcd, beside the same shop with its log in its folder.

use std::{io::Write as _, sync::Arc, time::Duration};

use anyhow::Context as _;
use burrline_ledger::Engine;
use burrline_shop::ledger::etcd_at;
use burrline_tests::{
    load::{
        cpu::BENCH_THREADS,
        drive::{Drive, drive},
        figures::{Figures, per_second},
    },
    shop::Served,
};
use clap::Parser;
use tokio::runtime::{Builder, Handle};

#[path = "../../../service/etcd/tests/nodes/mod.rs"]
#[allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    unreachable_pub,
    reason = "made for tests; a node that does not start ends this program"
)]
mod nodes;

/// Drive a shop whose log is in its folder, on one node of etcd and on three, one after the other
///
/// All of them share this machine's disk and processors with the benches, so the figures compare, and say
/// nothing of machines of their own. The last column is the rate beside that of the folder in this run.
#[derive(Debug, Parser)]
#[command(name = "burrline-engine", after_help = "Exit status: 0 done, 1 failed, 2 usage.")]
struct Cli {
    /// How many seconds new entries are sent, each time
    #[arg(long, default_value_t = 4)]
    seconds: u64,
    /// How many entries each bench keeps in flight
    #[arg(long, default_value_t = 32, value_parser = clap::value_parser!(u16).range(1..=256))]
    window: u16,
    /// How many entries a second, of all benches together, are signed before the clock starts
    #[arg(long, default_value_t = 12_000)]
    ahead: usize,
}

fn main() -> anyhow::Result<()> {
    let cli = Cli::parse();
    let shop = Builder::new_multi_thread().thread_name("shop").enable_all().build()?;
    let benches = Builder::new_multi_thread()
        .thread_name(BENCH_THREADS)
        .worker_threads(1)
        .enable_all()
        .build()?;
    shop.block_on(run(&cli, benches.handle()))
}

async fn run(cli: &Cli, runtime: &Handle) -> anyhow::Result<()> {
    // No ceiling is measured: the folder stands beside each.
    let heading = Figures::HEADING.split("  a batch").next().unwrap_or_default();
    print(&format!("{:<12}  {heading}  beside", "log"))?;
    let mut runs = 0_u16;
    for benches in [1, 4, 16] {
        let mut folder = None;
        for (name, count) in [("folder", 0), ("one node", 1), ("three nodes", 3)] {
            runs = runs.saturating_add(1);
            let all_ahead = usize::try_from(cli.seconds)?.saturating_mul(cli.ahead);
            let how = Drive {
                benches,
                window: cli.window.into(),
                time: Duration::from_secs(cli.seconds),
                run: runs,
                ahead: all_ahead.checked_div(benches).context("at least one bench is wanted")?,
            };
            let (figures, rate) = one(runtime, how, count).await?;
            let beside = folder.get_or_insert(rate);
            let of_it = rate.saturating_mul(100).checked_div(*beside).unwrap_or(0);
            print(&format!("{name:<12}  {figures}  {of_it:>4} %"))?;
        }
    }
    print("")?;
    print(Figures::NOTES.split("\na batch").next().unwrap_or_default())?;
    print("beside     the answers a second, beside those of the shop whose log is in its folder")
}

/// One run, with the log on so many nodes.
async fn one(runtime: &Handle, how: Drive, count: usize) -> anyhow::Result<(Figures, u128)> {
    let dir = tempfile::tempdir()?;
    let data = dir.path().join("shop");
    let nodes = (count > 0).then(|| nodes::Nodes::start(count));
    let engine = nodes.as_ref().map(|nodes| etcd_at(&nodes.address("shop"), None, &data));
    let engine: Option<Arc<dyn Engine>> = match engine {
        Some(engine) => Some(Arc::new(engine?)),
        None => None,
    };
    let served = Served::open_on(&data, engine.as_deref()).await?;
    let (url, code) = (served.plain.clone(), served.code.clone());
    let driven = runtime.spawn(async move { drive(&url, &code, how).await }).await??;
    served.close().await?;
    let rate = per_second(driven.latencies.len(), driven.took);
    Ok((Figures::of(how, &driven, None), rate))
}

fn print(line: &str) -> anyhow::Result<()> {
    let mut out = std::io::stdout().lock();
    writeln!(out, "{line}")?;
    Ok(out.flush()?)
}
