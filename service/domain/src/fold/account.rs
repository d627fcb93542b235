//! The money of a ticket: what each of its jobs was charged, and what was paid for it.
//!
//! Scripts price before tax; the shop taxes and totals (`house` has its rules). Who gave the
//! money of a `pay` is a `person` (giver) right before it, in the same potful, so the recorded
//! message of a payment stays as it is.
//!
//! What is owed is told here and nowhere else: `show`, `calls`, `collect`, `takings`, slips, exports
//! and scripts ask [`State::account`].

use std::collections::BTreeMap;

use burrline_terms::{
    money::Money,
    name::{EntryName, Phrase},
    time::Moment,
};

use super::{Key, State};
use crate::verb::Verb;

/// How a job is, as far as its money goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Situation {
    /// It is here.
    #[default]
    Here,
    /// It was handed over, sent or sold.
    Delivered,
    /// It ended otherwise: given back, taken by an officer, or written off.
    Otherwise,
}

/// One job's part of an account.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Share {
    /// The last price heard, and charges since.
    pub charged: Money,
    /// Paid for it.
    pub paid: Money,
    /// Given back for it.
    pub refunded: Money,
    /// How the job is.
    pub situation: Situation,
    /// Whether it was handed over or sent, now or before it came back.
    delivered: bool,
    /// Given back after it was delivered, or before although all was paid: as much less it brings.
    off_the_price: Money,
    /// All that was ever paid was given back, after it was delivered: what was charged by then.
    all_back: Option<Money>,
}

impl Share {
    /// Paid, less what was given back.
    pub fn net(&self) -> Money {
        less(self.paid, self.refunded)
    }

    /// What is still owed; negative if too much was paid.
    ///
    /// While a job is here, money that was given back is owed again. Once it was delivered, money back
    /// lowers the price, and nobody is asked for it again. What ended otherwise owes nothing.
    pub fn owed(&self) -> Money {
        match (self.situation, self.delivered) {
            (Situation::Otherwise, _) => Money::ZERO,
            (Situation::Here, false) => less(self.charged, self.net()),
            (Situation::Here | Situation::Delivered, _) => less(self.brought(), self.net()),
        }
    }

    /// What was paid for a job that ended otherwise, and was not given back.
    pub fn kept(&self) -> Money {
        match self.situation {
            Situation::Otherwise => self.net(),
            Situation::Here | Situation::Delivered => Money::ZERO,
        }
    }

    /// What was charged and is not asked for any more, because it was given back or the job ended
    /// otherwise: charged, less this, less what was paid, is what is owed. Below nothing where more was
    /// kept than was charged.
    pub fn let_off(&self) -> Money {
        less(less(self.charged, self.net()), self.owed())
    }

    /// How much more is owed if so much is given back now.
    pub fn owed_again(&self, amount: Money) -> Money {
        let mut after = *self;
        after.gives_back(amount);
        less(after.owed().max(Money::ZERO), self.owed().max(Money::ZERO))
    }

    /// What it brings once it has left: what was charged, less what was given back of it. Money back
    /// that was paid over and above the charges, or over a charge that was lowered, takes nothing away.
    pub fn brought(&self) -> Money {
        if let Some(then) = self.all_back {
            // Nothing, or less than nothing where more was given back than was paid; and what was charged
            // since.
            return add(self.net(), less(self.charged, then).max(Money::ZERO));
        }
        let paid = less(self.paid, less(self.refunded, self.off_the_price));
        let above = less(paid, self.charged).max(Money::ZERO);
        let of_the_price = less(self.off_the_price, above).max(Money::ZERO);
        less(self.charged, of_the_price)
    }

    fn pays(&mut self, amount: Money) {
        if let Some(then) = self.all_back.take()
            && self.charged > then
        {
            // It pays for what was charged since; what was given back stays off the price.
            self.off_the_price = less(then, self.net());
        }
        self.paid = add(self.paid, amount);
    }

