//! The answers written: heads, holds, prices and money, each once.
//!
//! What was answered is kept in the bench's folder before anything is written, so that a visit that was cut
//! off goes on where it stood. A terminal asks one question after the other, a page shows them all; both
//! write through here.

use burrline_bench::{
    Bench, Clock as _, Error, ONCE_HEARD, SystemClock, alone::Alone, cautions, patience::READING,
};
use burrline_domain::{Verb, verb};
use burrline_line::{Common, Details};
use burrline_present::{named, readings::Find};
use burrline_terms::{Digest, EntryName, Money, Phrase, Skull, Tag, Typed as _};

use super::{Found, Known, Price, Step, Visit, kept};
use crate::Person;

/// A visit at a bench.
#[derive(Debug)]
pub struct Counter {
    /// The bench.
    pub bench: Bench,
    /// What was answered.
    pub visit: Visit,
    /// The file that it is kept in.
    pub file: String,
    /// What is known beside it.
    pub known: Known,
    /// The present by the bench's own copy.
    pub alone: Option<Alone>,
    /// What holds for every line of it.
    pub common: Common,
}

impl Counter {
    /// Answers the first questions of a visit that has just begun with what its command said.
    ///
    /// # Errors
    /// If it cannot be kept.
    pub async fn customer_said(&mut self, details: Details) -> Result<(), Error> {
        if !self.visit.answers.is_empty() {
            return Ok(());
        }
        let first = details.name.as_ref().or(details.phone.as_ref());
        if first.is_none() {
            return Ok(());
        }
        for (step, answer) in [(Step::Who, first), (Step::Phone, details.phone.as_ref())] {
            if let Some(answer) = answer.filter(|_| self.visit.next() == Some(step))
                && self.visit.take(step, answer, &self.known).is_ok()
                && step == Step::Who
            {
                self.begun().await?;
            }
        }
        self.keep()
    }

    /// Begins another visit; the one before stays kept.
    ///
    /// # Errors
    /// If the folder cannot be read.
    pub async fn anew(&mut self, heads: Option<usize>) -> Result<(), Error> {
        self.file = kept::free(&self.bench)?;
        self.visit = Visit::of(heads);
        self.known = kept::known(&self.bench, self.alone.as_ref(), &self.file).await?;
        Ok(())
    }

    /// Keeps what was answered, before the next question.
    ///
    /// # Errors
    /// If the folder cannot be written.
    pub fn keep(&self) -> Result<(), Error> {
        let text = serde_json::to_string(&self.visit).map_err(|e| Error::Bug(e.to_string()))?;
        self.bench.folder().keep_text(&self.file, &text)
    }

    /// Another customer stands at the counter, unless it is the one of before.
    ///
    /// # Errors
    /// As [`Counter::look_up`].
    pub async fn begun(&mut self) -> Result<(), Error> {
        if self.visit.same.is_empty() {
            self.bench.close_visit()?;
            return self.look_up().await;
        }
        Ok(())
    }

    /// Customers who may be meant, if the shop is in reach.
    ///
    /// # Errors
    /// What the shop says.
    pub async fn look_up(&mut self) -> Result<(), Error> {
        let words = self.visit.words(Step::Who).to_owned();
        // Somebody who was noted here while the shop was away is known there first.
        let away = self.bench.own_lines_first(&SystemClock).await?;
        if away.or_else(|| self.bench.in_pause()).is_some() {
            self.visit.found = Vec::new();
            return Ok(());
        }
        // What cannot be words to look for finds nobody.
        let Ok(words) = Phrase::read(&words) else {
            self.visit.found = Vec::new();
            return Ok(());
        };
        let found = match self.bench.read_at_shop(Find { words }, READING).await {
            Ok(found) => found.customers,
            Err(Error::Away { .. }) => Vec::new(),
            Err(error) => return Err(error),
        };
        self.visit.found = found
            .into_iter()
            .map(|one| Found {
                customer: named::entry(one.customer.as_ref()),
                name: one.name,
                phone: one.phone,
            })
            .take(5)
            .collect();
        Ok(())
    }

