//! Readings of another moment, against answers worked out by hand: that moment is now, for heat, holds,
//! gaps, storage and days, whatever was said or decided later; and today's tag names the job.
//!
//! A day is the shop's own, from midnight in UTC; day 1 is Friday 2 January 1970.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

#[path = "../../domain/tests/common/mod.rs"]
mod common;

use std::path::PathBuf;

use burrline_domain::{Record, State};
use burrline_evidence::seal::SealKey;
use burrline_present::{
    Opens,
    judge::Judge,
    readings::{self, Floor, Present, Show, Sides, Then, Trail, Unreadable, values::Side},
    view,
};
use burrline_proto::v1::Reason;
use burrline_terms::{Digest, Moment, Skull, Typed as _};
use common::{Story, at};

struct Shed {
    records: Vec<Record>,
    state: State,
    judge: Judge,
}

struct NoKeys;

impl Opens for NoKeys {
    fn key(&self, _: &[u8; 16]) -> Option<SealKey> {
        None
    }
}

impl Present for Shed {
    fn state(&self) -> &State {
        &self.state
    }

    fn at(&self, then: Then) -> Result<State, Unreadable> {
        let known = self.records.iter().filter(|record| view::was_known(record, then.known));
        Ok(view::as_of(State::replay(known.cloned().collect::<Vec<_>>()), then.of))
    }

    fn judge(&self) -> &Judge {
        &self.judge
    }

    fn keys(&self) -> &dyn Opens {
        &NoKeys
    }

    fn now(&self) -> Moment {
        at("9 20:00")
    }

    fn has_photo(&self, _: &Digest) -> bool {
        false
    }

    fn is_own(&self) -> bool {
        true
    }
}

/// A whitetail that came as 0501 and wears 0533 since day 5, and an elk that came later and wears the
/// brass that was on the whitetail. The shop decides something on day 9, which is of no day of theirs.
fn shed() -> Shed {
    let mut story = Story::default();
    for (when, line) in [
        ("0 6:00", "set-shop setting:zone value:UTC"),
        ("0 6:01", "set-shop setting:storage value:5.00_a_month_after_2_days"),
        ("0 6:10", "add-place name:pot-1 kind:pot"),
        ("0 6:11", "add-place name:rack-1 kind:rack"),
        ("1 8:00", "take-in 0501 species:whitetail points:8"),
        ("1 8:30", "promise 0501 by:1970-01-05"),
        ("1 9:00", "fill place:pot-1 water:30L"),
        ("1 10:00", "in place:pot-1 0501"),
        // Ten records are known by now.
        ("1 11:15", "observe place:pot-1 temperature:80C"),
        ("1 12:00", "out 0501"),
        ("3 8:00", "in place:rack-1 0501"),
        ("3 12:00", "hold 0501 why:papers"),
        ("4 18:00", "release 0501"),
        ("5 9:00", "swap-tag 0501 tag:0533"),
        ("5 9:30", "take-in 0501 species:elk"),
        ("6 9:00", "inspect 0533"),
        ("6 9:10", "purpose 0533 what:ready entry:1:18"),
        ("6 9:10", "tell 0533 means:phone result:spoke"),
        ("9 18:00", "set-shop setting:name value:Invented_Shed"),
    ] {
        story.say(1, when, line);
    }
    let state = story.state();
    Shed { records: story.records, state, judge: Judge::new(PathBuf::from("no such folder")) }
}

fn of(when: &str) -> Then {
    Then { of: Some(at(when)), known: None }
}

fn known(records: u64) -> Then {
    Then { of: None, known: Some(records) }
}

const NOW: Then = Then { of: None, known: None };

fn skull(word: &str) -> Skull {
    Skull::read(word).unwrap()
}

/// What `show` says under a name; nothing if it says nothing.
fn shown(shed: &Shed, word: &str, then: Then, name: &str) -> String {
    let told = readings::answer(Show { skull: skull(word) }, 0, then, shed);
    let job = told.map_err(|why| why.words).unwrap().job.unwrap();
    let lines = job.facts.into_iter().chain(job.papers);
    let named: Vec<String> =
        lines.filter_map(|l| Some(l.strip_prefix(name)?.strip_prefix(": ")?.to_owned())).collect();
    named.join("; ")
}

#[test]
fn a_moment_that_is_asked_about_is_now_for_all_that_is_counted() {
    let shed = shed();
    for (then, name, told) in [
        // In at 10:00, out at 12:00 on day 1.
        (of("1 10:45"), "heat", "1st go, 0 h 45"),
        (of("1 12:00"), "heat", "1st go, 2 h 00"),
        (NOW, "heat", "1st go, 2 h 00"),
        // The first nine records: the last of them came at 11:15.
        (known(9), "heat", "1st go, 1 h 15"),
        // From noon on day 3 to 18:00 on day 4: 30 hours.
        (of("3 11:59"), "was on hold for papers", ""),
        (of("4 12:00"), "was on hold for papers", "24 h"),
        (of("8 12:00"), "was on hold for papers", "30 h"),
        // Told on day 6 (7 January): the 8th and the 9th are free.
        (of("6 9:00"), "storage", "not started, no notice that counts"),
        (of("7 9:00"), "storage", "free until 1970-01-10, told 1970-01-07"),
        (NOW, "storage", "5.00 from 1970-01-10, told 1970-01-07; owed once it is charged"),
    ] {
        assert_eq!(shown(&shed, "0533", then, name), told, "{name} at {then:?}");
    }
}

