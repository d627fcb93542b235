//! What a burner puts into its pot: learnt from the shop's own recorded boils.

use burrline_domain::{
    State,
    fold::{Bath, Level},
};
use burrline_reckon::{
    pot::{
        atmosphere::SEA,
        heat::Pot,
        shop::{air, burner},
        steam,
    },
    quantity::{Celsius, Kilograms, Kilojoules, Litres, Minutes, Pascals, Watts},
};
use burrline_terms::{Moment, Name, Temperature, words::Flame};
use rust_decimal::prelude::ToPrimitive as _;

/// How warm tap water is taken to be, where nobody read it (common practice, no source).
const TAP: Celsius = Celsius(15.0);
/// The share of a burner that is taken to reach the water until its own boils are known (a small gas
/// ring was measured at about 42 per cent).
const SHARE: f64 = 0.4;
/// As many of the last boils as are learnt from.
const LAST: usize = 5;
/// A boil that took longer was interrupted, or forgotten.
const LONGEST: Minutes = Minutes(12.0 * 60.0);

/// What a burner puts into a pot, and how that is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Net {
    /// Into the water.
    pub watts: Watts,
    /// From how many boils it was learnt; 0 if it is a common share of the burner's power.
    pub boils: usize,
}

/// One recorded boil: from lit to boiling.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Boil {
    /// When it boiled.
    pub at: Moment,
    /// How long it took.
    pub took: Minutes,
    /// What the burner put into the water.
    pub watts: Watts,
}

/// The pressure of the shop's air; that at the sea, if nothing is set.
pub fn pressure(state: &State) -> Pascals {
    air(state.settings()).and_then(|air| air.pressure().ok()).unwrap_or(SEA)
}

/// What the burner of a pot puts into it, by what was said before a moment.
pub fn net(state: &State, place: &Name, before: Moment) -> Option<Net> {
    let mut learnt: Vec<f64> = boils(state, place)
        .into_iter()
        .rev()
        .filter(|boil| boil.at <= before)
        .take(LAST)
        .map(|boil| boil.watts.0)
        .collect();
    learnt.sort_by(f64::total_cmp);
    if let Some(middle) = learnt.get(learnt.len().checked_div(2).unwrap_or(0)) {
        return Some(Net { watts: Watts(*middle), boils: learnt.len() });
    }
    let power = burner(state.settings(), place)?;
    Some(Net { watts: Watts(power.0 * SHARE), boils: 0 })
}

/// Every boil of a place that was said from lit to boiling, in order.
pub fn boils(state: &State, place: &Name) -> Vec<Boil> {
    let baths = state.waters().get(place).into_iter().flat_map(|water| &water.baths);
    baths.flat_map(|bath| boils_of(bath, pressure(state))).collect()
}

fn boils_of(bath: &Bath, pressure: Pascals) -> Vec<Boil> {
    let mut boils = Vec::new();
    let mut lit: Option<Moment> = None;
    for (when, flame, _) in &bath.heat {
        match (flame, lit) {
            (Some(Flame::Lit), None) => lit = Some(when.at),
            (Some(Flame::Boil), Some(from)) => {
                let took = Minutes(between(from, when.at));
                let heat = heat(bath, from, when.at, pressure);
                if let Some(heat) = heat.filter(|_| took.0 >= 1.0 && took.0 <= LONGEST.0) {
                    let watts = Watts(heat.0 * 1000.0 / (took.0 * 60.0));
                    boils.push(Boil { at: when.at, took, watts });
                }
                lit = None;
            }
            (Some(Flame::Off | Flame::Down | Flame::Boil), _) => lit = None,
            (Some(Flame::Lit) | None, _) => {}
        }
    }
    boils
}

/// The heat that brings a bath to the boil, from when it was lit.
pub fn heat(bath: &Bath, lit: Moment, by: Moment, pressure: Pascals) -> Option<Kilojoules> {
    let litres = bath.level_at(by).map(|level: &Level| level.litres)?.to_f64()?;
    let read = bath.heat.iter().rev().find_map(|(when, _, temperature)| {
        temperature.filter(|_| when.at <= lit).map(Temperature::celsius)
    });
    let from = read.and_then(|read| read.to_f64()).map_or(TAP, Celsius);
    let to = steam::boiling(pressure);
    let pot = Pot { water: Litres(litres), from, to, pressure, heads: Kilograms(0.0) };
    pot.heat().ok()
}

/// Minutes from one moment to another.
pub fn between(from: Moment, to: Moment) -> f64 {
    i32::try_from(to.since(from)).map_or(f64::INFINITY, f64::from) / 60_000.0
}

/// A moment so many minutes later.
pub fn later(from: Moment, minutes: f64) -> Option<Moment> {
    let whole = rust_decimal::Decimal::try_from(minutes * 60_000.0).ok()?;
    whole.round().to_i64().map(|ms| from.plus(ms))
}
