//! Days on the rack by kind of animal, and the first day for an official measurer.

use burrline_terms::{time::Day, words::Group};

use crate::quantity::Hours;

/// How long a skull is on the rack where nobody weighs it (common practice, no source).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OnTheRack {
    /// Until it is dry to the touch and to the scale, in moving room air, out of the sun.
    pub dry: Hours,
    /// How long it then sits so that grease that was left comes up, before it is coated.
    pub grease_sit: Option<Hours>,
}

impl OnTheRack {
    /// The whole time.
    pub fn whole(self) -> Hours {
        Hours(self.dry.0 + self.grease_sit.map_or(0.0, |sit| sit.0))
    }
}

/// The shop's own table to begin with; weighings say more (common practice, no source).
pub const fn on_the_rack(group: Group) -> OnTheRack {
    let (days, sit) = match group {
        Group::Small => (1.0, None),
        Group::Deer | Group::Horned | Group::Other => (2.0, None),
        Group::Elk | Group::Moose => (3.0, None),
        Group::Hog => (3.0, Some(7.0)),
        Group::Bear => (3.0, Some(14.0)),
    };
    let grease_sit = match sit {
        Some(days) => Some(Hours(days * 24.0)),
        None => None,
    };
    OnTheRack { dry: Hours(days * 24.0), grease_sit }
}

/// How many days of drying in air an official measurer asks for.
///
/// Source: Boone and Crockett Club, scoring manual, chapter 3: at least 60 days at normal room
/// temperature; boiled skulls count from the day they leave the pot, frozen ones that never were
/// in a pot from the day cleaning was complete.
pub const AIR_DRYING_DAYS: i32 = 60;

/// Whether any club measures heads of a kind: antlers, horns, and the skulls of bears and big cats
/// (common practice, no source).
pub fn is_measured(group: Group, species: &str) -> bool {
    match group {
        Group::Deer | Group::Elk | Group::Moose | Group::Horned | Group::Bear => true,
        Group::Hog | Group::Small | Group::Other => {
            let species = species.to_lowercase();
            ["cougar", "mountain lion", "puma", "jaguar", "leopard", "lion", "caribou", "walrus"]
                .iter()
                .any(|name| species.contains(name))
        }
    }
}

/// The first day that can be asked for, counted from the day it was last in any water. Whether the
/// sixtieth or the sixty-first day counts is for the measurer, so it is "not before" this day.
pub fn not_before(left_the_pot: Day) -> Option<Day> {
    left_the_pot.0.checked_add(jiff::Span::new().days(AIR_DRYING_DAYS)).ok().map(Day)
}

#[cfg(test)]
mod tests {
    use super::*;
    use burrline_terms::field::Typed as _;

    /// Source: the calendar; 2024 is a leap year.
    #[test]
    fn sixty_days_cross_months_years_and_leap_days() {
        for (out, first) in [
            ("2024-11-16", "2025-01-15"),
            ("2023-12-31", "2024-02-29"),
            ("2022-12-31", "2023-03-01"),
        ] {
            assert_eq!(not_before(Day::read(out).unwrap()), Some(Day::read(first).unwrap()));
        }
    }

    #[test]
    fn bear_and_hog_sit_for_their_grease() {
        for group in Group::ALL {
            let rack = on_the_rack(*group);
            let sits = matches!(group, Group::Bear | Group::Hog);
            assert_eq!(rack.grease_sit.is_some(), sits, "{group}");
            assert!(rack.whole().0 >= rack.dry.0);
        }
    }
}
