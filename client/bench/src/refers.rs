//! Entries that a hand names in a line: a ticket must be a ticket, a customer a customer.

use burrline_domain::Verb;
use burrline_present::view;
use burrline_terms::EntryName;

use super::{Bench, alone::Then};
use crate::{Error, clock::Clock};

/// What an entry has to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Wanted {
    Ticket,
    Customer,
}

impl Wanted {
    const fn word(self) -> &'static str {
        match self {
            Self::Ticket => "ticket",
            Self::Customer => "customer",
        }
    }
}

impl Bench {
    /// Looks whether the entries that were named in lines are what they have to be.
    ///
    /// # Errors
    /// [`Error::Usage`], with what the entry is; if the copy cannot be read.
    pub(super) async fn look_up_named(
        &self,
        verbs: &[Verb],
        clock: &(dyn Clock + Sync),
        talk: &mut Vec<String>,
    ) -> Result<(), Error> {
        let wanted: Vec<(EntryName, Wanted)> = verbs.iter().filter_map(named).collect();
        if wanted.is_empty() {
            return Ok(());
        }
        let near = self.in_pause().is_none() && self.catch_up(clock, None).await.is_ok();
        let Some(alone) = self.alone(clock, Then::default())? else { return Ok(()) };
        let state = alone.state();
        for (name, wanted) in wanted {
            let shop = state.shop();
            let is_it = match wanted {
                Wanted::Ticket => shop.tickets.contains_key(&name),
                Wanted::Customer => shop.customers.contains_key(&name),
            };
            if is_it {
                continue;
            }
            let word = wanted.word();
            let what =
                state.job(name).map(|job| format!("the job {}", view::said_back(state, job)));
            let what = what.or_else(|| Some(told(state.meaning(name)?)));
            let what = what.or_else(|| state.fact(name).map(|_| "crossed out".to_owned()));
            match what {
                Some(what) => {
                    return Err(Error::usage(format!("--{word}: {name} is {what}, and no {word}")));
                }
                None if near || name.life == self.life() => {
                    return Err(Error::usage(format!("--{word}: there is no {word} {name}")));
                }
                // Another bench may have opened it since this one heard of the shop.
                None => talk.push(format!(
                    "{word} {name} is not in this bench\u{2019}s own copy; kept as said"
                )),
            }
        }
        Ok(())
    }
}

/// The entry that a line names, with what it has to be.
#[allow(clippy::wildcard_enum_match_arm, reason = "these verbs alone name one")]
fn named(verb: &Verb) -> Option<(EntryName, Wanted)> {
    match verb {
        Verb::TakeIn(v) => v.ticket.map(|name| (name, Wanted::Ticket)),
        Verb::Ticket(v) => v.customer.map(|name| (name, Wanted::Customer)),
        Verb::AmendCustomer(v) => Some((v.customer, Wanted::Customer)),
        Verb::TaxedAs(v) => Some((v.customer, Wanted::Customer)),
        Verb::Amend(v) => named(&v.verb),
        _ => None,
    }
}

#[allow(clippy::wildcard_enum_match_arm, reason = "all others are told as they were said")]
fn told(verb: &Verb) -> String {
    match verb {
        Verb::AddCustomer(_) => "a customer".to_owned(),
        Verb::Ticket(_) => "a ticket".to_owned(),
        other => format!("\u{201c}{}\u{201d}", other.told()),
    }
}
