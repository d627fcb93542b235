//! A command of a bench that is away, over its copy of the same log.

use std::{path::Path, time::Duration};

use anyhow::Context as _;
use burrline_bench::{Bench, SystemClock, alone::Then};
use burrline_present::readings::Floor;
use burrline_terms::words::Role;

use super::own_process::Took;
use crate::{load::cpu::Cpu, shop::Served};

/// What came of it.
#[derive(Debug, Clone, Copy)]
pub struct Away {
    /// Processor time for fetching the copy, at both ends.
    pub fetched: Duration,
    /// The first `floor`, which folds the copy from its first record and keeps what was folded.
    pub first: Took,
    /// The next one, which goes on from what was kept.
    pub next: Took,
    /// Bytes of what was kept.
    pub kept: u64,
}

/// Joins a bench to the shop in a folder, lets it fetch its copy, and asks it for the floor twice with
/// the shop gone, each time in a process of its own: this very program with `--floor`.
///
/// # Errors
/// If the shop does not open, or the bench does not join or answer.
pub async fn away(shop: &Path, bench: &Path) -> anyhow::Result<Away> {
    let served = Served::open(shop).await?;
    let joined = Bench::join(bench, &served.url, &served.code, "away", Role::Owner).await?;
    let begun = Cpu::now();
    joined.catch_up(&SystemClock, None).await?;
    let fetched = Cpu::now().since(begun).total();
    served.close().await?;
    let floor = || Took::by("--floor", bench);
    let (first, next) = (floor()?, floor()?);
    let kept = std::fs::metadata(bench.join("folded"))?.len();
    Ok(Away { fetched, first, next, kept })
}

/// The floor by a bench's own copy, and what this process took for it.
///
/// # Errors
/// If the bench does not open or answer.
pub fn floor(bench: &Path) -> anyhow::Result<Took> {
    let bench = Bench::open(bench)?;
    let alone = bench.alone(&SystemClock, Then::default())?.context("the bench has no copy")?;
    let told = alone.read(Floor { place: None }, bench.life())?;
    anyhow::ensure!(!told.places.is_empty(), "a floor without places");
    Took::so_far()
}
