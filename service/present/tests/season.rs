//! What past trails say of the next skull: by when it is ready, how often something goes wrong,
//! which place is full. Seasons are invented.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

#[path = "../../domain/tests/common/mod.rs"]
mod common;

use burrline_present::season::{self, Basis, Outlook};
use common::{Story, at};

fn shop() -> Story {
    let mut story = Story::default();
    for line in ["add-place name:pot-1 kind:pot", "add-place name:rack-1 kind:rack"] {
        story.say(1, "0 07:00", line);
    }
    story
}

/// A head that is taken in on a day and inspected so many days later.
fn passes(story: &mut Story, tag: u32, species: &str, taken: u32, took: u32) {
    story.say(1, &format!("{taken} 08:00"), &format!("take-in {tag} species:{species}"));
    story.say(1, &format!("{} 08:00", taken + took), &format!("inspect {tag}"));
}

fn asked(story: &Story, tag: &str, share: f64, now: &str) -> Outlook {
    let state = story.state();
    let jobs = state.wearing(&common::tag(tag));
    let job = state.job(*jobs.first().unwrap()).unwrap();
    season::outlook(&state, job, share, at(now))
}

/// Twelve deer that took 10, 11 .. 21 days.
fn twelve_deer() -> Story {
    let mut story = shop();
    for n in 0..12 {
        passes(&mut story, 100 + n, "whitetail", n, 10 + n);
    }
    story
}

#[test]
fn a_day_is_named_from_jobs_of_the_same_kind() {
    let mut story = twelve_deer();
    story.say(1, "100 08:00", "take-in 417 species:whitetail");
    let out = asked(&story, "0417", 0.8, "100 08:00");
    // 10 of 12 were ready after 19 days; day 119 of 1970 is the 30th of April.
    assert_eq!(
        out.sentence,
        "8 of 10 like this (kind deer) were ready within 19 days from here on: by Thu 30 Apr 1970"
    );
    assert_eq!((out.basis, out.seen), (Basis::Kind, (12, 12)));
    assert!(out.limits.0 < out.day, "{out:?}");
}

#[test]
fn one_that_has_lasted_is_held_against_those_that_did() {
    let mut story = twelve_deer();
    for n in 0..10 {
        passes(&mut story, 200 + n, "whitetail", 30, 30);
    }
    story.say(1, "100 08:00", "take-in 417 species:whitetail");
    // After 22 days only the ten slow ones are left to go by, and they took 30.
    let out = asked(&story, "0417", 0.5, "122 08:00");
    assert_eq!(out.seen, (10, 10));
    assert!(out.sentence.contains("within 8 days from here on"), "{}", out.sentence);
}

#[test]
fn few_of_a_kind_fall_back_to_all_and_say_so() {
    let mut story = twelve_deer();
    passes(&mut story, 300, "elk", 0, 40);
    story.say(1, "100 08:00", "take-in 417 species:elk");
    let out = asked(&story, "0417", 0.8, "100 08:00");
    assert_eq!((out.basis, out.seen.1), (Basis::AllKinds, 13));
    assert!(out.why.iter().any(|why| why.starts_with("only 1 of kind elk finished")), "{out:?}");
}

#[test]
fn the_owner_s_table_is_named_as_such_and_without_it_no_day_is_told() {
    let mut story = shop();
    passes(&mut story, 300, "elk", 0, 40);
    story.say(1, "100 08:00", "take-in 417 species:elk");
    let none = asked(&story, "0417", 0.8, "100 08:00");
    assert_eq!((none.basis, none.day), (Basis::Nothing, None));
    assert!(none.sentence.contains("set-shop ready-days.elk 60"), "{}", none.sentence);
    story.say(1, "100 09:00", "set-shop setting:ready-days.elk value:60");
    let table = asked(&story, "0417", 0.8, "110 08:00");
    assert_eq!(table.basis, Basis::Table);
    assert_eq!(
        table.sentence,
        "by Wed 10 Jun 1970, by the owner's own table (60 days for kind elk), not by what jobs took"
    );
}

#[test]
fn what_was_not_reached_is_not_dated() {
    let mut story = twelve_deer();
    for n in 0..20 {
        story.say(1, "50 08:00", &format!("take-in {} species:whitetail", 400 + n));
        story.say(1, "55 08:00", &format!("give-back {}", 400 + n));
    }
    for n in 0..20 {
        story.say(1, "60 08:00", &format!("take-in {} species:whitetail", 500 + n));
    }
    story.say(1, "100 08:00", "take-in 417 species:whitetail");
    let out = asked(&story, "0417", 0.9, "100 08:00");
    assert_eq!((out.basis, out.day), (Basis::Kind, None));
    assert!(
        out.sentence.starts_with("no day can be named: fewer than 9 of 10"),
        "{}",
        out.sentence
    );
    assert_eq!(out.seen, (52, 12));
}

