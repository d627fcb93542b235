//! The shop's own figures, for these sums: what it set, else what holds where it set nothing.

use burrline_domain::{
    State,
    habits::{self, STEP_MINUTES},
};
use burrline_terms::words::Group;
use rust_decimal::prelude::ToPrimitive as _;

use crate::{drying::constant::Rule, quantity::Hours};

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

fn number(value: &str) -> Option<f64> {
    habits::number(value)?.to_f64()
}

fn hours(value: &str) -> Option<Hours> {
    Some(Hours(habits::minutes(value)?.to_f64()? / 60.0))
}
