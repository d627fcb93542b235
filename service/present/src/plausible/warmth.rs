//! How warm a water is: colder than a lit pot can be, hotter than such a place is kept.

use burrline_domain::fold::Bath;
use burrline_terms::{Moment, Name, Temperature, words::Flame};
use rust_decimal::Decimal;

use super::{Doubts, Line, usual};
use crate::{
    units::Units,
    view::{MINUTE_MS, Zone, kind_of},
};

/// A temperature that was said of a place.
pub(super) fn doubts(line: &Line<'_>, place: &Name, said: Temperature, out: &mut Doubts) {
    too_hot(line, place, said, out);
    let bath = line.state.waters().get(place).and_then(|water| water.bath_at(line.now));
    if let Some(bath) = bath {
        too_cold(line, place, bath, said, out);
    }
}

/// That a place boils which is never boiled.
pub(super) fn boiled(line: &Line<'_>, place: &Name, out: &mut Doubts) {
    let Some(kind) = kind_of(line.state, place) else { return };
    if let Some(most) = usual::warmest(kind) {
        let most = degrees(Temperature { number: Decimal::from(most), fahrenheit: false }, line);
        out.add("warm", format!("{place} is a {kind}: it is kept below {most}, not boiled"));
    }
}

fn too_hot(line: &Line<'_>, place: &Name, said: Temperature, out: &mut Doubts) {
    let Some(kind) = kind_of(line.state, place) else { return };
    let Some(most) = usual::warmest(kind) else { return };
    if said.celsius() > Decimal::from(most) {
        let most = like(said, Decimal::from(most));
        out.add("warm", format!("{} was said, and a {kind} is kept below {most}", typed(said)));
    }
}

fn too_cold(line: &Line<'_>, place: &Name, bath: &Bath, said: Temperature, out: &mut Doubts) {
    let celsius = said.celsius();
    let before = bath.heat.iter().filter(|(when, ..)| when.at <= line.now);
    let flames: Vec<(Moment, Flame)> =
        before.clone().filter_map(|(when, flame, _)| Some((when.at, (*flame)?))).collect();
    let minutes = |since: Moment| line.now.since(since).checked_div(MINUTE_MS).unwrap_or(0);
    let zone = Zone::of(line.state);
    // Since when it was on the heat without a break.
    let off = flames.iter().rposition(|(_, flame)| *flame == Flame::Off);
    let lit = flames.get(off.map_or(0, |at| at.saturating_add(1))).map(|(at, _)| *at);
    let watered = bath.went_in.iter().map(|went| went.key.at).filter(|at| *at <= line.now).max();
    let last = before.rev().find_map(|(when, _, said)| Some((when.at, (*said)?)));
    if let Some((at, last)) = last
        && minutes(at) <= usual::COOLS_MINUTES
        && watered.is_none_or(|watered| watered <= at)
        && last.celsius().saturating_sub(celsius) > Decimal::from(usual::COOLS)
    {
        let lit = if lit.is_some() { ", and it is lit" } else { "" };
        let at = zone.time(at, Some(line.now));
        out.add("cold", format!("{} now, {} at {at}{lit}", typed(said), typed(last)));
        return;
    }
    let Some(lit) = lit else { return };
    let warm = minutes(lit.max(watered.unwrap_or(lit))) >= usual::LIT_MINUTES;
    let least = Decimal::from(if warm { usual::LIT_WARM } else { usual::LIT_COLD });
    if celsius < least {
        let at = zone.time(lit, Some(line.now));
        out.add("cold", format!("{} was said, and {place} is lit since {at}", typed(said)));
    }
}

fn typed(said: Temperature) -> String {
    format!("{} {}", said.number, if said.fahrenheit { "F" } else { "C" })
}

/// Degrees Celsius on the scale on which another was typed.
fn like(said: Temperature, celsius: Decimal) -> String {
    if !said.fahrenheit {
        return format!("{celsius} C");
    }
    let ninths = celsius.saturating_mul(Decimal::from(9));
    let above = ninths.checked_div(Decimal::from(5)).unwrap_or_default();
    format!("{} F", above.saturating_add(Decimal::from(32)).round_dp(0).normalize())
}

fn degrees(said: Temperature, line: &Line<'_>) -> String {
    Units::of(line.state).temperature(said)
}
