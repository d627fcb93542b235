//! The program `burrline`.

use std::process::ExitCode;

use anyhow::Context as _;
use burrline_bench::Ending;
use burrline_cli as cli;
use tracing_subscriber::{
    filter::Targets, fmt, layer::SubscriberExt as _, util::SubscriberInitExt as _,
};

fn main() -> ExitCode {
    burrline_bench::keep_private();
    ExitCode::from(run().map_or_else(|fault| bug(&fault), Ending::status))
}

fn run() -> anyhow::Result<Ending> {
    let said = std::env::var("BURRLINE_LOG").ok().and_then(|said| said.parse::<Targets>().ok());
    let filter = said.unwrap_or_else(|| Targets::new().with_default(tracing::Level::WARN));
    tracing_subscriber::registry()
        .with(filter)
        .with(fmt::layer().with_writer(std::io::stderr))
        .init();
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(1)
        .enable_all()
        .build()
        .context("cannot start the runtime")?;
    Ok(runtime.block_on(cli::run(std::env::args_os())))
}

fn bug(fault: &anyhow::Error) -> u8 {
    tracing::error!("{fault:#}");
    Ending::Bug.status()
}
