//! The shop's own figures, for these sums: what it set, else what holds where it set nothing.

use burrline_domain::Settings;
use burrline_terms::{units::Span, words::Group};
use rust_decimal::{Decimal, prelude::ToPrimitive as _};

use crate::{
    drying::constant::Rule,
    quantity::{Grams, Hours},
};

/// When a mass counts as constant.
pub fn dry_rule(settings: &Settings) -> Rule {
    let usual = Rule::USUAL;
    Rule {
        weighings: usize::try_from(settings.dry_weighings()).unwrap_or(usual.weighings),
        apart: settings.dry_apart().map_or(usual.apart, hours),
        percent: figure(settings.dry_within()),
    }
}

/// The step of the shop's scale, if it set one: no reading tells less apart, whatever its digits.
pub fn scale_step(settings: &Settings) -> Option<Grams> {
    settings.dry_step().map(|step| Grams(figure(step.grams())))
}

/// How long a skull is on the rack where nobody weighs it, if the shop set that for the kind.
pub fn rack_days(settings: &Settings, group: Group) -> Option<Hours> {
    settings.rack_days(group).map(|days| Hours(figure(days) * 24.0))
}

/// Days from take-in to ready by the owner's own table, if there is one for the kind.
pub fn ready_days(settings: &Settings, group: Group) -> Option<f64> {
    settings.ready_days(group).map(figure)
}

/// The share of heads that a promised day is to hold for, of 1.
pub fn ready_share(settings: &Settings) -> f64 {
    figure(settings.ready_share()) / 100.0
}

/// The minutes that a step takes a hand.
pub fn step_minutes(settings: &Settings, step: &str) -> f64 {
    figure(settings.step_minutes(step))
}

/// From out of the freezer to thawed, for the knife; in a cold room.
pub fn thaw(settings: &Settings, group: Group) -> Hours {
    Hours(figure(settings.thaw_hours(group)))
}

fn figure(exact: Decimal) -> f64 {
    exact.to_f64().unwrap_or(f64::NAN)
}

fn hours(span: Span) -> Hours {
    Hours(figure(span.minutes()) / 60.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The default of the table is the rule that the topic `dry` reckons with.
    #[test]
    fn a_shop_that_set_nothing_has_the_usual_rule() {
        assert_eq!(dry_rule(&Settings::default()), Rule::USUAL);
    }
}
