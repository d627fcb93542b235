//! What a customer brought before: the place of a head on its ticket, and earlier heads and visits.

use std::collections::BTreeSet;

use burrline_domain::{State, Verb, fold::Job};
use burrline_host::JobFacts;
use burrline_terms::{EntryName, Moment};

/// The names that are read from the customer's other heads.
pub(super) const NAMES: &[&str] =
    &["ticket_place", "customer_heads", "customer_tickets", "paid_by"];

/// What the other heads of the ticket and of the customer tell.
pub(super) fn of_job(facts: &mut JobFacts, state: &State, job: &Job, now: Moment) {
    let ticket = job.ticket();
    let on_ticket = ticket.map(|ticket| state.jobs_of_ticket(ticket)).unwrap_or_default();
    let beside = on_ticket.iter().filter_map(|id| state.job(*id));
    let before = beside.filter(|other| came_before(other, job)).count();
    facts.ticket_place = whole(before).saturating_add(1);
    let customer = ticket.and_then(|ticket| state.shop().tickets.get(&ticket)?.customer);
    let theirs = customer.map(|customer| state.jobs_of_customer(customer)).unwrap_or_default();
    let earlier = theirs.into_iter().filter(|other| came_before(other, job));
    let tickets: Vec<Option<EntryName>> = earlier.map(Job::ticket).collect();
    facts.customer_heads = whole(tickets.len());
    let others: BTreeSet<EntryName> =
        tickets.into_iter().flatten().filter(|other| Some(*other) != ticket).collect();
    facts.customer_tickets = whole(others.len());
    facts.paid_by = paid_by(state, &on_ticket, now);
}

/// Whether another head was taken in before this one. One that is only proposed comes after all.
fn came_before(other: &Job, job: &Job) -> bool {
    let at = |job: &Job| job.taken_in.map(|taken| (taken.at, job.id));
    match (at(other), at(job)) {
        (Some(other), Some(this)) => other < this,
        (Some(_), None) => true,
        (None, _) => false,
    }
}

/// By what something was paid last on a ticket.
fn paid_by(state: &State, jobs: &[EntryName], now: Moment) -> String {
    let facts = jobs.iter().filter_map(|id| state.job(*id)).flat_map(Job::facts);
    let paid = facts.filter(|(key, active)| *active && key.at <= now).filter_map(|(key, _)| {
        match state.meaning(key.name) {
            Some(Verb::Pay(pay)) => Some((key, pay.means?)),
            Some(_) | None => None,
        }
    });
    let last = paid.max_by_key(|(key, _)| *key);
    last.map(|(_, means)| means.word().to_owned()).unwrap_or_default()
}

fn whole(count: usize) -> i64 {
    i64::try_from(count).unwrap_or(i64::MAX)
}
