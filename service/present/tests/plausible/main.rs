//! What is asked about a line because it is unlikely, and what is refused because nobody means it.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

mod amended;
mod days;
mod heads;
mod money;
mod shop;
mod sizes;
mod till;
mod waters;

use burrline_domain::{
    BenchClock, Entry, Outcome, Record, ScriptNotes, State, Verb, verb::AddCustomer,
};
use burrline_present::{ask::ruled_after, judge::Judge};
use burrline_proto::v1;
use burrline_terms::{EntryName, Happened, Moment, Sealed};

const HOUR: i64 = 3_600_000;
/// Sunday 29 November 2026, at noon, universal time.
const NOON: i64 = 1_795_953_600_000;

/// A shop's story, said line by line, an hour apart, up to noon.
#[derive(Debug)]
struct Told {
    records: Vec<Record>,
    now: i64,
}

/// Reads `verb field=value …`, with `_` for a space.
fn verb(line: &str) -> Verb {
    let mut words = line.split_whitespace();
    let verb = words.next().unwrap();
    if verb == "add-customer" {
        let details = Sealed { key_id: [1; 16], nonce: vec![2; 12], ciphertext: vec![3; 8] };
        return AddCustomer { details, class: None }.into();
    }
    let given: Vec<(&str, String)> = words
        .map(|word| word.split_once('=').unwrap_or(("skull", word)))
        .map(|(field, value)| (field, value.replace('_', " ")))
        .collect();
    let given = |field: &str| {
        given.iter().filter(|(f, _)| *f == field).map(|(_, word)| word.clone()).collect()
    };
    Verb::read(verb, &given).unwrap()
}

impl Told {
    /// What was said, the last of it an hour before noon.
    fn given(lines: &[&str]) -> Self {
        let mut told = Self { records: Vec::new(), now: NOON };
        let count = i64::try_from(lines.len()).unwrap();
        for (at, line) in (0..).zip(lines) {
            told.say(NOON - (count - at) * HOUR, line);
        }
        told
    }

    fn say(&mut self, at: i64, line: &str) {
        let position = u64::try_from(self.records.len()).unwrap();
        let happened = Happened::exactly(Moment(at));
        let entry = Entry {
            name: EntryName::new(1, position + 1),
            hand: None,
            clock: BenchClock { wall: happened.at, boot: [1; 16], uptime_ms: 0 },
            said: None,
            seen: 0,
            together: None,
            anyway: None,
            rulings: Vec::new(),
            not_seen: false,
            formerly: None,
            verb: verb(line),
        };
        let (shop_time, outcome) = (happened.typed, Outcome::Done(Vec::new()));
        self.records.push(Record {
            position,
            shop_time,
            happened,
            contact: None,
            doubted: None,
            notes: ScriptNotes::default(),
            on_jobs: Vec::new(),
            outcome,
            entry,
        });
    }

    fn days_later(mut self, days: i64) -> Self {
        self.now += days * 24 * HOUR;
        self
    }

    fn asks(&self, line: &str) -> v1::Ruled {
        self.asks_after(&[], line)
    }

    /// What is said against a verb that is asked about.
    fn when_said(&self, verb: &Verb) -> Vec<String> {
        let ruled = self.ruled(&[], verb);
        assert_eq!(ruled.refused, "", "{verb:?}");
        let objections = ruled.objections.into_iter().filter(|o| !o.remark_only);
        objections.map(|objection| objection.words).collect()
    }

    fn asks_after(&self, before: &[&str], line: &str) -> v1::Ruled {
        let before: Vec<Verb> = before.iter().map(|line| verb(line)).collect();
        self.ruled(&before, &verb(line))
    }

    fn ruled(&self, before: &[Verb], verb: &Verb) -> v1::Ruled {
        let state = State::replay(self.records.clone());
        let folder = tempfile::tempdir().unwrap();
        let judge = Judge::new(folder.path().to_owned());
        ruled_after(&judge, &state, verb, before, "ines", Moment(self.now))
    }

    /// What is said against a line that is asked about.
    fn when(&self, line: &str) -> Vec<String> {
        self.when_said(&verb(line))
    }

    fn refused(&self, line: &str) -> String {
        self.asks(line).refused
    }
}

const DEER: &str = "take-in 0417 species=whitetail points=8";
