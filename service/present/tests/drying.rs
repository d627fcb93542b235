//! Drying where the work happens: the answer to `weigh`, what is due, and the measurer's first day.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

#[path = "../../domain/tests/common/mod.rs"]
mod common;

use burrline_domain::State;
use burrline_present::view;
use burrline_terms::Moment;
use burrline_terms::Typed as _;
use common::{Story, at};

/// A whitetail out of the pot, washed, and on the rack since the evening of day 1.
fn on_the_rack(species: &str) -> Story {
    let mut story = Story::default();
    for line in ["add-place name:pot-1 kind:pot", "add-place name:rack-1 kind:rack"] {
        story.say(1, "0 07:00", line);
    }
    story.say(1, "0 08:00", &format!("take-in 0417 species:{species}"));
    story.say(1, "1 08:00", "in 0417 place:pot-1");
    story.say(1, "1 11:00", "out 0417");
    story.say(1, "1 12:00", "wash 0417");
    story.say(1, "1 18:00", "in 0417 place:rack-1");
    story
}

fn told(story: &Story) -> Vec<String> {
    let last = story.records.last().unwrap().entry.name;
    view::figures(&story.state(), last)
}

fn due(state: &State) -> Vec<(String, String)> {
    let lines = view::due(state, Moment(i64::MAX));
    lines.into_iter().map(|line| (Moment(line.at_ms).show(), line.what)).collect()
}

#[test]
fn a_weighing_says_what_was_lost_and_when_the_next_one_counts() {
    let mut story = on_the_rack("whitetail");
    story.say(1, "2 18:00", "weigh 0417 mass:1400g");
    assert_eq!(
        told(&story),
        ["first weighing that counts; dry is 3 weighings at least 24 h apart that change by less \
          than 0.1 %; weigh again Sun 04 Jan 18:00 or later"]
    );
    story.say(1, "3 18:00", "weigh 0417 mass:1394.5g");
    assert_eq!(
        told(&story),
        ["lost 0.39 % in 24 h: not dry yet; weigh again Mon 05 Jan 18:00 or later"]
    );
    let when =
        ("1970-01-05T18:00:00Z".to_owned(), "weigh it (lost 0.39 % in 24 h: not dry yet)".into());
    assert_eq!(due(&story.state()), [when]);
}

#[test]
fn a_scale_with_more_digits_than_it_tells_apart_is_told_once() {
    let mut story = on_the_rack("whitetail");
    for (when, grams) in [("2 18:00", "1380"), ("3 18:00", "1380"), ("4 18:00", "1380")] {
        story.say(1, when, &format!("weigh 0417 mass:{grams}g"));
    }
    assert!(told(&story)[0].contains("constant mass"), "{:?}", told(&story));
    // The owner knows that it shows steps of 5 g, and 5 g are more than 0.1 % of this skull.
    story.say(1, "4 19:00", "set-shop setting:dry-step value:5g");
    story.say(1, "5 18:00", "weigh 0417 mass:1380g");
    let coarse = told(&story);
    assert!(coarse[0].contains("cannot tell with this scale"), "{coarse:?}");
}

#[test]
fn constant_mass_is_said_and_a_coat_is_due_until_there_is_one() {
    let mut story = on_the_rack("whitetail");
    for (when, grams) in [("2 18:00", "1380.5"), ("3 18:00", "1380.2"), ("4 18:00", "1380.0")] {
        story.say(1, when, &format!("weigh 0417 mass:{grams}g"));
    }
    assert_eq!(told(&story), ["constant mass (lost 0.036 % in 48 h)"]);
    let when = ("1970-01-05T18:00:00Z".to_owned(), "coat it (constant mass)".to_owned());
    assert_eq!(due(&story.state()), [when]);
    story.say(1, "4 19:00", "coat 0417");
    assert!(due(&story.state()).is_empty());
}

#[test]
fn weighings_from_before_the_last_water_do_not_count() {
    let mut story = on_the_rack("whitetail");
    for (when, line) in [
        ("2 18:00", "weigh 0417 mass:1380g"),
        ("3 18:00", "weigh 0417 mass:1380g"),
        ("4 08:00", "in 0417 place:pot-1"),
        ("4 09:00", "out 0417"),
        ("4 18:00", "weigh 0417 mass:1380g"),
    ] {
        story.say(1, when, line);
    }
    assert!(told(&story)[0].starts_with("first weighing that counts"), "{:?}", told(&story));
}

#[test]
fn a_late_weighing_changes_what_a_later_one_says() {
    let mut story = on_the_rack("whitetail");
    story.say(1, "3 18:00", "weigh 0417 mass:1380g");
    let last = story.say(1, "4 18:00", "weigh 0417 mass:1380g");
    story.say_later(2, "2 17:00", "5 08:00", "weigh 0417 mass:1380.5g");
    let now = view::figures(&story.state(), last);
    assert_eq!(now, ["constant mass (lost 0.036 % in 49 h)"]);
}

#[test]
fn the_shop_s_own_rule_is_used() {
    let mut story = on_the_rack("whitetail");
    story.say(1, "1 19:00", "set-shop setting:dry-weighings value:2");
    story.say(1, "1 19:00", "set-shop setting:dry-within value:0.5");
    story.say(1, "2 18:00", "weigh 0417 mass:1400g");
    story.say(1, "3 18:00", "weigh 0417 mass:1394.5g");
    assert_eq!(told(&story), ["constant mass (lost 0.39 % in 24 h)"]);
}

