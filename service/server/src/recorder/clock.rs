//! Whether the shop's own clock can be right, and what is stamped where it cannot.
//!
//! A machine without a network may start in 1970, or in a year that never was. The clock is held
//! against two things: the log, whose last time lies before now, and the benches, whose clocks
//! come with every line. Each bench counts by how far its clock is from this machine's.
//!
//! * **Behind the log.** Either the log was stamped by a wrong clock, or this one is slow. The
//!   benches tell which; where they agree with neither, the moment is in doubt from the one to
//!   the other.
//! * **Far ahead of every bench**, after a stretch in which nothing was recorded. A bench that
//!   agrees, or a machine that says that a time server set its clock, ends the doubt. Else the
//!   moment is in doubt from the benches' time to the machine's, and the earlier one is stamped:
//!   a time in the future would be the least that every later line could get.
//!
//! Benches that are behind the log are not heard: machines whose clocks are dead agree with each
//! other, as they start on the same day of the past. So a line that was stamped in a wrong year
//! silences the benches until it is put right.
//!
//! What the machine said stays on the record. The limits are ours: common practice, no source.

use std::collections::BTreeMap;

use burrline_domain::BenchClock;
use burrline_terms::{Happened, Moment};

use super::Sent;

/// Behind the log by more than this, the clock is doubted.
pub(super) const BEHIND_MS: i64 = 2 * 60_000;

/// Ahead of the log and of every bench by more than this, the clock is doubted.
pub(super) const AHEAD_MS: i64 = 6 * 3_600_000;

/// Two clocks that are no further apart than this agree.
pub(super) const AGREE_MS: i64 = 10 * 60_000;

/// What the shop's machine takes for the time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MachineTime {
    /// Its clock.
    pub at: Moment,
    /// Whether a time server set it, as far as the machine says.
    pub is_synchronized: bool,
}

impl From<Moment> for MachineTime {
    fn from(at: Moment) -> Self {
        Self { at, is_synchronized: false }
    }
}

/// Why the shop's clock is doubted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Doubt {
    /// It is behind the last line on the log.
    Behind,
    /// It is far ahead of every bench.
    Ahead,
}

/// A clock that is doubted, and what it is held against.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Doubted {
    /// Why.
    pub why: Doubt,
    /// What the machine says.
    pub machine: Moment,
    /// When the last line on the log was stamped.
    pub log: Moment,
    /// What the benches say; none if none was in touch.
    pub benches: Option<Moment>,
}

impl Doubted {
    /// Whether the doubt is still there while the machine says this: its clock may have been set
    /// meanwhile.
    pub fn still_holds(&self, machine: Moment) -> bool {
        match self.why {
            Doubt::Behind => machine < self.log.plus(BEHIND_MS.saturating_neg()),
            Doubt::Ahead => match self.benches {
                // As far ahead of the benches as it was, or nearly so.
                Some(benches) => {
                    let was = self.machine.since(benches);
                    was <= AHEAD_MS || machine >= self.machine.plus(BEHIND_MS.saturating_neg())
                }
                None => true,
            },
        }
    }

    /// Whether the benches go on from where the log is.
    pub fn benches_agree_with_log(&self) -> bool {
        self.benches.is_some_and(|benches| benches >= self.log.plus(AGREE_MS.saturating_neg()))
            && matches!(self.why, Doubt::Behind)
    }
}

/// What is stamped on the next line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stamp {
    /// The shop's time; never before the log's last.
    pub shop_time: Moment,
    /// When the line came, as well as the shop can know.
    pub came: Moment,
    /// Within what it came, where that is in doubt.
    pub within: Option<(Moment, Moment)>,
    /// Why the machine's clock is not simply taken.
    pub doubted: Option<Doubted>,
}

impl Stamp {
    /// An interval that was measured by when the line came, as wide as the doubt about that.
    pub fn widen(&self, happened: Happened) -> Happened {
        let Some((from, until)) = self.within else { return happened };
        // What was measured from `came` is as doubtful as that is.
        let early = happened.not_before.plus(from.since(self.came).min(0));
        let late = happened.not_after.plus(until.since(self.came).max(0));
        Happened {
            not_before: early.min(happened.at),
            not_after: late.max(happened.at),
            ..happened
        }
    }
}

