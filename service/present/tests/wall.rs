//! What rings at a bench and what hangs on the wall, from stories on paper.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

#[path = "../../domain/tests/common/mod.rs"]
mod common;

use burrline_present::{judge::Judge, view, wall::wall};
use common::{Story, at};

/// A pot, a tub whose water is changed after ten hours, and a head that is planned to simmer for two
/// hours.
fn yard() -> Story {
    let mut story = Story::default();
    for line in [
        "add-place name:pot-1 kind:pot volume:40L",
        "add-place name:tub-1 kind:tub material:plastic",
        "add-place name:rack-1 kind:rack",
        "set-shop setting:zone value:UTC",
        "recipe name:soak water:18L add:peroxide=2L@12% change_after:10h",
        "take-in 0417 species:whitetail plan:simmer=120min",
    ] {
        story.say(1, "6:00", line);
    }
    story
}

/// Minutes of the day and words of what rings until the next midnight.
fn rings(story: &Story) -> Vec<(i64, String)> {
    let lines = view::rings(&story.state(), at("1 0:00"));
    lines.into_iter().map(|line| (line.at_ms / 60_000, line.what)).collect()
}

#[test]
fn a_look_is_due_by_the_plan_and_a_look_moves_it_on() {
    let mut story = yard();
    story.say(1, "8:00", "in place:pot-1 0417");
    let planned = (600, "look at it (simmer, 2 h planned)".to_owned());
    assert_eq!(rings(&story), std::slice::from_ref(&planned));
    // Half-way a look is one more look; ten minutes before it is due it is that look.
    story.say(1, "9:00", "look 0417 tissue:tight");
    assert_eq!(rings(&story), [planned]);
    story.say(1, "9:52", "look 0417 tissue:softening");
    assert_eq!(rings(&story), [(612, "look at it again (it was softening)".to_owned())]);
    story.say(1, "10:15", "look 0417 tissue:clean");
    assert_eq!(rings(&story), [(635, "take it out: it looked clean".to_owned())]);
    story.say(1, "10:20", "out 0417");
    assert_eq!(rings(&story), []);
}

#[test]
fn how_long_after_a_look_the_next_is_due_is_the_shop_s_to_say() {
    let mut story = yard();
    story.say(1, "8:00", "in place:pot-1 0417");
    story.say(1, "9:52", "look 0417 tissue:softening");
    let again = |minute: i64| vec![(minute, "look at it again (it was softening)".to_owned())];
    assert_eq!(rings(&story), again(612), "20 minutes where nothing is set");
    story.say(1, "9:53", "set-shop setting:look-again.pot value:30min");
    assert_eq!(rings(&story), again(622));
    story.say(1, "9:54", "set-shop setting:look-again.pot-1 value:45min");
    assert_eq!(rings(&story), again(637), "a place goes before its kind");
}

#[test]
fn water_rings_by_its_recipe_and_days_and_papers_never_do() {
    let mut story = yard();
    story.say(1, "8:00", "fill place:tub-1 recipe:soak");
    story.say(1, "8:00", "promise 0417 by:1970-01-01");
    assert_eq!(rings(&story), [(1080, "change the water of tub-1".to_owned())]);
    story.say(1, "17:00", "change place:tub-1");
    assert_eq!(rings(&story), [], "ten hours from five are tomorrow");
}

#[test]
fn the_wall_has_waters_promises_holds_and_silent_benches_but_no_money() {
    let mut story = yard();
    story.say(1, "6:00", "enrol-bench key:00000000000000000000000000000000000000000000000000000000000000aa name:yard-9 role:bench");
    story.say(1, "8:00", "fill place:tub-1 recipe:soak");
    story.say(1, "8:05", "in place:tub-1 0417");
    story.say(1, "8:10", "promise 0417 by:1970-01-03");
    story.say(1, "8:15", "hold 0417 why:papers");
    // A payment and a wash on a tag that nobody wears: one of them hangs on no wall.
    story.say(1, "8:20", "pay 0999 amount:20.00");
    story.say(1, "8:25", "wash 0998");
    let wall = wall(&Judge::new(std::env::temp_dir()), &story.state(), at("23:00"), at("23:00"));
    let waters: Vec<_> = wall.waters.iter().map(|w| (w.line.name.as_str(), w.change)).collect();
    assert_eq!(waters, [("tub-1", Some(at("18:00")))]);
    assert_eq!(wall.waters[0].line.here[0].tag, "0417");
    let promised: Vec<_> =
        wall.promised.iter().map(|(d, t)| (d.to_string(), t.join(" "))).collect();
    assert_eq!(promised, [("1970-01-03".to_owned(), "0417".to_owned())]);
    assert_eq!(wall.holds, [("0417".to_owned(), "papers".to_owned())]);
    let words: Vec<&str> = wall.clashes.iter().map(|clash| clash.words.as_str()).collect();
    assert!(words.len() == 1 && words[0].starts_with("wash"), "{words:?}");
    let silent: Vec<&str> = wall.silent.iter().map(|(bench, _)| bench.as_str()).collect();
    assert_eq!(silent, ["yard-9"]);
}

#[test]
fn a_bench_is_silent_by_what_was_heard_of_the_shop_and_a_lit_pot_is_lit() {
    let mut story = yard();
    story.say(1, "6:00", "enrol-bench key:00000000000000000000000000000000000000000000000000000000000000aa name:yard-9 role:bench");
    story.say(1, "8:00", "fill place:pot-1 water:30L");
    story.say(1, "8:05", "heat place:pot-1 how:lit");
    let judge = Judge::new(std::env::temp_dir());
    let seen =
        |story: &Story, now: &str, heard: &str| wall(&judge, &story.state(), at(now), at(heard));
    // It spoke at eight; the bench that reads is away since nine, and can say nothing of the time since.
    let away = seen(&story, "2 9:00", "9:00");
    assert_eq!(away.silent, []);
    let in_reach = seen(&story, "2 9:00", "2 9:00");
    assert_eq!(in_reach.silent, [("yard-9".to_owned(), Some(at("8:05")))]);
    // What burns goes before a place whose name comes first.
    story.say(1, "8:06", "add-place name:board-1 kind:tub");
    story.say(1, "8:07", "fill place:board-1 water:10L");
    let away =
        seen(&story, "2 9:00", "9:00").waters.into_iter().map(|w| w.line.name).collect::<Vec<_>>();
    assert_eq!(away, ["pot-1", "board-1"]);
    let lit = in_reach.waters[0].lit.as_ref().map(|lit| lit.since_ms);
    assert_eq!(lit, Some(at("8:05").0));
}

#[test]
fn heat_on_the_wall_is_counted_to_now_and_not_to_the_last_line() {
    let mut story = yard();
    story.say(1, "8:00", "fill place:pot-1 water:30L");
    story.say(1, "8:30", "in place:pot-1 0417");
    let judge = Judge::new(std::env::temp_dir());
    let heat = |now: &str| {
        let wall = wall(&judge, &story.state(), at(now), at(now));
        let pot = wall.waters.into_iter().find(|water| water.line.name == "pot-1").unwrap();
        pot.line.here[0].heat.clone()
    };
    assert_eq!(heat("8:30"), "1st go, 0 h 00");
    assert_eq!(heat("10:05"), "1st go, 1 h 35");
}
