//! The next potful: order, company, room, and who is left out. Shops are invented; order, company and
//! room are common practice, no source.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

#[path = "../../domain/tests/common/mod.rs"]
mod common;

use std::path::PathBuf;

use burrline_domain::State;
use burrline_present::{judge::Judge, potful};
use burrline_terms::Typed as _;
use burrline_terms::{EntryName, Name, words::PlaceKind};
use common::{Story, at};

fn no_rules() -> Judge {
    Judge::new(PathBuf::from("no such folder"))
}

/// A yard with two pots, a freezer and the rest, and no stage rules in force.
fn yard() -> Story {
    let mut story = Story::default();
    for line in [
        "add-place name:pot-1 kind:pot volume:40L",
        "add-place name:tub-1 kind:tub",
        "add-place name:tank-1 kind:tank",
        "add-place name:rack-1 kind:rack",
        "add-place name:freezer-1 kind:freezer",
        "set-shop setting:zone value:UTC",
    ] {
        story.say(1, "0 06:00", line);
    }
    story
}

/// A head that is taken in and fleshed on a day.
fn fleshed(story: &mut Story, tag: &str, day: u32, species: &str) {
    story.say(1, &format!("{day} 08:00"), &format!("take-in {tag} {species}"));
    story.say(1, &format!("{day} 09:00"), &format!("flesh {tag}"));
}

fn tag(state: &State, job: EntryName) -> String {
    state.tag_of(job).unwrap().to_string()
}

/// The potful as a hand reads it, and who is left out.
fn next(story: &Story, place: &str, now: &str) -> (Vec<String>, Vec<String>) {
    let state = story.state();
    let place = Name::read(place).unwrap();
    let potful = potful::next(&no_rules(), &state, &place, at(now)).unwrap();
    let picks = potful.picks.iter();
    let picks = picks.map(|p| format!("{}: {}", tag(&state, p.job), p.reasons.join("; ")));
    let left = potful.left_out.iter().map(|l| format!("{}: {}", tag(&state, l.job), l.why));
    let waiting = potful.waiting.iter().cloned();
    (picks.collect(), left.chain(waiting).chain(potful.first.iter().cloned()).collect())
}

fn order(story: &Story, place: &str, now: &str) -> Vec<String> {
    let picks = next(story, place, now).0;
    picks.into_iter().map(|line| line.split(':').next().unwrap().to_owned()).collect()
}

#[test]
fn second_goes_come_first_then_the_promise_then_who_waits_longest() {
    let mut story = yard();
    story.say(1, "0 07:00", "set-shop setting:holds.pot-1 value:9");
    for (tag, day) in [("0401", 1), ("0402", 2), ("0403", 3), ("0404", 4)] {
        fleshed(&mut story, tag, day, "species:bobcat");
    }
    assert_eq!(order(&story, "pot-1", "10 09:00"), ["0401", "0402", "0403", "0404"]);
    story.say(1, "5 09:00", "promise 0404 by:1970-02-01");
    story.say(1, "5 09:00", "promise 0403 by:1970-01-20");
    assert_eq!(order(&story, "pot-1", "10 09:00"), ["0403", "0404", "0401", "0402"]);
    story.say(1, "6 09:00", "in place:pot-1 0402");
    story.say(1, "6 10:20", "out 0402");
    let (_, left) = next(&story, "pot-1", "10 09:00");
    assert_eq!(left, ["0402: out of the pot and not looked at: look says clean or not"]);
    story.say(1, "6 10:25", "look 0402 tissue:slipping");
    let (picks, _) = next(&story, "pot-1", "10 09:00");
    assert_eq!(
        picks[0],
        "0402: goes again: last look slipping; so far 1st go, 1 h 20; no day promised; takes 2 L"
    );
    story.say(1, "6 10:30", "look 0402 tissue:clean");
    assert_eq!(order(&story, "pot-1", "10 09:00"), ["0403", "0404", "0401"]);
}

