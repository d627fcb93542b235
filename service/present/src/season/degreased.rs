//! How long degreasing took, and how warm the water was: what another temperature is reckoned from.

use burrline_domain::{
    State,
    fold::{Job, Until},
};
use burrline_proto::v1;
use burrline_terms::{
    Moment, Temperature,
    words::{Group, Piece, PlaceKind},
};
use rust_decimal::Decimal;

use super::{Step, Way};
use crate::{
    readings::{self, Reading, Unreadable, View},
    units::Units,
    view,
};

const MINUTE_MS: i64 = 60_000;

impl Reading for readings::Degreased {
    type Response = v1::DegreasedResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::DegreasedResponse, Unreadable> {
        Ok(v1::DegreasedResponse { lines: degreased(view.state, self.kind) })
    }
}

/// The heads that went on from degreasing to a later step, by when they did.
pub fn degreased(state: &State, kind: Option<Group>) -> Vec<v1::DegreasedLine> {
    let of_kind = |job: &&Job| kind.is_none_or(|kind| state.group_of(job) == kind);
    let mut done: Vec<(Moment, v1::DegreasedLine)> =
        state.jobs().values().filter(of_kind).filter_map(|job| one(state, job)).collect();
    done.sort_by_key(|(until, _)| *until);
    done.into_iter().map(|(_, line)| line).collect()
}

fn one(state: &State, job: &Job) -> Option<(Moment, v1::DegreasedLine)> {
    let tank = |stay: &&burrline_domain::fold::Stay| {
        let kind = state.shop().places.get(&stay.place).map(|place| place.kind);
        stay.piece == Piece::Skull && kind == Some(PlaceKind::Tank)
    };
    let (mut ms, mut last, mut read) = (0_i64, None, Vec::new());
    for stay in job.stays.iter().filter(tank) {
        // One that goes on is not done.
        let until = match stay.until {
            Until::Now => return None,
            Until::Said(when) | Until::Unsaid(when) => when.at,
        };
        ms = ms.saturating_add(until.since(stay.from.at).max(0));
        last = last.max(Some(until));
        let baths = state.waters().get(&stay.place).into_iter().flat_map(|water| &water.baths);
        let heats = baths.flat_map(|bath| &bath.heat);
        read.extend(heats.filter_map(|(when, _, temperature)| {
            (stay.from.at..=until).contains(&when.at).then_some(*temperature)?
        }));
    }
    let last = last.filter(|_| ms > 0)?;
    let way = Way::of(state, job);
    let on = |step: Step| matches!(step, Step::Whiten | Step::Dry | Step::Coat);
    way.passages.iter().find(|(step, at)| on(*step) && *at >= last)?;
    let (minutes, warm) = (ms.checked_div(MINUTE_MS).unwrap_or(0), mean(&read));
    let line = v1::DegreasedLine {
        skull: Some(view::skull_line(state, job)),
        kind: state.group_of(job).to_string(),
        minutes,
        celsius: warm.map(|mean| mean.to_string()),
        readings: super::count(read.len()),
        took: view::minutes(minutes),
        how_warm: warm.map_or("not read".to_owned(), |mean| {
            let read = Temperature { number: mean, fahrenheit: false };
            Units::of(state).temperature(read)
        }),
    };
    Some((last, line))
}

/// The mean of what was read, to a tenth of a degree.
fn mean(read: &[Temperature]) -> Option<Decimal> {
    let sum = read.iter().fold(Decimal::ZERO, |sum, t| sum.saturating_add(t.celsius()));
    Some(sum.checked_div(Decimal::from(read.len()))?.round_dp(1).normalize())
}
