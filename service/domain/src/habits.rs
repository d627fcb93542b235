//! The shop's own figures: settings that are numbers, with what holds where none is set.

use rust_decimal::prelude::ToPrimitive as _;

use crate::{
    field::Typed as _,
    fold::State,
    house::month_and_day,
    name::Name,
    reckon::{drying::constant::Rule, quantity::Hours, species::Group},
    time::Day,
    units::Span,
    words::PlaceKind,
};

/// Each setting with what it takes, for help and refusals. `KIND` is a kind of animal such as
/// `bear`, `PLACE` a place.
pub const HABITS: &[(&str, &str)] = &[
    ("dry-weighings", "how many weighings have to agree, 2 to 10"),
    ("dry-apart", "how far apart they have to be, such as 24h"),
    ("dry-within", "by less than how many per cent they differ, up to 5, such as 0.1"),
    ("rack-days.KIND", "days on the rack where nobody weighs it, 0.5 to 100"),
    ("ready-days.KIND", "days from take-in to ready, by the owner's own table, 1 to 1000"),
    ("ready-share", "the share of heads that a promised day is to hold for, 50 to 95 per cent"),
    ("photo-megabytes", "the largest photo that is kept, 1 to 200"),
    ("photos-gigabytes", "how much all photos may take, 1 to 100000"),
    ("call-tries", "after how many calls in vain a letter is the next thing, 1 to 20"),
    ("call-again", "days until a customer who was reached is called again, 1 to 90"),
    ("holds.PLACE", "how many skulls a place holds, 1 to 1000"),
    ("step-minutes.STEP", "minutes that a step takes a hand, 0 to 600, such as 25 for flesh"),
    ("thaw-hours.KIND", "hours from out of the freezer to thawed, 1 to 240"),
    (
        "look-again.WHERE",
        "how long after a look the next is due, 1min to 30d, such as 20min; WHERE is pot, tub, tank or a place",
    ),
    ("opens-at", "the hour at which work begins in the morning, 0 to 23"),
    ("season-begins", "month and day on which a season begins, such as 07-01"),
];

/// Every name, for a refusal.
pub fn names() -> String {
    HABITS.iter().map(|(name, _)| *name).collect::<Vec<_>>().join(", ")
}

/// Whether a setting may have a value; nothing if it is not one of these.
pub fn check(state: &State, setting: &str, value: &str) -> Option<Result<(), String>> {
    let (family, of) = setting.split_once('.').unwrap_or((setting, ""));
    let say = |right: bool, takes: &str| {
        if right { Ok(()) } else { Err(format!("{setting} takes {takes}, not {value}")) }
    };
    let within = |low: f64, high: f64| number(value).is_some_and(|n| n >= low && n <= high);
    let whole = |low: f64, high: f64| {
        within(low, high) && number(value).is_some_and(|n| n.fract().abs() < f64::EPSILON)
    };
    let takes = HABITS.iter().find(|(name, _)| {
        name.split_once('.')
            .map_or(*name == setting, |(start, _)| start == family && !of.is_empty())
    });
    let (name, takes) = takes?;
    let what_of = name.split_once('.').map(|(_, what)| what);
    if what_of == Some("KIND") && !Group::ALL.iter().any(|group| group.word() == of) {
        let kinds: Vec<&str> = Group::ALL.iter().map(|group| group.word()).collect();
        return Some(Err(format!("{of} is no kind of animal; there are {}", kinds.join(", "))));
    }
    if what_of == Some("STEP") && !STEP_MINUTES.iter().any(|(step, _)| *step == of) {
        let steps: Vec<&str> = STEP_MINUTES.iter().map(|(step, _)| *step).collect();
        return Some(Err(format!("{of} is no step of a hand; there are {}", steps.join(", "))));
    }
    let is_place = |name: &str| state.shop().places.keys().any(|place| place.as_str() == name);
    if what_of == Some("WHERE")
        && !LOOK_AGAIN.iter().any(|(kind, _)| kind.word() == of)
        && !is_place(of)
    {
        return Some(Err(format!(
            "{of} is neither pot, tub or tank nor a place; add the place first"
        )));
    }
    if what_of == Some("PLACE") && !is_place(of) {
        return Some(Err(format!("there is no place {of}; add it first")));
    }
    Some(match family {
        "dry-weighings" => say(whole(2.0, 10.0), takes),
        "dry-apart" => say(hours(value).is_some_and(|h| h.0 > 0.0 && h.0 <= 720.0), takes),
        "dry-within" => say(within(0.001, 5.0), takes),
        "rack-days" => say(within(0.5, 100.0), takes),
        "photo-megabytes" => say(whole(1.0, 200.0), takes),
        "photos-gigabytes" => say(whole(1.0, 100_000.0), takes),
        "ready-days" | "holds" => say(whole(1.0, 1000.0), takes),
        "step-minutes" => say(within(0.0, 600.0), takes),
        "thaw-hours" => say(within(1.0, 240.0), takes),
        "look-again" => say(again(value).is_some(), takes),
        "opens-at" => say(whole(0.0, 23.0), takes),
        "season-begins" => say(month_and_day(value, COMMON_YEAR).is_some(), takes),
        "call-tries" => say(whole(1.0, 20.0), takes),
        "call-again" => say(whole(1.0, 90.0), takes),
        _ => say(within(50.0, 95.0), takes),
    })
}

