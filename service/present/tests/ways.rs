//! Eight animals by the ways of a shop in metric, from take-in to hand-over: what must ask asks, what must
//! ring rings, and every head is told to be at the step at which it is. Times, places and orders are those of
//! the shipped table: common practice, no source. Animals and shop are invented.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

#[path = "../../domain/tests/common/mod.rs"]
mod common;

use burrline_domain::{Verb, decide, verb};
use burrline_host::{digest_of, shipped};
use burrline_present::{
    ask, closing,
    judge::Judge,
    potful,
    tally::{Asked, tally},
    view,
    wall::wall,
};
use burrline_proto::{Wire as _, v1};
use burrline_terms::{
    Digest, Name, PlanStep, Typed as _,
    words::{Role, ScriptKind},
};
use common::{Story, at, clashes, said};

const RULES: &[&str] = &[
    "plan",
    "wrap-first",
    "by-its-way",
    "sheaths-and-tusks",
    "colony-and-baths",
    "before-hand-over",
];

/// A shop with a place for every way, with the rules that look after ways in force.
fn shop() -> (Story, tempfile::TempDir, Judge) {
    let mut story = Story::default();
    for line in [
        "set-shop setting:zone value:UTC",
        "set-shop setting:units value:metric",
        "add-place name:pot-1 kind:pot volume:40L",
        "add-place name:colony-1 kind:colony",
        "add-place name:warm-1 kind:warm-bath volume:60L",
        "add-place name:enzyme-1 kind:warm-bath volume:30L",
        "add-place name:soak-1 kind:soak volume:60L",
        "add-place name:garden-1 kind:ground",
        "add-place name:freezer-1 kind:freezer",
        "add-place name:tank-1 kind:tank volume:80L",
        "add-place name:tub-1 kind:tub volume:40L material:plastic",
        "add-place name:rack-1 kind:rack",
        "fill place:pot-1 water:30L",
        "fill place:warm-1 water:50L",
        "fill place:enzyme-1 water:25L add:enzyme=500g",
        "fill place:soak-1 water:50L",
        "fill place:tank-1 water:70L add:soap=1L",
        "fill place:tub-1 water:18L add:peroxide=6L@12%",
    ] {
        story.say(1, "0 06:00", line);
    }
    let dir = tempfile::tempdir().unwrap();
    for script in shipped().iter().filter(|script| RULES.contains(&script.name)) {
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
    (story, dir, judge)
}

/// Takes a head in and says its way, with the plan that the shop gives.
fn comes(story: &mut Story, judge: &Judge, tag: &str, what: &str, way: &str) {
    story.say(1, "1 08:00", &format!("take-in {tag} {what}"));
    let mut by_way = said(&format!("by-way {tag} way:{way}"));
    let ruled = ask::ruled(judge, &story.state(), &by_way, "ines", at("1 08:00"));
    assert!(ruled.objections.is_empty(), "{:?}", ruled.objections);
    if let Verb::ByWay(by_way) = &mut by_way {
        by_way.plan = ruled.plan.iter().map(|step| PlanStep::from_item(step).unwrap()).collect();
        assert!(!by_way.plan.is_empty(), "{way} has a plan");
    }
    story.say_verb(1, at("1 08:00").into(), by_way);
}

/// What the rules say no to, and what `w` would record first.
fn asked(story: &Story, judge: &Judge, when: &str, line: &str) -> Vec<String> {
    let ruled = ask::ruled(judge, &story.state(), &said(line), "tom", at(when));
    let no = ruled.objections.into_iter().filter(|objection| !objection.remark_only);
    no.map(|objection| format!("{}: {}", objection.rule, objection.words)).collect()
}

/// What the rules remark on.
fn remarked(story: &Story, judge: &Judge, when: &str, line: &str) -> Vec<String> {
    let ruled = ask::ruled(judge, &story.state(), &said(line), "tom", at(when));
    ruled.objections.into_iter().map(|objection| objection.words).collect()
}

fn rings(story: &Story, until: &str, tag: &str) -> Vec<(i64, String)> {
    let lines = view::rings(&story.state(), at(until)).into_iter();
    let of = |line: &v1::DueLine| line.skull.as_ref().is_some_and(|skull| skull.tag == tag);
    lines.filter(of).map(|line| (line.at_ms / 60_000, line.what)).collect()
}

fn doing(story: &Story, tag: &str) -> String {
    let floor = view::floor(&story.state(), "");
    let here = floor.places.iter().flat_map(|place| &place.here);
    here.filter(|line| line.tag == tag).map(|line| line.doing.clone()).next().unwrap_or_default()
}

const DAY: i64 = 1440;
/// 09:00 of the second day.
const NINE: i64 = DAY + 540;

#[test]
fn each_head_is_told_at_its_own_step_and_rings_by_its_own_time() {
    let (mut story, _dir, judge) = shop();
    for (tag, what, way, place, told, after, what_rings) in [
        (
            "0101",
            "species:roe_deer sex:male",
            "simmer",
            "pot-1",
            "simmering",
            45,
            "look at it (simmer, 45 min planned)",
        ),
        (
            "0102",
            "species:red_deer sex:male",
            "warm_bath",
            "warm-1",
            "macerating warm",
            14 * DAY,
            "look at it (warm, 14 days planned)",
        ),
        (
            "0103",
            "species:chamois",
            "beetles",
            "colony-1",
            "with the beetles",
            2 * DAY,
            "look at it (beetles, 48 h planned)",
        ),
        (
            "0104",
            "species:wild_boar sex:male",
            "cold_maceration",
            "soak-1",
            "macerating cold",
            28 * DAY,
            "look at it (macerate, 28 days planned)",
        ),
        (
            "0105",
            "species:kudu sex:male",
            "bury",
            "garden-1",
            "buried",
            180 * DAY,
            "dig it up (bury, 180 days planned)",
        ),
        (
            "0106",
            "species:springbok",
            "enzyme",
            "enzyme-1",
            "in the enzyme bath",
            180,
            "look at it (enzyme, 3 h planned)",
        ),
        (
            "0107",
            "species:lynx",
            "beetles",
            "colony-1",
            "with the beetles",
            2 * DAY,
            "look at it (beetles, 48 h planned)",
        ),
        (
            "0108",
            "species:badger",
            "warm_bath",
            "warm-1",
            "macerating warm",
            5 * DAY,
            "look at it (warm, 5 days planned)",
        ),
    ] {
        comes(&mut story, &judge, tag, what, way);
        story.say(1, "1 08:30", &format!("flesh {tag} brain:yes"));
        if what.contains("deer") {
            let no = asked(&story, &judge, "1 09:00", &format!("in place:{place} {tag}"));
            assert_eq!(no, ["wrap-first: wrap the antlers at the burr first."], "{tag}");
            story.say(1, "1 08:40", &format!("wrap {tag}"));
        }
        let no = asked(&story, &judge, "1 09:00", &format!("in place:{place} {tag}"));
        assert_eq!(no, [""; 0], "{tag}");
        story.say(1, "1 09:00", &format!("in place:{place} {tag}"));
        assert_eq!(doing(&story, tag), told, "{tag}");
        assert_eq!(
            rings(&story, "400 00:00", tag),
            [(NINE + after, what_rings.to_owned())],
            "{tag}"
        );
    }
    assert_eq!(clashes(&story.state()), [""; 0]);
}

#[test]
fn a_look_moves_it_on_by_the_step_and_not_by_the_pot() {
    let (mut story, _dir, judge) = shop();
    for (tag, what, way, place, again) in [
        ("0101", "species:lynx", "beetles", "colony-1", DAY),
        ("0102", "species:springbok", "enzyme", "enzyme-1", 60),
        ("0103", "species:badger", "warm_bath", "warm-1", DAY),
        ("0104", "species:roe_deer", "simmer", "pot-1", 20),
        ("0105", "species:chamois", "bury", "garden-1", 30 * DAY),
    ] {
        comes(&mut story, &judge, tag, what, way);
        story.say(1, "1 09:00", &format!("in place:{place} {tag}"));
        let (due, _) = rings(&story, "400 00:00", tag)[0];
        let when = format!("{} {:02}:{:02}", due / DAY, due % DAY / 60, due % 60);
        story.say(1, &when, &format!("look {tag} tissue:softening"));
        let then = (due + again, "look at it again (it was softening)".to_owned());
        assert_eq!(rings(&story, "400 00:00", tag), [then], "{tag} {way}");
    }
}

#[test]
fn what_came_from_the_beetles_is_frozen_before_anything_else() {
    let (mut story, _dir, judge) = shop();
    comes(&mut story, &judge, "0107", "species:lynx", "beetles");
    story.say(1, "1 08:30", "flesh 0107 brain:yes");
    let no = asked(&story, &judge, "1 09:00", "in place:pot-1 0107");
    assert_eq!(no.len(), 1, "{no:?}");
    assert!(no[0].contains("it goes by beetles, and simmer is no step of its plan"), "{no:?}");
    let next =
        potful::next(&judge, &story.state(), &Name::read("colony-1").unwrap(), at("1 09:00"));
    assert_eq!(next.unwrap().picks.len(), 1);
    story.say(1, "1 09:00", "in place:colony-1 0107");
    story.say(1, "3 09:00", "look 0107 tissue:clean");
    story.say(1, "3 09:05", "out 0107");
    for place in ["tank-1", "tub-1", "rack-1"] {
        let no = asked(&story, &judge, "3 09:10", &format!("in place:{place} 0107"));
        assert!(no[0].contains("straight from the beetles: freeze it first"), "{place}: {no:?}");
    }
    let left = |story: &Story, when: &str| {
        let next = potful::next(&judge, &story.state(), &Name::read("tank-1").unwrap(), at(when));
        let next = next.unwrap();
        (next.picks.len(), next.left_out.iter().map(|out| out.why.clone()).collect::<Vec<_>>())
    };
    assert_eq!(
        left(&story, "3 09:10"),
        (0, vec!["straight from the beetles: freeze it first".into()])
    );
    assert_eq!(asked(&story, &judge, "3 09:10", "in place:freezer-1 0107"), [""; 0]);
    story.say(1, "3 09:10", "in place:freezer-1 0107");
    assert_eq!(doing(&story, "0107"), "frozen, against beetles");
    let out = (3 * DAY + 550 + 8 * DAY, "take it out (freeze, 8 days planned)".to_owned());
    assert_eq!(rings(&story, "30 00:00", "0107"), [out]);
    story.say(1, "11 09:10", "out 0107");
    assert_eq!(left(&story, "11 09:20"), (1, vec![]));
    story.say(1, "11 09:20", "in place:tank-1 0107");
    assert_eq!(doing(&story, "0107"), "degreasing");
    // Back to the beetles it cannot go any more.
    story.say(1, "14 09:20", "out 0107");
    let no = asked(&story, &judge, "14 09:30", "in place:colony-1 0107");
    assert!(no[0].contains("beetles after degrease"), "{no:?}");
}

#[test]
fn sheaths_stay_out_of_peroxide_and_tusks_out_of_haste() {
    let (mut story, _dir, judge) = shop();
    comes(&mut story, &judge, "0103", "species:chamois sex:male", "simmer");
    comes(&mut story, &judge, "0104", "species:wild_boar sex:male", "simmer");
    comes(&mut story, &judge, "0105", "species:wild_boar sex:female", "simmer");
    let tub = "in place:tub-1 0103";
    let no = asked(&story, &judge, "2 09:00", tub);
    assert!(no[0].contains("the sheaths are on"), "{no:?}");
    // `w` would bag both, left and right.
    let ruled = ask::ruled(&judge, &story.state(), &said(tub), "tom", at("2 09:00"));
    let first: Vec<String> = ruled.objections[0]
        .missing
        .iter()
        .map(|verb| Verb::try_from(verb).unwrap().line())
        .collect();
    assert!(first[0].contains("sheath-l") && first[1].contains("sheath-r"), "{first:?}");
    story.say(1, "2 09:00", "bag 0103/sheath-l");
    let no = asked(&story, &judge, "2 09:00", tub);
    assert!(no[0].contains("the sheaths are on"), "one is not both: {no:?}");
    story.say(1, "2 09:05", "bag 0103/sheath-r mark:G7");
    assert_eq!(asked(&story, &judge, "2 09:10", tub), [""; 0]);
    let no = asked(&story, &judge, "2 09:10", "in place:tub-1 0103/sheath-l");
    assert!(no[0].contains("a horn sheath in peroxide"), "{no:?}");
    let warned = remarked(&story, &judge, "2 09:10", "in place:pot-1 0104");
    assert!(
        warned.iter().any(|words| words.contains("tusks are in it: warm it slowly")),
        "{warned:?}"
    );
    // A sow has none to speak of.
    assert_eq!(remarked(&story, &judge, "2 09:10", "in place:pot-1 0105"), [""; 0]);
    story.say(1, "2 09:20", "bag 0104/tusk-l");
    story.say(1, "2 09:20", "bag 0104/tusk-r");
    let no = asked(&story, &judge, "2 09:30", "in place:pot-1 0104/tusk-l");
    assert!(no[0].contains("a tusk splits in heat"), "{no:?}");
    // Each piece has its bag, is found, and is counted at the counter.
    let state = story.state();
    let boar = state.jobs().values().find(|job| job.species().unwrap().as_str() == "wild boar");
    let boar = boar.unwrap();
    let mark =
        |piece: &str| state.bag_mark(boar, burrline_terms::words::Piece::read(piece).unwrap());
    assert_eq!(mark("tusk-l").as_deref(), Some("0104-UL"));
    let no = asked(&story, &judge, "9 09:00", "hand-over 0104");
    assert!(no.iter().any(|words| words.contains("tusk-l") && words.contains("tusk-r")), "{no:?}");
    story.say(1, "9 09:00", "glue 0104/tusk-l");
    story.say(1, "9 09:00", "glue 0104/tusk-r");
    let no = asked(&story, &judge, "9 09:00", "hand-over 0104");
    assert!(!no.iter().any(|words| words.contains("tusk")), "{no:?}");
}

#[test]
fn a_colony_and_a_bath_say_what_is_wrong_with_them() {
    let (mut story, _dir, judge) = shop();
    for (line, words) in [
        (
            "observe place:colony-1 temperature:16C",
            "the colony has 16 C: under 18 C it hardly eats.",
        ),
        ("observe place:colony-1 humidity:80", "80 % of humidity is damp: mold and mites. Air it."),
        (
            "observe place:colony-1 dead:much",
            "many are dead: look at warmth, water, mites and what the heads were treated with.",
        ),
        (
            "reading place:warm-1 temperature:50C",
            "the bath has 50 C: over 45 C the bacteria die, and it cooks.",
        ),
        ("reading place:enzyme-1 temperature:70C", "the bath has 70 C: over 60 C the enzyme dies."),
    ] {
        assert_eq!(remarked(&story, &judge, "2 09:00", line), [words], "{line}");
    }
    assert_eq!(
        remarked(&story, &judge, "2 09:00", "observe place:colony-1 temperature:26C humidity:52"),
        [""; 0]
    );
    // It is never refused, and the floor tells it.
    story.say(1, "2 09:00", "observe place:colony-1 temperature:16C humidity:52 smell:much");
    let floor = view::floor(&story.state(), "colony-1");
    assert!(
        floor.places[0].observed.starts_with("16 \u{b0}C, humidity 52 %, smell much"),
        "{floor:?}"
    );
    assert_eq!(clashes(&story.state()), [""; 0]);
    let no = asked(&story, &judge, "2 09:00", "in place:colony-1 0999");
    assert_eq!(no, [""; 0]);
    story.say(1, "2 09:00", "take-in 0110 species:roe_deer");
    story.say(1, "2 09:00", "papers 0110 disease_area:yes");
    let no = asked(&story, &judge, "2 09:10", "in place:colony-1 0110");
    assert!(no.iter().any(|words| words.contains("neither beetles nor earth")), "{no:?}");
}

#[test]
fn a_head_goes_its_way_from_take_in_to_hand_over_and_nothing_is_left() {
    let (mut story, _dir, judge) = shop();
    for (tag, what, way, place) in [
        ("0201", "species:roe_deer sex:male", "simmer", "pot-1"),
        ("0202", "species:red_deer sex:male", "beetles", "colony-1"),
        ("0203", "species:chamois", "warm_bath", "warm-1"),
        ("0204", "species:wild_boar sex:male", "enzyme", "enzyme-1"),
        ("0205", "species:kudu sex:male", "cold_maceration", "soak-1"),
        ("0206", "species:springbok", "simmer", "pot-1"),
        ("0207", "species:lynx", "warm_bath", "warm-1"),
        ("0208", "species:badger", "beetles", "colony-1"),
    ] {
        comes(&mut story, &judge, tag, what, way);
        let mut say = |when: &str, line: &str| {
            let no = asked(&story, &judge, when, line);
            let no: Vec<&String> =
                no.iter().filter(|words| !words.starts_with("before-hand-over")).collect();
            assert!(no.is_empty(), "{tag} {line}: {no:?}");
            story.say(1, when, line);
        };
        say("2 08:00", &format!("flesh {tag} brain:yes"));
        if what.contains("deer") {
            say("2 08:10", &format!("wrap {tag}"));
        }
        say("2 09:00", &format!("in place:{place} {tag}"));
        say("2 10:00", &format!("look {tag} tissue:clean"));
        say("2 10:05", &format!("out {tag}"));
        if place == "colony-1" {
            say("2 10:10", &format!("in place:freezer-1 {tag}"));
            say("10 10:10", &format!("out {tag}"));
        }
        say("11 08:00", &format!("in place:tank-1 {tag}"));
        say("12 08:00", &format!("out {tag}"));
        if ["chamois", "kudu", "springbok"].iter().any(|horned| what.contains(horned)) {
            say("12 08:10", &format!("bag {tag}/sheath-l"));
            say("12 08:10", &format!("bag {tag}/sheath-r"));
        }
        say("12 09:00", &format!("in place:tub-1 {tag}"));
        say("12 21:00", &format!("out {tag}"));
        say("12 21:05", &format!("in place:rack-1 {tag}"));
        say("20 09:00", &format!("out {tag}"));
        if ["chamois", "kudu", "springbok"].iter().any(|horned| what.contains(horned)) {
            say("20 09:10", &format!("glue {tag}/sheath-l"));
            say("20 09:10", &format!("glue {tag}/sheath-r"));
        }
        say("20 10:00", &format!("inspect {tag}"));
        say("20 10:05", &format!("grade {tag} tissue:good grease:good smell:best"));
        say("21 10:00", &format!("hand-over {tag}"));
        // Half a year later it is said again, which is no work after the end.
        say("200 10:00", &format!("grade {tag} grease:redo"));
    }
    let state = story.state();
    let asked = |by| Asked::read("quality", by, 0).unwrap();
    let table = tally(&state, asked("way"), at("300 00:00")).unwrap();
    let rows: Vec<_> = table.rows.iter().map(|row| row.cells[..3].join(" ")).collect();
    assert_eq!(
        rows,
        ["beetles 2 2", "cold maceration 1 1", "enzyme 1 1", "simmer 2 2", "warm bath 2 2"],
        "grease came back in all of them"
    );
    let table = tally(&state, asked("waters"), at("300 00:00")).unwrap();
    assert_eq!(table.rows[0].cells[..3], ["not said", "8", "8"], "no water was by a recipe");
    assert_eq!(clashes(&state), [""; 0]);
    assert!(state.jobs().values().all(|job| job.ended.is_some()));
    assert_eq!(
        view::rings(&state, at("400 00:00")).iter().filter(|l| l.skull.is_some()).count(),
        0
    );
    assert!(closing::lock_up(&judge, &state, at("300 00:00")).hot.is_empty());
    assert!(wall(&judge, &state, at("300 00:00"), at("300 00:00")).next.is_empty());
}

#[test]
fn an_owner_adds_an_animal_a_step_and_a_way_of_their_own() {
    let (mut story, _dir, judge) = shop();
    for line in [
        "add-species name:takin head:horns borne_by:both group:horned",
        "about-species species:takin size:huge grease:2 usual:beetles=9d pieces:sheath-l pieces:sheath-r",
        "way-step name:sun kind:shelf takes:21d act:turn_it",
        "way name:house steps:flesh=40min steps:beetles=4d steps:freeze=10d steps:sun=21d",
    ] {
        let (state, verb) = (story.state(), said(line));
        let entry = common::record(
            burrline_terms::EntryName::new(1, 900),
            0,
            at("0 07:00").into(),
            verb.clone(),
        )
        .entry;
        decide(&state, Role::Owner, &entry).unwrap();
        story.say_verb(1, at("0 07:00").into(), verb);
    }
    comes(&mut story, &judge, "0301", "species:takin", "house");
    let state = story.state();
    let job = state.jobs().values().next().unwrap();
    let plan: Vec<String> = job.plan.iter().map(burrline_terms::Typed::show).collect();
    assert_eq!(
        plan,
        ["flesh=40min", "beetles=9d", "freeze=10d", "sun=21d"],
        "the animal's time first"
    );
    story.say(1, "2 09:00", "in place:colony-1 0301");
    assert_eq!(rings(&story, "30 00:00", "0301")[0].1, "look at it (beetles, 9 days planned)");
    story.say(1, "11 09:00", "add-place name:sill-1 kind:shelf");
    story.say(1, "11 09:00", "in place:sill-1 0301");
    assert_eq!(doing(&story, "0301"), "at sun");
    assert_eq!(rings(&story, "60 00:00", "0301")[0].1, "turn it (sun, 21 days planned)");
    // What was planned under the older sheet stays as it was.
    story.say(1, "12 09:00", "about-species species:takin usual:beetles=20d");
    let state = story.state();
    let job = state.jobs().values().next().unwrap();
    assert_eq!(job.plan[1].show(), "beetles=9d");
    for (line, words) in [
        ("way name:other steps:polish=1h", "no step is called polish"),
        ("way name:other", "a way has steps"),
        ("replan 0301 plan:polish=1h", "no step is called polish"),
        ("about-species species:unicorn grease:1", "there is no unicorn"),
    ] {
        let entry = common::record(
            burrline_terms::EntryName::new(1, 901),
            0,
            at("12 09:00").into(),
            said(line),
        )
        .entry;
        let refused = decide(&state, Role::Owner, &entry).unwrap_err().to_string();
        assert!(refused.contains(words), "{line}: {refused}");
    }
}
