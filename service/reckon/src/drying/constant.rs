//! Constant mass: weighings far enough apart that hardly differ.

use crate::quantity::{Grams, Hours};

use super::Weighing;

/// When a mass counts as constant; the shop's rule.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rule {
    /// How many weighings in a row have to agree, 2 to 10.
    pub weighings: usize,
    /// How far apart they have to be at least.
    pub apart: Hours,
    /// By how much they may differ: less than this many per cent of the last mass.
    pub percent: f64,
}

impl Rule {
    /// Three weighings at least 24 hours apart that differ by less than 0.1 % of the mass.
    ///
    /// Source: the form of ISO 12570, for building products (from memory). No standard is written
    /// for skulls that dry in air.
    pub const USUAL: Self = Self { weighings: 3, apart: Hours(24.0), percent: 0.1 };

    /// The most that weighings of so heavy a skull may differ.
    fn allowed(self, mass: Grams) -> Grams {
        Grams(mass.0 * self.percent / 100.0)
    }
}

/// What was lost between two weighings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Change {
    /// How much, in per cent of the later mass; below 0 if it became heavier.
    pub percent: f64,
    /// In at least so many hours.
    pub over: Hours,
}

/// Whether a skull has stopped losing water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Verdict {
    /// Too few weighings that are far enough apart, and nothing against it yet.
    TooFew {
        /// How many count.
        counted: usize,
        /// The change between the last two that count.
        change: Option<Change>,
        /// Not before this hour does the next one count.
        next: Hours,
    },
    /// It still loses water.
    NotYet {
        /// The change that shows it.
        change: Change,
        /// Not before this hour does the next one count.
        next: Hours,
    },
    /// It became heavier: wetted, another scale, or something else was weighed.
    Heavier {
        /// The change that shows it.
        change: Change,
        /// Not before this hour does the next one count.
        next: Hours,
    },
    /// The scale cannot show so small a change.
    TooCoarse {
        /// The finest step that the scale showed.
        step: Grams,
        /// The change that would have to be seen.
        allowed: Grams,
    },
    /// It has stopped.
    Constant {
        /// The change over all weighings that count.
        change: Change,
    },
}

/// The verdict on weighings in the order of time, on a scale with steps of so many grams; nothing
/// if there is none.
pub fn verdict(weighings: &[Weighing], step: Grams, rule: Rule) -> Option<Verdict> {
    let last = weighings.last()?;
    let allowed = rule.allowed(last.mass);
    if step > allowed {
        return Some(Verdict::TooCoarse { step, allowed });
    }
    let next = Hours(last.not_after.0 + rule.apart.0);
    let chain = chain(weighings, rule);
    let Some(before) = chain.get(1) else {
        return Some(Verdict::TooFew { counted: 1, change: None, next });
    };
    let change = change(before, last);
    let counted = chain.len();
    if change.percent <= -rule.percent {
        return Some(Verdict::Heavier { change, next });
    }
    let masses = chain.iter().map(|w| w.mass.0);
    let most = masses.clone().fold(f64::MIN, f64::max);
    let least = masses.fold(f64::MAX, f64::min);
    let same = most - least < allowed.0;
    Some(match (same, counted >= rule.weighings, chain.last()) {
        (true, true, Some(first)) => Verdict::Constant { change: self::change(first, last) },
        (true, _, _) => Verdict::TooFew { counted, change: Some(change), next },
        (false, _, _) if change.percent >= rule.percent => Verdict::NotYet { change, next },
        // The last two agree, an earlier one does not: they begin to count anew.
        (false, _, _) => Verdict::TooFew { counted: 2, change: Some(change), next },
    })
}

/// The last weighing and those before it that are far enough apart, at the shortest that the
/// clocks allow; newest first.
fn chain(weighings: &[Weighing], rule: Rule) -> Vec<&Weighing> {
    let mut chain: Vec<&Weighing> = Vec::new();
    for weighing in weighings.iter().rev() {
        let counts = chain
            .last()
            .is_none_or(|later| later.not_before.0 - weighing.not_after.0 >= rule.apart.0);
        if counts && chain.len() < rule.weighings {
            chain.push(weighing);
        }
    }
    chain
}

