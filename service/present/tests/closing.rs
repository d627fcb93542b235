//! Closing: what is left on and in, and what is to be done before morning. Yards are invented.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

#[path = "../../domain/tests/common/mod.rs"]
mod common;

use std::path::PathBuf;

use burrline_domain::{Verb, verb};
use burrline_host::{digest_of, shipped};
use burrline_present::{closing, judge::Judge, view};
use burrline_proto::v1;
use burrline_terms::Typed as _;
use burrline_terms::{Digest, Name, words::ScriptKind};
use common::{Story, at};

fn yard() -> Story {
    let mut story = Story::default();
    for line in [
        "add-place name:pot-1 kind:pot volume:40L",
        "add-place name:pot-2 kind:pot",
        "add-place name:tub-1 kind:tub",
        "recipe name:cream-bath water:18L soak:16h change_after:24h",
        "fill place:pot-1 water:30L",
        "fill place:tub-1 recipe:cream-bath add:peroxide=2L@12%",
        "take-in 0417 species:whitetail",
        "take-in 0418 species:elk",
        "take-in 0419 species:whitetail",
    ] {
        story.say(1, "0 06:00", line);
    }
    story
}

/// A judge with the shipped rules of these names in force.
fn judge(story: &mut Story, rules: &[&str]) -> (tempfile::TempDir, Judge) {
    let dir = tempfile::tempdir().unwrap();
    for script in shipped().iter().filter(|script| rules.contains(&script.name)) {
        let digest = digest_of(script.source.as_bytes());
        std::fs::write(dir.path().join(format!("{digest}.rhai")), script.source).unwrap();
        let (digest, name) = (Digest::read(&digest).unwrap(), Name::read(script.name).unwrap());
        let kind = ScriptKind::Stages;
        let verbs: [Verb; 2] = [
            verb::InstallScript { kind, name, digest }.into(),
            verb::ActivateScript { digest }.into(),
        ];
        for verb in verbs {
            story.say_verb(1, at("0 06:30").into(), verb);
        }
    }
    let judge = Judge::new(dir.path().to_owned());
    judge.activated(&story.state(), 0).unwrap();
    (dir, judge)
}

fn tag(line: &v1::InWater) -> &str {
    &line.skull.as_ref().unwrap().tag
}

#[test]
fn what_is_lit_in_hot_water_and_in_peroxide_is_told_with_the_longest_that_the_rules_allow() {
    let mut story = yard();
    let (_dir, judge) = judge(&mut story, &["most-heat", "peroxide-limits"]);
    story.say(1, "1 14:00", "heat place:pot-1 how:lit");
    story.say(1, "1 14:40", "heat place:pot-1 how:down");
    story.say(1, "1 15:00", "in place:pot-1 0417");
    story.say(1, "1 16:00", "in place:tub-1 0418");
    story.say(1, "1 16:30", "in place:pot-2 0419");
    let told = closing::lock_up(&judge, &story.state(), at("1 17:30"));
    let [lit] = told.lit.as_slice() else { panic!("{told:?}") };
    assert_eq!(
        (lit.place.as_str(), lit.since_ms, lit.flame.as_str()),
        ("pot-1", at("1 14:00").0, "down")
    );

    let [first, second] = told.hot.as_slice() else { panic!("{told:?}") };
    assert_eq!((tag(first), first.minutes, first.flame_said), ("0417", 150, true));
    assert_eq!(first.skull.as_ref().unwrap().heat, "1st go, 2 h 30");
    // The rule says no from 300 minutes of heat on.
    assert_eq!(first.longest_ms, Some(at("1 20:00").0));
    assert!(first.rule.contains("300 is the most"), "{}", first.rule);
    assert_eq!((tag(second), second.flame_said), ("0419", false));

    let [tub] = told.peroxide.as_slice() else { panic!("{told:?}") };
    // 2 L at 12 % in 20 L are 240 g: 1.2 %.
    assert_eq!((tag(tub), tub.strength_wv.as_str(), tub.minutes), ("0418", "1.2", 90));
    assert_eq!(tub.longest_ms, Some(at("3 16:00").0), "48 hours");
    assert_eq!(tub.due.as_ref().unwrap().at_ms, at("2 08:00").0, "16 hours by the recipe");
    // It was filled at 6 the day before, and is to be changed after 24 hours.
    assert_eq!(told.changes[0].what, "change the water of tub-1");

    story.say(1, "1 17:35", "heat place:pot-1 how:off");
    let told = closing::lock_up(&judge, &story.state(), at("1 21:00"));
    assert!(told.lit.is_empty());
    assert_eq!(told.hot[0].longest_ms, Some(at("1 20:00").0), "too long by now");
}

#[test]
fn without_a_rule_there_is_no_longest_and_a_clean_yard_has_nothing() {
    let mut story = yard();
    let none = Judge::new(PathBuf::from("no such folder"));
    story.say(1, "1 15:00", "in place:pot-1 0417");
    let told = closing::lock_up(&none, &story.state(), at("1 17:30"));
    assert_eq!((told.hot[0].longest_ms, told.hot[0].rule.as_str()), (None, ""));
    story.say(1, "1 18:00", "out 0417");
    story.say(1, "1 18:00", "dump place:tub-1");
    let told = closing::lock_up(&none, &story.state(), at("1 18:30"));
    let clean = v1::LockUpResponse {
        take_out: told.take_out.clone(),
        morning_ms: at("2 08:00").0,
        ..v1::LockUpResponse::default()
    };
    assert_eq!(told, clean);
    story.say(1, "1 18:40", "stray words:a_jaw place:pot-1");
    let told = closing::lock_up(&none, &story.state(), at("1 18:50"));
    assert_eq!(told.strays[0].could_be[0].reasons[0], "had been in pot-1");
}

#[test]
fn a_water_that_was_changed_is_by_the_version_that_it_was_filled_by() {
    let mut story = yard();
    story.say(1, "1 15:00", "in place:tub-1 0418");
    story.say(1, "1 16:00", "recipe name:cream-bath water:10L soak:8h");
    let changed = story.say(1, "1 17:00", "change place:tub-1 old:cloudy");
    let state = story.state();
    let bath = view::floor(&state, "tub-1").places[0].bath.clone().unwrap();
    assert_eq!((bath.recipe_version, bath.recipe_newest, bath.litres.as_str()), (1, 2, "20"));
    let figures = view::figures(&state, changed).join("; ");
    let told = "by cream-bath, version 1; version 2 is in force: `burrline fill tub-1 --recipe cream-bath` \
                takes that; back in: 0418 (its 1st change)";
    assert!(figures.contains(told), "{figures}");
    let listed = view::recipes(&state, "cream-bath").unwrap().versions;
    let lines: Vec<String> = listed
        .iter()
        .map(|v| format!("v{} {} {} {:?}", v.version, v.water, v.soak, v.waters))
        .collect();
    assert_eq!(lines, [r#"v1 18L 16h ["tub-1"]"#, "v2 10L 8h []"]);
    let unknown = view::recipes(&state, "salt").unwrap_err();
    assert_eq!(unknown, "no recipe is called salt; there are cream-bath");
}
