//! When an entry happened, as an interval, from clocks that may be wrong by years.
//!
//! An entry carries the bench's wall clock, its boot id and its uptime in milliseconds. Each
//! sending carries the same three for the moment of sending. Three cases follow:
//!
//! * The boot is the same: the age of the entry is the difference of the two uptimes.
//! * The boot is an older one: the entry is placed by the contacts that the bench had during
//!   that boot. A contact that tells something new is kept beside its record, so this still
//!   works after a restart of the shop.
//! * The bench had no contact during that boot: the entry is in doubt from the life's last
//!   entry (or from its enrollment) to the start of the next boot. The wall clock is only a
//!   hint within that interval.
//!
//! Linux counts sleep as uptime. Where two contacts show that the uptime stood still, whatever
//! was typed between them is in doubt by the difference.
//!
//! A stated time ("at 10:40") counts, is marked as stated, and is never later than the typing.
//! Within one life's entries that state no time, `at` never runs backwards. The shop's own time
//! never runs backwards along the log.
//!
//! Nobody knows how long a file that was carried by hand was on its way. So its clocks only
//! bound when a line was typed. What measures it is the shop's time as the bench last heard it
//! (`Clocks::carried`).

use std::collections::BTreeMap;

use burrline_domain::{BenchClock, Class, Entry, Record};
use burrline_terms::{Happened, Moment};

/// Two contacts of one start that differ by less than this tell the same: lines take that long.
const SAME_MS: i64 = 2_000;

/// A contact is kept beside a record at least this often, so that a sleep is told apart from work.
const KEEP_EVERY_MS: i64 = 10 * 60_000;

pub(super) type Boot = [u8; 16];

/// A bench was in touch: how long its machine had run, and when it would have started by that.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Contact {
    pub(super) uptime: i64,
    pub(super) started: Moment,
}

/// What is known of one life's typing so far.
#[derive(Debug, Default, Clone, Copy, PartialEq, Eq)]
pub(super) struct Life {
    /// The last moment that an entry of it was taken to be typed.
    pub(super) typed: Option<Moment>,
    /// Its last entry was typed no earlier; at first, it was enrolled then.
    pub(super) not_before: Option<Moment>,
    /// The start and the uptime of its last entry.
    pub(super) last: Option<(Boot, i64)>,
}

/// When an entry was typed.
#[derive(Debug, Clone, Copy)]
struct Typing {
    at: Moment,
    not_before: Moment,
    not_after: Moment,
}

/// What a file that was carried by hand tells of its bench's clocks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CarriedClocks {
    /// What they showed as the file was written.
    pub left: BenchClock,
    /// The shop's clock and the bench's, when it had been in touch.
    pub contacts: Vec<(Moment, BenchClock)>,
}

/// What comes along with an entry and tells how old it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Sent {
    /// The bench sent it, with what its clocks show now.
    Now(BenchClock),
    /// Somebody carried it here in a file.
    Carried(CarriedClocks),
}

impl Sent {
    /// What the bench's clocks show now; none if it is not the bench that sends.
    pub fn now(self) -> Option<BenchClock> {
        match self {
            Self::Now(clock) => Some(clock),
            Self::Carried(_) => None,
        }
    }
}

impl From<BenchClock> for Sent {
    fn from(clock: BenchClock) -> Self {
        Self::Now(clock)
    }
}

/// What is known of each bench's clocks.
#[derive(Debug, Default, Clone, PartialEq, Eq)]
pub struct Clocks {
    /// Contacts during a start, in their order.
    pub(super) contacts: BTreeMap<(u32, Boot), Vec<Contact>>,
    pub(super) lives: BTreeMap<u32, Life>,
    /// The time of the first record.
    pub(super) opened: Option<Moment>,
}

impl Clocks {
    /// When an entry happened that arrives at `now`, however it came.
    pub fn came(&self, entry: &Entry, sent: Option<&Sent>, now: Moment) -> Happened {
        match sent {
            Some(Sent::Carried(carried)) => self.carried(entry, carried, now),
            Some(Sent::Now(clock)) => self.happened(entry, Some(clock), now),
            None => self.happened(entry, None, now),
        }
    }

    /// When an entry happened that its bench sends at `now`.
    ///
    /// In doubt it came after what the life typed before it (or its enrolment), before the present
    /// start of its machine, and before now; its wall clock is a hint within that.
    pub fn happened(&self, entry: &Entry, sent: Option<&BenchClock>, now: Moment) -> Happened {
        let life = self.lives.get(&entry.name.life).copied().unwrap_or_default();
        let typing = self
            .measured(entry, sent.and_then(|sent| contact(entry.name.life, sent, now)), sent, now)
            .unwrap_or_else(|| in_doubt(entry, sent, self.typing(entry, life, now), now));
        settled(entry, typing, life, now)
    }

