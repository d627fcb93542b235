//! What a wrong clock of the shop stamped, put right by a decision of the owner.
//!
//! The decision names the first and the last line that the clock stamped, and when the first really
//! came. All of them move by the same time. None of them moves before what the shop had stamped by
//! then, or after the decision, so that no correction alone puts a line before another bench's. The
//! order on the log stays, and so does what was stamped: [`Fact::stamped`].
//!
//! Lines that came while the clock was right again and the log was still ahead were stamped with the
//! log's last time, beside what the machine said ([`Record::doubted`]). That counts for them now.
//!
//! The story is folded anew from its first line, as any aggregate may have been touched.

use std::{collections::BTreeMap, sync::Arc};

use burrline_terms::time::{Happened, Moment};

use super::{Fact, Kept, Key, State};
use crate::{
    entry::Record,
    verb::{PutClockRight, Verb},
};

/// What the shop's clock stamped on a record before it was put right.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stamped {
    /// The shop's time.
    pub shop_time: Moment,
    /// When it happened.
    pub happened: Happened,
}

/// Lines that a wrong clock stamped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stretch {
    /// The positions of the first and the last of them, and of the decision.
    first: u64,
    last: u64,
    decided: u64,
    /// What is added to their times.
    shift_ms: i64,
    /// What the clock said for the last of them.
    stamped_until: Moment,
    /// The times between which all of them lie.
    after: Moment,
    before: Moment,
}

impl Stretch {
    /// As numbers, for a snapshot.
    pub fn numbers(&self) -> [i64; 7] {
        let position = |at: u64| i64::try_from(at).unwrap_or(i64::MAX);
        let Self { first, last, decided, shift_ms, stamped_until, after, before } = *self;
        let [first, last, decided] = [first, last, decided].map(position);
        [first, last, decided, shift_ms, stamped_until.0, after.0, before.0]
    }

    /// The one that has these numbers; none if there is no such stretch.
    pub fn of_numbers(numbers: [i64; 7]) -> Option<Self> {
        let [first, last, decided, shift_ms, stamped_until, after, before] = numbers;
        let position = |at: i64| u64::try_from(at).ok();
        let (stamped_until, after, before) = (Moment(stamped_until), Moment(after), Moment(before));
        let (first, last, decided) = (position(first)?, position(last)?, position(decided)?);
        Some(Self { first, last, decided, shift_ms, stamped_until, after, before })
    }

    /// A time that the wrong clock gave, put right; what it was right about stays: what lies before
    /// it was wrong, and what a bench's own clock told of the time since. Nothing happens after it
    /// came, so such a time lies before the line really `came`.
    fn right(&self, at: Moment, came: Moment) -> Moment {
        let moved = at.plus(self.shift_ms);
        if at <= self.after || (moved < self.after && at <= came) {
            return at;
        }
        moved.max(self.after).min(self.before)
    }

    /// Whether the record was one that it concerns, and is put right.
    fn put_right(&self, record: &mut Record) -> bool {
        if !(self.first..=self.decided).contains(&record.position) {
            return false;
        }
        let happened = record.happened;
        let pinned = record.doubted.filter(|machine| {
            *machine < record.shop_time && record.shop_time <= self.stamped_until
        });
        let came = self.right(record.shop_time, self.before);
        let right = |at: Moment| match pinned {
            // It came while the machine was right, and the log was ahead.
            Some(machine) => at.min(machine.max(self.after)),
            None => self.right(at, came),
        };
        if pinned.is_none() && record.position > self.last {
            return false;
        }
        record.shop_time = if pinned.is_some() { right(record.shop_time) } else { came };
        let at = right(happened.at);
        record.happened = Happened {
            at,
            not_before: right(happened.not_before).min(at),
            not_after: right(happened.not_after).max(at),
            typed: right(happened.typed),
            said: happened.said,
        };
        true
    }
}

impl State {
    /// Whether lines can have reached the shop as a decision says.
    pub(crate) fn can_put_clock_right(&self, said: &PutClockRight) -> bool {
        let latest = self.facts.values().map(|fact| fact.record.shop_time).max();
        self.stretch(said, u64::MAX, latest.unwrap_or_default()).is_some()
    }

    /// The lines of a decision; none if there are no such lines, or they cannot have come then.
    fn stretch(&self, said: &PutClockRight, decided: u64, now: Moment) -> Option<Stretch> {
        let first = self.facts.get(&said.first)?;
        let last = self.facts.get(&said.last)?;
        let (from, to) = (first.record.position, last.record.position);
        let before_it = self.facts.values().filter(|fact| fact.record.position < from);
        let after = before_it.map(|fact| fact.record.shop_time).max();
        let after = after.unwrap_or(Moment(i64::MIN));
        let fits = from <= to && to < decided && (after..=now).contains(&said.was);
        fits.then(|| Stretch {
            first: from,
            last: to,
            decided,
            shift_ms: said.was.since(first.was_stamped().shop_time),
            stamped_until: last.was_stamped().shop_time,
            after,
            before: now,
        })
    }

    /// Folds the story anew if a fact says which of it a wrong clock stamped.
    pub(super) fn heed_clock(&mut self, fact: &Fact) {
        let Verb::PutClockRight(said) = &fact.record.entry.verb else { return };
        let decided_at = fact.record.happened.at;
        let stretch = self.stretch(said, fact.record.position, decided_at);
        let Some(stretch) = stretch.filter(|_| !fact.refused()) else { return };
        let mut stretches = std::mem::take(&mut self.stretches);
        stretches.push(stretch);
        let facts = std::mem::take(&mut self.facts);
        let on_the_log: BTreeMap<u64, Fact> =
            facts.into_iter().map(|(_, fact)| (fact.record.position, fact)).collect();
        *self = Self { stretches, ..Self::default() };
        for fact in on_the_log.into_values() {
            let put_right = self.put_right(fact);
            self.take_in(put_right);
        }
    }

    /// The present by some of the records alone, with all that was decided of the shop's clock: what
    /// had happened by a moment is asked of the times as they were put right.
    #[must_use]
    pub fn only(&self, keeps: impl Fn(&Record) -> bool) -> Self {
        let kept = self.facts.values().filter(|fact| keeps(&fact.record));
        let on_the_log: BTreeMap<u64, &Fact> =
            kept.map(|fact| (fact.record.position, fact)).collect();
        let mut state = Self { stretches: self.stretches.clone(), ..Self::default() };
        for fact in on_the_log.into_values() {
            state.take_in(fact.clone());
        }
        state
    }

    /// The fact by all that was decided of the shop's clock.
    pub(super) fn put_right(&self, fact: Fact) -> Fact {
        let was = fact.was_stamped();
        let mut record = Record::clone(&fact.record);
        (record.shop_time, record.happened) = (was.shop_time, was.happened);
        // What was decided last holds.
        self.stretches.iter().rev().find(|stretch| stretch.put_right(&mut record));
        let stays = record.shop_time == was.shop_time && record.happened == was.happened;
        let key = Key { at: record.happened.at, name: record.entry.name };
        Fact { key, record: Kept::from(Arc::new(record)), stamped: (!stays).then_some(was) }
    }
}

impl Fact {
    /// What the shop's clock stamped, right or wrong.
    pub fn was_stamped(&self) -> Stamped {
        let record = &self.record;
        self.stamped.unwrap_or(Stamped { shop_time: record.shop_time, happened: record.happened })
    }
}
