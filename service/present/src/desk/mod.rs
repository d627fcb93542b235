//! What the desk reads: whom to call, what was taken, the register, who collects.
//!
//! Names are shown only where their keys are, and names and money only to a counter and to the owner.
//! The shop and a bench's own copy answer alike; a copy has hardly any keys.
//!
//! * [`calls`](mod@calls): whom to call, and why
//! * [`takings`](mod@takings): what was taken, given back, held and earned
//! * [`till`](mod@till): the till of a day: what should be in it, over and short
//! * [`profit`](mod@profit): what was left over
//! * [`journal`]: the books as double entries
//! * [`tax_return`](mod@tax_return): what was sold and its tax, by rate
//! * [`register`](mod@register): the inspector's page, with its blanks
//! * [`sales`](mod@sales): the shop's own skulls, sold and here
//! * [`ends`](mod@ends): how jobs ended, other than by hand-over
//! * [`collect`](mod@collect): what to see to before a skull leaves
//! * [`people`]: hunter, customer, payer and collector, as far as their keys are there

mod calls;
mod collect;
mod ends;
mod held;
pub mod journal;
pub mod people;
mod profit;
mod register;
mod sales;
mod takings;
mod tax_return;
pub mod till;

pub use calls::calls;
pub use collect::collect;
pub use ends::ends;
pub use profit::profit;
pub use register::{BELOW as REGISTER_CAUTIONS, register};
pub use sales::sales;
pub use takings::takings;
pub use tax_return::tax_return;

use burrline_domain::{State, fold::Job};
use burrline_terms::{Day, Money};

use crate::view::Zone;

/// Why somebody is not shown what was taken.
pub const NO_MONEY: &str =
    "money is for a counter and for the owner; ask at a bench that joined as one of them";

/// A stretch of days, both ends counted in; an end that is not said is open.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Days {
    /// The first day.
    pub from: Option<Day>,
    /// The last day.
    pub to: Option<Day>,
}

impl Days {
    /// The days from one to another.
    ///
    /// # Errors
    /// The words to tell, if the last comes before the first.
    pub fn between(from: Option<Day>, to: Option<Day>) -> Result<Self, String> {
        match (from, to) {
            (Some(from), Some(to)) if to < from => {
                Err(format!("{to} comes before {from}; say the earlier day first"))
            }
            _ => Ok(Self { from, to }),
        }
    }

    /// Whether a day is one of them.
    pub fn has(self, day: Option<Day>) -> bool {
        let from = self.from.is_none_or(|from| day.is_some_and(|day| day >= from));
        from && self.to.is_none_or(|to| day.is_some_and(|day| day <= to))
    }
}

/// The tag that a job wears or last wore, else its number.
pub(crate) fn called(state: &State, job: &Job) -> String {
    state.tag_of(job.id).map_or_else(|| job.id.job_number(), ToString::to_string)
}

/// The sum of two amounts; the first where that cannot be held.
fn plus(a: Money, b: Money) -> Money {
    a.checked_add(b).unwrap_or(a)
}

/// The difference of two amounts; the first where that cannot be held.
fn minus(a: Money, b: Money) -> Money {
    a.checked_sub(b).unwrap_or(a)
}

/// Each piece that is not with the skull, with where it is: `jaw in tank-1`.
pub(crate) fn pieces_away(state: &State, job: &Job) -> Vec<String> {
    let place = |piece| {
        let own = job.stays.iter().rev().find(|stay| stay.piece == piece && stay.open());
        own.map(|stay| format!(" in {}", stay.place))
    };
    let bag = |piece| state.bag_mark(job, piece).map(|mark| format!(", bag {mark}"));
    job.parts_away()
        .into_iter()
        .map(|piece| {
            let where_it_is = place(piece).unwrap_or_else(|| " apart".to_owned());
            format!("{piece}{where_it_is}{}", bag(piece).unwrap_or_default())
        })
        .collect()
}

/// The day of something that happened, in the shop's zone.
fn day_of(state: &State, happened: Option<burrline_terms::Happened>) -> Option<Day> {
    Zone::of(state).day(happened?.at)
}

fn day_text(day: Option<Day>) -> String {
    day.map(|day| day.to_string()).unwrap_or_default()
}