/// When a mass counts as constant.
pub fn dry_rule(state: &State) -> Rule {
    let usual = Rule::USUAL;
    let set = |name: &str| state.shop().setting(name);
    Rule {
        weighings: set("dry-weighings").and_then(|v| v.parse().ok()).unwrap_or(usual.weighings),
        apart: set("dry-apart").and_then(hours).unwrap_or(usual.apart),
        percent: set("dry-within").and_then(number).unwrap_or(usual.percent),
    }
}

/// How long a skull is on the rack where nobody weighs it, if the shop set that for the kind.
pub fn rack_days(state: &State, group: Group) -> Option<Hours> {
    let set = state.shop().setting(&format!("rack-days.{group}")).and_then(number);
    set.map(|days| Hours(days * 24.0))
}

/// Days from take-in to ready by the owner's own table, if there is one for the kind.
pub fn ready_days(state: &State, group: Group) -> Option<f64> {
    state.shop().setting(&format!("ready-days.{group}")).and_then(number)
}

/// The share of heads that a promised day is to hold for: 8 of 10 where none is set.
pub fn ready_share(state: &State) -> f64 {
    state.shop().setting("ready-share").and_then(number).unwrap_or(80.0) / 100.0
}

/// After how many calls in vain a letter is the next thing: 3 where none is set.
pub fn call_tries(state: &State) -> u32 {
    state.shop().setting("call-tries").and_then(|value| value.parse().ok()).unwrap_or(3)
}

/// Days until a customer who was reached is called again: 7 where none is set.
pub fn call_again(state: &State) -> i64 {
    state.shop().setting("call-again").and_then(|value| value.parse().ok()).unwrap_or(7)
}

/// How many skulls a place holds, if that is set.
pub fn holds(state: &State, place: &Name) -> Option<u32> {
    state.shop().setting(&format!("holds.{place}")).and_then(|value| value.parse().ok())
}

/// What a hand does for a skull, and the minutes that it takes where the shop set none (common
/// practice, no source): the owner's own clock is better.
pub const STEP_MINUTES: &[(&str, u32)] = &[
    ("take-in", 8),
    ("flesh", 25),
    ("wrap", 4),
    ("simmer", 12),
    ("wash", 12),
    ("degrease", 10),
    ("whiten", 8),
    ("dry", 3),
    ("glue", 6),
    ("coat", 8),
    ("inspect", 4),
    ("hand-over", 6),
];

/// The minutes that a step takes a hand, and whether the shop set them.
pub fn step_minutes(state: &State, step: &str) -> (f64, bool) {
    let set = state.shop().setting(&format!("step-minutes.{step}")).and_then(number);
    let usual = STEP_MINUTES.iter().find(|(name, _)| *name == step);
    let usual = usual.map_or(0.0, |(_, minutes)| f64::from(*minutes));
    (set.unwrap_or(usual), set.is_some())
}

/// From out of the freezer to thawed, for the knife; in a cold room, where none is set (common
/// practice, no source).
pub fn thaw(state: &State, group: Group) -> Hours {
    let set = state.shop().setting(&format!("thaw-hours.{group}")).and_then(number);
    Hours(set.unwrap_or(match group {
        Group::Moose => 48.0,
        Group::Elk | Group::Bear | Group::Hog => 36.0,
        Group::Deer | Group::Horned | Group::Other => 24.0,
        Group::Small => 12.0,
    }))
}

/// After how long to look again where the shop set nothing, by where it lies: minutes. Common practice,
/// no source.
pub const LOOK_AGAIN: [(PlaceKind, i64); 3] =
    [(PlaceKind::Pot, 20), (PlaceKind::Tub, 60), (PlaceKind::Tank, 24 * 60)];

/// How many minutes after a look at what lies in a place the next look is due: as set for the place,
/// else for its kind, else as above; a day in the dry, and as in a pot where the kind is not known.
pub fn look_again(state: &State, place: &Name) -> i64 {
    let kind = state.shop().places.get(place).map(|place| place.kind);
    let set = |of: &str| state.shop().setting(&format!("look-again.{of}")).and_then(again);
    let kind_set = || set(kind.map(PlaceKind::word)?);
    set(place.as_str()).or_else(kind_set).unwrap_or_else(|| {
        let usual = LOOK_AGAIN.iter().find(|(usual, _)| kind.is_none_or(|kind| kind == *usual));
        usual.map_or(24 * 60, |(_, minutes)| *minutes)
    })
}

