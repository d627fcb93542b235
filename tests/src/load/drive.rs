//! The benches: each keeps a window of entries in flight on one stream.

use std::{collections::VecDeque, time::Duration};

use anyhow::Context as _;
use burrline_proto::{Wire as _, v1};
use burrline_terms::words::Role;
use tokio::{sync::mpsc, task::JoinSet};
use tokio_stream::wrappers::ReceiverStream;

use super::{
    cpu::Cpu,
    mix::{self, Mix},
};
use crate::{
    machine::Machine,
    wire::{Client, WireBench, connect},
};

/// How hard to drive a shop.
#[derive(Debug, Clone, Copy)]
pub struct Drive {
    /// How many benches.
    pub benches: usize,
    /// How many entries each keeps in flight.
    pub window: usize,
    /// How long new entries are sent.
    pub time: Duration,
    /// A number that no other run at the shop has; below 10,000.
    pub run: u16,
    /// How many entries each bench signs before the clock starts, as a bench that was away has
    /// them in its outbox. What it says beyond them is signed as it goes.
    pub ahead: usize,
}

/// What came of it.
#[derive(Debug, Default)]
pub struct Driven {
    /// How long each answer took, from the entry's sending to its receipt, in order of size.
    pub latencies: Vec<Duration>,
    /// How many of the entries were signed while the clock ran.
    pub signed_late: usize,
    /// How many entries got remarks of a rule.
    pub remarked: usize,
    /// From the first entry to the last receipt.
    pub took: Duration,
    /// What this process worked in that time.
    pub cpu: Cpu,
}

/// Drives a shop until the time is over and every entry has its receipt.
///
/// # Errors
/// The first entry that the shop did not take.
pub async fn drive(url: &str, code: &str, how: Drive) -> anyhow::Result<Driven> {
    let mut owner = connect(url).await?;
    furnish(&mut owner, code, how).await?;
    let machine = Machine::start(boot()?);
    let mut benches = Vec::new();
    for i in 0..how.benches {
        let mut shop = connect(url).await?;
        let name = format!("load-{}-{i}", how.run);
        let bench = WireBench::join(&mut shop, code, &name, Role::Counter).await?;
        let mix = Mix::of(i, how.run, bench.life());
        benches.push((Outbox::filled(bench, mix, machine, how.ahead)?, shop));
    }
    let (started, worked) = (machine.elapsed(), Cpu::now());
    let until = started.saturating_add(how.time);
    let mut running = JoinSet::new();
    for (outbox, shop) in benches {
        running.spawn(one(shop, outbox, machine, until, how.window));
    }
    let mut all = Driven::default();
    while let Some(done) = running.join_next().await {
        let done = done??;
        all.latencies.extend(done.latencies);
        all.remarked = all.remarked.saturating_add(done.remarked);
        all.signed_late = all.signed_late.saturating_add(done.signed_late);
    }
    all.took = machine.elapsed().saturating_sub(started);
    all.cpu = Cpu::now().since(worked);
    all.latencies.sort_unstable();
    Ok(all)
}

/// The places and recipes of the work.
async fn furnish(shop: &mut Client, code: &str, how: Drive) -> anyhow::Result<()> {
    let name = format!("load-{}-owner", how.run);
    let mut owner = WireBench::join(shop, code, &name, Role::Owner).await?;
    let decided = mix::decided(how.benches, owner.life())?;
    // A place that an earlier run added is refused, which is as good.
    owner.say(shop, decided, Machine::start(boot()?).clock()).await?;
    Ok(())
}

fn boot() -> anyhow::Result<[u8; 16]> {
    let mut boot = [0; 16];
    getrandom::fill(&mut boot)?;
    Ok(boot)
}

/// What a bench says: signed ahead as far as it goes, then as it is said.
struct Outbox {
    bench: WireBench,
    mix: Mix,
    machine: Machine,
    waiting: VecDeque<v1::RecordRequest>,
    signed_late: usize,
}

impl Outbox {
    fn filled(bench: WireBench, mix: Mix, machine: Machine, ahead: usize) -> anyhow::Result<Self> {
        let waiting = VecDeque::with_capacity(ahead);
        let mut outbox = Self { bench, mix, machine, waiting, signed_late: 0 };
        for _ in 0..ahead {
            let signed = outbox.sign()?;
            outbox.waiting.push_back(signed);
        }
        Ok(outbox)
    }

    fn sign(&mut self) -> anyhow::Result<v1::RecordRequest> {
        let clock = self.machine.clock();
        let (verb, keys) = self.mix.say()?;
        let entry = self.bench.entry(verb, clock.clone());
        let keys =
            keys.into_iter().map(|(id, key)| v1::SealKey { key_id: id.into(), key: key.into() });
        Ok(v1::RecordRequest { keys: keys.collect(), ..self.bench.signed(&entry, &clock) })
    }

    /// The next entry, with what the clocks show as it is sent.
    fn next(&mut self) -> anyhow::Result<v1::RecordRequest> {
        let Some(mut next) = self.waiting.pop_front() else {
            self.signed_late = self.signed_late.saturating_add(1);
            return self.sign();
        };
        next.now = Some(self.machine.clock().to_item());
        Ok(next)
    }
}

/// One bench: says, waits for receipts, and says the next as each comes, until it is time to stop.
async fn one(
    mut shop: Client,
    mut outbox: Outbox,
    machine: Machine,
    until: Duration,
    window: usize,
) -> anyhow::Result<Driven> {
    let (entries, sent) = mpsc::channel::<v1::RecordRequest>(window.max(1));
    let mut in_flight: VecDeque<Duration> = VecDeque::with_capacity(window);
    let mut answers = None;
    let mut sent = Some(sent);
    let mut done = Driven::default();
    loop {
        while in_flight.len() < window && machine.elapsed() < until {
            let entry = outbox.next()?;
            in_flight.push_back(machine.elapsed());
            entries.send(entry).await.context("the stream ended")?;
        }
        if in_flight.is_empty() {
            done.signed_late = outbox.signed_late;
            return Ok(done);
        }
        // The stream opens with entries in it: the shop says nothing before it has one.
        if let Some(sent) = sent.take() {
            answers = Some(shop.record(ReceiverStream::new(sent)).await?.into_inner());
        }
        let answers = answers.as_mut().context("no stream")?;
        let answer = answers.message().await?.context("the shop ended the stream")?;
        let receipt = answer.receipt.context("an answer without a receipt")?;
        let since = in_flight.pop_front().context("a receipt too many")?;
        done.latencies.push(machine.elapsed().saturating_sub(since));
        done.remarked = done.remarked.saturating_add(usize::from(has_remarks(&receipt)));
    }
}

fn has_remarks(receipt: &v1::Receipt) -> bool {
    let result = receipt.outcome.as_ref().and_then(|outcome| outcome.result.as_ref());
    matches!(result, Some(v1::outcome::Result::Done(done)) if !done.remarks.is_empty())
}