    /// Writes the heads; false if the hand left them off.
    ///
    /// # Errors
    /// As [`Bench::say_together`].
    pub async fn write_heads(&mut self, person: &mut impl Person) -> Result<bool, Error> {
        let lines = self.visit.heads()?;
        let jobs = self.jobs()?;
        if jobs.is_empty() {
            self.visit.before_heads = Some(self.bench.said()?);
            self.keep()?;
            self.caution(&lines.iter().map(|line| line.verb.clone()).collect::<Vec<_>>(), person)?;
            let mut said =
                self.bench.say_together(lines, &self.common, &SystemClock, person).await?;
            // The talk says the prices itself, once all heads are on the ticket.
            said.talk.retain(|words| !words.contains(ONCE_HEARD));
            person.said(&said, &self.bench.zone());
            self.bench.shown()?;
            if self.jobs()?.is_empty() {
                self.visit.back();
                self.keep()?;
                return Ok(false);
            }
        }
        self.visit.heads_written = true;
        self.keep()?;
        self.hold(person).await?;
        Ok(true)
    }

    fn caution(&self, verbs: &[Verb], person: &mut impl Person) -> Result<(), Error> {
        let hand = self.common.hand.clone();
        let hand = hand.or_else(|| self.bench.hand().map(|hand| hand.to_string()));
        let (now, zone) = (SystemClock.now().wall, self.bench.zone());
        let hand = hand.unwrap_or_default();
        for words in cautions::untold(self.bench.folder(), &hand, verbs, now, &zone)? {
            person.tell(words);
        }
        Ok(())
    }

    /// The heads' jobs, once they are on this bench's disk: how a talk that was cut off knows.
    ///
    /// # Errors
    /// If the outbox cannot be read.
    pub fn jobs(&self) -> Result<Vec<EntryName>, Error> {
        let Some(before) = self.visit.before_heads else { return Ok(Vec::new()) };
        let said = self.bench.said_after(before)?;
        let mut jobs = Vec::new();
        for head in 0..self.visit.head_count() {
            let tag = Tag::read(self.visit.words(Step::Tag(head)))?;
            let taken = said.iter().find(
                |(_, verb)| matches!(verb, Verb::TakeIn(v) if v.skull.tag.as_ref() == Some(&tag)),
            );
            jobs.extend(taken.map(|(name, _)| *name));
        }
        Ok(jobs)
    }

    /// Puts the heads on hold for which something is missing; away it is remembered.
    async fn hold(&self, person: &mut impl Person) -> Result<(), Error> {
        // The shop cannot hold a head that it has not heard of: what waits goes out first.
        let holds = self.visit.holds();
        let mut waits = !self.bench.waiting()?.is_empty();
        if waits && !holds.is_empty() {
            for line in self.bench.in_touch(&SystemClock).await {
                person.tell(&line);
            }
            waits = !self.bench.waiting()?.is_empty();
        }
        for (tag, why) in holds {
            let line = format!("hold {tag} {why}");
            if waits {
                self.bench.remember_hold(&line)?;
                person.tell(&to_be_held(&tag, &why));
                continue;
            }
            match self.bench.say(&line, &SystemClock, person).await {
                Ok(said) => {
                    person.said(&said, &self.bench.zone());
                    self.bench.shown()?;
                }
                Err(Error::NeedsShop { .. }) => {
                    self.bench.remember_hold(&line)?;
                    person.tell(&to_be_held(&tag, &why));
                }
                Err(error) => return Err(error),
            }
        }
        Ok(())
    }