#[test]
fn a_promise_is_counted_backwards_by_the_plan_and_by_what_the_shop_took() {
    let mut story = yard();
    let plan =
        "species:whitetail plan:flesh=30min plan:simmer=150min plan:whiten=900min plan:dry=3d";
    fleshed(&mut story, "0417", 1, plan);
    story.say(1, "1 10:00", "promise 0417 by:1970-01-16");
    for (now, words) in [
        // 150 min, 900 min and 3 days are 3.7 days, so 4; the 16th less 4 is the 12th.
        (
            "9 09:00",
            "promised Fri 16 Jan, 4 days of work left by the plan: has to begin by Mon 12 Jan",
        ),
        ("11 09:00", "promised Fri 16 Jan, 4 days of work left by the plan: has to begin today"),
        (
            "13 09:00",
            "promised Fri 16 Jan, 4 days of work left by the plan: should have begun Mon 12 Jan",
        ),
    ] {
        let (picks, _) = next(&story, "pot-1", now);
        assert_eq!(
            picks,
            [format!("0417: {words}; here since Fri 02 Jan 08:00, never frozen; takes 8 L")]
        );
    }
    // Five whitetails that each took ten days from pot to tub.
    for n in 0..5 {
        let tag = format!("{}", 500 + n);
        fleshed(&mut story, &tag, 1, "species:whitetail");
        story.say(1, "1 10:00", &format!("in place:pot-1 {tag}"));
        story.say(1, "1 12:00", &format!("out {tag}"));
        story.say(1, "1 12:05", &format!("look {tag} tissue:clean"));
        story.say(1, "11 10:00", &format!("in place:tub-1 {tag}"));
    }
    let (picks, _) = next(&story, "pot-1", "9 09:00");
    assert!(
        picks[0].contains("14 days of work left by the shop's own trails and the plan: should have begun Fri 02 Jan"),
        "{picks:?}"
    );
    story.say(1, "2 10:00", "promise 0417 by:1970-03-16");
    fleshed(&mut story, "0418", 1, "species:moose");
    story.say(1, "2 10:00", "promise 0418 by:1970-03-16");
    let (_, left) = next(&story, "pot-1", "9 09:00");
    assert!(
        left.iter().any(|why| why.starts_with("0418: no room: it wants 30 L and 24 L")),
        "{left:?}"
    );
}

#[test]
fn who_goes_with_whom() {
    for (first, second, why) in [
        ("species:whitetail", "species:elk", None),
        ("species:whitetail", "species:bear", Some("bear goes apart from deer 0401")),
        ("species:bear", "species:bear", None),
        ("species:bear", "species:hog", Some("hog goes apart from bear 0401")),
        ("species:hog", "species:whitetail", Some("deer goes apart from hog 0401")),
        (
            "species:whitetail",
            "species:whitetail age:fawn",
            Some("young goes with young, and 0401 is grown"),
        ),
        (
            "species:elk age:calf",
            "species:elk age:adult",
            Some("grown, and 0401 is young: young with young"),
        ),
        ("species:elk age:calf", "species:whitetail age:yearling", None),
        ("species:whitetail", "species:whitetail arrival:rotten", Some("rotten: last and alone")),
        (
            "species:whitetail arrival:rotten",
            "species:whitetail arrival:rotten",
            Some("rotten 0401 goes alone"),
        ),
    ] {
        let mut story = yard();
        fleshed(&mut story, "0401", 1, first);
        fleshed(&mut story, "0402", 2, second);
        let (picks, left) = next(&story, "pot-1", "5 09:00");
        match why {
            None => assert_eq!((picks.len(), left.len()), (2, 0), "{first} {second}"),
            Some(why) => assert_eq!(left, [format!("0402: {why}")], "{first} {second}"),
        }
    }
    // A rotten one waits for the others though it came first.
    let mut story = yard();
    fleshed(&mut story, "0401", 1, "species:whitetail arrival:rotten");
    fleshed(&mut story, "0402", 2, "species:whitetail");
    assert_eq!(order(&story, "pot-1", "5 09:00"), ["0402"]);
}