#[test]
fn a_skull_that_nobody_spoke_of_has_a_gap_up_to_the_moment_that_is_asked_about() {
    let shed = shed();
    let gaps =
        |then| readings::answer(Trail { skull: skull("0533") }, 0, then, &shed).unwrap().gaps;
    let from = "from Fri 02 Jan 12:00 (out of pot-1) to";
    // Out of the pot at noon on day 1, and on the rack at 8:00 on day 3: 12 hours are no gap yet.
    assert_eq!(gaps(of("1 23:59")), [""; 0]);
    let words = |until: &str| [format!("{from} {until} nobody said where it was")];
    assert_eq!(gaps(of("2 20:00")), words("Sat 03 Jan 20:00 (until now)"));
    assert_eq!(gaps(of("8 8:00")), words("Sun 04 Jan 08:00 (into rack-1)"));
    assert_eq!(gaps(NOW), gaps(of("8 8:00")), "on the rack it is where it was said to be");
    // Ten records are known: the last of them is of noon on day 1.
    assert_eq!(gaps(known(10)), [""; 0]);
}

#[test]
fn two_moments_of_one_job_are_each_counted_to_their_own() {
    let shed = shed();
    let side = |then| Side { skull: Some(skull("0533")), then };
    let sides = Sides { one: side(of("3 20:00")), other: side(NOW) };
    let told = readings::answer(sides, 0, NOW, &shed).unwrap();
    let row = |what: &str| {
        let row = told.rows.iter().find(|row| row.what == what);
        row.map(|row| (row.one.as_str(), row.other.as_str())).unwrap_or_default()
    };
    // Taken in at 8:00 on day 1; now is 20:00 on day 9: 8 days and 12 hours. On the rack since 8:00 on day 3.
    assert_eq!(row("from take-in"), ("60 h so far", "204 h so far"));
    assert_eq!(row("time in a rack"), ("12 h", "156 h"));
    assert_eq!(row("tag"), ("0501", "0533"));
    assert!(
        told.one.ends_with("(0533 is its tag of today; at that moment it wore 0501)"),
        "{}",
        told.one
    );
    assert!(!told.other.contains("today"), "{}", told.other);
    // Promised for 5 January, which is day 4: not late on day 3, and late now.
    let promised = row("What day was promised, and was it kept?");
    assert_eq!(promised.0, "");
    assert!(promised.1.contains("inspected without a fault on 1970-01-07"), "{promised:?}");
    assert!(promised.1.contains("late for 1970-01-05"), "{promised:?}");
}

#[test]
fn the_floor_of_a_moment_counts_heat_to_it() {
    let shed = shed();
    let heat = |then| {
        let floor = readings::answer(Floor { place: None }, 0, then, &shed).unwrap();
        let pot = floor.places.into_iter().find(|place| place.name == "pot-1").unwrap();
        (pot.here.first().map(|line| line.heat.clone()), pot.observed)
    };
    assert_eq!(heat(of("1 10:30")), (Some("1st go, 0 h 30".to_owned()), String::new()));
    assert_eq!(heat(known(9)).0.as_deref(), Some("1st go, 1 h 15"));
    // On its own day the hour is enough; on another the day stands with it.
    assert!(heat(of("1 11:30")).1.ends_with("(11:15)"), "{}", heat(of("1 11:30")).1);
    assert!(heat(NOW).1.ends_with("(Fri 02 Jan 11:15)"), "{}", heat(NOW).1);
}

#[test]
fn todays_tag_names_the_job_and_it_is_said_what_it_wore_then() {
    let shed = shed();
    let tag = |word: &str, then| shown(&shed, word, then, "its tag");
    let wore = "0533 is its tag of today; at that moment it wore 0501";
    assert_eq!(tag("0533", of("3 9:00")), wore);
    assert_eq!(tag("0533", known(10)), wore);
    let trail = readings::answer(Trail { skull: skull("0533") }, 0, of("3 9:00"), &shed).unwrap();
    assert_eq!(trail.worn.first().map(String::as_str), Some(wore));
    // From the swap on it is its own tag, and the other head is told as before.
    assert!(tag("0533", of("6 9:00")).starts_with("0501 was on job "));
    // The number of the job is no tag: nothing is to be told of it.
    let number = shed.state.wearing(&common::tag("0533")).first().unwrap().job_number();
    assert_eq!(tag(&number, of("3 9:00")), "");

    // The brass that the elk wears today was on the whitetail then, and the elk was not here.
    let why = readings::answer(Show { skull: skull("0501") }, 0, of("3 9:00"), &shed).unwrap_err();
    assert_eq!(why.reason, Reason::NoSuchJob);
    let elk = shed.state.wearing(&common::tag("0501")).first().unwrap().job_number();
    assert_eq!(
        why.words,
        format!(
            "nothing was on record of 0501 (job {elk}) then: its head was taken in at Tue 06 Jan 09:30"
        )
    );
}

#[test]
fn a_tag_that_was_put_right_since_is_found_under_what_was_known() {
    let mut story = Story::default();
    story.say(1, "0 6:00", "set-shop setting:zone value:UTC");
    let wrong = story.say(1, "1 8:00", "take-in 0471 species:whitetail");
    let amend = common::said("take-in 0417 species:whitetail");
    let amend = burrline_domain::verb::Amend { entry: wrong, verb: Box::new(amend) };
    story.say_verb(1, burrline_terms::Happened::exactly(at("1 9:00")), amend.into());
    let state = story.state();
    let judge = Judge::new(PathBuf::from("no such folder"));
    let shed = Shed { records: story.records, state, judge };
    let tag = |word: &str| {
        let told = readings::answer(Show { skull: skull(word) }, 0, known(2), &shed);
        told.map(|told| told.job.unwrap().line.unwrap().tag)
    };
    assert_eq!(tag("0471").unwrap(), "0471");
    assert_eq!(tag("0417").unwrap(), "0471", "today's tag names it");
}
