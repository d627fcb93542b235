//! What must hold at the end, whatever happened on the way.

use std::collections::BTreeMap;

use burrline_domain::{Outcome, Record, State, Verb};
use burrline_evidence::{checkpoint::Checkpoint, merkle::root_of};
use burrline_proto::decode_record;
use burrline_terms::{EntryName, Happened};
use rust_decimal::Decimal;

use crate::{
    bench::leaves,
    story::Act,
    world::{SLOWEST_MS, World},
};

/// Holds the end against the truth.
///
/// # Errors
/// The words say what does not hold.
pub(crate) fn check(world: &World) -> Result<(), String> {
    let log: Vec<Record> =
        world.shop.log.iter().map(|bytes| decode_record(bytes).unwrap().0).collect();
    signed_for_ever(world)?;
    let counted = every_confirmed_entry_exactly_once(world, &log)?;
    order_of_each_bench(&log)?;
    times(world, &log)?;
    let state = State::replay(log.clone());
    alike(world, &state)?;
    let lost = world.excused.iter().any(|act| !counted.contains_key(act))
        || !world.shop.losses().is_empty();
    if !lost {
        truth(world, &log, &state)?;
    }
    Ok(())
}

/// Where somebody could give back all that a shop lost, nothing is lost, and every head that was ever
/// signed fits. Else it is held against the shop by every bench that holds another head.
fn signed_for_ever(world: &World) -> Result<(), String> {
    let shop = &world.shop;
    if world.may_lose {
        return Ok(());
    }
    if !shop.losses().is_empty() {
        return Err("the shop lost what its benches had".to_owned());
    }
    let fits = |head: &&Checkpoint| shop.tree.root_at(head.size) == Ok(head.root);
    match shop.ever.iter().find(|head| !fits(head)) {
        Some(head) => Err(format!("the head over {} records does not fit any more", head.size)),
        None => Ok(()),
    }
}

fn act(record: &Record) -> Act {
    (record.entry.clock.boot, record.entry.clock.uptime_ms)
}

/// What hands typed. What stands for a line that a disk lost has the clocks of a neighbour.
fn of_benches(log: &[Record]) -> impl Iterator<Item = &Record> {
    let void = |record: &Record| matches!(record.entry.verb, Verb::Void(_));
    log.iter().filter(move |record| record.entry.name.life != 0 && !void(record))
}

fn every_confirmed_entry_exactly_once(
    world: &World,
    log: &[Record],
) -> Result<BTreeMap<Act, usize>, String> {
    let mut count: BTreeMap<Act, usize> = BTreeMap::new();
    // What was said again although it was there is refused as such, and counts for nothing.
    for record in of_benches(log).filter(|record| matches!(record.outcome, Outcome::Done(_))) {
        *count.entry(act(record)).or_default() += 1;
    }
    for (act, at) in &world.confirmed {
        match count.get(act).copied().unwrap_or(0) {
            1 => {}
            0 if world.excused.contains(act) => {}
            times => {
                return Err(format!("what was confirmed at {at:?} is on the log {times} times"));
            }
        }
    }
    match count.values().find(|times| **times > 1) {
        Some(times) => Err(format!("something is on the log {times} times")),
        None => Ok(count),
    }
}

/// Of one start of one machine the log has the entries in the order in which they were typed.
fn order_of_each_bench(log: &[Record]) -> Result<(), String> {
    let mut last: BTreeMap<(u32, [u8; 16]), u64> = BTreeMap::new();
    for record in of_benches(log) {
        let (boot, uptime) = act(record);
        let before = last.insert((record.entry.name.life, boot), uptime);
        if before.is_some_and(|before| before > uptime) {
            return Err(format!(
                "{} is on the log before what was said before it",
                record.entry.name
            ));
        }
    }
    Ok(())
}

/// When something happened lies within the bounds on the record, and those of one start are narrow.
fn times(world: &World, log: &[Record]) -> Result<(), String> {
    // When a lost line happened nobody knows.
    for record in of_benches(log) {
        let Some(truth) = world.confirmed.get(&act(record)) else { continue };
        let Happened { not_before, not_after, .. } = record.happened;
        let early = truth.plus(SLOWEST_MS) < not_before;
        let late = truth.plus(-SLOWEST_MS) > not_after;
        if early || late {
            return Err(format!(
                "{} happened at {truth:?}, and the record says from {not_before:?} to {not_after:?}",
                record.entry.name
            ));
        }
    }
    Ok(())
}

/// The shop, a fresh replay and every copy are one.
fn alike(world: &World, state: &State) -> Result<(), String> {
    let digest = state.digest();
    if world.shop.recorder.state().digest() != digest {
        return Err("a fresh replay gives another present than the shop's".to_owned());
    }
    let root = root_of(&leaves(&world.shop.log)).0;
    if world.shop.root() != root {
        return Err("the shop's root is not that of its log".to_owned());
    }
    for bench in world.benches.iter().filter(|bench| !bench.gone) {
        if bench.edge.root().0 != root {
            return Err(format!("the copy of life {} has another root", bench.disk.life));
        }
        if bench.fold.state().digest() != digest {
            return Err(format!("the copy of life {} gives another present", bench.disk.life));
        }
        let name = EntryName::new(bench.disk.life, 0);
        let held = world.shop.recorder.held(name.life);
        if bench.disk.receipts > held {
            return Err(format!(
                "life {} takes for received what the shop does not hold",
                name.life
            ));
        }
    }
    Ok(())
}

/// The present is what really happened; and where every time is known, nothing is left to clash.
fn truth(world: &World, log: &[Record], state: &State) -> Result<(), String> {
    // The full story, each thing at the moment when it happened.
    let full = State::replay(log.iter().cloned().map(|mut record| {
        if let Some(truth) = world.confirmed.get(&act(&record)) {
            record.happened = Happened::exactly(*truth);
        }
        record
    }));
    if let Some(clash) = full.clashes().first() {
        return Err(format!("the full story does not explain: {:?}", clash.cause));
    }
    same_as_the_story(world, &full)?;
    if world.in_doubt {
        return Ok(());
    }
    if let Some(clash) = state.clashes().first() {
        return Err(format!("a clash is left that the full story explains: {:?}", clash.cause));
    }
    same_as_the_story(world, state)
}

fn same_as_the_story(world: &World, state: &State) -> Result<(), String> {
    for job in state.jobs().values() {
        // A take-in that was there already under another name makes no job.
        let Some(fact) = state.fact(job.id).filter(|fact| !fact.refused()) else { continue };
        let taken_in = act(&fact.record);
        let head = world.story.heads.values().find(|head| head.taken_in == taken_in);
        let (open, place) = (job.ended.is_none(), job.place().map(ToString::to_string));
        let really = head.and_then(|head| head.place).map(str::to_owned);
        if open != head.is_some() || place != really {
            return Err(format!("job {} is not where it really is", job.id.job_number()));
        }
    }
    if state.jobs().values().filter(|job| job.ended.is_none()).count() != world.story.heads.len() {
        return Err("a head is in the shop and on no job".to_owned());
    }
    let tub = state.waters().iter().find(|(place, _)| place.as_str() == "tub-1");
    let level = tub.and_then(|(_, water)| water.bath()).and_then(|bath| bath.level());
    let litres = level.map(|level| level.litres).unwrap_or_default();
    if litres != Decimal::from(world.story.litres) {
        return Err(format!("{litres} L in the tub, and really {} L", world.story.litres));
    }
    Ok(())
}
