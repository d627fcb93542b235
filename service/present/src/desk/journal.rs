//! The shop's books as a journal of double entries: every move of money, and what each job brought
//! when it left.
//!
//! What customers pay is owed to them until their work has left: it goes to `liabilities:deposits`.
//! When a job leaves, what was paid for it goes from there to what was earned and its tax; what is
//! still owed then is receivable. So the balances are those of `takings`, to the cent:
//!
//! * deposits = held + what is on no job yet
//! * work = earned - its tax
//! * tips = tips in what was handed over - tips that were paid out to the hands
//! * receivable = owed
//! * till = what the last till was left with
//!
//! A move of money has the day of its till, and the day on which it happened beside it.

use std::collections::BTreeSet;

use burrline_domain::{State, fold::Job};
use burrline_terms::{
    Day, EntryName, Moment, Money,
    words::{Means, Purse},
};

use rust_decimal::Decimal;

use super::{
    called,
    held::Standing,
    minus, plus,
    till::{Late, Move, What, moves, word},
};
use crate::{taxes::InIt, view::Zone};

/// An account of the journal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Account {
    /// Cash.
    Till,
    /// Card payments in no batch yet.
    Cards,
    /// Checks that were taken.
    Checks,
    /// The bank account.
    Bank,
    /// The safe.
    Safe,
    /// Payments of which nobody said the means.
    NotSaid,
    /// Owed on what was handed over or sent.
    Receivable,
    /// Paid for work that has not left.
    Deposits,
    /// Tax on what was earned.
    Tax,
    /// Tips that the shop keeps for the hands.
    Tips,
    /// Stock that was booked in with its cost; nobody said how it was paid.
    Suppliers,
    /// The owner's own money.
    Owner,
    /// What was in the drawer, and owed by customers, before anybody kept these books.
    Opening,
    /// Money of the till that came from, or went, somewhere else.
    Elsewhere,
    /// Earned, without its tax.
    Work,
    /// Kept of jobs that ended otherwise.
    Kept,
    /// Stock that was bought.
    Stock,
    /// What else was spent.
    Spent,
    /// Fees of card batches.
    Fees,
    /// The till, over and short.
    OverShort,
}

impl Account {
    /// Every account, in the order in which they are declared.
    pub const ALL: [Self; 20] = [
        Self::Till,
        Self::Cards,
        Self::Checks,
        Self::Bank,
        Self::Safe,
        Self::NotSaid,
        Self::Receivable,
        Self::Deposits,
        Self::Tax,
        Self::Tips,
        Self::Suppliers,
        Self::Owner,
        Self::Opening,
        Self::Elsewhere,
        Self::Work,
        Self::Kept,
        Self::Stock,
        Self::Spent,
        Self::Fees,
        Self::OverShort,
    ];

    /// Its name in the journal.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Till => "assets:till",
            Self::Cards => "assets:cards",
            Self::Checks => "assets:checks",
            Self::Bank => "assets:bank",
            Self::Safe => "assets:safe",
            Self::NotSaid => "assets:means not said",
            Self::Receivable => "assets:receivable",
            Self::Deposits => "liabilities:deposits",
            Self::Tax => "liabilities:sales tax",
            Self::Tips => "liabilities:tips",
            Self::Suppliers => "liabilities:suppliers",
            Self::Owner => "equity:owner",
            Self::Opening => "equity:opening",
            Self::Elsewhere => "equity:elsewhere",
            Self::Work => "income:work",
            Self::Kept => "income:kept deposits",
            Self::Stock => "expenses:stock",
            Self::Spent => "expenses:other",
            Self::Fees => "expenses:card fees",
            Self::OverShort => "expenses:till over and short",
        }
    }

    const fn of(means: Option<Means>) -> Self {
        match means {
            Some(Means::Cash) => Self::Till,
            Some(Means::Card) => Self::Cards,
            Some(Means::Check) => Self::Checks,
            Some(Means::Transfer) => Self::Bank,
            // The others are ways to tell somebody something.
            Some(Means::Counter | Means::Phone | Means::Text | Means::Email | Means::Letter)
            | None => Self::NotSaid,
        }
    }

    const fn of_purse(purse: Purse) -> Self {
        match purse {
            Purse::Bank => Self::Bank,
            Purse::Safe => Self::Safe,
            Purse::Owner => Self::Owner,
            Purse::Supplier => Self::Suppliers,
            Purse::Hands => Self::Tips,
            Purse::Other => Self::Elsewhere,
        }
    }
}

