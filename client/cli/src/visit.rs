//! `burrline take-in`, alone or with a number of heads: the visit as one talk.
//!
//! What was answered is on this bench's disk before the next question, for the user alone to read.

use std::ops::ControlFlow;

use burrline_bench::{
    Bench, Clock as _, Ending, Error, SystemClock,
    alone::{Alone, Then},
    cautions,
    connection::LONG,
};
use burrline_domain::{Verb, verb};
use burrline_line::{Common, Details};
use burrline_present::{named, readings::Find};
use burrline_screen as render;
use burrline_talk::{
    saying::hands,
    visit::{AGREED, Found, Known, LATER, Price, Step, Visit},
};
use burrline_terms::{Digest, EntryName, Money, Phrase, Skull, Tag, Typed as _, counted};
use clap::ArgMatches;

use super::{slip, terminal::Terminal, visit_begins::said_of_customer, visits};

const HOW: &str = "Enter takes what is in brackets; skip, back, and stop (it is kept; `take-in` goes \
                   on; clear throws it away; new begins another customer's).";

/// The command `take-in`, with how it becomes a talk.
pub fn explained(command: clap::Command) -> clap::Command {
    command.long_about(
        "Take a head in under a tag and start its job.\n\nAlone, or with a bare number of heads such as \
         `take-in 3`, it is a talk: it asks for the customer and for each head in turn, with the state it \
         comes in, offers the next tag on the roll, prices by the script, takes the deposit, and prints \
         one slip for the visit. Enter agrees to nothing: say `agreed` or `heard`, and `cash` for what is \
         asked. It needs at least a tag, and a name or a phone; the rest comes later under a hold, and \
         there is no price before the animal and its state. What is answered is kept before the next \
         question, so that one that was left goes on with `take-in`; with `new` another customer is \
         served in between, and `take-in` lists what was begun, to be gone on with by number or name. \
         `back` takes the last answer off, and Enter gives it again; at the end a tag goes back to that \
         head. For tag 3 say `take-in 03`.\n\nWith more words it is a line. It joins the ticket of the \
         visit that is open at this bench, and says whose that is; once money passed or the slip was \
         printed it joins none, and --ticket names one.",
    )
}

/// Leads the talk to its end, or as far as the hand goes.
///
/// # Errors
/// If the folder cannot be written, or the shop answers with what makes no sense.
pub async fn run(
    heads: Option<usize>,
    matches: &ArgMatches,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let mut bench = super::open(matches)?;
    bench.for_a_hand();
    let hand = matches.get_one::<String>("said-hand").cloned();
    let hand = hands::settled(&bench, hand, &mut terminal.hand()).await?;
    let common = Common { hand, ..Common::default() };
    // A talk is held where the copy is as new as can be had; without the shop it goes on as well.
    let _ = bench.catch_up(&SystemClock, None).await;
    let alone = bench.alone(&SystemClock, Then::default())?;
    let begun = visits::begun(&bench)?;
    let (file, visit) = match begun.as_slice() {
        [] => (visits::free(&bench)?, Visit::of(heads)),
        [one] => (one.file.clone(), one.visit.clone()),
        many => match visits::choose(many, terminal)? {
            ControlFlow::Break(()) => return Ok(Ending::Refused),
            ControlFlow::Continue(chosen) => match chosen.and_then(|n| many.get(n)) {
                Some(one) => (one.file.clone(), one.visit.clone()),
                None => (visits::free(&bench)?, Visit::of(heads)),
            },
        },
    };
    let known = visits::known(&bench, alone.as_ref(), &file).await?;
    let mut talk = Talk { bench, visit, file, known, alone, common };
    talk.greet(terminal);
    talk.customer_said(said_of_customer(matches)).await?;
    loop {
        if let Led::Ended(ending) = talk.lead(terminal).await? {
            return Ok(ending);
        }
        talk.anew(heads).await?;
        talk.greet(terminal);
    }
}

/// How far a talk was led.
enum Led {
    /// It has ended, or was left.
    Ended(Ending),
    /// It is kept, and another customer's begins.
    Another,
}

struct Talk {
    bench: Bench,
    visit: Visit,
    /// The file that it is kept in.
    file: String,
    known: Known,
    alone: Option<Alone>,
    common: Common,
}

impl Talk {
    /// Says whose visit it is, or how a new one goes.
    fn greet(&self, terminal: &Terminal) {
        if !self.visit.answers.is_empty() {
            terminal.tell("going on with the visit that was begun; new begins another:");
            self.visit.summary().iter().for_each(|line| terminal.tell(line));
        }
        match self.visit.heads.filter(|_| self.visit.answers.is_empty()) {
            Some(heads) => {
                let many = counted(heads, "head");
                terminal.tell(&format!("{many} (for tag {heads} say: take-in 0{heads}). {HOW}"));
            }
            None => terminal.tell(HOW),
        }
    }

