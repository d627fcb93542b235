//! What the shop answers of its waters, from stories on paper: each figure beside its check.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

#[path = "../../domain/tests/common/mod.rs"]
mod common;

use burrline_domain::{Refusal, State, decide};
use burrline_present::view;
use burrline_terms::{EntryName, words::Role};
use common::{Story, at, said};

/// A yard with a pot, a tub and a head that is planned to simmer for two hours.
fn yard() -> Story {
    let mut story = Story::default();
    for line in [
        "add-place name:pot-1 kind:pot volume:40L",
        "add-place name:tub-1 kind:tub material:plastic",
        "set-shop setting:zone value:UTC",
        "set-shop setting:altitude value:1600m",
        "take-in 0417 species:whitetail plan:simmer=120min",
    ] {
        story.say(1, "6:00", line);
    }
    story
}

fn told(story: &Story, entry: EntryName) -> Vec<String> {
    view::figures(&story.state(), entry)
}

fn due(story: &Story) -> Vec<(i64, String)> {
    let lines = view::due(&story.state(), at("2 0:00"));
    lines.into_iter().map(|line| (line.at_ms / 60_000, line.what)).collect()
}

/// Source: 2 L of 12 % in 8 L is 3 %, algebra; 3 % w/v is 2.972 % w/w by the density of International
/// Critical Tables vol. III (from memory), which is under every limit (5 and 8 %).
#[test]
fn a_fill_tells_strength_how_it_is_known_and_its_class() {
    let mut story = yard();
    let fill = story.say(1, "8:00", "fill place:tub-1 water:6L add:peroxide=2L@12%");
    assert_eq!(
        told(&story, fill),
        ["tub-1: 8 L at 3 % w/v peroxide, mixed", "2.97 % w/w: under every class"]
    );
    let read = story.say(1, "9:00", "reading place:tub-1 strength:2.5%");
    assert_eq!(told(&story, read)[0], "tub-1: 8 L at 2.5 % w/v peroxide, measured");
    // 8 L of 2.5 % with 1 L of 12 %: 320 g in 9 L, 3.56 %.
    let more = story.say(1, "10:00", "top-up place:tub-1 add:peroxide=1L@12%");
    let said = told(&story, more);
    assert_eq!(said[0], "tub-1: 9 L at 3.56 % w/v peroxide, mixed on a measured bath, read 09:00");
    assert!(said.iter().any(|line| line.contains("wet skulls thinned")), "{said:?}");
}

/// Source: 8 L at 3 % with 8 L of 12 % are 16 L at 7.5 %, algebra, 7.316 % w/w by the density (1.0252 kg/L); Eye
/// Irrit. 2 from 5 to under 8 %, Regulation (EC) 1272/2008, annex VI. With 16 L of 40 volume more it is
/// 9.75 % w/v, 9.44 % w/w: UN2984 and oxidiser class 1 from 8 %.
#[test]
fn a_top_up_tells_when_it_crosses_a_class() {
    let mut story = yard();
    story.say(1, "8:00", "fill place:tub-1 water:6L add:peroxide=2L@12%");
    let first = story.say(1, "8:10", "top-up place:tub-1 add:peroxide=8L@12%");
    assert_eq!(
        told(&story, first),
        [
            "tub-1: 16 L at 7.5 % w/v peroxide, mixed",
            "7.32 % w/w: Eye Irrit. 2 (irritates eyes)",
            "crosses a class, eyes and skin: under the limits (5 %) -> Eye Irrit. 2 (irritates eyes)",
            "a mix does not know what evaporated, what wet skulls thinned and what decayed: a reading \
             does",
        ]
    );
    let second = story.say(1, "8:20", "top-up place:tub-1 add:peroxide=16L@40vol");
    let lines = told(&story, second);
    assert_eq!(lines[0], "tub-1: 32 L at 9.75 % w/v peroxide, mixed");
    assert!(lines[1].starts_with("9.44 % w/w: UN2984"), "{lines:?}");
    assert_eq!(lines.iter().filter(|line| line.starts_with("crosses a class")).count(), 3);
    // Thinned again it says that it leaves them.
    let thin = story.say(1, "8:30", "top-up place:tub-1 water:32L");
    assert!(told(&story, thin).iter().any(|line| line.contains("-> not listed (under 8 %)")));
}