#[test]
fn as_many_as_fit_by_number_and_by_volume_and_smaller_ones_fill_what_is_left() {
    let mut story = yard();
    // 40 L, of which 32 L are filled: an elk takes 20 L, a deer 8 L, a fox 2 L.
    for (tag, species) in
        [("0401", "elk"), ("0402", "whitetail"), ("0403", "mule_deer"), ("0404", "fox")]
    {
        fleshed(&mut story, tag, 1, &format!("species:{species}"));
    }
    assert_eq!(order(&story, "pot-1", "5 09:00"), ["0401", "0402", "0404"]);
    let (_, left) = next(&story, "pot-1", "5 09:00");
    assert_eq!(left, ["0403: no room: it wants 8 L and 4 L are left"]);
    story.say(1, "5 08:00", "set-shop setting:holds.pot-1 value:1");
    let (picks, left) = next(&story, "pot-1", "5 09:00");
    assert_eq!((picks.len(), left[0].as_str()), (1, "0402: no room: it is full with 1"));
    // What is bigger than the pot goes by itself, and nobody knows how much tub-2 holds.
    let mut story = yard();
    story.say(1, "0 07:00", "add-place name:pot-2 kind:pot");
    fleshed(&mut story, "0400", 1, "species:moose");
    assert_eq!(order(&story, "pot-1", "5 09:00"), ["0400"]);
    let state = story.state();
    let pot = potful::next(&no_rules(), &state, &Name::read("pot-2").unwrap(), at("5 09:00"));
    assert!(pot.unwrap().room.starts_with("taken for 4 heads, as nobody said"));
}

#[test]
fn what_is_held_or_waits_for_an_answer_is_left_out() {
    for (line, why) in [
        ("hold 0401 why:papers", "on hold: papers"),
        ("dispute 0401", "its dispute is open"),
        ("papers 0401 test:pending", "its disease test is not back"),
        ("papers 0401 disease_area:yes", "from a disease area, and no test result"),
        ("papers 0401 disease_area:yes test:not-tested", "from a disease area, and no test result"),
        (
            "papers 0401 disease_area:yes test:detected",
            "disease detected: stop, keep it apart, and call the wildlife agency",
        ),
    ] {
        let mut story = yard();
        fleshed(&mut story, "0401", 1, "species:whitetail");
        story.say(1, "2 08:00", line);
        let (picks, left) = next(&story, "pot-1", "5 09:00");
        assert_eq!((picks.len(), left), (0, vec![format!("0401: {why}")]), "{line}");
    }
    for line in ["papers 0401 disease_area:yes test:not-detected", "papers 0401 test:not-tested"] {
        let mut story = yard();
        fleshed(&mut story, "0401", 1, "species:whitetail");
        story.say(1, "2 08:00", line);
        assert_eq!(order(&story, "pot-1", "5 09:00"), ["0401"], "{line}");
    }
}

#[test]
fn a_head_thaws_before_it_is_fleshed_and_cooked() {
    let mut story = yard();
    story.say(1, "1 08:00", "take-in 0401 species:whitetail");
    let left = |story: &Story, now: &str| next(story, "pot-1", now).1;
    assert_eq!(left(&story, "1 09:00"), ["1 not fleshed yet"]);
    story.say(1, "1 09:00", "in place:freezer-1 0401");
    assert_eq!(left(&story, "1 10:00"), ["1 frozen"]);
    story.say(1, "2 17:00", "out 0401");
    let thaws = "0401: thawing since 17:00, thawed by Sun 04 Jan 17:00";
    assert_eq!(left(&story, "2 18:00"), [thaws]);
    assert_eq!(left(&story, "3 18:00"), ["0401: thawed since 17:00, not fleshed yet"]);
    story.say(1, "4 08:00", "flesh 0401");
    let (picks, _) = next(&story, "pot-1", "4 09:00");
    assert_eq!(picks, ["0401: no day promised; thawed since Sun 04 Jan 17:00; takes 8 L"]);
}

