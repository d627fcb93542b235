//! The shop's own figures: settings that are numbers, with what holds where none is set.

use burrline_terms::{
    field::Typed as _,
    name::Name,
    time::Day,
    units::Span,
    words::{Group, PlaceKind},
};
use rust_decimal::{Decimal, prelude::ToPrimitive as _};

use crate::{fold::State, house::month_and_day};

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
    let within = |low: Decimal, high: Decimal| {
        number(value).is_some_and(|number| (low..=high).contains(&number))
    };
    let whole = |low: i64, high: i64| {
        within(low.into(), high.into()) && number(value).is_some_and(|n| n.is_integer())
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
        "dry-weighings" => say(whole(2, 10), takes),
        "dry-apart" => say(
            minutes(value).is_some_and(|m| m > Decimal::ZERO && m <= Decimal::from(720 * 60)),
            takes,
        ),
        "dry-within" => say(within(Decimal::new(1, 3), Decimal::from(5)), takes),
        "rack-days" => say(within(Decimal::new(5, 1), Decimal::ONE_HUNDRED), takes),
        "photo-megabytes" => say(whole(1, 200), takes),
        "photos-gigabytes" => say(whole(1, 100_000), takes),
        "ready-days" | "holds" => say(whole(1, 1000), takes),
        "step-minutes" => say(within(Decimal::ZERO, Decimal::from(600)), takes),
        "thaw-hours" => say(within(Decimal::ONE, Decimal::from(240)), takes),
        "look-again" => say(again(value).is_some(), takes),
        "opens-at" => say(whole(0, 23), takes),
        "season-begins" => say(month_and_day(value, COMMON_YEAR).is_some(), takes),
        "call-tries" => say(whole(1, 20), takes),
        "call-again" => say(whole(1, 90), takes),
        _ => say(within(Decimal::from(50), Decimal::from(95)), takes),
    })
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
    let minutes = minutes(value)?.to_i64()?;
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

/// A plain number, with or without a sign for per cent.
pub fn number(value: &str) -> Option<Decimal> {
    Decimal::read(value.trim().trim_end_matches('%').trim()).ok()
}

/// The minutes of a span.
pub fn minutes(value: &str) -> Option<Decimal> {
    Some(Span::read(value).ok()?.minutes())
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
