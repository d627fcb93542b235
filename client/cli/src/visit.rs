//! `burrline take-in`, alone or with a number of heads: the visit as one talk.
//!
//! What was answered is on this bench's disk before the next question, for the user alone to read.

use std::ops::ControlFlow;

use burrline_bench::{Ending, Error, SystemClock, alone::Then};
use burrline_line::Common;
use burrline_talk::{
    saying::hands,
    visit::{AGREED, LATER, Step, Visit, kept, write::Counter},
};
use burrline_terms::{Money, Skull, Typed as _, counted};
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
    let begun = kept::begun(&bench)?;
    let (file, visit) = match begun.as_slice() {
        [] => (kept::free(&bench)?, Visit::of(heads)),
        [one] => (one.file.clone(), one.visit.clone()),
        many => match visits::choose(many, terminal)? {
            ControlFlow::Break(()) => return Ok(Ending::Refused),
            ControlFlow::Continue(chosen) => match chosen.and_then(|n| many.get(n)) {
                Some(one) => (one.file.clone(), one.visit.clone()),
                None => (kept::free(&bench)?, Visit::of(heads)),
            },
        },
    };
    let known = kept::known(&bench, alone.as_ref(), &file).await?;
    let mut talk = Talk { at: Counter { bench, visit, file, known, alone, common } };
    talk.greet(terminal);
    talk.at.customer_said(said_of_customer(matches)).await?;
    loop {
        if let Led::Ended(ending) = talk.lead(terminal).await? {
            return Ok(ending);
        }
        talk.at.anew(heads).await?;
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

/// The visit with the one at the terminal.
struct Talk {
    at: Counter,
}

impl Talk {
    /// Says whose visit it is, or how a new one goes.
    fn greet(&self, terminal: &Terminal) {
        if !self.at.visit.answers.is_empty() {
            terminal.tell("going on with the visit that was begun; new begins another:");
            self.at.visit.summary().iter().for_each(|line| terminal.tell(line));
        }
        match self.at.visit.heads.filter(|_| self.at.visit.answers.is_empty()) {
            Some(heads) => {
                let many = counted(heads, "head");
                terminal.tell(&format!("{many} (for tag {heads} say: take-in 0{heads}). {HOW}"));
            }
            None => terminal.tell(HOW),
        }
    }

    async fn lead(&mut self, terminal: &mut Terminal) -> Result<Led, Error> {
        loop {
            if !self.at.visit.heads_written && self.at.visit.words(Step::Write) == "yes" {
                if !self.at.write_heads(&mut terminal.hand()).await? {
                    return Ok(Led::Ended(self.stopped(terminal)));
                }
                self.at.price(&mut terminal.hand()).await?;
                self.at.keep()?;
            }
            let Some(step) = self.at.visit.next() else { break };
            self.before(step, terminal);
            let question = self.at.visit.question(step, &self.at.known);
            let typed = terminal.hand().line(&question);
            let typed =
                typed.map_err(|e| Error::file(std::path::Path::new("standard input"), e))?;
            match typed.as_deref().map(str::trim) {
                None | Some("stop") => return Ok(Led::Ended(self.stopped(terminal))),
                Some("new") if step != Step::Which && !self.at.visit.answers.is_empty() => {
                    return Ok(Led::Another);
                }
                Some("clear") if !self.at.visit.heads_written => {
                    if !self.sure_to_clear(terminal)? {
                        terminal.tell("nothing was thrown away");
                        continue;
                    }
                    self.at.bench.folder().remove(&self.at.file)?;
                    terminal.tell("thrown away; nothing was said");
                    return Ok(Led::Ended(Ending::Refused));
                }
                Some("back") => {
                    if self.at.visit.back() {
                        terminal
                            .tell("one back; nothing is lost: Enter gives what was answered again");
                    } else {
                        terminal.tell("there is nothing to go back to; what is written is amended");
                    }
                }
                Some(typed) => match self.at.visit.take(step, typed, &self.at.known) {
                    Ok(()) if step == Step::Who => self.at.begun().await?,
                    Ok(()) => {}
                    Err(words) => terminal.tell(&words),
                },
            }
            self.at.keep()?;
        }
        self.at.write_money(&mut terminal.hand()).await?;
        self.at.bench.folder().remove(&self.at.file)?;
        self.end(terminal).await.map(Led::Ended)
    }

    /// What is shown before a question.
    #[allow(clippy::wildcard_enum_match_arm, reason = "few questions show something first")]
    fn before(&self, step: Step, terminal: &Terminal) {
        match step {
            Step::Write => {
                self.at.visit.summary().iter().for_each(|line| terminal.tell(line));
            }
            Step::Heard => {
                let mut sum = Money::ZERO;
                for price in &self.at.visit.prices {
                    let lines = price.lines.join(", ").replace('=', " ");
                    terminal.tell(&format!("{}: {} ({lines})", price.tag, price.total));
                    let total = Money::read(&price.total);
                    sum = sum.checked_add(total.unwrap_or_default()).unwrap_or(sum);
                }
                if self.at.visit.prices.len() > 1 {
                    terminal.tell(&format!("in all: {sum}"));
                }
            }
            Step::Deposit if !self.at.visit.deposit.is_empty() => {
                terminal.tell(&format!("asked for now: {}", self.at.visit.deposit));
            }
            _ => {}
        }
    }

    fn stopped(&self, terminal: &Terminal) -> Ending {
        if self.at.visit.answers.is_empty() {
            terminal.tell("nothing was said");
        } else {
            terminal.tell("kept as far as it was answered; `burrline take-in` goes on");
        }
        Ending::Refused
    }

    /// Whether the answers are to be thrown away; they are more than a slip of the finger is worth.
    fn sure_to_clear(&self, terminal: &Terminal) -> Result<bool, Error> {
        let answers = counted(self.at.visit.answers.len(), "answer");
        if self.at.visit.answers.is_empty() {
            return Ok(true);
        }
        terminal.tell(&format!("throw {answers} away? {}", kept::called(&self.at.visit)));
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

    async fn end(&self, terminal: &mut Terminal) -> Result<Ending, Error> {
        if !self.at.visit.prices.is_empty() && self.at.visit.words(Step::Heard) == LATER {
            terminal.tell("the price was not said yet: `burrline quote` when it was");
        } else if !self.at.visit.prices.is_empty() && self.at.visit.words(Step::Heard) != AGREED {
            terminal.tell("heard and not agreed yet: `burrline agree` when they do");
        }
        let near = self.at.bench.in_touch(&SystemClock).await;
        for line in &near {
            terminal.tell(line);
        }
        let Some(job) = self.at.jobs()?.first().copied() else { return Ok(Ending::Done) };
        match slip::print(&self.at.bench, &Skull::of(job), terminal).await {
            // The next command that gets through brings the copy, and `slip` prints it then.
            Err(Error::Refused(words)) => terminal.tell(&words),
            other => other?,
        }
        let waits = !self.at.bench.waiting()?.is_empty();
        Ok(if waits { Ending::Away } else { Ending::Done })
    }
}