/// Source: 20 L for 48.00 are 2.40 a litre; half a litre of soap was never received.
#[test]
fn what_went_in_costs_what_its_last_lot_cost() {
    let mut story = yard();
    story.say(1, "6:10", "receive-stock stuff:peroxide=20L@12% cost:40.00");
    story.say(1, "6:20", "receive-stock stuff:peroxide=20L@12% cost:48.00 lot:B7");
    story.say(1, "6:30", "receive-stock stuff:peroxide=5L@35%w/w cost:90.00");
    let line = "fill place:tub-1 water:6L add:peroxide=2L@12% add:soap=500mL";
    let fill = story.say(1, "8:00", line);
    let lines = told(&story, fill);
    assert_eq!(lines.last().unwrap(), "cost 4.80 (peroxide 4.80; soap not known)");
    let water = story.say(1, "8:10", "top-up place:tub-1 water:1L");
    assert!(!told(&story, water).iter().any(|line| line.contains("cost")));
}

/// Source: IAPWS-IF97 and the ICAO atmosphere give 94.65 degC at 1600 m; 30 L from 15 degC take 9995.5
/// kJ, which is 47 min at 40 % of 30,000 Btu/h.
#[test]
fn a_pot_that_is_lit_says_when_it_boils_and_is_due_then() {
    let mut story = yard();
    story.say(1, "6:10", "set-shop setting:burner-pot-1 value:30000BTU/h");
    story.say(1, "7:00", "fill place:pot-1 water:30L");
    let lit = story.say(1, "8:00", "heat place:pot-1 how:lit");
    assert_eq!(
        told(&story, lit),
        [
            "pot-1: 30 L",
            "boils at 94.7 \u{b0}C (202.4 \u{b0}F) about 08:47, if 40 % of the burner reaches it; say \
             when it boils",
        ]
    );
    let lines = due(&story);
    assert_eq!(lines[0], (527, "pot-1 should boil: turn it down, 77 to 88 \u{b0}C".to_owned()));
    // A head that goes in while it heats up is looked at two hours after it boils, not after it went in.
    let put = story.say(1, "8:10", "in 0417 place:pot-1");
    assert_eq!(told(&story, put).last().unwrap(), "10:47: look at it (simmer, 2 h planned)");
    assert!(due(&story).contains(&(647, "look at it (simmer, 2 h planned)".to_owned())));
}

/// Source: 9995.5 kJ in 60 min are 2.777 kW, 31.6 % of 8792 W; then 30 L of 15 degC take 60 min again.
#[test]
fn a_burner_is_learnt_from_the_shops_own_boils() {
    let mut story = yard();
    story.say(1, "6:10", "set-shop setting:burner-pot-1 value:30000BTU/h");
    story.say(1, "7:00", "fill place:pot-1 water:30L");
    story.say(1, "8:00", "heat place:pot-1 how:lit");
    let boiled = story.say(1, "9:00", "heat place:pot-1 how:boil");
    let lines = told(&story, boiled);
    assert_eq!(lines[1], "boiled in 60 min: 2.8 kW into the water, 32 % of the burner");
    assert!(lines[2].starts_with("turn it down: simmer at 76.7 \u{b0}C"), "{lines:?}");
    story.say(1, "12:00", "heat place:pot-1 how:off");
    story.say(1, "13:00", "fill place:pot-1 water:30L");
    let lit = story.say(1, "14:00", "heat place:pot-1 how:lit");
    assert!(told(&story, lit)[1].contains("about 15:00, learnt from 1 of its boils"));
    // What was told then stays as it was told then.
    assert_eq!(told(&story, boiled), lines);
}

