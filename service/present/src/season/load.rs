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

/// How many weeks are looked at: a year, and as much more that on the day before a season the whole
/// of the last one is still there, with whatever opening day the law gave it.
const WEEKS: u32 = 56;

/// The same week a year on is so many weeks later: it begins on the same day of the week.
const YEAR: u32 = 52;

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

/// What one place had over all the weeks.
#[derive(Debug, Clone)]
struct Past {
    weeks: Vec<Week>,
    /// How long each stay was that is over.
    stays: Vec<f64>,
    /// Each moment at which one more was there, or one less, in order.
    changes: BTreeMap<Moment, i32>,
}

impl Default for Past {
    fn default() -> Self {
        let weeks = (0..WEEKS).map(|_| Week::default()).collect();
        Self { weeks, stays: Vec::new(), changes: BTreeMap::new() }
    }
}

/// How full a place was by the hour.
#[derive(Debug, Clone, Copy, Default)]
struct Fullest {
    /// The most at once, and since when.
    most: i32,
    at: Option<Moment>,
    /// Days with anything in it, and how many were in it then, on average.
    in_use: f64,
    mean: f64,
}

impl Past {
    /// How full it was between two moments.
    fn fullest(&self, from: Moment, until: Moment) -> Fullest {
        let mut fullest = Fullest::default();
        self.levels(from, until, |level, since, until| {
            if level > fullest.most {
                (fullest.most, fullest.at) = (level, Some(since));
            }
            if level > 0 {
                let long = days(until.since(since));
                fullest.in_use += long;
                fullest.mean += long * f64::from(level);
            }
        });
        fullest.mean /= fullest.in_use.max(f64::MIN_POSITIVE);
        fullest
    }

    /// For how many days more than this were in it, at so many times as many.
    fn over(&self, holds: u32, times: f64, from: Moment, until: Moment) -> f64 {
        let mut over = 0.0;
        self.levels(from, until, |level, since, until| {
            if f64::from(level) * times > f64::from(holds) {
                over += days(until.since(since));
            }
        });
        over
    }

    /// Each stretch of an even number between two moments.
    fn levels(&self, from: Moment, until: Moment, mut stretch: impl FnMut(i32, Moment, Moment)) {
        let (mut level, mut since) = (0_i32, from);
        for (at, by) in self.changes.range(..until) {
            if *at > since {
                stretch(level, since, *at);
                since = *at;
            }
            level = level.saturating_add(*by);
        }
        if until > since {
            stretch(level, since, until);
        }
    }
}

/// Each place over the last weeks before `now`, with `times` as many skulls: its worst week, its fullest
/// hours, how often it is then too small, and how many it should hold. Places with nothing in them are
/// left out.
pub fn load(state: &State, times: f64, now: Moment) -> Vec<v1::LoadLine> {
    let first = later(now, -7.0 * f64::from(WEEKS));
    let mut by_place: BTreeMap<&Name, Past> = BTreeMap::new();
    for stay in state.jobs().values().flat_map(|job| &job.stays) {
        let (from, until) = (stay.from.at, until(stay, now));
        if stay.piece != Piece::Skull || until < first || from > now {
            continue;
        }
        let past = by_place.entry(&stay.place).or_default();
        for (number, week) in (0..WEEKS).zip(past.weeks.iter_mut()) {
            let start = later(first, 7.0 * f64::from(number));
            let end = later(start, 7.0);
            week.mean += days(until.min(end).since(from.max(start)).max(0)) / 7.0;
            week.came = week.came.saturating_add(u32::from(from >= start && from < end));
        }
        if until > from {
            for (at, by) in [(from, 1), (until, -1)] {
                let change = past.changes.entry(at).or_default();
                *change = change.saturating_add(by);
            }
        }
        if until < now {
            past.stays.push(days(until.since(from)));
        }
    }
    by_place.iter().filter_map(|(place, past)| line(state, place, past, times, now)).collect()
}