fn change(earlier: &Weighing, later: &Weighing) -> Change {
    Change {
        percent: 100.0 * (earlier.mass.0 - later.mass.0) / later.mass.0,
        over: Hours(later.not_before.0 - earlier.not_after.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(weighings: &[(f64, f64)], step: f64) -> Verdict {
        let all: Vec<Weighing> = weighings.iter().map(|(h, g)| Weighing::at(*h, *g)).collect();
        verdict(&all, Grams(step), Rule::USUAL).unwrap()
    }

    #[test]
    fn three_that_agree_a_day_apart_are_constant() {
        let dry = said(&[(0.0, 1400.0), (24.0, 1399.5), (48.0, 1399.0)], 0.5);
        assert!(matches!(dry, Verdict::Constant { change } if change.over == Hours(48.0)));
    }

    #[test]
    fn each_step_small_but_all_together_too_much_is_not_constant() {
        let slow = said(&[(0.0, 1401.6), (24.0, 1400.8), (48.0, 1400.0)], 0.1);
        assert!(matches!(slow, Verdict::TooFew { counted: 2, .. }), "{slow:?}");
    }

    #[test]
    fn two_weighings_within_an_hour_do_not_count_as_two() {
        let soon = said(&[(0.0, 1400.0), (0.5, 1400.0), (1.0, 1400.0)], 1.0);
        assert_eq!(soon, Verdict::TooFew { counted: 1, change: None, next: Hours(25.0) });
    }

    #[test]
    fn a_skull_that_loses_water_says_how_much_and_when_to_weigh_next() {
        let wet = said(&[(0.0, 1440.0), (24.0, 1411.0)], 1.0);
        let Verdict::NotYet { change, next } = wet else { panic!("{wet:?}") };
        assert!((change.percent - 2.055_28).abs() < 1e-4 && next == Hours(48.0));
    }

    #[test]
    fn doubt_about_the_clock_never_makes_a_skull_dry() {
        let mut all =
            [Weighing::at(0.0, 1400.0), Weighing::at(24.0, 1400.0), Weighing::at(48.0, 1400.0)];
        assert!(matches!(verdict(&all, Grams(1.0), Rule::USUAL), Some(Verdict::Constant { .. })));
        all[1].not_after = Hours(30.0);
        all[1].not_before = Hours(20.0);
        // Now the middle one may be only 18 hours before the last, so it counts with neither.
        assert!(matches!(
            verdict(&all, Grams(1.0), Rule::USUAL),
            Some(Verdict::TooFew { counted: 2, .. })
        ));
    }

    #[test]
    fn a_coarse_scale_and_a_heavier_skull_are_told_apart() {
        assert!(matches!(said(&[(0.0, 1400.0)], 100.0), Verdict::TooCoarse { .. }));
        let heavier = said(&[(0.0, 1400.0), (24.0, 1410.0)], 1.0);
        assert!(matches!(heavier, Verdict::Heavier { change, .. } if change.percent < -0.7));
        assert_eq!(verdict(&[], Grams(1.0), Rule::USUAL), None);
    }

    /// Of a skull of 1,380 g with 120 g of water and a time of 18 hours, weighed to 0.01 g every
    /// 12 hours: the rule fires no earlier than when less than 0.1 % is lost in 48 hours.
    #[test]
    fn the_rule_leaves_little_water_behind() {
        let weighed = |h: f64| (1380.0 + 120.0 * (-h / 18.0).exp(), h);
        let mut all = Vec::new();
        for step in 0..40_u32 {
            let (mass, hours) = weighed(f64::from(step) * 12.0);
            all.push(Weighing::at(hours, (mass * 100.0).round() / 100.0));
            if let Some(Verdict::Constant { .. }) = verdict(&all, Grams(0.01), Rule::USUAL) {
                assert!(hours > 98.0 && mass - 1380.0 < 0.2, "{hours} {mass}");
                return;
            }
        }
        panic!("never dry");
    }
}
