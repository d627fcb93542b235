//! Where a piece was, from when until when.
//!
//! A stay ends in a recorded or an unrecorded way. A piece that was put in elsewhere, or
//! washed, must have left its place by then. `longest_ms` and `shortest_ms` count with that
//! doubt.
//!
//! A roll-call records `found-in` and `gone`. They begin and end stays in doubt: the move
//! happened at some time after the piece was last recorded anywhere. So a hot stay counts at
//! its longest and a drying at its shortest, and neither causes a clash.

use burrline_terms::{
    canon::{Canon, Canonical},
    name::{EntryName, Name},
    time::{Happened, Moment},
    words::Piece,
};

/// How a stay ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Until {
    /// It is still there.
    Now,
    /// Somebody said so.
    Said(Happened),
    /// Nobody said so; it was gone by the time of this entry.
    Unsaid(Happened),
}

/// One stay of one piece in one place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stay {
    /// The piece.
    pub piece: Piece,
    /// Where.
    pub place: Name,
    /// The entry that put it there.
    pub entry: EntryName,
    /// Since when.
    pub from: Happened,
    /// Until when.
    pub until: Until,
}

impl Stay {
    /// Whether it is still there.
    pub const fn open(&self) -> bool {
        matches!(self.until, Until::Now)
    }

    /// The longest it can have been, in milliseconds, as of `now`: for rules with a maximum.
    pub fn longest_ms(&self, now: Moment) -> i64 {
        self.longest_until(now).since(self.from.not_before).max(0)
    }

    /// The latest moment at which it can still have been there, as of `now`.
    pub fn longest_until(&self, now: Moment) -> Moment {
        match self.until {
            Until::Now => now,
            Until::Said(h) | Until::Unsaid(h) => h.not_after.min(now),
        }
    }

    /// The shortest it can have been, in milliseconds, as of `now`: for rules with a minimum.
    pub fn shortest_ms(&self, now: Moment) -> i64 {
        let end = match self.until {
            Until::Now => now,
            Until::Said(h) => h.not_before.min(now),
            // Nobody said when, so it may have left at once.
            Until::Unsaid(_) => self.from.not_after,
        };
        end.since(self.from.not_after).max(0)
    }

    /// Whether the stay covers a moment.
    pub fn covers(&self, at: Moment) -> bool {
        let end = match self.until {
            Until::Now => return at >= self.from.at,
            Until::Said(h) | Until::Unsaid(h) => h.at,
        };
        at >= self.from.at && at < end
    }
}

impl Canonical for Stay {
    fn canon(&self, out: &mut Canon) {
        let Self { piece, place, entry, from, until } = self;
        out.add(piece);
        out.add(place);
        out.add(entry);
        out.add(from);
        match until {
            Until::Now => out.number(0),
            Until::Said(h) => {
                out.number(1);
                out.add(h);
            }
            Until::Unsaid(h) => {
                out.number(2);
                out.add(h);
            }
        }
    }
}