#[test]
fn a_hold_stops_the_clock_unless_it_is_ours() {
    let held = |why: &str| {
        let mut story = shop();
        for n in 0..12 {
            let tag = 100 + n;
            story.say(1, "0 08:00", &format!("take-in {tag} species:whitetail"));
            story.say(1, "2 08:00", &format!("hold {tag} why:{why}"));
            story.say(1, "7 08:00", &format!("release {tag}"));
            story.say(1, "20 08:00", &format!("inspect {tag}"));
        }
        story.say(1, "100 08:00", "take-in 417 species:whitetail");
        asked(&story, "0417", 0.8, "100 08:00")
    };
    let papers = held("papers");
    assert!(papers.sentence.contains("within 15 days"), "{}", papers.sentence);
    let why = "holds stopped their clocks: papers (12, 60 days)";
    assert!(papers.why.iter().any(|line| line == why), "{papers:?}");
    assert!(held("ours_no_gas").sentence.contains("within 20 days"));
}

#[test]
fn a_late_record_changes_the_outlook_and_a_struck_one_does_not_count() {
    let mut story = twelve_deer();
    story.say(1, "100 08:00", "take-in 417 species:whitetail");
    let within = |story: &Story| asked(story, "0417", 0.8, "101 08:00").sentence;
    assert!(within(&story).contains("within 18 days"), "{}", within(&story));
    // The skull that took 21 days was ready after one, somebody says.
    let wrong = story.say_later(2, "12 08:00", "100 09:00", "inspect 111");
    assert!(within(&story).contains("within 17 days"), "{}", within(&story));
    story.say(2, "100 10:00", &format!("strike entries:{wrong}"));
    assert!(within(&story).contains("within 18 days"), "{}", within(&story));
}

#[test]
fn damage_counts_at_its_step_and_too_few_cannot_be_told_from_the_rest() {
    let mut story = shop();
    for n in 0..40 {
        let tag = 100 + n;
        let species = if n < 20 { "hog" } else { "whitetail" };
        story.say(1, "0 08:00", &format!("take-in {tag} species:{species}"));
        story.say(1, "1 08:00", &format!("in {tag} place:pot-1"));
        if n < 8 {
            story.say(1, "1 09:00", &format!("damage {tag} what:nose_broke whose:ours"));
        }
        if n == 30 {
            story.say(1, "0 09:00", &format!("damage {tag} what:old_crack whose:as-found"));
        }
        story.say(1, "1 10:00", &format!("out {tag}"));
        story.say(1, "2 08:00", &format!("wash {tag}"));
    }
    let lines = season::all_rates(&story.state(), at("9 08:00")).lines;
    let found = |step: &str, kind: &str| {
        let line = lines.iter().find(|l| l.what == "damage" && l.step == step && l.kind == kind);
        line.cloned().unwrap_or_else(|| panic!("no {step} {kind} in {lines:?}"))
    };
    let simmer = found("simmer", "");
    assert_eq!((simmer.hits, simmer.of), (8, 40));
    assert_eq!(simmer.verdict, "more often beyond chance than the rest");
    assert_eq!(found("simmer", "hog").words, "8 of 20 is 40 %, 95 % limits 21.9 % to 61.3 %");
    assert_eq!(found("take-in", "").words, "none of 40, which still allows 8.76 % (at 95 %)");
    // What came so is nobody's doing.
    assert_eq!(found("", "deer").hits, 0);
}

#[test]
fn slow_is_by_stays_and_a_handful_is_not_compared() {
    let mut story = shop();
    for n in 0..20 {
        let tag = 100 + n;
        let species = if n < 2 { "elk" } else { "whitetail" };
        let plan = "plan:simmer=150min plan:wash=20min";
        story.say(1, "0 08:00", &format!("take-in {tag} species:{species} {plan}"));
        story.say(1, "1 08:00", &format!("in {tag} place:pot-1"));
        let out = if n < 2 { "1 12:00" } else { "1 10:00" };
        story.say(1, out, &format!("out {tag}"));
        story.say(1, "1 13:00", &format!("wash {tag}"));
        story.say(1, "3 08:00", &format!("inspect {tag}"));
    }
    let lines = season::all_rates(&story.state(), at("9 08:00")).lines;
    let slow: Vec<_> = lines.iter().filter(|line| line.what == "slower than planned").collect();
    // Two days from wash to inspection are waiting, not washing.
    assert!(slow.iter().all(|line| line.step != "wash"), "{slow:?}");
    let elk = slow.iter().find(|line| line.step == "simmer" && line.kind == "elk").unwrap();
    assert_eq!((elk.hits, elk.of), (2, 2));
    assert_eq!(elk.verdict, "cannot tell it from the rest");
}

