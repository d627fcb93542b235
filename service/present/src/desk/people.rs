//! The people of a job: customer, hunter, bringer, payer and collector, who may be four persons or
//! one. Each is sealed; what is shown hangs on whose keys are there.

use burrline_domain::{
    State, Verb,
    fold::{Customer, Job},
};
use burrline_terms::{EntryName, Sealed, words::Capacity};

use crate::{Details, Opens};

/// What can be told of somebody.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Who {
    /// Who it is.
    Known(Details),
    /// Somebody, whose key is not here.
    Sealed,
    /// Nobody was named.
    Nobody,
}

impl Who {
    /// The details, if they are known.
    pub const fn details(&self) -> Option<&Details> {
        match self {
            Self::Known(details) => Some(details),
            Self::Sealed | Self::Nobody => None,
        }
    }

    /// This one, else the other if nobody was named.
    #[must_use]
    pub fn or(self, other: impl FnOnce() -> Self) -> Self {
        match self {
            Self::Nobody => other(),
            Self::Known(_) | Self::Sealed => self,
        }
    }

    /// The name; empty if it is not known.
    pub fn name(&self) -> String {
        self.details().map(|details| details.name.clone()).unwrap_or_default()
    }
}

/// Opens what is sealed, for a reader who may see names; for others everybody is sealed.
#[derive(Clone, Copy)]
pub struct Eyes<'a> {
    keys: Option<&'a dyn Opens>,
}

impl std::fmt::Debug for Eyes<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Eyes").field("see", &self.see()).finish()
    }
}

impl<'a> Eyes<'a> {
    /// The eyes of a reader.
    pub fn new(keys: &'a dyn Opens, sees: bool) -> Self {
        Self { keys: sees.then_some(keys) }
    }

    /// Whether names and money are for this reader.
    pub const fn see(&self) -> bool {
        self.keys.is_some()
    }

    /// Who somebody is.
    pub fn who(&self, sealed: Option<&Sealed>) -> Who {
        let Some(sealed) = sealed else { return Who::Nobody };
        let details = self.keys.and_then(|keys| keys.open_details(sealed));
        details.map_or(Who::Sealed, Who::Known)
    }

    /// The customer of a job; of a skull of the shop's own, who bought it.
    pub fn customer(&self, state: &State, job: &Job) -> Who {
        self.brought_it(state, job).or(|| self.buyer(state, job))
    }

    /// The customer whose visit a job came in with.
    fn brought_it(&self, state: &State, job: &Job) -> Who {
        let customer = customer_of(state, job).map(|(_, customer)| customer);
        self.who(customer.and_then(|c| c.details.last_key_value()).map(|(_, sealed)| sealed))
    }

    /// Who bought it, if the shop sold it to somebody who was named.
    #[allow(clippy::wildcard_enum_match_arm, reason = "one verb alone names them")]
    fn buyer(&self, state: &State, job: &Job) -> Who {
        let last = said(state, job).filter_map(|verb| match verb {
            Verb::Sell(v) => Some(v.buyer.as_ref()),
            _ => None,
        });
        self.who(last.last().flatten())
    }

    /// The hunter: whom the papers name, else the customer.
    pub fn hunter(&self, state: &State, job: &Job) -> Who {
        let named = job.papers.as_ref().and_then(|papers| papers.details.as_ref());
        self.who(named).or(|| self.brought_it(state, job))
    }

    /// Who pays or who may collect, as last named.
    #[allow(clippy::wildcard_enum_match_arm, reason = "one verb alone names them")]
    pub fn person(&self, state: &State, job: &Job, stands_as: Capacity) -> Who {
        let last = said(state, job).filter_map(|verb| match verb {
            Verb::Person(v) if v.stands_as == stands_as => Some(v.details.as_ref()),
            _ => None,
        });
        self.who(last.last().flatten())
    }

    /// Who collected it, if it was handed over to somebody who was named.
    #[allow(clippy::wildcard_enum_match_arm, reason = "one verb alone names them")]
    pub fn collected(&self, state: &State, job: &Job) -> Who {
        let last = said(state, job).filter_map(|verb| match verb {
            Verb::HandOver(v) => Some(v.collector.as_ref()),
            _ => None,
        });
        self.who(last.last().flatten())
    }
}

/// Who gave the money of a payment, sealed, if somebody was named with it.
pub fn giver<'a>(state: &'a State, job: &'a Job, pay: EntryName) -> Option<&'a Sealed> {
    let potful = |name: EntryName| state.fact(name).and_then(|fact| fact.record.entry.together);
    let together = potful(pay)?;
    let before = job.facts().filter(|(key, counts)| {
        let said_before = key.name.life == pay.life && key.name.n < pay.n;
        *counts && said_before && potful(key.name) == Some(together)
    });
    let named = before.filter_map(|(key, _)| match state.meaning(key.name) {
        Some(Verb::Person(person)) if person.stands_as == Capacity::Giver => {
            Some((key.name.n, person.details.as_ref()?))
        }
        Some(_) | None => None,
    });
    named.max_by_key(|(n, _)| *n).map(|(_, sealed)| sealed)
}

/// The customer of a job, with whoever they were merged into followed.
pub fn customer_of<'a>(state: &'a State, job: &Job) -> Option<(EntryName, &'a Customer)> {
    let customers = &state.shop().customers;
    let mut name = state.shop().tickets.get(&job.ticket()?)?.customer?;
    // A circle of merges cannot be said, but nothing here hangs on that.
    for _ in 0..customers.len() {
        match customers.get(&name).and_then(|customer| customer.merged_into) {
            Some(into) if into != name => name = into,
            Some(_) | None => break,
        }
    }
    customers.get(&name).map(|customer| (name, customer))
}

/// What counts of a job's story, in the order of happening.
pub fn said<'a>(state: &'a State, job: &'a Job) -> impl Iterator<Item = &'a Verb> {
    job.facts().filter(|(_, counts)| *counts).filter_map(|(key, _)| state.meaning(key.name))
}