fn line(state: &State, place: &Name, past: &Past, times: f64, now: Moment) -> Option<v1::LoadLine> {
    let zone = Zone::of(state);
    let first = later(now, -7.0 * f64::from(WEEKS));
    let kind = state.shop().places.get(place).map(|place| place.kind);
    let weeks = &past.weeks;
    let (number, worst) = (0_u32..).zip(weeks).max_by(|a, b| a.1.mean.total_cmp(&b.1.mean))?;
    let mean = worst.mean * times;
    if mean <= 0.0 {
        return None;
    }
    let holds = state.settings().holds(place);
    let begins = |number: u32| later(first, 7.0 * f64::from(number));
    let week_of = |number: u32| past.fullest(begins(number), begins(number.saturating_add(1)));
    let fullest = week_of(number);
    let most = f64::from(fullest.most) * times;
    // Its fullest hours count as much as its average: what does not fit at noon does not fit.
    let chance = (1..=1000).find(|holds| more_than(*holds, mean) <= FULL).unwrap_or(1000);
    let enough = chance.max(most.ceil().to_u32().unwrap_or(1000).clamp(1, 1000));
    let week = to_come(number, weeks);
    let day = |number: u32| zone.day(begins(number)).map(|day| day.to_string());
    let over = holds.map(|holds| more_than(holds, mean));
    let full = holds.map(|holds| {
        let is_full = |(number, week): &(u32, &Week)| {
            let most = f64::from(week_of(*number).most) * times;
            more_than(holds, week.mean * times) > FULL || most > f64::from(holds)
        };
        count((0_u32..).zip(weeks).filter(is_full).count())
    });
    let over_hours = holds.map(|holds| 24.0 * past.over(holds, times, first, now));
    let seen = day(number)?;
    let mut words = vec![format!("{} in it on average in its worst week", about(mean))];
    if let Some(at) = fullest.at {
        let at = zone.time(at, None);
        words.push(format!("{} at once in its fullest hours, from {at}", most.ceil()));
    }
    if fullest.in_use < 6.0 {
        words.push(format!(
            "in use {} of the 168 hours of that week, then with {} on average",
            about(24.0 * fullest.in_use),
            about(fullest.mean * times)
        ));
    }
    if let (Some(holds), Some(over), Some(full), Some(hours)) = (holds, over, full, over_hours) {
        words.push(format!(
            "it holds {holds}, by chance too few {} % of that week",
            about(100.0 * over)
        ));
        words.push(match hours {
            0.0 => format!("never more than {holds} at once"),
            hours => format!("more than {holds} at once for {} hours in all", about(hours)),
        });
        words.push(match full {
            0 => "never full".to_owned(),
            1 => "full in 1 week of the last 56".to_owned(),
            weeks => format!("full in {weeks} weeks of the last 56"),
        });
        words.extend(waiting(holds, worst.came, &past.stays, times));
    } else {
        let set = format!("`burrline set-shop holds.{place} 4`");
        words.push(format!("how many it holds is not set: {set}"));
    }
    words.push(format!("{enough} would do 9 times in 10, and in the fullest hours"));
    Some(v1::LoadLine {
        place: place.to_string(),
        kind: kind.map(PlaceKind::word).unwrap_or_default().to_owned(),
        holds,
        week: day(week)?,
        mean: digits(mean, 3),
        too_few_percent: over.map(|over| digits(100.0 * over, 3)).unwrap_or_default(),
        full_weeks: full,
        enough,
        words: words.join("; "),
        most: digits(most, 3),
        over_hours: over_hours.map(|hours| digits(hours, 3)).unwrap_or_default(),
        seen_week: seen,
    })
}

/// When the worst week comes again: a year on. Where that is over already, the season is late this year
/// unless the place was as busy again, and comes as from now on.
fn to_come(worst: u32, weeks: &[Week]) -> u32 {
    let a_year_on = worst.saturating_add(YEAR);
    if a_year_on >= WEEKS {
        return a_year_on;
    }
    let mean =
        |number: &u32| usize::try_from(*number).ok().and_then(|n| weeks.get(n)).map(|w| w.mean);
    let most = mean(&worst).unwrap_or_default();
    let as_busy = |number: u32| mean(&number).is_some_and(|mean| 2.0 * mean >= most);
    if (YEAR..WEEKS).any(as_busy) { a_year_on.saturating_add(YEAR) } else { WEEKS }
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
