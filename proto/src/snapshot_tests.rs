//! What is written is read, and what is damaged or of another fold is not.
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

use burrline_domain::{
    BenchClock, Entry, Outcome, Record, ScriptNotes, State, Verb,
    fold::{FOLD, Snapshot},
};
use burrline_terms::{Happened, Phrase};
use sha2::{Digest as _, Sha256};

use super::*;

fn record(position: u64, life: u32, line: &str, given: &[(&str, &str)]) -> Record {
    let given = |field: &str| {
        let of_field = given.iter().filter(|(name, _)| *name == field);
        of_field.map(|(_, value)| (*value).to_owned()).collect()
    };
    let at = Moment(i64::try_from(position).unwrap() * 60_000);
    Record {
        position,
        shop_time: at,
        happened: Happened::exactly(at),
        contact: None,
        doubted: None,
        notes: ScriptNotes::default(),
        on_jobs: Vec::new(),
        outcome: Outcome::Done(Vec::new()),
        entry: Entry {
            name: EntryName::new(life, position + 1),
            hand: None,
            clock: BenchClock { wall: at, boot: [0; 16], uptime_ms: 0 },
            said: None,
            seen: 0,
            together: None,
            anyway: Some(Phrase::clipped("so")),
            rulings: Vec::new(),
            not_seen: false,
            formerly: None,
            verb: Verb::read(line, &given).unwrap(),
        },
    }
}

fn some() -> (Snapshot, Bound) {
    let mut state = State::new();
    state.apply(record(0, 1, "take-in", &[("skull", "0417")]));
    state.apply(record(1, 2, "in", &[("skull", "0417"), ("place", "pot-1")]));
    state.apply(record(2, 1, "fill", &[("place", "pot-1")]));
    state.apply(record(3, 2, "condition", &[("skull", "0420")]));
    state.apply(record(5, 1, "assign", &[("entry", "2:4"), ("job", "1:1")]));
    state.apply(record(6, 1, "pay", &[("skull", "0417"), ("amount", "12.00")]));
    (state.snapshot(), Bound { size: 7, root: [7; 32], beside: vec![1, 2, 3] })
}

#[test]
fn what_was_written_is_read() {
    let (snapshot, bound) = some();
    assert_eq!(decode(&encode(&snapshot, &bound)), Some((snapshot, bound)));
}

#[test]
fn whatever_is_damaged_or_cut_is_not_read() {
    let (snapshot, bound) = some();
    let bytes = encode(&snapshot, &bound);
    for bit in 0..bytes.len() * 8 {
        let mut damaged = bytes.clone();
        damaged[bit / 8] ^= 1 << (bit % 8);
        assert_eq!(decode(&damaged), None, "bit {bit}");
    }
    for length in 0..bytes.len() {
        assert_eq!(decode(&bytes[..length]), None, "{length} bytes");
    }
}

fn summed(columns: &Columns) -> Vec<u8> {
    let columns = columns.encode_to_vec();
    [Sha256::digest(&columns).to_vec(), columns].concat()
}

#[test]
fn what_another_fold_wrote_is_not_read() {
    let (snapshot, bound) = some();
    let mut columns = Columns::of(&snapshot, &bound);
    assert!(decode(&summed(&columns)).is_some());
    columns.fold = FOLD.chars().rev().collect();
    assert_eq!(decode(&summed(&columns)), None);
}

#[test]
fn columns_of_unequal_length_are_not_read() {
    let (snapshot, bound) = some();
    let whole = Columns::of(&snapshot, &bound);
    let cuts: [fn(&mut Columns); 9] = [
        |c| c.positions.truncate(c.positions.len() - 1),
        |c| c.lives.truncate(c.lives.len() - 1),
        |c| c.numbers.truncate(c.numbers.len() - 1),
        |c| c.times.truncate(c.times.len() - 1),
        |c| c.landings.truncate(c.landings.len() - 1),
        |c| c.tagged.truncate(c.tagged.len() - 1),
        |c| c.assigned.truncate(c.assigned.len() - 1),
        |c| c.here.truncate(c.here.len() - 1),
        |c| c.flags.truncate(c.flags.len() - 1),
    ];
    for (n, cut) in cuts.iter().enumerate() {
        let mut columns = whole.clone();
        cut(&mut columns);
        assert_eq!(decode(&summed(&columns)), None, "column {n}");
    }
}
