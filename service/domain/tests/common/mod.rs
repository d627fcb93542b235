//! A small shop on paper: benches say lines, and the story is replayed.
#![allow(dead_code, unreachable_pub, reason = "each test file uses its own part of this")]

pub mod any;
/// The words that readings have for what does not fit.
#[path = "../../../present/src/misfits.rs"]
pub mod words;

use std::collections::BTreeMap;

use burrline_domain::{BenchClock, Entry, Outcome, Record, ScriptNotes, State, Verb};
use burrline_terms::{EntryName, Happened, Moment, Name, Tag, Typed};

/// Minutes after midnight of the first day.
pub fn at(text: &str) -> Moment {
    let (day, time) = text.split_once(' ').unwrap_or(("0", text));
    let (hours, minutes) = time.split_once(':').unwrap();
    let minutes = day.parse::<i64>().unwrap() * 1440
        + hours.parse::<i64>().unwrap() * 60
        + minutes.parse::<i64>().unwrap();
    Moment(minutes * 60_000)
}

/// Reads a verb from its name and `field=value` words; `tag` words need no name.
pub fn said(line: &str) -> Verb {
    let mut words = line.split_whitespace();
    let name = words.next().unwrap();
    let mut given: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for word in words {
        let (field, value) = match word.split_once(':') {
            Some((field, value))
                if !value.is_empty() && field.chars().all(|c| c.is_alphabetic() || c == '_') =>
            {
                (field, value)
            }
            _ => ("skull", word),
        };
        given.entry(field.to_owned()).or_default().push(value.replace('_', " "));
    }
    Verb::read(name, &|field: &str| given.get(field).cloned().unwrap_or_default())
        .unwrap_or_else(|bad| panic!("{line}: {bad}"))
}

/// A story told by several benches.
#[derive(Default, Clone)]
pub struct Story {
    pub records: Vec<Record>,
    counts: BTreeMap<u32, u64>,
}

impl Story {
    /// Bench `life` says `line`; it happened at `when` (and is typed then).
    pub fn say(&mut self, life: u32, when: &str, line: &str) -> EntryName {
        self.say_verb(life, Happened::exactly(at(when)), said(line))
    }

    /// Bench `life` says at `typed` that it happened at `when`.
    pub fn say_later(&mut self, life: u32, when: &str, typed: &str, line: &str) -> EntryName {
        let happened = Happened { said: true, typed: at(typed), ..Happened::exactly(at(when)) };
        self.say_verb(life, happened, said(line))
    }

    pub fn say_verb(&mut self, life: u32, happened: Happened, verb: Verb) -> EntryName {
        let n = self.counts.entry(life).or_default();
        *n += 1;
        let name = EntryName::new(life, *n);
        let position = u64::try_from(self.records.len()).unwrap();
        self.records.push(record(name, position, happened, verb));
        name
    }

    pub fn state(&self) -> State {
        State::replay(self.records.clone())
    }
}

pub fn record(name: EntryName, position: u64, happened: Happened, verb: Verb) -> Record {
    Record {
        position,
        shop_time: happened.typed,
        happened,
        contact: None,
        doubted: None,
        notes: ScriptNotes::default(),
        on_jobs: Vec::new(),
        outcome: Outcome::Done(Vec::new()),
        entry: Entry {
            name,
            hand: Name::read("ines").ok(),
            clock: BenchClock { wall: happened.typed, boot: [0; 16], uptime_ms: 0 },
            said: None,
            seen: 0,
            together: None,
            anyway: None,
            rulings: Vec::new(),
            not_seen: false,
            formerly: None,
            verb,
        },
    }
}

pub fn tag(text: &str) -> Tag {
    Tag::read(text).unwrap()
}

/// The words of every clash.
pub fn clashes(state: &State) -> Vec<String> {
    state.clashes().iter().map(|clash| words::words(state, clash)).collect()
}

/// The place of the one open job that wears a tag.
pub fn place(state: &State, number: &str) -> Option<String> {
    let jobs = state.wearing(&tag(number));
    let job = jobs.first().and_then(|id| state.job(*id))?;
    job.place().map(ToString::to_string)
}
