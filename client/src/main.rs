//! The program `burrline`.

use std::process::ExitCode;

use anyhow::Context as _;
use burrline_client::{Ending, cli};
use tracing_subscriber::EnvFilter;

fn main() -> ExitCode {
    ExitCode::from(run().map_or_else(|fault| bug(&fault), Ending::status))
}

fn run() -> anyhow::Result<Ending> {
    tracing_subscriber::fmt()
        .with_env_filter(EnvFilter::try_from_env("BURRLINE_LOG").unwrap_or_else(|_| "warn".into()))
        .with_writer(std::io::stderr)
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
