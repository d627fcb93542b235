//! The money of a ticket: what each of its jobs was charged, and what was paid for it.
//!
//! Scripts price before tax; the shop taxes and totals (`house` has its rules). Who gave the
//! money of a `pay` is a `person` (giver) right before it, in the same potful, so the recorded
//! message of a payment stays as it is.

use std::collections::BTreeMap;

use burrline_terms::{money::Money, name::EntryName, time::Moment};

use super::{Key, State};
use crate::verb::Verb;

/// One job's part of an account.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Share {
    /// The last price heard, and charges since.
    pub charged: Money,
    /// Paid for it.
    pub paid: Money,
    /// Given back for it.
    pub refunded: Money,
}

impl Share {
    /// What is still owed; negative if too much was paid.
    pub fn owed(&self) -> Money {
        let paid = self.paid.checked_sub(self.refunded).unwrap_or(self.paid);
        self.charged.checked_sub(paid).unwrap_or(self.charged)
    }

    /// What it brings once it has left: what was charged, less what was given back of it. Money back
    /// that was paid over and above the charges, or over a charge that was lowered, takes nothing away.
    pub fn brought(&self) -> Money {
        let less = |a: Money, b: Money| a.checked_sub(b).unwrap_or(a).max(Money::ZERO);
        let of_the_price = less(self.refunded, less(self.paid, self.charged));
        self.charged.checked_sub(of_the_price).unwrap_or(self.charged)
    }
}

/// The account of a ticket, job by job.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Account {
    /// Each job's share.
    pub shares: BTreeMap<EntryName, Share>,
}

impl Account {
    /// What is owed on the whole ticket.
    pub fn owed(&self) -> Money {
        Money::sum(self.shares.values().map(Share::owed))
    }
}

impl State {
    /// The account that a job is on: its ticket's, or its own.
    ///
    /// A payment is shared over the jobs that were on the ticket by then, by what each still owed
    /// then, else equally; a refund is one job's alone.
    pub fn account(&self, job: EntryName) -> Account {
        self.account_by(job, Moment(i64::MAX))
    }

    /// The same account as it stood after all that had happened by a moment.
    #[allow(clippy::wildcard_enum_match_arm, reason = "only what moves money is looked at")]
    pub fn account_by(&self, job: EntryName, by: Moment) -> Account {
        let ticket = self.job(job).and_then(super::Job::ticket);
        let jobs: Vec<EntryName> = match ticket {
            Some(ticket) => self.jobs_of_ticket(ticket),
            None => vec![job],
        };
        let mut story: Vec<(Key, EntryName)> = Vec::new();
        for id in &jobs {
            let facts = self.jobs.get(id).into_iter().flat_map(super::Job::facts);
            let counts = |(key, active): &(Key, bool)| *active && key.at <= by;
            story.extend(facts.filter(counts).map(|(key, _)| (key, *id)));
        }
        story.sort();
        let digits = self.settings().minor_digits();
        let mut account = Account::default();
        let mut quoted: BTreeMap<EntryName, Money> = BTreeMap::new();
        for (key, id) in story {
            let Some(verb) = self.meaning(key.name) else { continue };
            match verb {
                Verb::TakeIn(_) => {
                    account.shares.entry(id).or_default();
                }
                Verb::Quote(v) => {
                    let total =
                        v.total.unwrap_or_else(|| Money::sum(v.lines.iter().map(|l| l.amount)));
                    let before = quoted.insert(id, total).unwrap_or_default();
                    let share = account.shares.entry(id).or_default();
                    share.charged = add(share.charged, total).checked_sub(before).unwrap_or(total);
                }
                Verb::Charge(v) => {
                    let share = account.shares.entry(id).or_default();
                    share.charged = add(share.charged, v.amount);
                }
                Verb::Pay(v) if v.only_this => {
                    let share = account.shares.entry(id).or_default();
                    share.paid = add(share.paid, v.amount);
                }
                Verb::Pay(v) => {
                    // A deposit said before its take-in still has a job to go to.
                    account.shares.entry(id).or_default();
                    let weights: Vec<_> =
                        account.shares.values().map(|s| s.owed().amount()).collect();
                    let parts = v.amount.split(&weights, digits);
                    for (share, part) in account.shares.values_mut().zip(parts) {
                        share.paid = add(share.paid, part);
                    }
                }
                Verb::Refund(v) => {
                    let share = account.shares.entry(id).or_default();
                    share.refunded = add(share.refunded, v.amount);
                }
                _ => {}
            }
        }
        account
    }

    /// One job's share of its account.
    pub fn share(&self, job: EntryName) -> Share {
        self.account(job).shares.get(&job).copied().unwrap_or_default()
    }

    /// The jobs that came in on a ticket.
    pub fn jobs_of_ticket(&self, ticket: EntryName) -> Vec<EntryName> {
        self.on_ticket.get(&ticket).into_iter().flatten().copied().collect()
    }
}

fn add(a: Money, b: Money) -> Money {
    a.checked_add(b).unwrap_or(a)
}
