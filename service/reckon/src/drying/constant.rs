//! Constant mass: weighings far enough apart that hardly differ.

use crate::quantity::{Grams, Hours};

use super::{Weighing, coarsest};

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
    pub fn allowed(self, mass: Grams) -> Grams {
        Grams(mass.0 * self.percent / 100.0)
    }

    /// Over how long the weighings of a skull that counts as dry are spread.
    fn whole(self) -> Hours {
        let steps = f64::from(u32::try_from(self.weighings).unwrap_or(2)) - 1.0;
        Hours(steps * self.apart.0)
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
        /// The coarsest step of the weighings that are compared.
        step: Grams,
        /// The change that would have to be seen.
        allowed: Grams,
        /// What the scale shows now.
        mass: Grams,
        /// From this hour on the same reading says as much as a fine scale would have.
        next: Hours,
        /// How long that is from the last weighing.
        wait: Hours,
    },
    /// A coarse scale showed the same for so long that it lost no more than the rule allows.
    Same {
        /// The coarsest step of the weighings that are compared.
        step: Grams,
        /// For at least so many hours.
        over: Hours,
    },
    /// It has stopped.
    Constant {
        /// The change over all weighings that count.
        change: Change,
    },
}

/// The verdict on weighings in the order of time; nothing if there is none.
pub fn verdict(weighings: &[Weighing], rule: Rule) -> Option<Verdict> {
    let last = weighings.last()?;
    let allowed = rule.allowed(last.mass);
    let chain = chain(weighings, rule);
    let step = coarsest(chain.iter().copied());
    let next = Hours(last.not_after.0 + rule.apart.0);
    let change = chain.get(1).map(|before| change(before, last));
    if step.0 > allowed.0 * (1.0 + 1e-9) {
        // What a coarse scale does show counts: it moved by more than its step leaves open.
        let moved = chain.get(1).map_or(0.0, |before| before.mass.0 - last.mass.0);
        let plain = moved.abs() - step.0 >= allowed.0;
        return Some(match change {
            Some(change) if plain && moved > 0.0 => Verdict::NotYet { change, next },
            Some(change) if plain => Verdict::Heavier { change, next },
            Some(_) | None => coarse(weighings, rule),
        });
    }
    let Some(change) = change else {
        return Some(Verdict::TooFew { counted: 1, change: None, next });
    };
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

/// The verdict on a scale that cannot show what the rule allows. Readings that are the same differ by
/// less than a step; so after long enough less than the rule allows goes in the rule's own time, and
/// drying only slows down. It takes as many weighings as the rule wants.
fn coarse(weighings: &[Weighing], rule: Rule) -> Verdict {
    let run = same(weighings);
    let step = coarsest(run.iter().copied());
    let (mass, start, end) = match (run.first(), run.last()) {
        (Some(last), Some(first)) => (last.mass, first.not_after, *last),
        _ => return Verdict::TooFew { counted: 0, change: None, next: Hours(0.0) },
    };
    let allowed = rule.allowed(mass);
    let wanted = Hours(rule.whole().0 * step.0 / allowed.0);
    let over = Hours(end.not_before.0 - start.0);
    if run.len() >= rule.weighings && over.0 >= wanted.0 {
        return Verdict::Same { step, over };
    }
    let next = (start.0 + wanted.0).max(end.not_after.0 + rule.apart.0);
    let wait = Hours(next - end.not_after.0);
    Verdict::TooCoarse { step, allowed, mass, next: Hours(next), wait }
}

/// The last weighing and those right before it that show the same; newest first.
fn same(weighings: &[Weighing]) -> Vec<&Weighing> {
    let Some(last) = weighings.last() else { return Vec::new() };
    let step = |weighing: &Weighing| weighing.step.0.max(last.step.0);
    let alike = |w: &&Weighing| (w.mass.0 - last.mass.0).abs() < step(w) / 2.0 || *w == last;
    weighings.iter().rev().take_while(alike).collect()
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
        let all = weighings.iter().map(|(h, g)| Weighing::at(*h, *g).to(Grams(step)));
        verdict(&all.collect::<Vec<_>>(), Rule::USUAL).unwrap()
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
        assert!(matches!(verdict(&all, Rule::USUAL), Some(Verdict::Constant { .. })));
        all[1].not_after = Hours(30.0);
        all[1].not_before = Hours(20.0);
        // Now the middle one may be only 18 hours before the last, so it counts with neither.
        assert!(matches!(verdict(&all, Rule::USUAL), Some(Verdict::TooFew { counted: 2, .. })));
    }

    #[test]
    fn a_coarse_scale_and_a_heavier_skull_are_told_apart() {
        assert!(matches!(said(&[(0.0, 1400.0)], 100.0), Verdict::TooCoarse { .. }));
        let heavier = said(&[(0.0, 1400.0), (24.0, 1410.0)], 1.0);
        assert!(matches!(heavier, Verdict::Heavier { change, .. } if change.percent < -0.7));
        assert_eq!(verdict(&[], Rule::USUAL), None);
    }

    /// By arithmetic: 0.1 % of 180 g is 0.18 g in 48 h; a step of 1 g is as little in 48 x 1 / 0.18 h.
    #[test]
    fn a_coarse_scale_tells_by_time() {
        let at = |days: &[u32]| {
            let all = days.iter().map(|day| (f64::from(*day) * 24.0, 180.0));
            said(&all.collect::<Vec<_>>(), 1.0)
        };
        let Verdict::TooCoarse { next, .. } = at(&[0, 1, 2]) else { panic!() };
        assert!((next.0 - 266.666_7).abs() < 1e-3, "{next:?}");
        assert!(matches!(at(&[0, 5, 11]), Verdict::TooCoarse { .. }));
        assert!(matches!(at(&[0, 5, 12]), Verdict::Same { .. }));
        // Two weighings are not three, however far apart.
        assert!(matches!(at(&[0, 30]), Verdict::TooCoarse { .. }));
        // An ounce, and 0.1 lb: what they do show counts.
        for step in [28.35, 45.36] {
            let told = |masses: [f64; 3]| {
                let [a, b, c] = masses.map(|steps| steps * step);
                said(&[(0.0, a), (24.0, b), (48.0, c)], step)
            };
            assert!(matches!(told([52.0, 50.0, 48.0]), Verdict::NotYet { .. }));
            assert!(matches!(told([50.0, 50.0, 50.0]), Verdict::TooCoarse { .. }));
            assert!(matches!(told([50.0, 50.0, 53.0]), Verdict::Heavier { .. }));
        }
    }

    /// One coarse reading among fine ones is what they are compared by.
    #[test]
    fn the_coarsest_step_of_those_compared_counts() {
        let fine = |h: f64| Weighing::at(h, 1400.0).to(Grams(0.1));
        let coarse = Weighing::at(24.0, 1400.0).to(Grams(5.0));
        let told = verdict(&[fine(0.0), coarse, fine(48.0)], Rule::USUAL);
        assert!(matches!(told, Some(Verdict::TooCoarse { .. })), "{told:?}");
        let told = verdict(&[coarse, fine(48.0), fine(72.0), fine(96.0)], Rule::USUAL);
        assert!(matches!(told, Some(Verdict::Constant { .. })), "{told:?}");
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
            if let Some(Verdict::Constant { .. }) = verdict(&all, Rule::USUAL) {
                assert!(hours > 98.0 && mass - 1380.0 < 0.2, "{hours} {mass}");
                return;
            }
        }
        panic!("never dry");
    }
}