/// Source: 2.777 kW boil off 4.40 kg/h at 94.65 degC (latent heat 2270.5 kJ/kg, IAPWS-IF97); 25 mm in a
/// pot of 40 cm are 3.02 kg: 41 min. At a simmer Carrier's formula (from memory) gives 1.28 kg/h: 141
/// min.
#[test]
fn a_pot_is_due_to_be_topped_up_by_what_goes_off() {
    let mut story = yard();
    story.say(1, "6:10", "set-shop setting:across-pot-1 value:40cm");
    story.say(1, "7:00", "fill place:pot-1 water:30L");
    story.say(1, "8:00", "heat place:pot-1 how:lit");
    let boiled = story.say(1, "9:00", "heat place:pot-1 how:boil");
    let top_up = |story: &Story| {
        let lines = due(story);
        let line = lines.iter().find(|(_, what)| what.starts_with("top up pot-1"));
        line.map(|(at, _)| *at)
    };
    assert_eq!(top_up(&story), Some(9 * 60 + 41));
    assert_eq!(told(&story, boiled).last().unwrap(), "top up by 09:41: 25 mm will have gone off");
    story.say(1, "9:00", "heat place:pot-1 how:down");
    assert_eq!(top_up(&story), Some(9 * 60 + 141));
    // What went in ends the count; a pot that is off loses none.
    story.say(1, "10:00", "top-up place:pot-1 water:2L");
    assert_eq!(top_up(&story), Some(10 * 60 + 141));
    story.say(1, "10:30", "heat place:pot-1 how:off");
    assert_eq!(top_up(&story), None);
}

/// Source: at 1600 m water boils at 94.65 degC: 93 is a boil's edge, 85 a simmer, 99 cannot be.
#[test]
fn a_temperature_is_held_against_the_local_boil() {
    let mut story = yard();
    story.say(1, "7:00", "fill place:pot-1 water:30L");
    for (read, words) in [
        ("199.4F", "too hot for bone"),
        ("85C", "a simmer: it boils at 94.7"),
        ("99C", "is the thermometer, or the altitude, wrong?"),
    ] {
        let entry = story.say(1, "8:00", &format!("reading place:pot-1 temperature:{read}"));
        let lines = told(&story, entry);
        assert!(lines.iter().any(|line| line.contains(words)), "{read}: {lines:?}");
    }
}

#[test]
fn a_setting_of_the_pots_that_cannot_be_is_refused_with_what_to_say() {
    let mut story = yard();
    let refused = |state: &State, line: &str| {
        let record = common::record(
            EntryName::new(1, 99),
            99,
            burrline_terms::Happened::exactly(at("7:00")),
            said(line),
        );
        match decide(state, Role::Owner, &record.entry) {
            Err(why @ (Refusal::BadSetting(_) | Refusal::NoSuchSetting(_))) => why.to_string(),
            other => panic!("{line}: {other:?}"),
        }
    };
    let state = story.state();
    assert!(refused(&state, "set-shop setting:altitude value:12km").contains("11000m"));
    assert!(refused(&state, "set-shop setting:burner-pot-1 value:hot").contains("3kW"));
    assert!(refused(&state, "set-shop setting:colour value:red").contains("altitude"));
    story.say(1, "7:00", "set-shop setting:altitude value:none");
    story.say(1, "7:10", "fill place:pot-1 water:30L");
    let lit = story.say(1, "8:00", "heat place:pot-1 how:lit");
    assert!(told(&story, lit)[1].contains("100 \u{b0}C (212 \u{b0}F) at the sea"));
}

#[test]
fn a_change_says_when_the_next_is_with_the_day_unless_it_is_today() {
    let mut story = yard();
    story.say(1, "6:30", "recipe name:soak water:18L change_after:10h");
    let fill = story.say(1, "8:00", "fill place:tub-1 recipe:soak");
    let lines = told(&story, fill);
    assert!(lines.iter().any(|line| line == "next change 18:00"), "{lines:?}");
    // Ten hours from five in the afternoon are tomorrow, and the line says of which day it is.
    let change = story.say(1, "17:00", "change place:tub-1");
    let lines = told(&story, change);
    assert!(lines.iter().any(|line| line == "next change Fri 02 Jan 03:00"), "{lines:?}");
    let plain = story.say(1, "18:00", "fill place:pot-1 water:30L");
    assert!(told(&story, plain).iter().all(|line| !line.contains("next change")));
}