#[test]
fn a_promise_is_late_by_its_first_day_with_holds_on_top() {
    let mut story = shop();
    for (tag, ready, hold) in [(1, 9, false), (2, 12, false), (3, 12, true)] {
        story.say(1, "0 08:00", &format!("take-in {tag} species:whitetail"));
        story.say(1, "0 09:00", &format!("promise {tag} by:1970-01-11"));
        if hold {
            story.say(1, "2 08:00", &format!("hold {tag} why:deposit"));
            story.say(1, "6 08:00", &format!("release {tag}"));
        }
        // A later promise does not undo that the first one was missed.
        story.say(1, "9 07:00", &format!("promise {tag} by:1970-02-11"));
        story.say(1, &format!("{ready} 08:00"), &format!("inspect {tag}"));
    }
    let lines = season::all_rates(&story.state(), at("50 08:00")).lines;
    let late = lines.iter().find(|line| line.what == "late" && line.kind.is_empty()).unwrap();
    assert_eq!((late.hits, late.of), (1, 3));
}

#[test]
fn a_place_is_full_in_its_worst_week_at_next_year_s_number() {
    let mut story = shop();
    story.say(1, "0 07:00", "set-shop setting:holds.pot-1 value:4");
    // Day 304 on, for a week: three skulls in the pot all the time.
    for n in 0..3 {
        story.say(1, "0 08:00", &format!("take-in {n} species:whitetail"));
        story.say(1, "301 00:00", &format!("in {n} place:pot-1"));
        story.say(1, "315 00:00", &format!("out {n}"));
    }
    let now = "364 00:00";
    let lines = season::full(&story.state(), "", at(now)).unwrap().lines;
    let [pot] = lines.as_slice() else { panic!("{lines:?}") };
    assert_eq!((pot.place.as_str(), pot.holds, pot.mean.as_str()), ("pot-1", Some(4), "3"));
    // Source: the Poisson distribution with mean 3: more than 4 in 18.5 %, more than 5 in 8.4 %.
    assert_eq!((pot.too_few_percent.as_str(), pot.enough), ("18.5", 5));
    assert_eq!(pot.full_weeks, Some(2));
    let twice = season::full(&story.state(), "2", at(now)).unwrap().lines;
    assert_eq!((twice[0].mean.as_str(), twice[0].enough), ("6", 9));
    for times in ["0", "-1", "many", "101", "NaN"] {
        assert!(season::full(&story.state(), times, at(now)).is_err(), "{times}");
    }
}

/// Two heads in warm tanks: the one goes on to the rack, the other is still in.
#[test]
fn degreasing_is_told_by_its_days_and_by_what_was_read_meanwhile() {
    let mut story = shop();
    story.say(1, "0 07:00", "add-place name:tank-1 kind:tank");
    story.say(1, "0 08:00", "take-in 417 species:bear");
    story.say(1, "0 08:00", "take-in 418 species:hog");
    story.say(1, "1 07:00", "fill place:tank-1 water:60L");
    story.say(1, "1 08:00", "in 417 place:tank-1");
    story.say(1, "1 08:00", "in 418 place:tank-1");
    story.say(1, "2 08:00", "reading place:tank-1 temperature:40C");
    story.say(1, "6 08:00", "heat place:tank-1 temperature:43C");
    story.say(1, "11 08:00", "out 417");
    assert!(season::degreased(&story.state(), None).is_empty(), "out is not done yet");
    story.say(1, "11 20:00", "reading place:tank-1 temperature:20C");
    story.say(1, "12 08:00", "in 417 place:rack-1");
    let lines = season::degreased(&story.state(), None);
    let told: Vec<_> = lines
        .iter()
        .map(|line| (line.kind.as_str(), line.minutes, line.celsius.as_deref(), line.readings))
        .collect();
    // (40 + 43) / 2; what was read after it came out is not its own.
    assert_eq!(told, [("bear", 10 * 24 * 60, Some("41.5"), 2)]);
    assert!(season::degreased(&story.state(), Some(burrline_terms::words::Group::Hog)).is_empty());
}
