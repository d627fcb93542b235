//! When an entry happened, as an interval, from clocks that may be wrong by years.

use std::collections::BTreeMap;

use burrline_domain::{BenchClock, Class, Entry, Happened, Moment, Record};

/// What is known of each bench's clocks.
#[derive(Debug, Default)]
pub struct Clocks {
    /// Shop time at the start of a bench's machine, for starts during which it was in touch.
    started: BTreeMap<(u32, [u8; 16]), Moment>,
    /// When each life last typed an unsaid entry; its time never runs backwards.
    last_typed: BTreeMap<u32, Moment>,
}

impl Clocks {
    /// When an entry happened that arrives at `now`.
    ///
    /// In the same start of the machine the age of the entry is the difference of two uptimes. For
    /// an older start it is known if the bench was in touch during it. Else all that is certain is
    /// that it came after the life's last entry and before now, and the wall clock is a hint.
    pub fn happened(&self, entry: &Entry, sent: Option<&BenchClock>, now: Moment) -> Happened {
        let earliest = self.last_typed.get(&entry.name.life).copied();
        let typed = if let Some(typed) = self.measured(entry, sent, now) {
            let at = typed.min(now).max(earliest.unwrap_or(typed).min(now));
            (at, at, at)
        } else {
            let not_before = earliest.unwrap_or_else(|| entry.clock.wall.min(now));
            let at = entry.clock.wall.clamp(not_before.min(now), now);
            (at, not_before.min(now), now)
        };
        let (at, not_before, not_after) = typed;
        // A decision is made when it is made; nobody decides yesterday.
        let said = entry.said.filter(|_| entry.verb.spec().class == Class::Fact);
        match said {
            // Nothing happens after it was typed, whatever was said.
            Some(said) => {
                let said = said.min(not_after);
                Happened { at: said, not_before: said, not_after: said, typed: at, said: true }
            }
            None => Happened { at, not_before, not_after, typed: at, said: false },
        }
    }

    fn measured(&self, entry: &Entry, sent: Option<&BenchClock>, now: Moment) -> Option<Moment> {
        if let Some(sent) = sent.filter(|sent| sent.boot == entry.clock.boot) {
            let age = sent.uptime_ms.checked_sub(entry.clock.uptime_ms)?;
            return Some(now.plus(i64::try_from(age).ok()?.checked_neg()?));
        }
        let started = self.started.get(&(entry.name.life, entry.clock.boot))?;
        Some(started.plus(i64::try_from(entry.clock.uptime_ms).ok()?))
    }

    /// Learns from an entry that was recorded.
    pub fn note(&mut self, record: &Record, sent: Option<&BenchClock>) {
        let life = record.entry.name.life;
        if let Some(sent) = sent
            && let Ok(uptime) = i64::try_from(sent.uptime_ms)
        {
            let started = record.shop_time.plus(uptime.saturating_neg());
            self.started.entry((life, sent.boot)).or_insert(started);
        }
        let last = self.last_typed.entry(life).or_insert(record.happened.typed);
        *last = (*last).max(record.happened.typed);
    }
}

#[cfg(test)]
mod tests {
    use burrline_domain::{EntryName, Name, Phrase, Typed, verb};

    use super::*;

    fn entry(boot: u8, uptime_ms: u64, wall: i64) -> Entry {
        Entry {
            name: EntryName::new(1, 1),
            hand: None,
            clock: clock(boot, uptime_ms, wall),
            said: None,
            seen: 0,
            together: None,
            anyway: None,
            rulings: Vec::new(),
            not_seen: false,
            verb: verb::Stray { words: Phrase::read("a jaw").unwrap(), place: None }.into(),
        }
    }

    fn clock(boot: u8, uptime_ms: u64, wall: i64) -> BenchClock {
        BenchClock { wall: Moment(wall), boot: [boot; 16], uptime_ms }
    }

    #[test]
    fn a_clock_off_by_years_does_not_matter_within_one_start() {
        let clocks = Clocks::default();
        let happened =
            clocks.happened(&entry(1, 10_000, 5), Some(&clock(1, 70_000, 5)), Moment(1_000_000));
        assert_eq!(happened, Happened::exactly(Moment(940_000)));
    }

    #[test]
    fn nobody_decides_yesterday() {
        let mut entry = entry(1, 10_000, 0);
        entry.said = Some(Moment(1));
        entry.verb = verb::AddHand { name: Name::read("ines").unwrap() }.into();
        let sent = clock(1, 10_000, 0);
        let happened = Clocks::default().happened(&entry, Some(&sent), Moment(1_000_000));
        assert_eq!(happened, Happened::exactly(Moment(1_000_000)));
    }

    #[test]
    fn another_start_without_contact_is_in_doubt_until_now() {
        let clocks = Clocks::default();
        let happened =
            clocks.happened(&entry(1, 10_000, 400), Some(&clock(2, 5, 0)), Moment(1_000_000));
        assert_eq!((happened.not_before, happened.not_after), (Moment(400), Moment(1_000_000)));
    }

    #[test]
    fn a_said_time_counts_and_is_marked_but_is_never_ahead_of_the_typing() {
        let clocks = Clocks::default();
        let mut entry = entry(1, 10_000, 0);
        entry.said = Some(Moment(2_000_000));
        let happened = clocks.happened(&entry, Some(&clock(1, 10_000, 0)), Moment(1_000_000));
        assert!(happened.said);
        assert_eq!(happened.at, Moment(1_000_000));
    }
}