/// How far the clock of each bench is from the machine's, as it was last in touch.
#[derive(Debug, Default, Clone)]
pub(super) struct BenchTimes(BTreeMap<u32, i64>);

impl BenchTimes {
    /// Learns from a bench that is in touch while the machine says this.
    pub(super) fn heard(&mut self, life: u32, clock: &BenchClock, machine: Moment) {
        if life != 0 {
            self.0.insert(life, clock.wall.since(machine));
        }
    }

    /// These, with what comes along with a line.
    pub(super) fn with(&self, life: u32, sent: Option<&Sent>, machine: Moment) -> Self {
        let mut all = self.clone();
        if let Some(Sent::Now(clock)) = sent {
            all.heard(life, clock, machine);
        }
        all
    }

    /// The middle one of the benches' times, the earlier of two; none if none was in touch.
    fn middle(&self, machine: Moment) -> Option<Moment> {
        let mut offsets: Vec<i64> = self.0.values().copied().collect();
        offsets.sort_unstable();
        let middle = offsets.len().saturating_sub(1).checked_div(2)?;
        offsets.get(middle).map(|offset| machine.plus(*offset))
    }

    /// The latest of the benches' times.
    fn latest(&self, machine: Moment) -> Option<Moment> {
        self.0.values().max().map(|offset| machine.plus(*offset))
    }

    /// What is stamped now; `log` is the last time on the log, none if it is empty.
    pub(super) fn stamp(&self, machine: MachineTime, log: Option<Moment>) -> Stamp {
        let MachineTime { at, is_synchronized } = machine;
        let sure = |shop_time| Stamp { shop_time, came: shop_time, within: None, doubted: None };
        let Some(log) = log else { return sure(at) };
        if at < log.plus(BEHIND_MS.saturating_neg()) {
            return self.behind(machine, log);
        }
        let latest = self.latest(at);
        let ahead = |benches: &Moment| {
            at.since(*benches) > AHEAD_MS
                && at.since(log) > AHEAD_MS
                // A bench that is itself behind the log tells nothing.
                && *benches >= log.plus(AGREE_MS.saturating_neg())
        };
        match latest.filter(ahead) {
            Some(benches) if !is_synchronized => {
                let came = benches.max(log);
                let doubted =
                    Doubted { why: Doubt::Ahead, machine: at, log, benches: Some(benches) };
                Stamp { shop_time: came, came, within: Some((came, at)), doubted: Some(doubted) }
            }
            Some(_) | None => sure(at.max(log)),
        }
    }

    fn behind(&self, machine: MachineTime, log: Moment) -> Stamp {
        let at = machine.at;
        let benches = self.middle(at);
        let doubted = Some(Doubted { why: Doubt::Behind, machine: at, log, benches });
        let stamp =
            |came: Moment, within| Stamp { shop_time: came.max(log), came, within, doubted };
        if machine.is_synchronized {
            return stamp(at, None);
        }
        match benches {
            // One bench may have been set by the same wrong clock.
            Some(benches) if benches.since(at).saturating_abs() <= AGREE_MS => {
                stamp(at, (self.0.len() < 2).then_some((at, log)))
            }
            Some(benches) if benches >= log.plus(AGREE_MS.saturating_neg()) => {
                stamp(benches.max(log), None)
            }
            Some(benches) => stamp(benches.max(at), Some((at, log))),
            // Nobody is there to ask: the log goes on from where it is.
            None => stamp(log, Some((at, log))),
        }
    }
}

#[cfg(test)]
#[allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]
mod tests {
    use super::*;

    const HOUR: i64 = 3_600_000;

    fn at(hours: i64) -> Moment {
        Moment(hours * HOUR)
    }