#[test]
fn a_kitchen_scale_cannot_tell() {
    let mut story = on_the_rack("whitetail");
    story.say(1, "2 18:00", "weigh 0417 mass:1.4kg");
    let said = told(&story);
    let words = "cannot tell with this scale: it shows steps of 100 g, and 0.1 % of this skull is 1.4 g; \
                 weigh to 1 g, or wait 143 days for the same reading";
    assert!(said[0].starts_with(words), "{said:?}");
}

/// A fawn of 180 g on a scale of 1 g: by more weighings, over the time that the step asks for.
#[test]
fn a_small_skull_is_dry_by_more_weighings_or_by_the_shop_s_own_rule() {
    let mut story = on_the_rack("whitetail");
    for day in [2, 3, 4] {
        story.say(1, &format!("{day} 18:00"), "weigh 0417 mass:180g");
    }
    assert_eq!(
        told(&story),
        [
            "cannot tell with this scale: it shows steps of 1 g, and 0.1 % of this skull is 0.2 g; weigh to \
          0.1 g, or wait 10 days for the same reading (or `set-shop dry-within 0.6`, if that is dry \
          enough for you); the same reading counts as dry Wed 14 Jan 20:40 or later"
        ]
    );
    story.say(1, "14 18:00", "weigh 0417 mass:180g");
    assert!(told(&story)[0].starts_with("constant mass (the same on a scale of 1 g for 12 days"));
    let due_now = due(&story.state());
    assert_eq!(due_now[0].1, "coat it (constant mass)");
    let mut own = on_the_rack("whitetail");
    own.say(1, "1 19:00", "set-shop setting:dry-within value:0.6");
    for day in [2, 3, 4] {
        own.say(1, &format!("{day} 18:00"), "weigh 0417 mass:180g");
    }
    assert_eq!(told(&own), ["constant mass (lost 0 % in 48 h)"]);
}

/// By arithmetic: 0.1 % of 3 lb 1 oz is 1.39 g, 0.049 oz: 0.02 oz is the next step below.
#[test]
fn an_american_shop_is_told_in_ounces_with_grams_beside() {
    let mut story = on_the_rack("whitetail");
    story.say(1, "1 19:00", "set-shop setting:units value:us");
    for day in [2, 3, 4] {
        story.say(1, &format!("{day} 18:00"), "weigh 0417 mass:3lb1oz");
    }
    let said = told(&story).remove(0);
    assert!(said.starts_with("cannot tell with this scale: it shows steps of 1 oz"), "{said}");
    assert!(said.contains("weigh to 0.02 oz (0.57 g) or in grams, or wait 39 days"), "{said}");
}

/// An ounce is no step for a deer; an ounce lost is seen all the same.
#[test]
fn ounces_and_tenths_of_a_pound_are_coarse() {
    for (masses, words) in [
        (["49oz", "49oz", "49oz"], "cannot tell with this scale: it shows steps of 28.3 g"),
        (["3.1lb", "3.1lb", "3.1lb"], "cannot tell with this scale: it shows steps of 45.4 g"),
        (["3lb1oz", "3lb1oz", "3lb1oz"], "cannot tell with this scale: it shows steps of 28.3 g"),
        (["55oz", "52oz", "49oz"], "lost 6.1 % in 24 h: not dry yet"),
        (["1405g", "1400g", "1395g"], "cannot tell with this scale: it shows steps of 5 g"),
        (["1400.0g", "1400.0g", "1400.0g"], "constant mass"),
    ] {
        let mut story = on_the_rack("whitetail");
        for (day, mass) in (2..).zip(masses) {
            story.say(1, &format!("{day} 18:00"), &format!("weigh 0417 mass:{mass}"));
        }
        assert!(told(&story)[0].starts_with(words), "{masses:?} {:?}", told(&story));
    }
}

#[test]
fn without_weighings_a_bear_sits_for_its_grease_and_a_deer_does_not() {
    let days = |species: &str| due(&on_the_rack(species).state());
    let deer = ("1970-01-04T18:00:00Z".to_owned(), "weigh or coat it (dry, 48 h planned)".into());
    assert_eq!(days("whitetail"), [deer]);
    let bear = "weigh or coat it (dry with its grease sit, 17 days planned)";
    assert_eq!(days("bear"), [("1970-01-19T18:00:00Z".to_owned(), bear.to_owned())]);
}

/// Source: Boone and Crockett Club, scoring manual, chapter 3: 60 days of drying in air, from the
/// day a boiled skull leaves the pot; a further simmer begins them anew.
#[test]
fn the_measurer_s_day_counts_from_the_last_pot() {
    let mut story = on_the_rack("whitetail");
    let day = |story: &Story| {
        let state = story.state();
        let job = state.jobs().values().next().unwrap();
        view::measuring(&state, job).map(|day| day.to_string())
    };
    assert_eq!(day(&story).as_deref(), Some("1970-03-03"));
    story.say(1, "5 08:00", "in 0417 place:pot-1");
    assert_eq!(day(&story), None);
    story.say(1, "5 09:00", "out 0417");
    assert_eq!(day(&story).as_deref(), Some("1970-03-07"));
    story.say(1, "9 10:00", "hand-over 0417");
    assert_eq!(
        told(&story),
        ["official measuring: not before 1970-03-07 (60 days in air since it was last in water)"]
    );
    assert_eq!(at("0 00:00"), Moment(0));
    // A soak after the pot counts too, and a hog is measured by nobody.
    let mut soaked = on_the_rack("whitetail");
    soaked.say(1, "7 00:00", "add-place name:tub-1 kind:tub");
    soaked.say(1, "8 08:00", "in 0417 place:tub-1");
    soaked.say(1, "9 08:00", "out 0417");
    assert_eq!(day(&soaked).as_deref(), Some("1970-03-11"));
    assert_eq!(day(&on_the_rack("hog")), None);
}