/// One line of a transaction.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Posting {
    /// The account.
    pub account: Account,
    /// What goes into it; below zero for what goes out.
    pub amount: Money,
    /// What is in the account then, where it was counted.
    pub counted: Option<Money>,
}

/// One transaction; its postings add up to nothing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Transaction {
    /// The day in whose books it is.
    pub day: Day,
    /// The day on which it happened.
    pub happened: Day,
    /// The line that says it.
    pub entry: EntryName,
    /// What it is.
    pub words: String,
    /// Its postings.
    pub postings: Vec<Posting>,
    at: Moment,
}

/// The journal, in the order of its days.
pub fn journal(state: &State) -> Vec<Transaction> {
    let mut journal = of_moves(state);
    for job in state.jobs().values() {
        journal.extend(of_job(state, job));
    }
    journal.sort_by_key(|t| (t.day, t.at, t.entry));
    journal
}

/// Two accounts, of which the second gives what the first takes.
fn both(to: Account, from: Account, amount: Money) -> Vec<Posting> {
    let posting = |account, amount| Posting { account, amount, counted: None };
    vec![posting(to, amount), posting(from, minus(Money::ZERO, amount))]
}

fn of_moves(state: &State) -> Vec<Transaction> {
    let zone = Zone::of(state);
    // What the journal has in the till so far, and whether anybody ever said what is in it.
    let (mut till, mut known) = (Money::ZERO, false);
    let mut journal = Vec::new();
    for m in moves(state) {
        let postings = match &m.what {
            What::Float | What::Counted(_) => {
                let Some(by) = base(&m, till, known) else { continue };
                let from = if known { Account::OverShort } else { Account::Opening };
                known = true;
                let mut postings = both(Account::Till, from, by);
                if let Some(first) = postings.first_mut() {
                    first.counted = m.late.is_none().then_some(m.amount);
                }
                postings
            }
            What::Paid => both(Account::of(m.means), Account::Deposits, m.counted()),
            What::GivenBack => both(Account::Deposits, Account::of(m.means), m.counted()),
            What::PaidIn(purse) => both(Account::Till, Account::of_purse(*purse), m.counted()),
            What::PaidOut(purse) => both(Account::of_purse(*purse), Account::Till, m.counted()),
            What::Spent { stock } => {
                let what = if *stock { Account::Stock } else { Account::Spent };
                both(what, spent_from(m.means), m.counted())
            }
            What::Batch { fee } => {
                let fee = if m.back { minus(Money::ZERO, *fee) } else { *fee };
                let mut postings = both(Account::Bank, Account::Cards, m.counted());
                if let Some(bank) = postings.first_mut() {
                    bank.amount = minus(bank.amount, fee);
                }
                postings.push(Posting { account: Account::Fees, amount: fee, counted: None });
                postings
            }
        };
        for posting in postings.iter().filter(|posting| posting.account == Account::Till) {
            till = plus(till, posting.amount);
        }
        let happened = zone.day(m.happened).unwrap_or(m.day);
        let (day, entry, at, words) = (m.day, m.entry, m.at, words(state, &m));
        journal.push(Transaction { day, happened, entry, words, postings, at });
    }
    journal
}

/// What a float or a count changes in the till; nothing where it says nothing of the drawer now.
fn base(m: &Move, till: Money, known: bool) -> Option<Money> {
    match m.late {
        None => Some(minus(m.amount, till)),
        Some(Late::Corrects) => known.then(|| m.counted()),
        Some(Late::Arrived) => None,
    }
}