    /// When an entry happened that came in a file, which is accepted at `now`: nobody knows how long
    /// the file was on its way, so that its clocks bound from above and measure nothing. What the
    /// bench heard of the shop's time by itself counts as a contact.
    pub fn carried(&self, entry: &Entry, carried: &CarriedClocks, now: Moment) -> Happened {
        let life = self.lives.get(&entry.name.life).copied().unwrap_or_default();
        let latest = latest(entry, &carried.left, now);
        let boot = entry.clock.boot;
        let told = carried.contacts.iter().filter(|(at, clock)| clock.boot == boot && *at <= now);
        let mut contacts: Vec<Contact> =
            told.filter_map(|(at, clock)| contact(entry.name.life, clock, *at)).collect();
        contacts.extend(self.kept(entry));
        contacts.sort_by_key(|contact| contact.uptime);
        let typing = milliseconds(&entry.clock)
            .and_then(|uptime| between(entry, uptime, &contacts, None))
            .unwrap_or_else(|| in_doubt(entry, None, self.typing(entry, life, now), now));
        let typing = Typing {
            at: typing.at.min(latest),
            not_before: typing.not_before.min(latest),
            not_after: typing.not_after.min(latest),
        };
        settled(entry, typing, life, now)
    }
}

/// The interval, given when it was typed by the clocks alone.
fn settled(entry: &Entry, typing: Typing, life: Life, now: Moment) -> Happened {
    // Lines of one bench were typed one after the other, and none after it arrived.
    // What was stamped by a clock that was ahead bounds nothing.
    let typed = life.typed.filter(|typed| *typed <= now);
    let at = typing.at.max(typed.unwrap_or(typing.at)).min(now);
    let not_before = typing.not_before.min(at);
    let not_after = typing.not_after.min(now).max(at);
    // A decision is made when it is made; nobody decides yesterday.
    let said = entry.said.filter(|_| entry.verb.spec().class == Class::Fact);
    match said {
        Some(said) => said.happened(at, not_after),
        None => Happened { at, not_before, not_after, typed: at, said: false },
    }
}

impl Clocks {
    /// Whether a contact at `now` is worth keeping beside a record.
    pub fn is_news(&self, life: u32, sent: &BenchClock, now: Moment) -> bool {
        let Some(new) = contact(life, sent, now) else { return false };
        let last = self.contacts.get(&(life, sent.boot)).and_then(|all| all.last());
        last.is_none_or(|last| {
            new.started.since(last.started).abs() > SAME_MS
                || new.uptime.saturating_sub(last.uptime) >= KEEP_EVERY_MS
        })
    }

    /// Learns from an entry that was recorded, now or before a restart.
    pub fn note(&mut self, record: &Record) {
        let name = record.entry.name;
        self.opened.get_or_insert(record.shop_time);
        let kept = record.contact.as_ref();
        if let Some(sent) = kept
            && let Some(contact) = contact(name.life, sent, record.shop_time)
        {
            self.contacts.entry((name.life, sent.boot)).or_default().push(contact);
        }
        let happened = record.happened;
        let not_before = if happened.said {
            // When it happened is not when it was typed.
            self.measured(&record.entry, None, None, record.shop_time).map(|t| t.not_before)
        } else {
            Some(happened.not_before)
        };
        let life = self.lives.entry(name.life).or_default();
        life.typed = life.typed.max(Some(happened.typed));
        // What is said again was typed before this life was, and bounds nothing of it.
        if record.entry.formerly.is_some() {
            return;
        }
        life.not_before = life.not_before.max(not_before);
        life.last = milliseconds(&record.entry.clock).map(|ms| (record.entry.clock.boot, ms));
    }

    /// Learns when a life was enrolled: it typed nothing before.
    pub fn enrolled(&mut self, life: u32, at: Moment) {
        self.lives.entry(life).or_default().not_before = Some(at);
    }

    /// What bounds an entry from below: for one that is said again, only that there was a shop to be
    /// enrolled at, as it was typed before the new life was. When its first life began cannot be known:
    /// a shop that was put back may have given that number to another bench meanwhile.
    fn typing(&self, entry: &Entry, life: Life, now: Moment) -> Life {
        let opened = self.opened.filter(|opened| *opened <= now);
        match entry.formerly {
            Some(_) => Life { not_before: opened, ..Life::default() },
            // What was stamped by a clock that was ahead bounds nothing.
            None if life.not_before.is_some_and(|bound| bound > now) => {
                Life { not_before: opened, last: None, ..life }
            }
            None => life,
        }
    }

