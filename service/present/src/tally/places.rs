//! Skull-days by place, week by week, against what a place holds.

use std::collections::BTreeMap;

use burrline_domain::{
    State,
    fold::{Stay, Until},
};
use burrline_proto::v1;
use burrline_reckon::working::digits;
use burrline_terms::{Moment, Name, words::Piece};
use jiff::civil::Date;
use rust_decimal::prelude::ToPrimitive as _;

use super::{case, columns, row};
use crate::view::Zone;

const WEEK_MS: i64 = 7 * 86_400_000;

/// Skull-days by place and week, by its Monday.
type Weeks = BTreeMap<(Name, Date), i64>;

/// A row a place and week: skull-days, what the place holds in a week, and how much of that it was.
pub(super) fn skull_days(state: &State, season: Option<i16>, now: Moment) -> v1::TallyResponse {
    let zone = Zone::of(state);
    let mut weeks = Weeks::new();
    for stay in state.jobs().values().flat_map(|job| &job.stays) {
        if stay.piece == Piece::Skull {
            add(&mut weeks, &zone, stay, now);
        }
    }
    let of_season = |monday: Date| {
        let year = state.settings().season_of(burrline_terms::Day(monday));
        season.is_none_or(|season| season == year)
    };
    let mut unset: Vec<String> = Vec::new();
    let mut rows = Vec::new();
    for ((place, monday), ms) in weeks.iter().filter(|((_, monday), _)| of_season(*monday)) {
        let days = ms.to_f64().unwrap_or(0.0) / 86_400_000.0;
        let holds = state.settings().holds(place);
        if holds.is_none() && !unset.contains(&place.to_string()) {
            unset.push(place.to_string());
        }
        let room = holds.map(|holds| f64::from(holds) * 7.0);
        let share = room.map(|room| format!("{} %", digits(100.0 * days / room, 3)));
        rows.push(row([
            place.to_string(),
            case::kind(state, place).map(|kind| kind.word().to_owned()).unwrap_or_default(),
            monday.to_string(),
            digits(days, 3),
            room.map(|room| digits(room, 4)).unwrap_or_default(),
            share.unwrap_or_default(),
        ]));
    }
    let mut notes = vec![
        "A skull-day is one skull in a place for a day and a night. \u{201c}Room\u{201d} is what the \
         place holds, seven days long; a place may be full on a day of a week that looks half empty."
            .to_owned(),
    ];
    if !unset.is_empty() {
        notes.push(format!(
            "How many these hold is not set: {}. Say it as in `burrline set-shop holds.{} 8`.",
            unset.join(", "),
            unset.first().map_or("", String::as_str)
        ));
    }
    v1::TallyResponse {
        columns: columns(&["place", "kind", "week of", "skull-days", "room", "of it"]),
        rows,
        notes,
    }
}

/// Adds a stay to every week that it touches.
fn add(weeks: &mut Weeks, zone: &Zone, stay: &Stay, now: Moment) {
    let until = match stay.until {
        Until::Now => now,
        Until::Said(when) | Until::Unsaid(when) => when.at.min(now),
    };
    let Some(mut monday) = zone.day(stay.from.at).and_then(|day| monday_of(day.0)) else { return };
    let starts = |date: Date| {
        let midnight = date.to_zoned_datetime(zone.0.clone());
        midnight.map_or(i64::MAX, |midnight| midnight.timestamp().as_millisecond())
    };
    loop {
        let Ok(next) = monday.checked_add(jiff::Span::new().days(7)) else { return };
        let (from, to) = (starts(monday), starts(next));
        let ms = until.0.min(to).saturating_sub(stay.from.at.0.max(from));
        // Between two midnights of a spring week lies an hour less; it is no week of more than seven.
        if ms > 0 {
            let sum = weeks.entry((stay.place.clone(), monday)).or_default();
            *sum = sum.saturating_add(ms.min(WEEK_MS));
        }
        if until.0 <= to {
            return;
        }
        monday = next;
    }
}

fn monday_of(date: Date) -> Option<Date> {
    let back = i64::from(date.weekday().to_monday_zero_offset());
    date.checked_sub(jiff::Span::new().try_days(back).ok()?).ok()
}
