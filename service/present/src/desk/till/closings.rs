//! The days whose tills were closed, and what stays in them.

use burrline_domain::{State, Verb, fold::Fact};
use burrline_terms::{Day, EntryName};

use crate::view::Zone;

/// One day that was closed.
#[derive(Debug, Clone, Copy)]
struct Closing {
    /// Where on the log that was said.
    position: u64,
    /// The day, by what is known of the shop's clock now.
    day: Day,
    /// The day as it was when it was said.
    stamped: Day,
    entry: EntryName,
}

/// The days that were closed, in the order in which the shop recorded that.
#[derive(Debug)]
pub(super) struct Closings {
    closed: Vec<Closing>,
    /// Where on the log the shop's clock was put right.
    put_right: Vec<u64>,
}

impl Closings {
    pub(super) fn of(state: &State, zone: &Zone) -> Self {
        let closed = state.shop().closed_tills.iter().filter_map(|(day, entry)| {
            let fact = state.fact(*entry)?;
            // Nobody closes a day that has not come: its till is closed as far as that day's.
            let by = |at| zone.day(at).map_or(*day, |today| today.min(*day));
            Some(Closing {
                position: fact.record.position,
                day: by(fact.record.shop_time),
                stamped: by(fact.was_stamped().shop_time),
                entry: *entry,
            })
        });
        let mut closed: Vec<Closing> = closed.collect();
        closed.sort_unstable_by_key(|closing| closing.position);
        // Without a till that was closed nothing has to stay where it is.
        let decided = state.of_till().filter(|fact| {
            !closed.is_empty()
                && !fact.refused()
                && matches!(fact.record.entry.verb, Verb::PutClockRight(_))
        });
        let mut put_right: Vec<u64> = decided.map(|fact| fact.record.position).collect();
        put_right.sort_unstable();
        Self { closed, put_right }
    }

    /// The line that closed the till of a day.
    pub(super) fn closed(&self, day: Day) -> Option<EntryName> {
        self.closed.iter().find(|closing| closing.day >= day).map(|closing| closing.entry)
    }

    /// The last day that was closed before a record.
    pub(super) fn before(&self, fact: &Fact) -> Option<Day> {
        let before = self.closed.iter().filter(|closing| closing.position < fact.record.position);
        before.map(|closing| closing.day).max()
    }

    /// The till of a record for something of a day: that day's, or the first that is open.
    pub(super) fn till(&self, fact: &Fact, day: Day, zone: &Zone) -> Day {
        match self.before(fact) {
            Some(closed) if day <= closed => {
                let arrived = zone.day(fact.record.shop_time).unwrap_or(day);
                let next = closed.0.tomorrow().map_or(closed, Day);
                arrived.max(next)
            }
            Some(_) | None => day,
        }
    }

    /// The day of the till in which a line was when that was closed, if the shop's clock was put right
    /// only after that; `now` is the day on which it is known now to have happened.
    pub(super) fn kept(&self, fact: &Fact, now: Day, zone: &Zone) -> Option<Day> {
        fact.stamped?;
        let then = zone.day(fact.was_stamped().happened.at)?;
        let own = fact.record.position;
        let decided = self.put_right.iter().find(|position| **position > own)?;
        let of = |closing: &&Closing| {
            (own..*decided).contains(&closing.position) && closing.stamped >= then
        };
        let closing = self.closed.iter().find(of)?;
        // A till that was closed under a wrong day is that of the right one now, whole; of a day before it
        // that nobody closed by itself, it goes no further than to the till that was closed.
        Some(if closing.stamped == then { closing.day } else { now.min(closing.day) })
    }
}