    /// By the contacts during the same start, if there were any.
    fn measured(
        &self,
        entry: &Entry,
        sending: Option<Contact>,
        sent: Option<&BenchClock>,
        now: Moment,
    ) -> Option<Typing> {
        let uptime = milliseconds(&entry.clock)?;
        let boot = entry.clock.boot;
        if let Some(sent) = sent.filter(|sent| sent.boot == boot) {
            let age = milliseconds(sent)?.checked_sub(uptime).filter(|age| *age >= 0)?;
            // Typed at the sending itself: there is no room for a sleep.
            if age == 0 {
                return Some(Typing { at: now, not_before: now, not_after: now });
            }
        }
        let sending = sending.filter(|_| sent.is_some_and(|sent| sent.boot == boot));
        between(entry, uptime, self.kept(entry), sending.as_ref())
    }

    /// The contacts that are known of the start in which an entry was typed.
    fn kept(&self, entry: &Entry) -> &[Contact] {
        // A start may have outlived a life.
        let mut lives =
            std::iter::once(entry.name.life).chain(entry.formerly.map(|first| first.life));
        let kept = lives.find_map(|life| self.contacts.get(&(life, entry.clock.boot)));
        kept.map(Vec::as_slice).unwrap_or_default()
    }
}

/// By the contacts of its start before and after it, in their order; `sending` is the last of all.
fn between(
    entry: &Entry,
    uptime: i64,
    contacts: &[Contact],
    sending: Option<&Contact>,
) -> Option<Typing> {
    let before = contacts.iter().rev().find(|contact| contact.uptime <= uptime);
    let after = contacts.iter().find(|contact| contact.uptime >= uptime).or(sending);
    let by = |contact: &Contact| contact.started.plus(uptime);
    let exactly = |at: Moment| Typing { at, not_before: at, not_after: at };
    match (before, after) {
        (Some(before), Some(after)) if by(after).since(by(before)).abs() > SAME_MS => {
            let (a, b) = (by(before), by(after));
            let (not_before, not_after) = (a.min(b), a.max(b));
            let at = entry.clock.wall.clamp(not_before, not_after);
            Some(Typing { at, not_before, not_after })
        }
        (_, Some(after)) => Some(exactly(by(after))),
        (Some(before), None) => Some(exactly(by(before))),
        (None, None) => None,
    }
}

/// The last moment at which an entry can have been typed that left its bench with these clocks.
fn latest(entry: &Entry, left: &BenchClock, now: Moment) -> Moment {
    let (Some(uptime), Some(then)) = (milliseconds(left), milliseconds(&entry.clock)) else {
        return now;
    };
    // In the same start as much earlier as it had run less; else before the later start began.
    let since = if left.boot == entry.clock.boot { uptime.saturating_sub(then) } else { uptime };
    now.plus(since.max(0).saturating_neg())
}

/// A contact at `now`; none if the bench cannot tell its uptime, and for the shop itself.
fn contact(life: u32, sent: &BenchClock, now: Moment) -> Option<Contact> {
    let uptime = milliseconds(sent).filter(|uptime| *uptime > 0 && life != 0)?;
    Some(Contact { uptime, started: now.plus(uptime.saturating_neg()) })
}

fn milliseconds(clock: &BenchClock) -> Option<i64> {
    i64::try_from(clock.uptime_ms).ok()
}

/// Typed during a start in which the bench was never in touch.
fn in_doubt(entry: &Entry, sent: Option<&BenchClock>, life: Life, now: Moment) -> Typing {
    let uptime = milliseconds(&entry.clock);
    // As long after the life's last line as the uptimes differ, if that was in the same start.
    let since_last = match (life.last, uptime) {
        (Some((boot, last)), Some(uptime)) if boot == entry.clock.boot => {
            uptime.saturating_sub(last).max(0)
        }
        (Some(_) | None, _) => 0,
    };
    let earliest = life.not_before.map(|not_before| not_before.plus(since_last));
    // The machine started anew since, so it was typed before that start.
    let restarted = sent
        .filter(|sent| sent.boot != entry.clock.boot)
        .and_then(milliseconds)
        .map_or(now, |uptime| now.plus(uptime.saturating_neg()));
    let not_before = earliest.unwrap_or(entry.clock.wall).min(now);
    let not_after = restarted.max(not_before).min(now);
    let at = entry.clock.wall.clamp(not_before, not_after);
    Typing { at, not_before, not_after }
}

#[cfg(test)]
#[path = "happened_tests.rs"]
mod tests;
