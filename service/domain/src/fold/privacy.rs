//! Which sealed details are about a customer, so that they can be forgotten.

use std::collections::BTreeSet;

use burrline_terms::name::EntryName;

use super::{Job, Route, State};
use crate::verb::Verb;

impl State {
    /// The ids of every key under which something about a customer was sealed: their details, and
    /// the papers, bringers and collectors of their jobs; of those merged into them as well.
    pub fn sealed_about(&self, customer: EntryName) -> BTreeSet<[u8; 16]> {
        let meant = self.same_person(customer);
        let is_meant = |who: EntryName| meant.contains(&who);
        self.sealed()
            .filter_map(|fact| Some((fact, fact.record.entry.verb.sealed()?)))
            .filter(|(fact, _)| self.about(fact.record.entry.name).is_some_and(is_meant))
            .map(|(_, sealed)| sealed.key_id)
            .collect()
    }

    /// The jobs that came in on the tickets of a customer, and of those merged into them.
    pub fn jobs_of_customer(&self, customer: EntryName) -> Vec<&Job> {
        let meant = self.same_person(customer);
        let tickets = self.shop().tickets.iter();
        let theirs =
            tickets.filter(|(_, ticket)| ticket.customer.is_some_and(|who| meant.contains(&who)));
        let jobs = theirs.flat_map(|(ticket, _)| self.jobs_of_ticket(*ticket));
        jobs.filter_map(|job| self.job(job)).collect()
    }

    /// A customer with all those who were merged into them.
    fn same_person(&self, customer: EntryName) -> BTreeSet<EntryName> {
        let customers = &self.shop().customers;
        let mut meant = BTreeSet::from([customer]);
        // Whoever went into one of them is the same person, over any number of merges.
        while let Some(other) = customers.iter().find_map(|(who, known)| {
            let into = known.merged_into?;
            (meant.contains(&into) && !meant.contains(who)).then_some(*who)
        }) {
            meant.insert(other);
        }
        meant
    }

    /// Whether an entry noted a new customer, struck or not.
    pub fn was_added(&self, customer: EntryName) -> bool {
        let fact = self.facts.get(&customer);
        fact.is_some_and(|fact| matches!(fact.record.entry.verb, Verb::AddCustomer(_)))
    }

    /// Whether an entry is about a customer who was forgotten.
    pub fn is_about_forgotten(&self, name: EntryName) -> bool {
        let customer = self.about(name).and_then(|who| self.shop().customers.get(&who));
        customer.is_some_and(|customer| customer.forgotten)
    }

    /// The customer whom an entry is about, if it is about one.
    #[allow(
        clippy::wildcard_enum_match_arm,
        reason = "all others are about the customer of their job"
    )]
    pub fn about(&self, name: EntryName) -> Option<EntryName> {
        match &self.facts.get(&name)?.record.entry.verb {
            Verb::AddCustomer(_) => Some(name),
            Verb::AmendCustomer(verb) => Some(verb.customer),
            Verb::TaxedAs(verb) => Some(verb.customer),
            Verb::Ticket(verb) => verb.customer,
            // What it replaces says whom it is about; that one is never an amendment itself.
            Verb::Amend(verb) if verb.entry != name => {
                match &self.facts.get(&verb.entry)?.record.entry.verb {
                    Verb::Amend(_) => None,
                    _ => self.about(verb.entry),
                }
            }
            _ => {
                let Route::Job(job) = self.route(name)? else { return None };
                // By its take-in, so that no job is folded for it.
                let Some(Verb::TakeIn(take_in)) = self.meaning(*job) else { return None };
                self.shop().tickets.get(&take_in.ticket?)?.customer
            }
        }
    }
}
