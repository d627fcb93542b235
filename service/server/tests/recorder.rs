//! The recorder as a plain struct: names, repeats, gaps, decisions, and the replay of its own log.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

use burrline_domain::{BenchClock, Entry, Outcome, Record, Refusal, ScriptNotes, Verb, verb};
use burrline_proto::{decode_record, encode_entry};
use burrline_server::recorder::{NotTaken, Recorded, Recorder, Submission};
use burrline_terms::{EntryName, Key32, Moment, Name, Phrase, Typed, words::Role};

fn name(text: &str) -> Name {
    Name::read(text).unwrap()
}

fn submission(life: u32, n: u64, verb: impl Into<Verb>) -> Submission {
    let clock = BenchClock { wall: Moment(0), boot: [1; 16], uptime_ms: n.saturating_mul(1000) };
    let entry = Entry {
        name: EntryName::new(life, n),
        hand: None,
        clock: clock.clone(),
        said: None,
        seen: 0,
        together: None,
        anyway: None,
        rulings: Vec::new(),
        not_seen: false,
        formerly: None,
        verb: verb.into(),
    };
    let bytes = encode_entry(&entry);
    Submission {
        entry,
        bytes,
        signature: vec![0; 64],
        sent: Some(clock.into()),
        remarks: Vec::new(),
        notes: ScriptNotes::default(),
        refusal: None,
    }
}

fn note(words: &str) -> verb::Stray {
    verb::Stray { words: Phrase::read(words).unwrap(), place: None }
}

/// A recorder with bench 1 enrolled in a role.
fn enrolled(role: Role) -> (Recorder, Vec<Vec<u8>>) {
    let mut recorder = Recorder::new();
    let enrol = verb::EnrolBench { key: Key32([1; 32]), name: name("yard-1"), role };
    let first = recorder.record(submission(0, 1, enrol), Moment(1)).unwrap();
    (recorder, first.bytes.into_iter().collect())
}

#[test]
fn twice_is_once() {
    let (mut recorder, _) = enrolled(Role::Bench);
    let first = recorder.record(submission(1, 1, note("a jaw")), Moment(10)).unwrap();
    let again = recorder.record(submission(1, 1, note("a jaw")), Moment(99)).unwrap();
    assert_eq!(again.record, first.record);
    assert!(again.bytes.is_none(), "nothing goes to the log a second time");
    assert_eq!(recorder.state().records(), 2);
}

#[test]
fn other_words_under_a_used_name_freeze_the_life_and_nothing_is_recorded() {
    let (mut recorder, _) = enrolled(Role::Bench);
    recorder.record(submission(1, 1, note("a jaw")), Moment(10)).unwrap();
    let frozen = recorder.record(submission(1, 1, note("a nose")), Moment(11));
    assert_eq!(frozen.unwrap_err(), NotTaken::Frozen(EntryName::new(1, 1)));
    let later = recorder.record(submission(1, 2, note("more")), Moment(12));
    // Whoever asks later is told what really clashed.
    assert_eq!(later.unwrap_err(), NotTaken::Frozen(EntryName::new(1, 1)));
    assert_eq!(recorder.held(1), 1);
}

#[test]
fn other_bytes_that_decode_to_the_same_words_are_other_bytes_also_after_a_replay() {
    let (mut recorder, mut log) = enrolled(Role::Bench);
    let first = recorder.record(submission(1, 1, note("a jaw")), Moment(10)).unwrap();
    log.extend(first.bytes);
    // Field 1000 is none of an entry's, so a reader skips it.
    let mut other = submission(1, 1, note("a jaw"));
    other.bytes.extend([0xc0, 0x3e, 0x01]);
    assert_eq!(burrline_proto::decode_entry(&other.bytes).unwrap(), other.entry);

    let mut again = Recorder::new();
    for bytes in &log {
        let (record, said) = decode_record(bytes).unwrap();
        again.replay(record, &said.entry);
    }
    for recorder in [&mut recorder, &mut again] {
        assert!(recorder.record(submission(1, 1, note("a jaw")), Moment(11)).is_ok());
        let frozen = recorder.record(other.clone(), Moment(12));
        assert_eq!(frozen.unwrap_err(), NotTaken::Frozen(EntryName::new(1, 1)));
    }
}

