//! Who looked at what, until the shop says it on its log.
//!
//! A reading is answered first, and noted here without a word to the disk. What a bench looked at within a
//! stretch of time then goes into one line of the shop's own (`glances`). So nobody waits for it, and
//! nobody can flood the log by reading. What was noted and not said yet is lost if the process is killed.

use std::{
    collections::{BTreeMap, BTreeSet},
    sync::{Mutex, MutexGuard, PoisonError},
};

use burrline_domain::verb::Glances;
use burrline_terms::{EntryName, Glance, Moment, Name};

/// For how long looks of one bench are gathered.
pub(crate) const STRETCH_MS: i64 = 15 * 60 * 1000;

/// How many things of one stretch are told apart; further ones are told by their kind alone.
const MOST: usize = 32;

/// Of how many customers or jobs one answer is told; one about more is told as of several.
const FEW: usize = 5;

/// What each bench looked at and the shop did not say yet.
#[derive(Debug, Default)]
pub struct Looks {
    unsaid: Mutex<BTreeMap<u32, Stretch>>,
    /// Held by whoever says them, so that nobody closes the shop between two of them.
    turn: Mutex<()>,
}

#[derive(Debug)]
struct Stretch {
    since: Moment,
    until: Moment,
    glances: BTreeMap<(Name, Option<EntryName>), u32>,
}

impl Stretch {
    fn add(&mut self, what: &Name, about: Option<EntryName>, times: u32) {
        let mut key = (what.clone(), about);
        if self.told_apart() >= MOST && about.is_some() && !self.glances.contains_key(&key) {
            key.1 = None;
        }
        let count = self.glances.entry(key).or_default();
        *count = count.saturating_add(times);
    }
}

impl Stretch {
    fn told_apart(&self) -> usize {
        self.glances.keys().filter(|(_, about)| about.is_some()).count()
    }
}

impl Looks {
    /// A bench looked at something of these jobs or customers.
    pub fn note(&self, life: u32, at: Moment, what: &str, about: &BTreeSet<EntryName>) {
        let what = Name::clipped(what);
        let mut all = self.held();
        let stretch = all.entry(life).or_insert_with(|| Stretch {
            since: at,
            until: at,
            glances: BTreeMap::new(),
        });
        stretch.until = stretch.until.max(at);
        if about.is_empty() || about.len() > FEW {
            stretch.add(&what, None, 1);
        } else {
            for one in about {
                stretch.add(&what, Some(*one), 1);
            }
        }
    }

    /// The turn to say them.
    pub(crate) fn turn(&self) -> MutexGuard<'_, ()> {
        self.turn.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// What is to be said now: every stretch that is over, or all of them.
    pub(crate) fn take(&self, now: Moment, all: bool) -> Vec<Glances> {
        let mut held = self.held();
        let over = |stretch: &Stretch| {
            let lasts = now.since(stretch.since);
            // A clock that was set back must not hold it for ever.
            all || !(0..STRETCH_MS).contains(&lasts)
        };
        let (over, rest) = std::mem::take(&mut *held).into_iter().partition(|(_, s)| over(s));
        *held = rest;
        let over: BTreeMap<u32, Stretch> = over;
        over.into_iter().map(|(life, stretch)| said(life, stretch)).collect()
    }

    /// Takes back what could not be said.
    pub(crate) fn put_back(&self, unsaid: &Glances) {
        let mut all = self.held();
        let stretch = all.entry(unsaid.life).or_insert_with(|| Stretch {
            since: unsaid.since,
            until: unsaid.until,
            glances: BTreeMap::new(),
        });
        stretch.since = stretch.since.min(unsaid.since);
        stretch.until = stretch.until.max(unsaid.until);
        for glance in &unsaid.glances {
            stretch.add(&glance.what, glance.about, glance.times);
        }
    }

    fn held(&self) -> MutexGuard<'_, BTreeMap<u32, Stretch>> {
        self.unsaid.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

fn said(life: u32, stretch: Stretch) -> Glances {
    let glances = stretch.glances.into_iter();
    let glances = glances.map(|((what, about), times)| Glance { what, times, about });
    Glances { life, since: stretch.since, until: stretch.until, glances: glances.collect() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use burrline_terms::Typed as _;

    fn about(names: &[u64]) -> BTreeSet<EntryName> {
        names.iter().map(|n| EntryName::new(2, *n)).collect()
    }

    fn shown(looked: &Glances) -> Vec<String> {
        looked.glances.iter().map(Glance::show).collect()
    }

    #[test]
    fn a_stretch_of_a_bench_is_told_once_with_what_and_how_often() {
        let looks = Looks::default();
        looks.note(3, Moment(1_000), "show", &about(&[7]));
        looks.note(3, Moment(2_000), "show", &about(&[7]));
        looks.note(3, Moment(3_000), "find", &about(&[1, 2, 3, 4, 5, 6]));
        looks.note(4, Moment(STRETCH_MS), "calls", &about(&[]));
        assert!(looks.take(Moment(STRETCH_MS), false).is_empty(), "none of them is over");
        let said = looks.take(Moment(STRETCH_MS + 1_000), false);
        let [one] = said.as_slice() else { panic!("{said:?}") };
        assert_eq!((one.life, one.since, one.until), (3, Moment(1_000), Moment(3_000)));
        assert_eq!(shown(one), ["findx1", "showx2@2:7"]);
        assert_eq!(shown(&looks.take(Moment(STRETCH_MS), true)[0]), ["callsx1"]);
        assert!(looks.take(Moment(i64::MAX), true).is_empty());
    }

    #[test]
    fn many_looks_make_a_line_of_bounded_length_and_what_was_not_said_is_kept() {
        let looks = Looks::default();
        for n in 0..10_000 {
            looks.note(3, Moment(0), "show", &about(&[n]));
        }
        let said = looks.take(Moment(0), true);
        let [one] = said.as_slice() else { panic!("{said:?}") };
        assert!(one.glances.len() <= MOST + 1, "{}", one.glances.len());
        let times: u32 = one.glances.iter().map(|glance| glance.times).sum();
        assert_eq!(times, 10_000);
        looks.put_back(one);
        assert_eq!(looks.take(Moment(0), true), said);
    }

    #[test]
    fn a_clock_that_is_set_back_holds_no_look_for_ever() {
        let looks = Looks::default();
        looks.note(3, Moment(5_000), "show", &about(&[]));
        assert_eq!(looks.take(Moment(4_000), false).len(), 1);
    }
}
