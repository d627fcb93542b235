//! How many skulls are in which place, week by week, and at next year's number.

use std::collections::BTreeMap;

use burrline_domain::{
    State,
    fold::{Stay, Until},
};
use burrline_proto::v1;
use burrline_reckon::{
    queues::{Arrivals, Finishes, Line, more_than},
    working::digits,
};
use burrline_terms::{
    Moment, Name,
    words::{Piece, PlaceKind},
};
use rust_decimal::prelude::ToPrimitive as _;

use super::{about, count, days, later};
use crate::view::Zone;

/// How many weeks are looked at: one year.
const WEEKS: u32 = 52;

/// A place counts as full in a week if more than it holds would be there this often or more.
const FULL: f64 = 0.10;

/// What one place had in one week.
#[derive(Debug, Clone, Copy, Default)]
struct Week {
    /// How many were there, on average over the week.
    mean: f64,
    /// How many went in.
    came: u32,
}

/// Each place over the year before `now`, with `times` as many skulls: its worst week, how often
/// it is then too small, and how many it should hold. Places with nothing in them are left out.
pub fn load(state: &State, times: f64, now: Moment) -> Vec<v1::LoadLine> {
    let first = later(now, -7.0 * f64::from(WEEKS));
    let mut by_place: BTreeMap<&Name, Vec<Week>> = BTreeMap::new();
    let mut stays_of: BTreeMap<&Name, Vec<f64>> = BTreeMap::new();
    for stay in state.jobs().values().flat_map(|job| &job.stays) {
        let (from, until) = (stay.from.at, until(stay, now));
        if stay.piece != Piece::Skull || until < first || from > now {
            continue;
        }
        let weeks = by_place
            .entry(&stay.place)
            .or_insert_with(|| (0..WEEKS).map(|_| Week::default()).collect());
        for (number, week) in (0..WEEKS).zip(weeks.iter_mut()) {
            let start = later(first, 7.0 * f64::from(number));
            let end = later(start, 7.0);
            week.mean += days(until.min(end).since(from.max(start)).max(0)) / 7.0;
            week.came = week.came.saturating_add(u32::from(from >= start && from < end));
        }
        if until < now {
            stays_of.entry(&stay.place).or_default().push(days(until.since(from)));
        }
    }
    let zone = Zone::of(state);
    by_place
        .iter()
        .filter_map(|(place, weeks)| {
            let stays = stays_of.get(place).map(Vec::as_slice).unwrap_or_default();
            line(state, place, weeks, stays, times, first, &zone)
        })
        .collect()
}

fn line(
    state: &State,
    place: &Name,
    weeks: &[Week],
    stays: &[f64],
    times: f64,
    first: Moment,
    zone: &Zone,
) -> Option<v1::LoadLine> {
    let kind = state.shop().places.get(place).map(|place| place.kind);
    let (number, worst) = (0_u32..).zip(weeks).max_by(|a, b| a.1.mean.total_cmp(&b.1.mean))?;
    let mean = worst.mean * times;
    if mean <= 0.0 {
        return None;
    }
    let holds = state.settings().holds(place);
    let enough = (1..=1000).find(|holds| more_than(*holds, mean) <= FULL).unwrap_or(1000);
    // The same week a year on: 52 weeks later it begins on the same day of the week.
    let week = later(first, 7.0 * f64::from(number.saturating_add(WEEKS)));
    let week = jiff::Timestamp::from_millisecond(week.0).ok()?;
    let week = week.to_zoned_datetime(zone.0.clone()).date();
    let over = holds.map(|holds| more_than(holds, mean));
    let full = holds.map(|holds| {
        count(weeks.iter().filter(|week| more_than(holds, week.mean * times) > FULL).count())
    });
    let mut words = vec![format!("{} in it on average in its worst week", about(mean))];
    if let (Some(holds), Some(over), Some(full)) = (holds, over, full) {
        let over = about(100.0 * over);
        words.push(format!("it holds {holds}, too few {over} % of that week"));
        words.push(match full {
            0 => "never full".to_owned(),
            1 => "full in 1 week of the year".to_owned(),
            weeks => format!("full in {weeks} weeks of the year"),
        });
        words.extend(waiting(holds, worst.came, stays, times));
    } else {
        let set = format!("`burrline set-shop holds.{place} 4`");
        words.push(format!("how many it holds is not set: {set}"));
    }
    words.push(format!("{enough} would do 9 times in 10"));
    Some(v1::LoadLine {
        place: place.to_string(),
        kind: kind.map(PlaceKind::word).unwrap_or_default().to_owned(),
        holds,
        week: week.to_string(),
        mean: digits(mean, 3),
        too_few_percent: over.map(|over| digits(100.0 * over, 3)).unwrap_or_default(),
        full_weeks: full,
        enough,
        words: words.join("; "),
    })
}

/// How many would wait if they came all year as in the worst week, each for as long as they stay.
fn waiting(holds: u32, came: u32, stays: &[f64], times: f64) -> Option<String> {
    let stay = stays.iter().sum::<f64>() / stays.len().to_f64().filter(|n| *n > 0.0)?;
    let come = Arrivals(f64::from(came) * times / 7.0);
    match Line::before(holds, come, Finishes(1.0 / stay)) {
        Ok(line) => Some(format!(
            "{} % would wait for it, {} days on average",
            about(100.0 * line.waits),
            about(line.wait.0 / line.waits.max(f64::MIN_POSITIVE))
        )),
        Err(burrline_reckon::queues::NoQueue::NeverKeepsUp { needed, .. }) => {
            Some(format!("it cannot keep up with that week: work for {}", digits(needed, 2)))
        }
        Err(_) => None,
    }
}

fn until(stay: &Stay, now: Moment) -> Moment {
    match stay.until {
        Until::Now => now,
        Until::Said(when) | Until::Unsaid(when) => when.at.min(now),
    }
}
