//! The present as people read it.

mod dry;
mod due;
mod find;
mod floor;
mod job;
mod paper;
mod recipes;
mod reckoned;
mod rings;
pub mod sides;
mod skull;
mod stock;
mod tag_then;
mod trail;
mod unplaced;
mod ways;
mod words;

pub use dry::{Drying, drying, measuring};
pub use due::{change_due, due, minutes};
pub(crate) use due::{look_due, water_due};
pub use find::find;
pub use floor::{floor, floor_at, piece_line, place_line};
pub use job::job_view;
pub(crate) use job::times;
pub use paper::{comparison, law_dates};
pub(crate) use paper::{records_kept_through, storage};
pub use recipes::{newest_of, recipes, version_of};
pub use reckoned::reckoned;
pub use rings::rings;
pub(crate) use skull::doing_in;
pub use skull::{near, other_wearers, said_back, skull_line, which, which_ever};
pub use stock::stock;
pub use tag_then::{has_left, not_here_then, tag_then, tag_today};
pub use trail::{
    brief_figures, corrections, figures, known_then, late, name_of, trail, trail_line, trail_of,
};
pub use unplaced::{Unplaced, unplaced};
pub use words::words;

use burrline_domain::{
    Record, State,
    fold::{Cause, Loss, Misfit, Route},
    verb::On,
};
use burrline_proto::v1;
use burrline_terms::{Day, EntryName, Happened, Moment, Name, words::PlaceKind};

use crate::{
    misfits,
    readings::{self, Reading, Unreadable, View},
};

/// What the shop says that it lost, as one line.
pub fn loss(zone: &Zone, loss: &Loss) -> String {
    let (from, to) = (loss.from, loss.to.saturating_sub(1));
    let at = zone.time(loss.at, None);
    if loss.to <= loss.from {
        // What it lost is known to nobody but a bench that did not come.
        return format!(
            "the shop says that it goes on from record {from} of its log without what a bench may have \
             had after that ({at}): {}",
            loss.words
        );
    }
    format!("the shop says that it lost records {from} to {to} of its log ({at}): {}", loss.words)
}

/// The least time that a clock on a page shows.
pub(crate) const MINUTE_MS: i64 = 60_000;

/// What a view needs beside the present: the shop's zone.
#[derive(Debug, Clone)]
pub struct Zone(pub jiff::tz::TimeZone);

impl Zone {
    /// The shop's zone; universal time if none is set.
    pub fn of(state: &State) -> Self {
        let name = state.settings().zone().unwrap_or("UTC");
        Self(jiff::tz::TimeZone::get(name).unwrap_or(jiff::tz::TimeZone::UTC))
    }

    /// The time of day, with the day where it is another one than `beside`.
    pub fn time(&self, at: Moment, beside: Option<Moment>) -> String {
        let Ok(time) = jiff::Timestamp::from_millisecond(at.0) else { return "?".to_owned() };
        let time = time.to_zoned_datetime(self.0.clone());
        let other_day = beside.is_none_or(|beside| {
            jiff::Timestamp::from_millisecond(beside.0)
                .is_ok_and(|b| b.to_zoned_datetime(self.0.clone()).date() != time.date())
        });
        let format = if other_day { "%a %d %b %H:%M" } else { "%H:%M" };
        time.strftime(format).to_string()
    }

    /// The day of a moment.
    pub fn day(&self, at: Moment) -> Option<Day> {
        let time = jiff::Timestamp::from_millisecond(at.0).ok()?;
        Some(Day(time.to_zoned_datetime(self.0.clone()).date()))
    }

    /// The moment when a day begins.
    pub fn begins(&self, day: Day) -> Option<Moment> {
        let begins = self.0.to_ambiguous_zoned_datetime(day.0.at(0, 0, 0, 0)).compatible().ok()?;
        Some(Moment(begins.timestamp().as_millisecond()))
    }

    /// The doubt about a moment, empty if there is none that shows: times are read by the minute, so
    /// what lies within less than one is not said as "between 07:05 and 07:05".
    pub fn doubt(&self, happened: Happened) -> String {
        if happened.said {
            let typed = self.time(happened.typed, Some(happened.at));
            let from = self.time(happened.not_before, Some(happened.typed));
            if happened.not_before == happened.not_after {
                return format!("{from} said, typed {typed}");
            }
            let until = self.time(happened.not_after, Some(happened.not_before));
            return format!("{from} to {until} said, typed {typed}");
        }
        if happened.not_after.since(happened.not_before) < MINUTE_MS {
            return String::new();
        }
        let from = self.time(happened.not_before, None);
        let until = self.time(happened.not_after, Some(happened.not_before));
        format!("between {from} and {until}")
    }
}

/// Whether a record counts when it is asked what was known by the first `known` records.
pub fn was_known(record: &Record, known: Option<u64>) -> bool {
    known.is_none_or(|known| record.position < known)
}

/// What had happened by `of`, of a present that is known.
///
/// What was true then is told by what is known now: corrections and the shop's own decisions count
/// whenever they came, and times count as they were put right.
pub fn as_of(state: State, of: Option<Moment>) -> State {
    let Some(of) = of else { return state };
    state.only(|record| {
        let spec = record.entry.verb.spec();
        let of_the_story = matches!(spec.on, On::TakeIn | On::Skull | On::Place);
        !of_the_story || record.happened.at <= of
    })
}

/// What kind of place a place is, if anybody added it.
pub(crate) fn kind_of(state: &State, place: &Name) -> Option<PlaceKind> {
    state.shop().places.get(place).map(|place| place.kind)
}

impl Reading for readings::Clashes {
    type Response = v1::ClashesResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::ClashesResponse, Unreadable> {
        Ok(v1::ClashesResponse { lines: clashes(view.state) })
    }
}

/// Every clash as a line.
pub fn clashes(state: &State) -> Vec<v1::ClashLine> {
    state.clashes().into_iter().map(|clash| clash_line(state, clash)).collect()
}

/// What hangs on a wall: what a hand at a bench can put right. Who said what is for the desk.
pub fn clashes_on_wall(state: &State) -> Vec<v1::ClashLine> {
    let all = state.clashes().into_iter();
    let shown = all.filter(|clash| !matches!(clash.cause, Cause::NotForRole { .. }));
    shown.map(|clash| clash_line(state, clash)).collect()
}

fn clash_line(state: &State, clash: burrline_domain::fold::Clash) -> v1::ClashLine {
    use burrline_proto::Wire;
    v1::ClashLine {
        skull: clash.job.and_then(|job| state.job(job)).map(|job| skull_line(state, job)),
        tag: clash.tag.as_ref().map(ToString::to_string).unwrap_or_default(),
        entry: Some(clash.entry.to_item()),
        words: with_tag_then(state, clash.entry, misfits::words(state, &clash)),
        happened_ms: clash.at.0,
    }
}

/// The words of a line that is on no job, with what its tag was then.
pub fn with_tag_then(state: &State, entry: EntryName, words: String) -> String {
    let Some(Route::Unplaced(Misfit::UnknownTag(tag))) = state.route(entry) else { return words };
    let Some(fact) = state.fact(entry) else { return words };
    match tag_then(state, tag, fact.key.at) {
        Some(then) => format!("{words} ({then})"),
        None => words,
    }
}
