//! The past counted by a word of the trail: small stories by hand, and a whole invented season.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

#[path = "../../domain/tests/common/mod.rs"]
mod common;

use burrline_domain::State;
use burrline_invented::Season;
use burrline_present::tally::{Asked, tally};
use burrline_proto::v1;
use common::{Story, at};

fn table(state: &State, what: &str, by: &str, season: i32) -> v1::TallyResponse {
    let asked = Asked::read(what, by, season).unwrap();
    tally(state, asked, Season::ends()).unwrap()
}

/// The cells of the row that begins with a word.
fn row<'a>(table: &'a v1::TallyResponse, word: &str) -> Vec<&'a str> {
    let found = table.rows.iter().find(|row| row.cells[0] == word);
    let found = found.unwrap_or_else(|| panic!("no {word} in {table:?}"));
    found.cells.iter().map(String::as_str).collect()
}

fn whole_season() -> State {
    State::replay(Season::make(400, 7).records().unwrap())
}

/// Heads through a pot, `hits` of `of` with a nose bone broken.
fn noses(story: &mut Story, first: u32, of: u32, hits: u32, before: &str) {
    for n in 0..of {
        let tag = first + n;
        let say = |story: &mut Story, time: &str, line: &str| {
            story.say(1, &format!("{n} {time}"), &line.replace("TAG", &tag.to_string()));
        };
        say(story, "08:00", "take-in TAG species:whitetail");
        if !before.is_empty() {
            say(story, "09:00", before);
        }
        say(story, "10:00", "in place:pot-1 TAG");
        say(story, "11:00", "out TAG");
        if n < hits {
            say(story, "11:30", "damage TAG/nose what:tip_off whose:ours");
        }
    }
}

/// Source of the limits: R. G. Newcombe, Statistics in Medicine 17 (1998) 857, table I, the score
/// method: 81 of 263 gives 0.2553 to 0.3662.
#[test]
fn eighty_one_of_two_hundred_and_sixty_three_has_the_published_limits() {
    let mut story = Story::default();
    story.say(1, "0 07:00", "add-place name:pot-1 kind:pot");
    noses(&mut story, 1_000, 263, 81, "bag TAG/nose");
    let table = table(&story.state(), "nose-damage", "nose", 0);
    assert_eq!(row(&table, "off"), ["off", "263", "81", "30.8 %", "25.5 % to 36.6 %", ""]);
}

#[test]
fn off_tied_and_left_are_told_apart_by_what_was_said_before_the_pot() {
    let mut story = Story::default();
    story.say(1, "0 07:00", "add-place name:pot-1 kind:pot");
    noses(&mut story, 1_000, 60, 1, "bag TAG/nose");
    noses(&mut story, 2_000, 4, 1, "tie TAG/nose with:string");
    noses(&mut story, 3_000, 60, 15, "");
    story.say(1, "90 08:00", "take-in 4000 species:elk");
    let table = table(&story.state(), "nose-damage", "nose", 0);
    assert_eq!(row(&table, "off")[1..3], ["60", "1"]);
    assert_eq!(row(&table, "off")[5], "rarer, beyond chance");
    assert_eq!(row(&table, "left")[5], "more often, beyond chance");
    // One of four differs as much, and tells nothing.
    assert_eq!(row(&table, "tied")[5], "cannot tell: only 4");
    let notes = table.notes.join("\n");
    assert!(notes.contains("not what came of what"), "{notes}");
    assert!(notes.contains("what was done and not said is in it too"), "{notes}");
    assert!(notes.contains("1 head never went into a pot and is left out"), "{notes}");
}

#[test]
fn what_came_so_is_no_damage_and_what_nobody_knows_is_said() {
    let mut story = Story::default();
    story.say(1, "0 07:00", "add-place name:pot-1 kind:pot");
    noses(&mut story, 1_000, 3, 0, "");
    story.say(1, "3 08:00", "damage 1000/nose what:chipped whose:as-found");
    story.say(1, "3 08:01", "damage 1001/nose what:chipped");
    let table = table(&story.state(), "damage", "", 0);
    assert_eq!(row(&table, "all")[1..3], ["3", "1"]);
    assert!(table.notes.join(" ").contains("Of 1 of those damaged nobody knows whose doing"));
}

#[test]
fn days_have_a_middle_limits_by_order_and_those_left_out() {
    let mut story = Story::default();
    for n in 0..10_u32 {
        let tag = 100 + n;
        story.say(1, "0 08:00", &format!("take-in {tag} species:whitetail"));
        story.say(1, &format!("{} 08:00", 10 + n), &format!("inspect {tag}"));
    }
    story.say(1, "0 09:00", "take-in 200 species:whitetail");
    let table = table(&story.state(), "days", "species", 0);
    // The second and the ninth of ten: tables of ranks for a median at 95 % (see `reckon::median`).
    assert_eq!(row(&table, "whitetail"), ["whitetail", "10", "14.5", "11 to 18", "1", ""]);
    assert!(table.notes.join(" ").contains("the slow ones are among them"));
}

