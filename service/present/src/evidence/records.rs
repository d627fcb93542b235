//! Which records a stranger needs to follow one job.

use std::collections::{BTreeMap, BTreeSet};

use burrline_domain::{
    State, Verb,
    fold::{Fact, Job, Route, Until},
    verb::{Class, On},
};
use burrline_terms::{EntryName, Moment, Name};

use super::beside::beside;

/// The positions of every record that the story of a job hangs on, in order.
///
/// They are: what landed on the job, as it arrived or since; the money of the other jobs of its ticket, for a payment is
/// shared over all of them; its ticket and customer, whose details stay sealed; the waters that it
/// was in, while it was; lines that were said of it and are on no job or on another, and, where
/// another job wore its tag, the lines that put that on and took it off; corrections of any of
/// these; what a wrong clock of the shop stamped; and the shop's own settings, with the enrolments of the benches that signed. A roll-call
/// names other people's tags and is left out.
pub fn records(state: &State, job: &Job) -> BTreeSet<u64> {
    let wanted = Wanted::of(state, job);
    let mut names: BTreeSet<EntryName> = state
        .facts()
        .filter(|fact| wanted.takes(state, fact))
        .map(|fact| fact.record.entry.name)
        .collect();
    let beside = beside(state, job);
    names.extend(beside.lines.into_iter().chain(beside.tags));
    names.extend(of_the_clock(state, &names));
    let positions = |names: &BTreeSet<EntryName>| {
        names.iter().filter_map(|name| Some(state.fact(*name)?.record.position)).collect()
    };
    // Corrections of corrections, until no more are found.
    loop {
        let more: BTreeSet<EntryName> = state
            .facts()
            .filter(|fact| corrects(&fact.record.entry.verb, &names))
            .map(|fact| fact.record.entry.name)
            .filter(|name| !names.contains(name))
            .collect();
        if more.is_empty() {
            return positions(&names);
        }
        names.extend(more);
    }
}

/// The lines that decisions of the shop's clock go by: the first and the last that a wrong clock
/// stamped, and the line before the first, which bounds them.
fn of_the_clock(state: &State, wanted: &BTreeSet<EntryName>) -> BTreeSet<EntryName> {
    let position = |name: EntryName| state.fact(name).map(|fact| fact.record.position);
    let positions: BTreeSet<u64> = wanted.iter().filter_map(|name| position(*name)).collect();
    let decided = state.facts().filter(|fact| !fact.refused()).filter_map(|fact| {
        let Verb::PutClockRight(said) = &fact.record.entry.verb else { return None };
        let stretch = position(said.first)?..=fact.record.position;
        positions.range(stretch).next().map(|_| (said.first, said.last))
    });
    let bounds: Vec<(EntryName, EntryName)> = decided.collect();
    let mut names: BTreeSet<EntryName> =
        bounds.iter().flat_map(|(first, last)| [*first, *last]).collect();
    for (first, _) in bounds {
        let Some(first) = state.fact(first) else { continue };
        let before = first.record.position.checked_sub(1);
        let before = state.facts().find(|fact| Some(fact.record.position) == before);
        names.extend(before.map(|fact| fact.record.entry.name));
    }
    names
}

struct Wanted {
    job: EntryName,
    ticket: Option<EntryName>,
    customer: Option<EntryName>,
    same_ticket: BTreeSet<EntryName>,
    /// For each place, the spans of the baths that the job was in.
    waters: BTreeMap<Name, Vec<(Moment, Moment)>>,
}

impl Wanted {
    fn of(state: &State, job: &Job) -> Self {
        let ticket = job.ticket();
        let customer = ticket
            .and_then(|ticket| state.shop().tickets.get(&ticket))
            .and_then(|ticket| ticket.customer);
        let same_ticket = ticket.map(|t| state.jobs_of_ticket(t)).unwrap_or_default();
        let mut waters: BTreeMap<Name, Vec<(Moment, Moment)>> = BTreeMap::new();
        for stay in &job.stays {
            let left = match stay.until {
                Until::Now => Moment(i64::MAX),
                Until::Said(h) | Until::Unsaid(h) => h.not_after,
            };
            let baths = state.waters().get(&stay.place).map(|water| water.baths.as_slice());
            for bath in baths.unwrap_or_default() {
                let end = bath.until.map_or(Moment(i64::MAX), |(until, _)| until.at);
                if bath.from.at <= left && end >= stay.from.not_before {
                    waters.entry(stay.place.clone()).or_default().push((bath.from.at, end));
                }
            }
        }
        let same_ticket = same_ticket.into_iter().collect();
        Self { job: job.id, ticket, customer, same_ticket, waters }
    }

    fn takes(&self, state: &State, fact: &Fact) -> bool {
        let verb = &fact.record.entry.verb;
        // Its number on the job is looked for, wherever it landed since.
        if fact.record.on_jobs.iter().any(|on| on.job == self.job) {
            return true;
        }
        match state.route(fact.record.entry.name) {
            Some(Route::Job(job)) => {
                *job == self.job || self.same_ticket.contains(job) && is_money(verb)
            }
            Some(Route::Place(place)) => {
                let spans = self.waters.get(place).map(Vec::as_slice).unwrap_or_default();
                !matches!(verb, Verb::RollCall(_))
                    && spans.iter().any(|(from, end)| (*from..=*end).contains(&fact.key.at))
            }
            Some(Route::Shop) => self.takes_of_shop(fact),
            Some(Route::Unplaced(_)) | None => false,
        }
    }

    #[allow(clippy::wildcard_enum_match_arm, reason = "few lines of the shop are about one job")]
    fn takes_of_shop(&self, fact: &Fact) -> bool {
        let name = Some(fact.record.entry.name);
        match &fact.record.entry.verb {
            Verb::Ticket(_) => name == self.ticket,
            Verb::AddCustomer(_) => name == self.customer,
            Verb::AmendCustomer(amend) => Some(amend.customer) == self.customer,
            Verb::TaxedAs(taxed) => Some(taxed.customer) == self.customer,
            Verb::MergeCustomer(_) | Verb::ForgetCustomer(_) => false,
            Verb::Lost(_) => fact.record.entry.name.life == 0,
            other => other.spec().class == Class::Decision && other.spec().on == On::Shop,
        }
    }
}

/// Whether a line changes what is owed on a ticket.
const fn is_money(verb: &Verb) -> bool {
    matches!(
        verb,
        Verb::TakeIn(_)
            | Verb::Quote(_)
            | Verb::Agree(_)
            | Verb::Charge(_)
            | Verb::Pay(_)
            | Verb::Refund(_)
    )
}

fn corrects(verb: &Verb, names: &BTreeSet<EntryName>) -> bool {
    if let Verb::Amend(amend) = verb {
        names.contains(&amend.entry)
    } else if let Verb::Strike(strike) = verb {
        strike.entries.iter().any(|entry| names.contains(entry))
    } else if let Verb::Assign(assign) = verb {
        names.contains(&assign.entry)
    } else {
        false
    }
}