#[test]
fn what_is_in_the_place_and_what_was_in_its_water_is_told_first() {
    let mut story = yard();
    fleshed(&mut story, "0401", 1, "species:bear");
    fleshed(&mut story, "0402", 1, "species:whitetail");
    story.say(1, "2 07:00", "fill place:pot-1 water:30L");
    story.say(1, "2 08:00", "in place:pot-1 0401");
    let (picks, left) = next(&story, "pot-1", "2 09:00");
    assert!(picks[0].starts_with("0402"), "{picks:?}");
    assert_eq!(
        left,
        ["out first: 0401", "change the water: bear 0401 was in it, and it is of 07:00"]
    );
    story.say(1, "2 11:00", "out 0401");
    story.say(1, "2 11:10", "look 0401 tissue:clean");
    story.say(1, "2 11:30", "fill place:pot-1 water:30L");
    assert_eq!(next(&story, "pot-1", "2 12:00").1, [""; 0]);
}

#[test]
fn tank_tub_and_rack_take_what_comes_before_them() {
    let mut story = yard();
    fleshed(&mut story, "0401", 1, "species:whitetail");
    fleshed(&mut story, "0402", 1, "species:bear plan:simmer=2h plan:degrease=42d plan:whiten=1d");
    for tag in ["0401", "0402"] {
        story.say(1, "2 08:00", &format!("in place:pot-1 {tag}"));
        story.say(1, "2 10:00", &format!("out {tag}"));
        let tub = order(&story, "tub-1", "2 11:00");
        assert!(!tub.contains(&tag.to_owned()), "{tag} was not looked at");
        story.say(1, "2 10:10", &format!("look {tag} tissue:clean"));
    }
    assert_eq!(order(&story, "tub-1", "2 11:00"), ["0401"]);
    assert_eq!(order(&story, "tank-1", "2 11:00"), ["0402"]);
    assert_eq!(order(&story, "rack-1", "2 11:00"), [""; 0]);
    story.say(1, "3 08:00", "in place:tank-1 0402");
    story.say(1, "3 08:00", "in place:tub-1 0401");
    story.say(1, "4 08:00", "out 0401");
    assert_eq!(order(&story, "rack-1", "4 09:00"), ["0401"]);
    story.say(1, "4 10:00", "in place:rack-1 0401");
    assert_eq!(order(&story, "rack-1", "4 11:00"), [""; 0]);
    story.say(1, "45 08:00", "out 0402");
    assert_eq!(order(&story, "tub-1", "45 09:00"), ["0402"]);
    story.say(1, "45 10:00", "look 0402 tissue:clean greasy:yes");
    assert_eq!(next(&story, "tub-1", "45 11:00").1, ["0402: grease shows: degrease it first"]);
    let (picks, _) = next(&story, "tank-1", "45 11:00");
    assert!(picks[0].contains("goes again: grease still shows"), "{picks:?}");
}

#[test]
fn a_place_that_takes_no_potful_says_so() {
    let story = yard();
    for (place, words) in [
        ("pot-9", "no place is called pot-9; there are freezer-1, pot-1"),
        ("freezer-1", "freezer-1 is a freezer; a potful is put together for a pot"),
    ] {
        let place = Name::read(place).unwrap();
        let told = potful::next(&no_rules(), &story.state(), &place, at("1 09:00")).unwrap_err();
        assert!(told.starts_with(words), "{told}");
    }
}

