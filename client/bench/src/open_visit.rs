//! The visit that is open at this bench: a bare take-in joins its ticket, and nothing else
//! does.
//!
//! `last-ticket` in the bench's folder names that ticket. A visit is open from its ticket on
//! until money passes, its slip is printed, a skull leaves or comes back at this counter, or
//! another visit begins, or another customer is added. Whoever stands there then may be somebody else.
//! After that the ticket can only be named, or meant by `same` in the talk.
//!
//! A visit is of one day: by the shop's time as the bench knew it then, or by this machine's clock. The
//! first word with the shop after a long time may put the former right between two lines.

use burrline_domain::{BenchClock, Verb};
use burrline_line::when;
use burrline_present::{named, readings::Collect};
use burrline_terms::{Day, EntryName, Skull, Typed as _};

use super::{
    Bench,
    alone::Alone,
    answer::{Answer, Said},
    patience::READING,
};
use crate::{Error, receipt};

/// The file of the bench's folder: the ticket, its days, and whether the visit is over.
const FILE: &str = "last-ticket";
const OVER: &str = "over";

/// What day it is: by the shop's time, and by this machine's clock.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Today {
    shop: Day,
    wall: Day,
}

/// The last ticket that was opened here.
struct LastTicket {
    name: EntryName,
    days: Vec<String>,
    over: bool,
}

impl Bench {
    /// What day it is as these clocks show it.
    pub(super) fn today_by(&self, clock: &BenchClock) -> Result<Today, Error> {
        let zone = self.zone();
        let shop = when::day(self.shop_now(clock)?, &zone);
        Ok(Today { shop, wall: when::day(clock.wall, &zone) })
    }

    /// Takes up what was just said: a ticket opens a visit, and what only happens at its end closes it.
    pub(super) fn remember_visit(
        &self,
        first: u64,
        verbs: &[Verb],
        today: Today,
    ) -> Result<(), Error> {
        for (n, verb) in (first..).zip(verbs) {
            #[allow(clippy::wildcard_enum_match_arm, reason = "few verbs begin or end a visit")]
            match verb {
                Verb::Ticket(_) => {
                    let name = EntryName::new(self.life(), n);
                    let Today { shop, wall } = today;
                    self.folder().keep_text(FILE, &format!("{name} {shop} {wall}"))?;
                }
                Verb::AddCustomer(_)
                | Verb::Pay(_)
                | Verb::Refund(_)
                | Verb::HandOver(_)
                | Verb::Ship(_)
                | Verb::Sell(_)
                | Verb::GiveBack(_)
                | Verb::BringBack(_) => self.close_visit()?,
                Verb::Strike(strike)
                    if self
                        .last_ticket()
                        .is_some_and(|last| strike.entries.contains(&last.name)) =>
                {
                    self.folder().remove(FILE)?;
                }
                _ => {}
            }
        }
        Ok(())
    }

    /// The visit is over; its ticket can still be named.
    ///
    /// # Errors
    /// If the folder cannot be written.
    pub fn close_visit(&self) -> Result<(), Error> {
        match self.last_ticket() {
            Some(LastTicket { name, days, over: false }) => {
                self.folder().keep_text(FILE, &format!("{name} {} {OVER}", days.join(" ")))
            }
            Some(_) | None => Ok(()),
        }
    }

    /// The slip of this ticket was printed: if it is the open one, its visit is over.
    ///
    /// # Errors
    /// If the folder cannot be written.
    pub fn slipped(&self, ticket: EntryName) -> Result<(), Error> {
        let is_it = self.last_ticket().is_some_and(|last| last.name == ticket);
        if is_it { self.close_visit() } else { Ok(()) }
    }

    /// The last ticket that was opened here, if that was today; its visit may be over.
    pub(super) fn ticket_of_the_day(&self, today: Today) -> Option<EntryName> {
        let today = [today.shop, today.wall].map(|day| day.to_string());
        let is_today = |last: &LastTicket| last.days.iter().zip(&today).any(|(a, b)| a == b);
        self.last_ticket().filter(is_today).map(|last| last.name)
    }

    /// The ticket of the visit that is open here.
    pub(super) fn open_ticket(&self, today: Today) -> Option<EntryName> {
        let is_open = self.last_ticket().is_some_and(|last| !last.over);
        self.ticket_of_the_day(today).filter(|_| is_open)
    }

    fn last_ticket(&self) -> Option<LastTicket> {
        let text = self.folder().text(FILE)?;
        let mut words = text.split_whitespace();
        let name = EntryName::read(words.next()?).ok()?;
        let (over, days): (Vec<&str>, Vec<&str>) = words.partition(|word| *word == OVER);
        let days = days.into_iter().map(str::to_owned).collect();
        Some(LastTicket { name, days, over: !over.is_empty() })
    }

    /// Says on whose ticket the heads are that were taken in without naming one.
    pub(super) async fn whose(
        &self,
        ticket: Option<EntryName>,
        alone: Option<&Alone>,
        said: &mut Said,
    ) {
        let mut taken = Vec::new();
        for answer in &said.answers {
            let (verb, job) = match answer {
                Answer::Receipt { verb, receipt } if receipt::refusal(receipt).is_none() => {
                    (verb, Some(named::entry(receipt.entry.as_ref())))
                }
                Answer::Kept { verb, .. } => (verb, None),
                Answer::Receipt { .. } | Answer::NotKnown { .. } | Answer::LeftOff { .. } => {
                    continue;
                }
            };
            if let Verb::TakeIn(take_in) = verb.as_ref()
                && let Some(tag) = &take_in.skull.tag
            {
                taken.push((tag.to_string(), job));
            }
        }
        let Some((_, job)) = taken.first() else { return };
        let tags: Vec<&str> = taken.iter().map(|(tag, _)| tag.as_str()).collect();
        let tags = tags.join(" ");
        let Some(ticket) = ticket else {
            if let Some(LastTicket { name: before, .. }) = self.last_ticket() {
                said.talk.push(format!(
                    "{tags}: on no ticket, as no visit is open here; if it is of the visit before, \
                     say `strike`, then take-in with --ticket {before}"
                ));
            }
            return;
        };
        let name = match (alone, job) {
            (Some(alone), _) => alone.customer_of(ticket),
            (None, Some(job)) => match EntryName::read(job) {
                Ok(job) => self.customer_of_job(job).await,
                Err(_) => String::new(),
            },
            (None, None) => String::new(),
        };
        let of = if name.is_empty() { String::new() } else { format!(" of {name}") };
        said.talk.push(format!("{tags}: on the ticket{of} ({ticket}), whose visit is open here"));
    }

    /// The name of the customer of a ticket: by a key that is here, else by what the shop tells this
    /// bench of a job on it; empty if it is not for this bench.
    pub async fn customer_on(&self, ticket: EntryName, alone: &Alone) -> String {
        let name = alone.customer_of(ticket);
        if !name.is_empty() {
            return name;
        }
        match alone.state().jobs_of_ticket(ticket).first() {
            Some(job) => self.customer_of_job(*job).await,
            None => name,
        }
    }

    async fn customer_of_job(&self, job: EntryName) -> String {
        if self.in_pause().is_some() {
            return String::new();
        }
        let card = self.read_at_shop(Collect { skull: Skull::of(job) }, READING).await;
        card.map(|card| card.customer).unwrap_or_default()
    }
}
