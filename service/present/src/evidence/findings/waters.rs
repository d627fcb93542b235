//! How much heat the skull had and in which waters it was, as figures.

use burrline_domain::fold::{Bath, Stay, Until};
use burrline_terms::{
    Happened, Moment, Name, Temperature,
    words::{Piece, PlaceKind},
};

use super::{Finding, lines::Lines};
use crate::{units::Units, view};

const MINUTE_MS: i64 = 60_000;

pub(super) fn waters(lines: &Lines<'_>) -> Finding {
    let (state, job) = (lines.state, lines.job);
    let is_pot = |name: &Name| view::kind_of(state, name) == Some(PlaceKind::Pot);
    let heat = job.heat(is_pot, Happened::exactly(lines.upto));
    let mut answers = Vec::new();
    if heat.goes > 0 {
        answers.push(format!("in a pot: {heat}"));
    }
    let stays = job.stays.iter().filter(|stay| stay.piece == Piece::Skull);
    answers.extend(stays.filter_map(|stay| stayed(lines, stay)));
    let changes = state.changes_of(job);
    if changes > 0 {
        answers.push(format!("water changed around it: {}", view::times(changes)));
    }
    let question = "How much heat did it have, and in which waters was it?";
    Finding::or(question, answers, "no pot and no water is on record", false)
}

/// One stay in a water, or in a place that is for one: how long, how much water, how strong, how hot.
fn stayed(lines: &Lines<'_>, stay: &Stay) -> Option<String> {
    let (state, zone) = (lines.state, &lines.zone);
    let bath = state.waters().get(&stay.place).and_then(|water| water.bath_at(stay.from.at));
    let is_wet = view::kind_of(state, &stay.place).is_some_and(PlaceKind::is_wet);
    if bath.is_none() && !is_wet {
        return None;
    }
    let from = zone.time(stay.from.at, None);
    let end = match stay.until {
        Until::Now => "still in it".to_owned(),
        Until::Said(out) => format!("until {}", zone.time(out.at, Some(stay.from.at))),
        Until::Unsaid(by) => format!("gone by {}, nobody said when", zone.time(by.at, None)),
    };
    let minutes = |ms: i64| view::minutes(ms.checked_div(MINUTE_MS).unwrap_or(0));
    let (short, long) =
        (minutes(stay.shortest_ms(lines.upto)), minutes(stay.longest_ms(lines.upto)));
    let long = if short == long { long } else { format!("{short} to {long}") };
    let by = state.fact(stay.entry).map(|fact| lines.by(fact)).unwrap_or_default();
    let water = view::known_then(state, stay.entry).into_iter().next();
    let own = format!("{}: ", stay.place);
    let water = water.filter(|_| bath.is_some());
    let water = water.map(|water| water.strip_prefix(&own).unwrap_or(&water).to_owned());
    let water = water.map_or_else(|| "; nobody said its water".to_owned(), |w| format!("; {w}"));
    let hot = bath.and_then(|bath| hot(lines, bath, stay)).unwrap_or_default();
    Some(format!("in {} from {from} {end}, {long}{water}{hot}; put in {by}", stay.place))
}

/// The lowest and the highest temperature that was read while it was in.
fn hot(lines: &Lines<'_>, bath: &Bath, stay: &Stay) -> Option<String> {
    let end = stay.longest_until(lines.upto);
    let within = |at: Moment| stay.from.at <= at && at <= end;
    let read: Vec<Temperature> = bath
        .heat
        .iter()
        .filter(|(when, _, _)| within(when.at))
        .filter_map(|(_, _, temperature)| *temperature)
        .collect();
    let coolest = read.iter().min_by_key(|read| read.celsius())?;
    let hottest = read.iter().max_by_key(|read| read.celsius())?;
    let units = Units::of(lines.state);
    let (low, high) = (units.temperature(*coolest), units.temperature(*hottest));
    let read = if low == high { low } else { format!("{low} to {high}") };
    Some(format!("; read while it was in: {read}"))
}