#[test]
fn for_tomorrow_so_many_come_out_of_the_freezer_as_the_pots_have_room_for() {
    let mut story = yard();
    story.say(1, "0 07:00", "set-shop setting:holds.pot-1 value:3");
    for (tag, day) in [("0401", 1), ("0402", 2), ("0403", 3), ("0404", 4)] {
        story.say(1, &format!("{day} 08:00"), &format!("take-in {tag} species:whitetail"));
        story.say(1, &format!("{day} 09:00"), &format!("in place:freezer-1 {tag}"));
    }
    story.say(1, "5 08:00", "promise 0404 by:1970-01-20");
    story.say(1, "5 08:00", "hold 0402 why:papers");
    fleshed(&mut story, "0400", 5, "species:whitetail");
    let told = |story: &Story| {
        let state = story.state();
        let out = potful::tomorrow(&no_rules(), &state, 1, at("5 18:00"));
        let line = |one: &potful::TakeOut| {
            let tag = tag(&state, one.job);
            format!("{tag} from {} for {} by {}", one.freezer, one.pot, one.thawed.0 / 3_600_000)
        };
        let ready: Vec<String> = out.ready.iter().map(|job| tag(&state, *job)).collect();
        let lines: Vec<String> = out.take_out.iter().map(line).collect();
        (lines, ready, out.stay_frozen, out.left_out.len())
    };
    // Hour 138 of the story is day 5 at 18:00; a deer thaws in 24 hours.
    assert_eq!(
        told(&story),
        (
            vec![
                "0404 from freezer-1 for pot-1 by 162".to_owned(),
                "0401 from freezer-1 for pot-1 by 162".to_owned()
            ],
            vec!["0400".to_owned()],
            1,
            1
        )
    );
    story.say(1, "5 17:00", "set-shop setting:thaw-hours.deer value:36");
    story.say(1, "5 17:30", "out 0404");
    let (lines, ready, ..) = told(&story);
    assert_eq!(lines, ["0401 from freezer-1 for pot-1 by 174"]);
    assert_eq!(ready, ["0404", "0400"]);
}

#[test]
fn the_morning_is_the_next_time_that_work_begins() {
    let mut story = yard();
    for (opens, now, hour) in
        [("8", "1 18:00", 56), ("8", "2 07:59", 56), ("8", "2 08:00", 80), ("6", "1 18:00", 54)]
    {
        story.say(1, "0 07:00", &format!("set-shop setting:opens-at value:{opens}"));
        let morning = potful::morning(&story.state(), at(now));
        assert_eq!(morning.0 / 3_600_000, hour, "{opens} {now}");
    }
}

#[test]
fn two_pots_never_propose_one_head() {
    let mut story = yard();
    story.say(1, "0 06:05", "add-place name:pot-2 kind:pot volume:40L");
    for place in ["pot-1", "pot-2"] {
        story.say(1, "0 07:00", &format!("set-shop setting:holds.{place} value:2"));
    }
    for (tag, day) in [("0401", 1), ("0402", 2), ("0403", 3), ("0404", 4), ("0405", 5)] {
        fleshed(&mut story, tag, day, "species:bobcat");
    }
    assert_eq!(order(&story, "pot-1", "10 09:00"), ["0401", "0402"]);
    assert_eq!(order(&story, "pot-2", "10 09:00"), ["0403", "0404"]);
    let (_, left) = next(&story, "pot-2", "10 09:00");
    assert!(left.iter().any(|line| line == "0401: proposed for pot-1"), "{left:?}");
    // All of them at once are the same as each by itself, as the wall shows them.
    let state = story.state();
    let all = potful::of_kind(&no_rules(), &state, PlaceKind::Pot, at("10 09:00"));
    let all: Vec<(String, usize)> =
        all.iter().map(|potful| (potful.place.to_string(), potful.picks.len())).collect();
    assert_eq!(all, [("pot-1".to_owned(), 2), ("pot-2".to_owned(), 2)]);
    // While pot-1 has something in it, pot-2 is filled first, and has the first heads.
    story.say(1, "9 09:00", "in place:pot-1 0401");
    assert_eq!(order(&story, "pot-2", "10 09:00"), ["0402", "0403"]);
    assert_eq!(order(&story, "pot-1", "10 09:00"), ["0404", "0405"]);
}
