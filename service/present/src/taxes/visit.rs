//! Tax that is rounded once over a whole visit: what was heard of its other heads stands beside a price.

use std::collections::BTreeSet;

use burrline_domain::{
    State, Verb,
    fold::{Job, Key},
    house::{
        tax::TaxBy,
        taxation::{Beside, Taxation},
    },
    verb::Quote,
};
use burrline_terms::{EntryName, Moment, Money};
use rust_decimal::Decimal;

use super::{in_price, rates};
use crate::judge::{Judge, job_facts};

/// How a price of a job is taxed that is told at a moment, beside what was heard of its visit by then.
pub(crate) fn taxation(state: &State, job: &Job, at: Moment) -> Taxation {
    taxation_beside(state, job, at, Whose::Others(&|key| key.at <= at))
}

/// The same for the price that was said with a line.
pub(crate) fn taxation_of(state: &State, job: &Job, said: Key) -> Taxation {
    taxation_beside(state, job, said.at, Whose::Others(&|key| key < said))
}

/// The same for a charge: the price of the job stands beside it.
pub(crate) fn taxation_on_top(state: &State, job: &Job, at: Moment) -> Taxation {
    taxation_beside(state, job, at, Whose::All(&|key| key.at <= at))
}

/// The same for a price that is told together with others, one after the other.
pub(crate) fn taxation_after(
    judge: Option<&Judge>,
    state: &State,
    job: &Job,
    before: &[Verb],
    now: Moment,
) -> Taxation {
    let mut taxation = taxation(state, job, now);
    if taxation.by != TaxBy::Visit || taxation.included {
        return taxation;
    }
    let on_ticket = |other: &Job| other.id != job.id && other.ticket() == job.ticket();
    let told = before.iter().filter_map(|verb| {
        let Verb::Quote(quote) = verb else { return None };
        Some((state.find_job_at(&quote.skull, now).filter(|other| on_ticket(other))?, quote))
    });
    let told: Vec<(&Job, &Quote)> = told.filter(|_| job.ticket().is_some()).collect();
    let anew: BTreeSet<EntryName> = told.iter().map(|(other, _)| other.id).collect();
    taxation.beside = beside(state, job, &taxation, Whose::Others(&|key| key.at <= now), &anew);
    for (other, quote) in told {
        let mut its = rates(state, other, now);
        its.beside = taxation.beside;
        let priced = || judge?.price_of(&job_facts(state, other, now), &its).ok().flatten();
        let (lines, tax) = match (&quote.total, quote.lines.as_slice()) {
            (None, []) => priced().map(|priced| (priced.lines, priced.tax)).unwrap_or_default(),
            (_, lines) => (lines.to_vec(), Money::new(in_price(&its, quote).tax)),
        };
        let lines: Vec<(&str, Decimal)> =
            lines.iter().map(|line| (line.what.as_str(), line.amount.amount())).collect();
        let more = its.beside(&lines, tax.amount()).filter(|_| its.is_like(&taxation));
        taxation.beside = with(taxation.beside, more.unwrap_or_default());
    }
    taxation
}

/// Which prices of a visit stand beside one, of those that were said before it.
#[derive(Clone, Copy)]
enum Whose<'a> {
    /// Those of the other heads.
    Others(&'a dyn Fn(Key) -> bool),
    /// Those of all heads.
    All(&'a dyn Fn(Key) -> bool),
}

fn taxation_beside(state: &State, job: &Job, at: Moment, whose: Whose<'_>) -> Taxation {
    let mut taxation = rates(state, job, at);
    if taxation.by == TaxBy::Visit && !taxation.included {
        taxation.beside = beside(state, job, &taxation, whose, &BTreeSet::new());
    }
    taxation
}

/// What was heard of a visit at the same rates: the last price of each head, and charges.
fn beside(
    state: &State,
    job: &Job,
    own: &Taxation,
    whose: Whose<'_>,
    but: &BTreeSet<EntryName>,
) -> Beside {
    let (stays, before) = match whose {
        Whose::Others(before) => (false, before),
        Whose::All(before) => (true, before),
    };
    let jobs = job.ticket().map_or_else(|| vec![job.id], |ticket| state.jobs_of_ticket(ticket));
    let mut all = Beside::default();
    for other in jobs.iter().filter_map(|id| state.job(*id)) {
        let mut heard = None;
        for (key, _) in other.facts().filter(|(key, counts)| *counts && before(*key)) {
            match state.meaning(key.name) {
                Some(Verb::Quote(quote)) => heard = Some((key, quote)),
                Some(verb) => {
                    let Some((what, amount)) = verb.charges() else { continue };
                    let its = rates(state, other, key.at);
                    let taxed = its.within(&[(what, amount.amount())]).unwrap_or_default();
                    let more = its.beside(&[(what, taxed.before)], taxed.tax);
                    let more = more.filter(|_| its.is_like(own));
                    all = with(all, more.unwrap_or_default());
                }
                None => {}
            }
        }
        let counts = (stays || other.id != job.id) && !but.contains(&other.id);
        if let Some((key, quote)) = heard.filter(|_| counts) {
            let its = rates(state, other, key.at);
            let taxed = in_price(&its, quote);
            let lines: Vec<(&str, Decimal)> = if quote.lines.is_empty() {
                vec![("price", taxed.before)]
            } else {
                quote.lines.iter().map(|line| (line.what.as_str(), line.amount.amount())).collect()
            };
            let more = its.beside(&lines, taxed.tax);
            // What was sold without tax leaves no fraction of one.
            let more = more.filter(|_| its.is_like(own) && !taxed.tax.is_zero());
            all = with(all, more.unwrap_or_default());
        }
    }
    all
}

fn with(one: Beside, more: Beside) -> Beside {
    Beside {
        base: one.base.saturating_add(more.base),
        exact: one.exact.saturating_add(more.exact),
        tax: one.tax.saturating_add(more.tax),
    }
}
