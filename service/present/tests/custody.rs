//! Gaps in custody: the times of which nobody said where a skull was.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

use burrline_domain::{BenchClock, Entry, Outcome, Record, ScriptNotes, State, Verb};
use burrline_present::evidence::{custody::gaps, findings::findings};
use burrline_terms::{EntryName, Happened, Moment};

const HOUR: i64 = 3_600_000;

/// An hour, a verb, and what is given with it.
type Line<'a> = (i64, &'a str, &'a [(&'a str, &'a str)]);

/// Lines, each at an hour, said of one skull.
fn told(lines: &[Line<'_>]) -> (State, EntryName) {
    let record = |(position, (at, word, given)): (u64, &Line<'_>)| {
        let given = |field: &str| {
            let words = given.iter().filter(|(name, _)| *name == field);
            words.map(|(_, word)| (*word).to_owned()).collect()
        };
        let verb: Verb = Verb::read(word, &given).unwrap();
        let happened = Happened::exactly(Moment(at * HOUR));
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
            verb,
        };
        let (shop_time, outcome) = (happened.typed, Outcome::Done(Vec::new()));
        Record {
            position,
            shop_time,
            happened,
            contact: None,
            doubted: None,
            notes: ScriptNotes::default(),
            on_jobs: Vec::new(),
            outcome,
            entry,
        }
    };
    let state = State::replay((0..).zip(lines).map(record));
    (state, EntryName::new(1, 1))
}

fn hours(lines: &[Line<'_>]) -> Vec<(i64, String, i64, String)> {
    let (state, job) = told(lines);
    let gaps = gaps(&state, state.job(job).unwrap(), state.last_shop_time());
    gaps.into_iter().map(|g| (g.from.0 / HOUR, g.after, g.until.0 / HOUR, g.before)).collect()
}

const SKULL: (&str, &str) = ("skull", "0417");

#[test]
fn a_night_between_two_lines_is_no_gap_and_two_days_are() {
    let take_in: Line<'_> = (0, "take-in", &[SKULL, ("species", "whitetail")]);
    let story = |put_in: i64| {
        hours(&[
            take_in,
            (put_in, "in", &[SKULL, ("place", "freezer-1")]),
            (put_in + 100, "out", &[SKULL]),
            (put_in + 110, "wash", &[SKULL]),
        ])
    };
    assert_eq!(story(12), []);
    let [(from, after, until, before)] = &story(48)[..] else { panic!("one gap") };
    assert_eq!((*from, *until), (0, 48));
    assert_eq!((after.as_str(), before.as_str()), ("`take-in`", "into freezer-1"));
}

#[test]
fn the_time_from_the_last_word_to_the_hand_over_counts_and_a_note_is_no_word_on_where_it_was() {
    let found = hours(&[
        (0, "take-in", &[SKULL, ("species", "whitetail")]),
        (1, "in", &[SKULL, ("place", "rack-2")]),
        (40, "out", &[SKULL]),
        (60, "note", &[SKULL, ("words", "called")]),
        (90, "hand-over", &[SKULL]),
    ]);
    let [(from, after, until, _)] = &found[..] else { panic!("{found:?}") };
    assert_eq!((*from, after.as_str(), *until), (40, "out of rack-2", 90));
}

#[test]
fn an_open_job_that_lies_where_it_was_put_has_no_gap_and_one_that_was_taken_out_has() {
    let mut lines: Vec<Line<'_>> = vec![
        (0, "take-in", &[SKULL, ("species", "whitetail")]),
        (1, "in", &[SKULL, ("place", "rack-2")]),
    ];
    lines.push((200, "note", &[SKULL, ("words", "still there")]));
    assert_eq!(hours(&lines), []);
    lines.insert(2, (100, "out", &[SKULL]));
    let found = hours(&lines);
    assert_eq!((found[0].0, found[0].2, found[0].3.as_str()), (100, 200, "until now"));
}

#[test]
fn what_a_roll_call_found_gone_or_in_another_place_is_a_time_of_which_nobody_said_where_it_was() {
    let lines: Vec<Line<'_>> = vec![
        (0, "take-in", &[SKULL, ("species", "whitetail")]),
        (1, "in", &[SKULL, ("place", "rack-2")]),
        (100, "gone", &[SKULL]),
        (130, "found-in", &[SKULL, ("place", "shelf-1")]),
    ];
    let last = |word: &str| word.to_owned();
    assert_eq!(hours(&lines), [(1, last("last known in rack-2"), 130, last("found in shelf-1"))]);
    let (state, job) = told(&lines);
    let all = findings(&state, state.job(job).unwrap());
    let custody = all.iter().find(|one| one.question.contains("nobody said where it was"));
    let answers = custody.unwrap().answers.join("\n");
    for words in [
        "nobody said it into shelf-1: it was found there",
        "nobody said when it left rack-2; some time from",
    ] {
        assert!(answers.contains(words), "{words}: {answers}");
    }
}