    /// What the price list says of the heads, now that all of them are on the ticket. One whose animal
    /// or state was not said has no price yet.
    ///
    /// # Errors
    /// What the shop says.
    pub async fn price(&mut self, person: &mut impl Person) -> Result<(), Error> {
        let jobs = self.jobs()?;
        let (mut priced, mut unpriced) = (Vec::new(), Vec::new());
        for (head, job) in jobs.iter().enumerate() {
            let tag = self.visit.words(Step::Tag(head)).to_owned();
            if self.visit.can_be_priced(head) {
                priced.push((tag, *job));
            } else {
                unpriced.push(tag);
            }
        }
        if !unpriced.is_empty() {
            person.tell(&format!(
                "{}: no price yet, as the animal or the state it comes in was not said; `burrline \
                 amend TAG take-in` says it, then `burrline quote`",
                unpriced.join(" ")
            ));
        }
        if priced.is_empty() {
            return Ok(());
        }
        let quote = |(_, job): &(String, EntryName)| -> Verb {
            verb::Quote { skull: Skull::of(*job), lines: Vec::new(), total: None, script: None }
                .into()
        };
        let ruled = self.bench.asked(priced.iter().map(quote).collect(), &SystemClock).await?;
        let ruled = ruled.unwrap_or_default();
        let mut deposit = Some(Money::ZERO);
        let (mut prices, mut sum) = (Vec::new(), Money::ZERO);
        for (one, (tag, _)) in ruled.iter().zip(&priced).filter(|(one, _)| !one.total.is_empty()) {
            let total = Money::read(&one.total)?;
            sum = sum.checked_add(total).unwrap_or(sum);
            let asked = Money::read(&one.deposit).ok();
            deposit = deposit.zip(asked).and_then(|(all, one)| all.checked_add(one));
            prices.push(Price {
                tag: tag.clone(),
                lines: one.price.iter().map(|p| format!("{}={}", p.what, p.amount)).collect(),
                total: one.total.clone(),
                script: script(&one.price_script),
            });
        }
        if prices.len() != priced.len() {
            person
                .tell("no price list prices these heads; say it with `burrline quote TAG --total`");
            return Ok(());
        }
        // What the script asks for at once goes before the house's own rule.
        let rule = self.alone.as_ref().and_then(|alone| {
            let state = alone.state();
            let rule = state.settings().deposit()?;
            rule.of(sum, priced.len(), state.settings().currency().digits())
        });
        let asked = deposit.filter(|_| ruled.iter().all(|one| !one.deposit.is_empty())).or(rule);
        let asked = asked.filter(|amount| *amount > Money::ZERO);
        self.visit.deposit = asked.map(|amount| amount.to_string()).unwrap_or_default();
        self.visit.prices = prices;
        Ok(())
    }

    /// Writes what was heard, agreed and paid.
    ///
    /// # Errors
    /// As [`Bench::say_together`].
    pub async fn write_money(&mut self, person: &mut impl Person) -> Result<(), Error> {
        let jobs = self.jobs()?;
        let lines = self.visit.money(&jobs)?;
        if lines.is_empty() {
            return Ok(());
        }
        if let Some(before) = self.visit.before_money
            && self.bench.said_after(before)?.iter().any(|(_, verb)| is_money(verb, &jobs))
        {
            return Ok(());
        }
        self.visit.before_money = Some(self.bench.said()?);
        self.keep()?;
        let said = self.bench.say_together(lines, &self.common, &SystemClock, person).await?;
        person.said(&said, &self.bench.zone());
        self.bench.shown()
    }
}

fn to_be_held(tag: &str, why: &str) -> String {
    format!(
        "{tag} is to be held for {why}: that needs the shop, and is put by this bench once it is in \
         reach"
    )
}

fn script(digest: &[u8]) -> String {
    let digest: Option<[u8; 32]> = digest.try_into().ok();
    digest.map(|digest| Digest(digest).to_string()).unwrap_or_default()
}

/// Whether a line is one of those that were written about these jobs.
fn is_money(verb: &Verb, jobs: &[EntryName]) -> bool {
    let job = verb.skull().and_then(|skull| skull.job);
    matches!(verb, Verb::Quote(_) | Verb::Pay(_)) && job.is_some_and(|job| jobs.contains(&job))
}