#[test]
fn a_water_is_paid_for_by_how_long_each_skull_lay_in_it() {
    let mut story = Story::default();
    for line in ["add-place name:tub-1 kind:tub", "receive-stock stuff:peroxide=10L@12% cost:50"] {
        story.say(1, "0 07:00", line);
    }
    for (tag, kind) in [(100, "whitetail"), (200, "elk")] {
        story.say(1, "1 08:00", &format!("take-in {tag} species:{kind}"));
        story.say(1, "1 08:01", &format!("quote {tag} total:120"));
    }
    // 2 L of 10 L for 50: 10.00, over three hours and one.
    story.say(1, "1 09:00", "fill place:tub-1 water:18L add:peroxide=2L@12%");
    story.say(1, "1 09:00", "in place:tub-1 100");
    story.say(1, "1 11:00", "in place:tub-1 200");
    story.say(1, "1 12:00", "out 100");
    story.say(1, "1 12:00", "out 200");
    story.say(1, "1 13:00", "dump place:tub-1");
    story.say(1, "2 08:00", "set-shop setting:step-minutes.whiten value:30");
    story.say(1, "2 17:00", "hours worked:2h");
    story.say(1, "3 08:00", "hand-over 100");
    story.say(1, "3 08:00", "hand-over 200");
    let asked = Asked::read("earned", "species", 0).unwrap();
    let table = tally(&story.state(), asked, at("4 08:00")).unwrap();
    // Take-in 8, whiten 30, hand-over 6 minutes each: 88 minutes, and 120 were written down.
    assert_eq!(
        row(&table, "whitetail"),
        ["whitetail", "1", "120.00", "7.50", "112.50", "112.50", "1", "112.50"]
    );
    assert_eq!(row(&table, "elk")[3..5], ["2.50", "117.50"]);
    let notes = table.notes.join("\n");
    assert!(notes.contains("shared over the skulls that lay in it by how long"), "{notes}");
    assert!(notes.contains("each is taken 1.36 times"), "{notes}");
}

#[test]
fn skull_days_of_a_week_are_held_against_what_a_place_holds() {
    let mut story = Story::default();
    // 1 January 1970 was a Thursday; the first Monday is day 4.
    story.say(1, "0 07:00", "add-place name:rack-1 kind:rack");
    story.say(1, "0 07:00", "set-shop setting:holds.rack-1 value:2");
    story.say(1, "4 00:00", "take-in 100 species:whitetail");
    story.say(1, "5 00:00", "in place:rack-1 100");
    story.say(1, "12 12:00", "out 100");
    let asked = Asked::read("skull-days", "", 0).unwrap();
    let table = tally(&story.state(), asked, at("30 00:00")).unwrap();
    let rows: Vec<Vec<&str>> =
        table.rows.iter().map(|row| row.cells.iter().map(String::as_str).collect()).collect();
    assert_eq!(
        rows,
        [
            ["rack-1", "rack", "1970-01-05", "6", "14", "42.9 %"],
            ["rack-1", "rack", "1970-01-12", "1.5", "14", "10.7 %"],
        ]
    );
}

#[test]
fn a_whole_season_adds_up_by_every_word() {
    let state = whole_season();
    for what in ["damage", "nose-damage", "ear-damage", "second-goes", "disputes", "brought-back"] {
        let of = |table: &v1::TallyResponse, column: usize| -> u32 {
            table.rows.iter().map(|row| row.cells[column].parse::<u32>().unwrap()).sum()
        };
        let all = table(&state, what, "", 2025);
        for by in ["nose", "ears", "recipe", "species", "kind", "age", "arrival", "month", "hand"] {
            let apart = table(&state, what, by, 2025);
            assert_eq!(of(&apart, 1), of(&all, 1), "{what} by {by}");
            assert_eq!(of(&apart, 2), of(&all, 2), "{what} by {by}");
        }
    }
    // The season is that of the autumn; a head of January is in it.
    assert_eq!(table(&state, "damage", "season", 0).rows.len(), 1);
    assert!(table(&state, "damage", "", 2024).rows.is_empty());
    // What was put into the invented season on purpose is found again.
    let nose = table(&state, "nose-damage", "nose", 2025);
    let share = |word| -> f64 { row(&nose, word)[3].trim_end_matches(" %").parse().unwrap() };
    assert!(share("left") > share("off"), "{nose:?}");
    let bears = table(&state, "days", "kind", 2025);
    assert_eq!(row(&bears, "bear")[5], "longer, beyond chance");
}

#[test]
fn the_money_of_a_season_is_that_of_its_heads() {
    let state = whole_season();
    let earned = table(&state, "earned", "kind", 2025);
    let sum = |column: usize| -> f64 {
        earned.rows.iter().map(|row| row.cells[column].parse::<f64>().unwrap()).sum()
    };
    let gone = state.jobs().values().filter(|job| job.ended.is_some());
    let charged: f64 =
        gone.map(|job| state.share(job.id).charged.to_string().parse::<f64>().unwrap()).sum();
    assert!((sum(2) - charged).abs() < 0.01, "{} {charged}", sum(2));
    // Bears lie for weeks in water that costs something.
    let bear = row(&earned, "bear");
    assert!(bear[3].parse::<f64>().unwrap() > 0.0, "{earned:?}");
    assert!(earned.notes.join(" ").contains("were written down"), "{earned:?}");
}

/// Degreasing for 1 to 5 days (deer) or 3 to 10 weeks (bears) and a turnaround of 2 to 12 weeks are
/// common practice, no source; the invented shop is to be within that, with a queue before its tanks.
#[test]
fn the_invented_season_takes_weeks_and_its_hours_follow_from_its_steps() {
    let state = whole_season();
    let days = table(&state, "days", "kind", 2025);
    let middle = |kind: &str| -> f64 { row(&days, kind)[2].parse().unwrap() };
    assert!((14.0..84.0).contains(&middle("deer")), "{days:?}");
    assert!(middle("bear") > middle("deer") && middle("hog") > middle("deer"), "{days:?}");
    let notes = table(&state, "earned", "kind", 2025).notes.join("\n");
    let times = notes.split("each is taken ").nth(1).unwrap().split(' ').next().unwrap();
    let times: f64 = times.parse().unwrap();
    assert!((1.2..2.0).contains(&times), "{notes}");
}