    fn gives_back(&mut self, amount: Money) {
        let all_paid = add(self.net(), self.off_the_price) >= self.charged;
        let here_and_paid =
            self.situation == Situation::Here && self.charged > Money::ZERO && all_paid;
        if self.delivered || here_and_paid {
            self.off_the_price = add(self.off_the_price, amount);
        }
        self.refunded = add(self.refunded, amount);
        let all_back = self.delivered && self.paid > Money::ZERO && self.net() <= Money::ZERO;
        self.all_back = all_back.then(|| self.all_back.unwrap_or(self.charged));
    }

    /// It left; what ended a job first stays its end.
    fn leaves(&mut self, how: Situation) {
        if self.situation == Situation::Here {
            self.situation = how;
            self.delivered |= how == Situation::Delivered;
        }
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

    /// Paid on the whole ticket, less what was given back.
    pub fn net(&self) -> Money {
        Money::sum(self.shares.values().map(Share::net))
    }

    /// What was kept of its jobs that ended otherwise.
    pub fn kept(&self) -> Money {
        Money::sum(self.shares.values().map(Share::kept))
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
    #[allow(
        clippy::wildcard_enum_match_arm,
        reason = "only what moves money is looked at, and what lets a job leave or return"
    )]
    pub fn account_by(&self, job: EntryName, by: Moment) -> Account {
        let ticket = self.job(job).and_then(super::Job::ticket);
        let jobs: Vec<EntryName> = match ticket {
            Some(ticket) => self.jobs_of_ticket(ticket),
            None => vec![job],
        };
        let mut story: Vec<(Key, EntryName)> = Vec::new();
        for id in &jobs {
            let facts = self.job(*id).into_iter().flat_map(super::Job::facts);
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
                    account.shares.entry(id).or_default().pays(v.amount);
                }
                Verb::Pay(v) => {
                    // A deposit said before its take-in still has a job to go to.
                    account.shares.entry(id).or_default();
                    let weights: Vec<_> =
                        account.shares.values().map(|s| s.owed().amount()).collect();
                    let parts = v.amount.split(&weights, digits);
                    for (share, part) in account.shares.values_mut().zip(parts) {
                        share.pays(part);
                    }
                }
                Verb::Refund(v) => {
                    account.shares.entry(id).or_default().gives_back(v.amount);
                }
                Verb::Sell(v) => {
                    let share = account.shares.entry(id).or_default();
                    share.charged = add(share.charged, v.price);
                    share.leaves(Situation::Delivered);
                }
                Verb::HandOver(_) | Verb::Ship(_) => {
                    account.shares.entry(id).or_default().leaves(Situation::Delivered);
                }
                Verb::BringBack(_) => {
                    account.shares.entry(id).or_default().situation = Situation::Here;
                }
                verb if verb.ends_job() => {
                    account.shares.entry(id).or_default().leaves(Situation::Otherwise);
                }
                _ => {}
            }
        }
        account
    }

    /// What was charged for storage since a moment.
    pub fn storage_charged(&self, job: &super::Job, since: Moment) -> Money {
        let charges = job.charges.iter().filter(|(entry, what, _)| {
            let for_storage = what.as_ref().is_some_and(is_storage);
            for_storage && self.fact(*entry).is_some_and(|fact| fact.key.at >= since)
        });
        Money::sum(charges.map(|(_, _, amount)| *amount))
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

/// Whether a charge is for storage: its first word says so.
fn is_storage(what: &Phrase) -> bool {
    let first = what.as_str().split_whitespace().next().unwrap_or_default();
    first.trim_end_matches([',', ':']).eq_ignore_ascii_case("storage")
}

fn add(a: Money, b: Money) -> Money {
    a.checked_add(b).unwrap_or(a)
}

fn less(a: Money, b: Money) -> Money {
    a.checked_sub(b).unwrap_or(a)
}
