//! A log of many heads, opened again: how long a shop's start takes.

use std::{path::Path, sync::Arc, time::Duration};

use burrline_domain::{BenchClock, Outcome, Record, ScriptNotes, State, Verb};
use burrline_evidence::merkle::{Tree, leaf_hash};
use burrline_ledger::{Ledger as _, SledLedger};
use burrline_proto::{SIGNATURE_BYTES, decode_record, encode_entry, encode_record};
use burrline_server::shop::{DiskLimits, MachineClock, Shop, Starting};
use burrline_terms::{EntryName, Happened, Moment};

use super::own_process::Took;
use crate::{
    load::{cpu::Cpu, work::Work},
    wire::{entry_of, verb},
};

/// How many records are written with one sync, and how many steps one head takes.
const AT_ONCE: usize = 1000;
const STEPS: usize = 20;

/// What came of it, in processor time: others may work on the same machine.
#[derive(Debug, Clone, Copy)]
pub struct Replayed {
    /// How many records.
    pub records: usize,
    /// Bytes of all of them.
    pub bytes: usize,
    /// Hashing the bytes into the log's tree, as a start does to find a flipped bit.
    pub hash: Duration,
    /// Reading the bytes into records.
    pub decode: Duration,
    /// Folding the records.
    pub fold: Duration,
    /// The digest over all that was folded.
    pub digest: Duration,
    /// Opening the folder: the store checked record for record, then all of the above but the
    /// digest.
    pub open: Duration,
}

/// Makes a log of `heads` heads in a new folder, and opens it again.
///
/// Each head goes through twenty steps at one of four benches, which share twelve places. Nobody
/// signed these entries: signatures are checked when an entry arrives, not at a start.
///
/// # Errors
/// If the folder cannot be made, written or opened.
pub async fn replay(dir: &Path, heads: usize) -> anyhow::Result<Replayed> {
    Shop::open(dir, "UTC", Arc::new(MachineClock), || {}).await?.close();
    let log = fill(dir, heads)?;
    let begun = Cpu::now();
    let since = |begun: Cpu| Cpu::now().since(begun).total();
    let mut tree = Tree::new();
    for bytes in &log {
        tree.append(leaf_hash(bytes));
    }
    std::hint::black_box(tree.root());
    let (hash, begun) = (since(begun), Cpu::now());
    let mut records = Vec::with_capacity(log.len());
    for bytes in &log {
        records.push(decode_record(bytes)?.0);
    }
    let (decode, begun) = (since(begun), Cpu::now());
    let state = State::replay(records);
    let (fold, begun) = (since(begun), Cpu::now());
    std::hint::black_box(state.digest());
    let digest = since(begun);
    drop(state);
    let begun = Cpu::now();
    let shop = Shop::open(dir, "UTC", Arc::new(MachineClock), || {}).await?;
    let open = since(begun);
    shop.close();
    drop(shop);
    let bytes = log.iter().map(Vec::len).sum();
    Ok(Replayed { records: log.len(), bytes, hash, decode, fold, digest, open })
}

/// Opens the shop in a folder, and asks it something.
///
/// # Errors
/// If it does not open.
pub async fn start(dir: &Path, refold: bool) -> anyhow::Result<Took> {
    let starting = Starting { refold, ..Starting::default() };
    let (clock, limits) = (Arc::new(MachineClock), DiskLimits::default());
    let shop = Shop::open_heeding(dir, "UTC", clock, limits, starting, |_| {}).await?;
    let (_, unread) = shop.hashed_again();
    anyhow::ensure!(refold == (unread == 0), "the start did not go about it as it was told");
    let places = burrline_present::view::floor(&shop.published(), "").places;
    anyhow::ensure!(!places.is_empty(), "a floor without places");
    let took = Took::so_far();
    shop.close();
    took
}

/// Appends the heads' records, and gives the whole log back.
fn fill(dir: &Path, heads: usize) -> anyhow::Result<Vec<Vec<u8>>> {
    let mut ledger = SledLedger::open(&dir.join("log"))?;
    let mut log = ledger.read(0, usize::MAX)?;
    let mut benches: Vec<Bench> = (0..4).map(Bench::new).collect();
    let mut written = log.len();
    for bench in &mut benches {
        for verb in bench.furnish()? {
            log.push(bench.record(log.len(), verb)?);
        }
    }
    let every = benches.len().max(1);
    for step in 0..heads.saturating_mul(STEPS) {
        let Some(bench) = benches.get_mut(step.checked_rem(every).unwrap_or(0)) else { continue };
        let verb = bench.work.say()?;
        log.push(bench.record(log.len(), verb)?);
    }
    while let Some(rest) = log.get(written..).filter(|rest| !rest.is_empty()) {
        let batch = rest.get(..AT_ONCE).unwrap_or(rest);
        ledger.append(u64::try_from(written)?, batch)?;
        written = written.saturating_add(batch.len());
    }
    Ok(log)
}

/// One bench of the made-up log.
struct Bench {
    number: usize,
    said: u64,
    work: Work,
}

impl Bench {
    fn new(number: usize) -> Self {
        Self { number, said: 0, work: Work::of(number, 0) }
    }

    fn furnish(&self) -> anyhow::Result<Vec<Verb>> {
        let place = |kind: &str| {
            let name = format!("{kind}-{}", self.number);
            verb("add-place", &[("name", &name), ("kind", kind)])
        };
        let tank = format!("tank-{}", self.number);
        Ok(vec![
            place("pot")?,
            place("tank")?,
            place("rack")?,
            verb("fill", &[("place", &tank), ("water", "30L")])?,
        ])
    }

    /// Its next record, at a position that is also the minute in which it happened.
    fn record(&mut self, position: usize, verb: Verb) -> anyhow::Result<Vec<u8>> {
        self.said = self.said.saturating_add(1);
        let life = u32::try_from(self.number)?.saturating_add(1);
        let position = u64::try_from(position)?;
        let at = Moment(i64::try_from(position)?.saturating_mul(60_000));
        let clock = BenchClock { wall: at, boot: [0; 16], uptime_ms: 0 };
        let entry = entry_of(EntryName::new(life, self.said), verb, clock);
        let bytes = encode_entry(&entry);
        let happened = Happened::exactly(at);
        let outcome = Outcome::Done(Vec::new());
        let record = Record {
            position,
            shop_time: at,
            contact: None,
            doubted: None,
            notes: ScriptNotes::default(),
            on_jobs: Vec::new(),
            happened,
            outcome,
            entry,
        };
        Ok(encode_record(&record, &bytes, &[0; SIGNATURE_BYTES]))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[tokio::test]
    async fn a_made_up_log_opens_with_every_record_folded() {
        let dir = tempfile::tempdir().unwrap();
        let replayed = replay(dir.path(), 60).await.unwrap();
        let shop = Shop::open(dir.path(), "UTC", Arc::new(MachineClock), || {}).await.unwrap();
        let state = shop.published();
        assert_eq!(usize::try_from(state.records()).unwrap(), replayed.records);
        assert_eq!(state.digest(), shop.decided().state().digest());
        let ended = state.jobs().values().filter(|job| job.ended.is_some()).count();
        assert!(state.jobs().len() >= 60 && ended > 20, "{ended} of {}", state.jobs().len());
        assert!(state.waters().values().all(|water| water.bath().is_some()));
    }
}
