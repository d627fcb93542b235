//! Long enough, honestly: rules count to the safe end of the act as well as from that of the start.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

use burrline_domain::{BenchClock, Entry, Outcome, Record, ScriptNotes, State, Verb};
use burrline_present::{judge::job_facts, view};
use burrline_terms::{EntryName, Happened, Moment};

const HOUR: i64 = 3_600_000;

/// A moment so many hours after the first day began.
fn hour(hours: i64) -> Moment {
    Moment(hours * HOUR)
}

fn between(from: i64, until: i64) -> Happened {
    Happened {
        not_before: hour(from),
        not_after: hour(until),
        ..Happened::exactly(hour(i64::midpoint(from, until)))
    }
}

#[derive(Default)]
struct Told(Vec<Record>);

impl Told {
    fn say(&mut self, happened: Happened, line: &str) -> EntryName {
        let mut words = line.split_whitespace();
        let verb = words.next().unwrap();
        let given: Vec<(&str, &str)> = words.map(|word| word.split_once('=').unwrap()).collect();
        let given = |field: &str| {
            given.iter().filter(|(f, _)| *f == field).map(|(_, word)| (*word).to_owned()).collect()
        };
        let verb: Verb = Verb::read(verb, &given).unwrap();
        let position = u64::try_from(self.0.len()).unwrap();
        let name = EntryName::new(1, position + 1);
        let clock = BenchClock { wall: happened.at, boot: [1; 16], uptime_ms: 0 };
        let entry = Entry {
            name,
            hand: None,
            clock,
            said: None,
            seen: 0,
            together: None,
            anyway: None,
            rulings: Vec::new(),
            not_seen: false,
            formerly: None,
            verb,
        };
        let (shop_time, outcome) = (happened.typed, Outcome::Done(Vec::new()));
        self.0.push(Record {
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
        name
    }

    fn state(&self) -> State {
        State::replay(self.0.clone())
    }
}

/// A shop with a rack, a pot and a freezer, and one skull.
fn shop() -> Told {
    let mut told = Told::default();
    for kind in ["rack", "pot", "freezer"] {
        told.say(hour(0).into(), &format!("add-place name={kind}-1 kind={kind}"));
    }
    told.say(hour(1).into(), "take-in skull=0417 species=whitetail");
    told
}

#[test]
fn days_on_the_rack_count_from_the_latest_start_to_the_earliest_end() {
    let mut told = shop();
    told.say(between(17, 21), "in place=rack-1 skull=0417");
    let state = told.state();
    let job = state.jobs().values().next().unwrap();
    assert_eq!(job_facts(&state, job, hour(42)).rack_hours, Some(21));
    assert_eq!(job_facts(&state, job, between(40, 50)).rack_hours, Some(19));
}

#[test]
fn heat_and_the_time_since_a_look_count_from_the_earliest_start_to_the_latest_end() {
    let mut told = shop();
    told.say(between(10, 12), "look skull=0417 tissue=tight");
    told.say(between(12, 13), "in place=pot-1 skull=0417");
    let state = told.state();
    let job = state.jobs().values().next().unwrap();
    let facts = job_facts(&state, job, between(14, 16));
    assert_eq!(facts.heat_minutes, 4 * 60);
    assert_eq!(facts.minutes_since_look, Some(6 * 60));
}

#[test]
fn a_second_go_in_the_pot_tells_the_heat_of_all_goes() {
    let mut told = shop();
    let first = told.say(hour(2).into(), "in place=pot-1 skull=0417");
    let out = told.say(hour(4).into(), "out skull=0417");
    let second = told.say(hour(6).into(), "in place=pot-1 skull=0417");
    told.say(hour(7).into(), "out skull=0417");
    let state = told.state();
    assert!(view::figures(&state, first).is_empty(), "nothing to tell yet");
    assert_eq!(view::figures(&state, out), ["heat: 1st go, 2 h 00"]);
    assert_eq!(view::figures(&state, second), ["heat: 2nd go, 2 h 00 in all"]);
}

#[test]
fn a_skull_out_of_the_freezer_is_said_to_thaw_until_it_is_worked_on() {
    let mut told = shop();
    told.say(hour(2).into(), "in place=freezer-1 skull=0417");
    told.say(hour(4).into(), "out skull=0417");
    let said = |told: &Told| {
        let state = told.state();
        view::said_back(&state, state.jobs().values().next().unwrap())
    };
    assert_eq!(said(&told), "0417 whitetail: thawing since 04:00");
    told.say(hour(5).into(), "flesh skull=0417");
    assert_eq!(said(&told), "0417 whitetail: flesh");
}