    /// Answers the first questions of a visit that has just begun with what its command said.
    async fn customer_said(&mut self, details: Details) -> Result<(), Error> {
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
    async fn anew(&mut self, heads: Option<usize>) -> Result<(), Error> {
        self.file = visits::free(&self.bench)?;
        self.visit = Visit::of(heads);
        self.known = visits::known(&self.bench, self.alone.as_ref(), &self.file).await?;
        Ok(())
    }

    async fn lead(&mut self, terminal: &mut Terminal) -> Result<Led, Error> {
        loop {
            if !self.visit.heads_written && self.visit.words(Step::Write) == "yes" {
                let ending = self.write_heads(terminal).await?;
                if !self.visit.heads_written {
                    return Ok(Led::Ended(ending));
                }
                self.price(terminal).await?;
                self.keep()?;
            }
            let Some(step) = self.visit.next() else { break };
            self.before(step, terminal);
            let question = self.visit.question(step, &self.known);
            let typed = terminal.hand().line(&question);
            let typed =
                typed.map_err(|e| Error::file(std::path::Path::new("standard input"), e))?;
            match typed.as_deref().map(str::trim) {
                None | Some("stop") => return Ok(Led::Ended(self.stopped(terminal))),
                Some("new") if step != Step::Which && !self.visit.answers.is_empty() => {
                    return Ok(Led::Another);
                }
                Some("clear") if !self.visit.heads_written => {
                    if !self.sure_to_clear(terminal)? {
                        terminal.tell("nothing was thrown away");
                        continue;
                    }
                    self.bench.folder().remove(&self.file)?;
                    terminal.tell("thrown away; nothing was said");
                    return Ok(Led::Ended(Ending::Refused));
                }
                Some("back") => {
                    if self.visit.back() {
                        terminal
                            .tell("one back; nothing is lost: Enter gives what was answered again");
                    } else {
                        terminal.tell("there is nothing to go back to; what is written is amended");
                    }
                }
                Some(typed) => match self.visit.take(step, typed, &self.known) {
                    Ok(()) if step == Step::Who => self.begun().await?,
                    Ok(()) => {}
                    Err(words) => terminal.tell(&words),
                },
            }
            self.keep()?;
        }
        self.write_money(terminal).await?;
        self.bench.folder().remove(&self.file)?;
        self.end(terminal).await.map(Led::Ended)
    }

    /// What is shown before a question.
    #[allow(clippy::wildcard_enum_match_arm, reason = "few questions show something first")]
    fn before(&self, step: Step, terminal: &Terminal) {
        match step {
            Step::Write => {
                self.visit.summary().iter().for_each(|line| terminal.tell(line));
            }
            Step::Heard => {
                let mut sum = Money::ZERO;
                for price in &self.visit.prices {
                    let lines = price.lines.join(", ").replace('=', " ");
                    terminal.tell(&format!("{}: {} ({lines})", price.tag, price.total));
                    let total = Money::read(&price.total);
                    sum = sum.checked_add(total.unwrap_or_default()).unwrap_or(sum);
                }
                if self.visit.prices.len() > 1 {
                    terminal.tell(&format!("in all: {sum}"));
                }
            }
            Step::Deposit if !self.visit.deposit.is_empty() => {
                terminal.tell(&format!("asked for now: {}", self.visit.deposit));
            }
            _ => {}
        }
    }

    fn stopped(&self, terminal: &Terminal) -> Ending {
        if self.visit.answers.is_empty() {
            terminal.tell("nothing was said");
        } else {
            terminal.tell("kept as far as it was answered; `burrline take-in` goes on");
        }
        Ending::Refused
    }

    fn keep(&self) -> Result<(), Error> {
        let text = serde_json::to_string(&self.visit).map_err(|e| Error::Bug(e.to_string()))?;
        self.bench.folder().keep_text(&self.file, &text)
    }

    /// Whether the answers are to be thrown away; they are more than a slip of the finger is worth.
    fn sure_to_clear(&self, terminal: &Terminal) -> Result<bool, Error> {
        let answers = counted(self.visit.answers.len(), "answer");
        if self.visit.answers.is_empty() {
            return Ok(true);
        }
        terminal.tell(&format!("throw {answers} away? {}", visits::called(&self.visit)));
        loop {
            let typed = terminal.hand().line("y throws them away, n keeps them> ");
            let typed =
                typed.map_err(|e| Error::file(std::path::Path::new("standard input"), e))?;
            match typed.as_deref().map(str::trim) {
                Some("y" | "Y" | "yes") => return Ok(true),
                None | Some("n" | "N" | "no") => return Ok(false),
                Some(_) => terminal.tell("say y or n"),
            }
        }
    }

    /// Another customer stands at the counter, unless it is the one of before.
    async fn begun(&mut self) -> Result<(), Error> {
        if self.visit.same.is_empty() {
            self.bench.close_visit()?;
            return self.look_up().await;
        }
        Ok(())
    }

    /// Customers who may be meant, if the shop is in reach.
    async fn look_up(&mut self) -> Result<(), Error> {
        let words = self.visit.words(Step::Who).to_owned();
        // Somebody who was noted here while the shop was away is known there first.
        if self.bench.own_lines_first(&SystemClock).await?.is_some() {
            self.visit.found = Vec::new();
            return Ok(());
        }
        // What cannot be words to look for finds nobody.
        let Ok(words) = Phrase::read(&words) else {
            self.visit.found = Vec::new();
            return Ok(());
        };
        let found = match self.bench.read_at_shop(Find { words }, LONG).await {
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

    async fn write_heads(&mut self, terminal: &mut Terminal) -> Result<Ending, Error> {
        let lines = self.visit.heads()?;
        let jobs = self.jobs()?;
        if jobs.is_empty() {
            self.visit.before_heads = Some(self.bench.said()?);
            self.keep()?;
            self.caution(
                &lines.iter().map(|line| line.verb.clone()).collect::<Vec<_>>(),
                terminal,
            )?;
            let hand = &mut terminal.hand();
            let mut said = self.bench.say_together(lines, &self.common, &SystemClock, hand).await?;
            // The talk says the prices itself, once all heads are on the ticket.
            said.talk.retain(|words| !words.contains(burrline_bench::ONCE_HEARD));
            terminal.shown(&render::said::said(&said, &terminal.look(self.bench.zone())));
            self.bench.shown()?;
            if self.jobs()?.is_empty() {
                self.visit.back();
                self.keep()?;
                return Ok(self.stopped(terminal));
            }
        }
        self.visit.heads_written = true;
        self.keep()?;
        self.hold(terminal).await?;
        Ok(Ending::Done)
    }

    fn caution(&self, verbs: &[Verb], terminal: &Terminal) -> Result<(), Error> {
        let hand = self.common.hand.clone();
        let hand = hand.or_else(|| self.bench.hand().map(|hand| hand.to_string()));
        let (now, zone) = (SystemClock.now().wall, self.bench.zone());
        let hand = hand.unwrap_or_default();
        for words in cautions::untold(self.bench.folder(), &hand, verbs, now, &zone)? {
            terminal.tell(words);
        }
        Ok(())
    }

    /// The heads' jobs, once they are on this bench's disk: how a talk that was cut off knows.
    fn jobs(&self) -> Result<Vec<EntryName>, Error> {
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
    async fn hold(&self, terminal: &mut Terminal) -> Result<(), Error> {
        // The shop cannot hold a head that it has not heard of: what waits goes out first.
        let holds = self.visit.holds();
        let mut waits = !self.bench.waiting()?.is_empty();
        if waits && !holds.is_empty() {
            for line in self.bench.in_touch(&SystemClock).await {
                terminal.tell(&line);
            }
            waits = !self.bench.waiting()?.is_empty();
        }
        for (tag, why) in holds {
            let line = format!("hold {tag} {why}");
            if waits {
                self.bench.remember_hold(&line)?;
                terminal.tell(&to_be_held(&tag, &why));
                continue;
            }
            match self.bench.say(&line, &SystemClock, &mut terminal.hand()).await {
                Ok(said) => {
                    terminal.shown(&render::said::said(&said, &terminal.look(self.bench.zone())));
                    self.bench.shown()?;
                }
                Err(Error::NeedsShop { .. }) => {
                    self.bench.remember_hold(&line)?;
                    terminal.tell(&to_be_held(&tag, &why));
                }
                Err(error) => return Err(error),
            }
        }
        Ok(())
    }

    /// What the price list says of the heads, now that all of them are on the ticket. One whose animal
    /// or state was not said has no price yet.
    async fn price(&mut self, terminal: &mut Terminal) -> Result<(), Error> {
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
            terminal.tell(&format!(
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
            terminal
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

    async fn write_money(&mut self, terminal: &mut Terminal) -> Result<(), Error> {
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
        let hand = &mut terminal.hand();
        let said = self.bench.say_together(lines, &self.common, &SystemClock, hand).await?;
        terminal.shown(&render::said::said(&said, &terminal.look(self.bench.zone())));
        self.bench.shown()
    }

    async fn end(&self, terminal: &mut Terminal) -> Result<Ending, Error> {
        if !self.visit.prices.is_empty() && self.visit.words(Step::Heard) == LATER {
            terminal.tell("the price was not said yet: `burrline quote` when it was");
        } else if !self.visit.prices.is_empty() && self.visit.words(Step::Heard) != AGREED {
            terminal.tell("heard and not agreed yet: `burrline agree` when they do");
        }
        let near = self.bench.in_touch(&SystemClock).await;
        for line in &near {
            terminal.tell(line);
        }
        let Some(job) = self.jobs()?.first().copied() else { return Ok(Ending::Done) };
        match slip::print(&self.bench, &Skull::of(job), terminal).await {
            // The next command that gets through brings the copy, and `slip` prints it then.
            Err(Error::Refused(words)) => terminal.tell(&words),
            other => other?,
        }
        let waits = !self.bench.waiting()?.is_empty();
        Ok(if waits { Ending::Away } else { Ending::Done })
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