    fn benches(times: &[Moment], machine: Moment) -> BenchTimes {
        let mut all = BenchTimes::default();
        for (life, wall) in (1..).zip(times) {
            all.heard(life, &BenchClock { wall: *wall, boot: [1; 16], uptime_ms: 1 }, machine);
        }
        all
    }

    fn stamp(machine: Moment, log: Moment, times: &[Moment]) -> Stamp {
        benches(times, machine).stamp(machine.into(), Some(log))
    }

    #[test]
    fn a_clock_that_agrees_is_simply_taken_and_never_runs_backwards() {
        for (machine, log) in [(at(100), at(99)), (at(9_000), at(100)), (at(100), at(100))] {
            let sure = Stamp { shop_time: machine, came: machine, within: None, doubted: None };
            assert_eq!(stamp(machine, log, &[]), sure);
            assert_eq!(stamp(machine, log, &[machine]), sure);
        }
        let small = stamp(at(100).plus(-60_000), at(100), &[]);
        assert_eq!((small.shop_time, small.doubted), (at(100), None), "a minute is no doubt");
    }

    #[test]
    fn a_log_from_the_future_does_not_pull_later_lines_along_where_the_benches_agree() {
        let stamp = stamp(at(100), at(50_000), &[at(100), at(100)]);
        assert_eq!((stamp.came, stamp.within), (at(100), None));
        let one = self::stamp(at(100), at(50_000), &[at(100)]);
        assert_eq!(
            (one.came, one.within),
            (at(100), Some((at(100), at(50_000)))),
            "one may be set by it"
        );
        assert_eq!(stamp.shop_time, at(50_000), "the log itself never runs backwards");
        assert_eq!(stamp.doubted.unwrap().why, Doubt::Behind);
    }

    #[test]
    fn a_slow_clock_does_not_make_lines_old_where_the_benches_go_on_from_the_log() {
        let stamp = stamp(at(0), at(100), &[at(101), at(101)]);
        assert_eq!((stamp.came, stamp.shop_time, stamp.within), (at(101), at(101), None));
        // Two against one that is as slow as the shop.
        let stamp = self::stamp(at(0), at(100), &[at(101), at(0), at(101)]);
        assert_eq!(stamp.came, at(101));
    }

    #[test]
    fn where_nobody_agrees_the_moment_is_in_doubt_from_one_to_the_other() {
        let stamp = stamp(at(100), at(50_000), &[at(20_000)]);
        assert_eq!((stamp.came, stamp.within), (at(20_000), Some((at(100), at(50_000)))));
        let happened = stamp.widen(Happened::exactly(at(20_000)));
        assert_eq!((happened.not_before, happened.not_after), (at(100), at(50_000)));
        let alone = self::stamp(at(100), at(50_000), &[]);
        assert_eq!((alone.came, alone.within), (at(50_000), Some((at(100), at(50_000)))));
    }

    #[test]
    fn a_clock_far_ahead_of_every_bench_stamps_their_time_and_says_its_own() {
        let stamp = stamp(at(50_000), at(100), &[at(112)]);
        assert_eq!((stamp.shop_time, stamp.came), (at(112), at(112)));
        assert_eq!(stamp.within, Some((at(112), at(50_000))));
        assert_eq!(stamp.doubted.unwrap().machine, at(50_000));
        // One bench that agrees is enough, and so is a time server.
        assert_eq!(self::stamp(at(50_000), at(100), &[at(112), at(50_000)]).doubted, None);
        let machine = MachineTime { at: at(50_000), is_synchronized: true };
        let synchronized = benches(&[at(112)], at(50_000)).stamp(machine, Some(at(100)));
        assert_eq!((synchronized.shop_time, synchronized.doubted), (at(50_000), None));
        // A bench that has lost its own clock tells nothing.
        assert_eq!(self::stamp(at(5_000), at(100), &[at(0)]).doubted, None);
        // An empty log has nothing to hold a clock against.
        assert_eq!(benches(&[at(1)], at(9_000)).stamp(at(9_000).into(), None).doubted, None);
    }
}