/// What pays for something: no card payment of a customer does.
const fn spent_from(means: Option<Means>) -> Account {
    match means {
        None => Account::Suppliers,
        Some(Means::Cash) => Account::Till,
        Some(_) => Account::Bank,
    }
}

fn words(state: &State, m: &Move) -> String {
    let whose = m.job.and_then(|job| state.job(job)).map(|job| called(state, job));
    let late = match m.late {
        None => None,
        Some(Late::Arrived) => Some("arrived late".to_owned()),
        Some(Late::Corrects) if m.back => Some("takes back what a closed till has".to_owned()),
        Some(Late::Corrects) => Some("corrects a closed till".to_owned()),
    };
    let said = (!m.words.is_empty()).then(|| m.words.clone());
    let parts = [Some(word(&m.what).to_owned()), whose, said, late];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// What a job brought each time that something changed once it had left.
fn of_job(state: &State, job: &Job) -> Vec<Transaction> {
    let (zone, digits) = (Zone::of(state), state.settings().minor_digits());
    let mut transactions = Vec::new();
    let mut before = Standing::default();
    for (at, entry) in changes(state, job) {
        let now = Standing::of(state, job, at);
        let more = |of: fn(&Standing) -> Money| minus(of(&now), of(&before));
        let tax = |standing: &Standing| Money::new(standing.tax(digits).tax());
        let tax = minus(tax(&now), tax(&before));
        let of = |part: fn(&InIt) -> Decimal| {
            let [now, before] = [&now, &before].map(|standing| part(&standing.tax(digits)));
            Money::new(now.saturating_sub(before))
        };
        let (tips, balance) = (of(|in_it| in_it.tips), of(|in_it| in_it.balance));
        let work = minus(more(|s| s.earned), plus(tax, plus(tips, balance)));
        let parts = [
            (Account::Deposits, more(|s| s.settled)),
            (Account::Receivable, more(Standing::owed)),
            (Account::Work, minus(Money::ZERO, work)),
            (Account::Tax, minus(Money::ZERO, tax)),
            (Account::Tips, minus(Money::ZERO, tips)),
            (Account::Opening, minus(Money::ZERO, balance)),
            (Account::Kept, minus(Money::ZERO, more(Standing::kept))),
        ];
        let postings: Vec<Posting> = parts
            .into_iter()
            .filter(|(_, amount)| *amount != Money::ZERO)
            .map(|(account, amount)| Posting { account, amount, counted: None })
            .collect();
        if let Some(day) = zone.day(at).filter(|_| !postings.is_empty()) {
            let how = state.meaning(entry).map_or("", |verb| verb.spec().word);
            let words = format!("{}, {how}", called(state, job));
            transactions.push(Transaction { day, happened: day, entry, words, postings, at });
        }
        before = now;
    }
    transactions
}

/// The moments from when a job first left at which its money may have changed, with a line of each.
fn changes(state: &State, job: &Job) -> BTreeSet<(Moment, EntryName)> {
    let left = |job: &Job| {
        let facts = job.facts().filter(|(_, counts)| *counts);
        let mut left = facts.filter(|(key, _)| {
            state.meaning(key.name).is_some_and(burrline_domain::Verb::ends_job)
        });
        left.next().map(|(key, _)| key.at)
    };
    let Some(left) = left(job) else { return BTreeSet::new() };
    let jobs = match job.ticket() {
        Some(ticket) => state.jobs_of_ticket(ticket),
        None => vec![job.id],
    };
    let facts = jobs.iter().filter_map(|id| state.job(*id)).flat_map(Job::facts);
    let mut changes: BTreeSet<(Moment, EntryName)> = facts
        .filter(|(key, counts)| *counts && key.at >= left)
        .map(|(key, _)| (key.at, key.name))
        .collect();
    // Of several lines at one moment, the first stands for what they change together.
    let mut last = None;
    changes.retain(|(at, _)| last.replace(*at) != Some(*at));
    changes
}