#[test]
fn what_a_retired_bench_did_is_done_with_a_remark_and_it_decides_nothing_more() {
    let (mut recorder, _) = enrolled(Role::Owner);
    let retire = verb::RetireBench { life: 1 };
    recorder.record(submission(0, 2, retire), Moment(5)).unwrap();

    let fact = recorder.record(submission(1, 1, note("a jaw")), Moment(10)).unwrap().record;
    let Outcome::Done(remarks) = &fact.outcome else { panic!("{fact:?}") };
    let words: Vec<String> = remarks.iter().map(|remark| remark.words.to_string()).collect();
    assert_eq!(words, ["this bench was retired before its line arrived"]);
    assert_eq!(recorder.state().shop().strays.len(), 1);

    // On the record all the same: a decision that never got a number would hold up what follows.
    let add = verb::AddHand { name: name("ines") };
    let decided = recorder.record(submission(1, 2, add), Moment(11)).unwrap().record;
    assert_eq!(decided.outcome, Outcome::Refused(Refusal::Retired));
    assert!(recorder.state().shop().hands.is_empty());
    assert!(recorder.record(submission(1, 3, note("a nose")), Moment(12)).is_ok());
}

#[test]
fn a_gap_is_told_with_the_number_to_send_from() {
    let (mut recorder, _) = enrolled(Role::Bench);
    let gap = recorder.record(submission(1, 3, note("a jaw")), Moment(10));
    assert_eq!(gap.unwrap_err(), NotTaken::Gap { wanted: 1, got: 3 });
}

#[test]
fn a_decision_that_the_role_may_not_take_is_refused_on_the_record() {
    let (mut recorder, _) = enrolled(Role::Bench);
    let add = verb::AddHand { name: name("ines") };
    let Recorded { record, bytes } = recorder.record(submission(1, 1, add), Moment(5)).unwrap();
    assert!(matches!(record.outcome, Outcome::Refused(Refusal::RoleMayNot { .. })));
    assert!(bytes.is_some());
    assert!(recorder.state().shop().hands.is_empty());
}

#[test]
fn a_viewer_has_no_life_that_it_could_record_with() {
    let (mut recorder, log) = enrolled(Role::Viewer);
    let fact = recorder.record(submission(1, 1, note("a jaw")), Moment(5));
    assert_eq!(fact.unwrap_err(), NotTaken::Viewer(1));
    let add = verb::AddHand { name: name("ines") };
    let decision = recorder.record(submission(1, 1, add), Moment(5));
    assert_eq!(decision.unwrap_err(), NotTaken::Viewer(1));
    assert_eq!(recorder.held(1), 0);
    assert_eq!(usize::try_from(recorder.state().records()).unwrap(), log.len());
}

#[test]
fn shop_time_never_runs_backwards_and_a_bench_is_never_younger_than_its_last_line() {
    let (mut recorder, _) = enrolled(Role::Bench);
    let first = recorder.record(submission(1, 1, note("one")), Moment(5000)).unwrap().record;
    let second = recorder.record(submission(1, 2, note("two")), Moment(1)).unwrap().record;
    assert_eq!(second.shop_time, first.shop_time);
    assert!(second.happened.at >= first.happened.at);
}

#[test]
fn a_recorder_made_from_its_own_log_is_the_same() {
    let (mut recorder, mut log) = enrolled(Role::Owner);
    for n in 1..40 {
        let verb: Verb = match n % 3 {
            0 => note("a jaw").into(),
            1 => verb::AddHand { name: name(&format!("hand-{n}")) }.into(),
            _ => verb::AddHand { name: name("ines") }.into(),
        };
        log.extend(recorder.record(submission(1, n, verb), Moment(100)).unwrap().bytes);
    }
    let mut again = Recorder::new();
    for bytes in &log {
        let (record, said): (Record, _) = decode_record(bytes).unwrap();
        again.replay(record, &said.entry);
    }
    assert_eq!(again.state().digest(), recorder.state().digest());
    assert_eq!(again.held(1), 39);
    let next = again.record(submission(1, 40, note("last")), Moment(200)).unwrap();
    assert_eq!(next.record.position, 40);
}

#[test]
fn an_older_start_of_a_bench_is_still_known_after_the_shop_was_restarted() {
    let clock =
        |boot: u8, uptime_ms: u64| BenchClock { wall: Moment(0), boot: [boot; 16], uptime_ms };
    let typed = |n: u64, typed: BenchClock, sent: BenchClock| {
        let mut submission = submission(1, n, note("a jaw"));
        submission.entry.clock = typed;
        submission.bytes = encode_entry(&submission.entry);
        Submission { sent: Some(sent.into()), ..submission }
    };
    let (mut recorder, mut log) = enrolled(Role::Bench);
    let first = recorder.record(typed(1, clock(1, 100), clock(1, 100)), Moment(5_000)).unwrap();
    assert_eq!(first.record.happened.at, Moment(5_000));
    log.extend(first.bytes);

    let mut restarted = Recorder::new();
    for bytes in &log {
        let (record, said) = decode_record(bytes).unwrap();
        restarted.replay(record, &said.entry);
    }
    let late = typed(2, clock(1, 1_100), clock(2, 10));
    let happened = restarted.record(late, Moment(90_000)).unwrap().record.happened;
    assert_eq!(happened, burrline_terms::Happened::exactly(Moment(6_000)));
}