/// Minutes from 1 to 30 days, as a span.
fn again(value: &str) -> Option<i64> {
    let minutes = Span::read(value).ok()?.minutes().to_i64()?;
    (1..=30 * 24 * 60).contains(&minutes).then_some(minutes)
}

/// The hour at which work begins in the morning: 8 where none is set.
pub fn opens_at(state: &State) -> i8 {
    state.shop().setting("opens-at").and_then(|value| value.parse().ok()).unwrap_or(8)
}

/// The year in which the season of a day began: a head of January belongs to the autumn before.
///
/// A season begins on 1 July where the shop has not said otherwise.
pub fn season_of(state: &State, day: Day) -> i16 {
    let year = day.0.year();
    let set = state.shop().setting("season-begins");
    let begins = |text: &str| month_and_day(text, year);
    match set.and_then(begins).or_else(|| begins("07-01")) {
        Some(begins) if day < begins => year.saturating_sub(1),
        Some(_) | None => year,
    }
}

/// A year that has no 29 February, for reading a month and a day.
const COMMON_YEAR: i16 = 2025;

/// How many bytes a photo may have: 25 MB where none is set.
pub fn photo_bytes(state: &State) -> u64 {
    let set = state.shop().setting("photo-megabytes").and_then(|value| value.parse::<u64>().ok());
    set.unwrap_or(25).saturating_mul(1_000_000)
}

/// How many bytes all photos may take: 50 GB where none is set.
pub fn photos_bytes(state: &State) -> u64 {
    let set = state.shop().setting("photos-gigabytes").and_then(|value| value.parse::<u64>().ok());
    set.unwrap_or(50).saturating_mul(1_000_000_000)
}

fn number(value: &str) -> Option<f64> {
    let bare = value.trim().trim_end_matches('%').trim();
    rust_decimal::Decimal::read(bare).ok()?.to_f64()
}

fn hours(value: &str) -> Option<Hours> {
    Some(Hours(Span::read(value).ok()?.minutes().to_f64()? / 60.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_head_of_january_belongs_to_the_season_that_began_in_the_autumn_before() {
        let day = |text: &str| Day::read(text).unwrap();
        let state = State::new();
        assert_eq!(season_of(&state, day("2025-11-08")), 2025);
        assert_eq!(season_of(&state, day("2026-01-15")), 2025);
        assert_eq!(season_of(&state, day("2026-06-30")), 2025);
        assert_eq!(season_of(&state, day("2026-07-01")), 2026);
        assert!(matches!(check(&state, "season-begins", "02-30"), Some(Err(_))));
        assert!(matches!(check(&state, "season-begins", "09-01"), Some(Ok(()))));
    }

    #[test]
    fn each_setting_takes_what_its_words_say() {
        let state = State::new();
        let said = |setting: &str, value: &str| check(&state, setting, value);
        for (setting, value) in [
            ("dry-weighings", "2"),
            ("dry-apart", "48h"),
            ("dry-within", "0.2 %"),
            ("rack-days.bear", "14"),
            ("ready-days.deer", "60"),
            ("ready-share", "90"),
            ("thaw-hours.deer", "30"),
            ("opens-at", "7"),
            ("photo-megabytes", "40"),
            ("photos-gigabytes", "200"),
            ("step-minutes.flesh", "25"),
            ("look-again.pot", "15min"),
            ("look-again.tank", "2d"),
        ] {
            assert_eq!(said(setting, value), Some(Ok(())), "{setting} {value}");
        }
        for (setting, value) in [
            ("dry-weighings", "1"),
            ("dry-weighings", "2.5"),
            ("dry-apart", "48"),
            ("dry-within", "0"),
            ("rack-days.unicorn", "14"),
            ("ready-days.deer", "0"),
            ("ready-share", "100"),
            ("photo-megabytes", "0"),
            ("photos-gigabytes", "1.5"),
            ("holds.pot-9", "4"),
            ("thaw-hours.deer", "0"),
            ("opens-at", "24"),
            ("step-minutes.flesh", "601"),
            ("step-minutes.sleep", "5"),
            ("look-again.pot", "20"),
            ("look-again.tub", "31d"),
            ("look-again.rack", "1d"),
            ("look-again.pot-9", "20min"),
        ] {
            assert!(matches!(said(setting, value), Some(Err(_))), "{setting} {value}");
        }
        assert_eq!(said("altitude", "1600"), None);
        assert_eq!(said("rack-days", "14"), None);
    }
}
