//! A visit at the counter as one talk: the questions, in order, and what is said in the end.
//!
//! The state is the list of the answers. Which question comes next follows from them alone, so that
//! one that was interrupted goes on where it stood, and `back` takes the last answer off. Nothing here
//! asks, reads a clock or writes.
//!
//! The answers lie in the bench folder, in `visit`, which only its user can read, before the
//! next question is asked. They are in clear until the visit is written. Before the talk
//! writes, it notes the bench's last number. When it goes on later, it looks whether its lines
//! are there, so that nothing is written twice.
//!
//! * [`ask`](mod@ask): each question in words, and what Enter stands for
//! * [`head`]: what is typed of one head, as a line
//! * [`kept`]: the visits that were begun, each in a file
//! * [`lines`]: the answers as lines of a bench
//! * [`write`](mod@write): the answers written, each once

pub mod ask;
pub mod head;
pub mod kept;
pub mod lines;
mod plainly;
#[cfg(test)]
mod tests;
pub mod write;

use burrline_bench::old_ledger::dates;
use burrline_terms::{Day, Tag, Typed as _};
use serde::{Deserialize, Serialize};

/// The most heads of one visit.
pub const MOST_HEADS: usize = 20;

/// A question.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Step {
    /// Name or telephone number of the customer.
    Who,
    /// Which of the customers who are known.
    Which,
    /// The telephone number.
    Phone,
    /// The name.
    Name,
    /// The postal address.
    Address,
    /// Hunter, bringer, payer or collector, if not the customer.
    Other(usize),
    /// The hunter's address.
    HunterAddress,
    /// The hunter's licence.
    Licence,
    /// The tag of a head.
    Tag(usize),
    /// Species, points and the like.
    Kind(usize),
    /// The state that it comes in, hide on or off.
    State(usize),
    /// What is broken, or not seen.
    Condition(usize),
    /// Wishes.
    Wishes(usize),
    /// Kill tag or permit.
    KillTag(usize),
    /// The day of the kill.
    Killed(usize),
    /// County and state.
    County(usize),
    /// Another head?
    More(usize),
    /// All right so?
    Write,
    /// Heard the price?
    Heard,
    /// Paid now?
    Deposit,
}

/// A customer who is known already.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Found {
    /// The entry that added them.
    pub customer: String,
    /// The name.
    pub name: String,
    /// The telephone number.
    pub phone: String,
}

/// What the talk knows beside the answers.
#[derive(Debug, Clone, Default)]
pub struct Known {
    /// The next tag on the roll.
    pub next_tag: Option<String>,
    /// Tags on open jobs, by what makes two the same, with what they are on.
    pub worn: std::collections::BTreeMap<String, String>,
    /// Today.
    pub today: Option<Day>,
    /// The last ticket that was opened here today.
    pub ticket: Option<String>,
    /// The name of its customer, as far as it is known here.
    pub ticket_of: String,
}

/// A price that is to be heard.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Price {
    /// The head's tag.
    pub tag: String,
    /// Lines, such as `cleaning=120.00`.
    pub lines: Vec<String>,
    /// The total, tax and all.
    pub total: String,
    /// Digest of the script.
    pub script: String,
}

/// A talk: what was answered, and what was written already.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Visit {
    /// How many heads; none until nobody says another.
    pub heads: Option<usize>,
    /// The answers, in order.
    pub answers: Vec<(Step, String)>,
    /// Customers who may be meant.
    pub found: Vec<Found>,
    /// The last number of the bench before heads were written; none until then.
    pub before_heads: Option<u64>,
    /// The heads are on disk.
    pub heads_written: bool,
    /// The prices to be heard.
    pub prices: Vec<Price>,
    /// What is asked for at once.
    pub deposit: String,
    /// The last number of the bench before money was written; none until then.
    pub before_money: Option<u64>,
    /// Answers that `back` took off: Enter gives them again.
    #[serde(default)]
    pub undone: Vec<(Step, String)>,
    /// The ticket from before, if its customer's visit goes on.
    #[serde(default)]
    pub same: String,
}

impl Visit {
    /// A talk about so many heads.
    pub fn of(heads: Option<usize>) -> Self {
        Self { heads, ..Self::default() }
    }

    /// What was answered; none if the question was not put yet.
    pub fn said(&self, step: Step) -> Option<&str> {
        self.answers.iter().find(|(asked, _)| *asked == step).map(|(_, words)| words.as_str())
    }

    /// What was answered, empty if nothing was.
    pub fn words(&self, step: Step) -> &str {
        self.said(step).unwrap_or_default()
    }

    /// The next question; none once all is answered.
    pub fn next(&self) -> Option<Step> {
        self.steps().into_iter().find(|step| self.said(*step).is_none())
    }

    /// Takes the last answer off; false if there is none, or it is written. It is not thrown away: Enter
    /// gives it again.
    pub fn back(&mut self) -> bool {
        let kept = match self.answers.last() {
            Some((Step::Heard | Step::Deposit, _)) => self.before_money.is_none(),
            Some(_) => !self.heads_written,
            None => false,
        };
        let gone = if kept { self.answers.pop() } else { None };
        let Some((step, words)) = gone else { return false };
        if step == Step::Who {
            self.found.clear();
        }
        self.undone.retain(|(other, _)| *other != step);
        self.undone.push((step, words));
        true
    }

    /// Goes back to what was said of a head of this visit, if nothing is written yet.
    fn back_to_head(&mut self, tag: &str) -> bool {
        let Ok(tag) = Tag::read(tag) else { return false };
        let is_it = |head: &usize| Tag::read(self.words(Step::Tag(*head))).is_ok_and(|t| t == tag);
        let Some(head) = (0..self.head_count()).find(is_it) else { return false };
        while self.said(Step::Kind(head)).is_some() && self.back() {}
        true
    }

    /// The answer that `back` took off.
    fn undone(&self, step: Step) -> Option<&str> {
        self.undone.iter().find(|(other, _)| *other == step).map(|(_, words)| words.as_str())
    }

    /// Whether a head’s animal and state were said, without which it has no price.
    pub fn can_be_priced(&self, head: usize) -> bool {
        head::take_in(self, head)
            .is_ok_and(|take_in| take_in.species.is_some() && take_in.arrival.is_some())
    }

    /// How many heads have been begun.
    pub fn head_count(&self) -> usize {
        let begun = self.answers.iter().filter(|(step, _)| matches!(step, Step::Tag(_)));
        begun.count()
    }

    /// The questions, as far as they follow from the answers so far.
    fn steps(&self) -> Vec<Step> {
        let mut steps = self.people();
        steps.extend(self.head_steps());
        let all_heads = steps.iter().all(|step| self.said(*step).is_some());
        if !all_heads {
            return steps;
        }
        steps.push(Step::Write);
        if self.heads_written && !self.prices.is_empty() {
            steps.push(Step::Heard);
            // Nobody pays for what they have not heard.
            if self.said(Step::Heard).is_some_and(|heard| heard != LATER) {
                steps.push(Step::Deposit);
            }
        }
        steps
    }

    fn people(&self) -> Vec<Step> {
        let mut steps = vec![Step::Who];
        if self.words(Step::Who) == SAME {
            return steps;
        }
        if !self.found.is_empty() {
            steps.push(Step::Which);
        }
        if self.customer().is_none() {
            // What was said at once need not be asked for.
            let said = lines::person(self.words(Step::Who));
            steps.extend(said.name.is_none().then_some(Step::Name));
            steps.extend(said.phone.is_none().then_some(Step::Phone));
            steps.push(Step::Address);
        }
        let mut n = 0_usize;
        steps.push(Step::Other(n));
        while self.said(Step::Other(n)).is_some_and(|words| !words.is_empty()) {
            n = n.saturating_add(1);
            steps.push(Step::Other(n));
        }
        if self.other("hunter").is_some() {
            steps.push(Step::HunterAddress);
        }
        steps.push(Step::Licence);
        steps
    }

    fn head_steps(&self) -> Vec<Step> {
        let mut steps = Vec::new();
        for head in 0..MOST_HEADS {
            if self.heads.is_some_and(|heads| head >= heads) {
                break;
            }
            steps.extend([Step::Tag(head), Step::Kind(head)]);
            // Said with the animal, it need not be asked for.
            if head::arrival_of(self.words(Step::Kind(head))).is_none() {
                steps.push(Step::State(head));
            }
            steps.extend([Step::Condition(head), Step::Wishes(head), Step::KillTag(head)]);
            if self.said(Step::KillTag(head)).is_some_and(|words| !words.is_empty()) {
                steps.extend([Step::Killed(head), Step::County(head)]);
            }
            if self.heads.is_none() {
                steps.push(Step::More(head));
                if self.words(Step::More(head)) != YES {
                    break;
                }
            }
        }
        steps
    }

    /// The customer who was known already, if one is meant.
    pub fn customer(&self) -> Option<&Found> {
        let n: usize = self.words(Step::Which).parse().ok()?;
        self.found.get(n.checked_sub(1)?)
    }

    /// Somebody who is not the customer, as typed after the word for what they are.
    pub fn other(&self, what: &str) -> Option<&str> {
        self.answers.iter().filter(|(step, _)| matches!(step, Step::Other(_))).find_map(
            |(_, words)| {
                let (first, who) = words.split_once(' ')?;
                (first == what).then_some(who)
            },
        )
    }

    /// Takes an answer to a question; Enter stands for what is offered.
    ///
    /// # Errors
    /// The words to tell, with what would be right.
    pub fn take(&mut self, step: Step, typed: &str, known: &Known) -> Result<(), String> {
        let typed = typed.trim();
        if step == Step::Write && self.back_to_head(typed) {
            return Ok(());
        }
        let words = if typed.is_empty() { self.offered(step, known) } else { typed.to_owned() };
        let words = if typed == SKIP { String::new() } else { words };
        let words = self.checked(step, &words, known)?;
        self.undone.retain(|(other, _)| *other != step);
        if step == Step::Who {
            self.same = known.ticket.clone().filter(|_| words == SAME).unwrap_or_default();
        }
        self.answers.push((step, words));
        Ok(())
    }

    fn checked(&self, step: Step, words: &str, known: &Known) -> Result<String, String> {
        if let Some(plain) = plainly::answered(step, words, self.found.len()) {
            return plain;
        }
        match step {
            Step::Who => {
                if words == SAME && known.ticket.is_none() {
                    return Err("no ticket was opened here today; say a name or a number".into());
                }
                let least = words.chars().filter(|c| c.is_alphanumeric()).count() >= 2;
                if least {
                    plainly::who(words)
                } else {
                    Err("say at least a name or a phone".into())
                }
            }
            Step::Which => match words.parse::<usize>() {
                Ok(n) if (1..=self.found.len()).contains(&n) => Ok(words.to_owned()),
                _ if words == "new" => Ok(words.to_owned()),
                _ => Err(format!("say a number up to {}, or new", self.found.len())),
            },
            Step::Other(_) => other(words),
            Step::Tag(head) => self.tag(head, words, known),
            Step::Kind(_) | Step::State(_) | Step::Wishes(_) | Step::Condition(_) => {
                head::checked(step, words)
            }
            Step::Killed(_) => day(words, known.today),
            Step::More(_) => match words {
                "" | "no" | "n" => Ok(String::new()),
                "yes" | "y" => Ok(YES.to_owned()),
                _ => Err("say yes for another head, or press Enter".into()),
            },
            Step::Write => match words {
                "yes" | "y" => Ok(YES.to_owned()),
                _ => {
                    Err("press Enter to write it; or say a tag to go back to that head, back for \
                              the last question, or stop to leave it for later"
                        .into())
                }
            },
            Step::Heard => match words {
                AGREED | HEARD | LATER => Ok(words.to_owned()),
                _ => Err(format!("say {AGREED}, {HEARD} or {LATER}")),
            },
            Step::Deposit => paid(words, &self.deposit),
            Step::Phone
            | Step::Name
            | Step::Address
            | Step::HunterAddress
            | Step::Licence
            | Step::KillTag(_)
            | Step::County(_) => Ok(words.to_owned()),
        }
    }

    fn tag(&self, head: usize, words: &str, known: &Known) -> Result<String, String> {
        if words.is_empty() {
            return Err("say the tag that goes on it, such as 0417".into());
        }
        let tag = Tag::read(words).map_err(|bad| bad.to_string())?;
        if let Some(on) = known.worn.get(tag.key()) {
            return Err(format!("{tag} is on an open job: {on}; take another tag"));
        }
        let twice = (0..head)
            .any(|other| Tag::read(self.words(Step::Tag(other))).is_ok_and(|other| other == tag));
        if twice {
            return Err(format!("{tag} is on another head of this visit; take another tag"));
        }
        Ok(tag.to_string())
    }
}

/// The ticket from before.
pub const SAME: &str = "same";
/// Nothing, though something is offered.
pub const SKIP: &str = "skip";
/// Said to what is asked.
pub const YES: &str = "yes";
/// The customer heard the price and agreed.
pub const AGREED: &str = "agreed";
/// The customer heard the price.
pub const HEARD: &str = "heard";
/// The price was not said.
pub const LATER: &str = "later";

/// `hunter Bo Tarn 555-0177`.
fn other(words: &str) -> Result<String, String> {
    if words.is_empty() {
        return Ok(String::new());
    }
    let (what, who) = words.split_once(' ').unwrap_or((words, ""));
    let known = ["hunter", "bringer", "payer", "collector"].contains(&what);
    if known && !who.trim().is_empty() {
        return Ok(format!("{what} {}", who.trim()));
    }
    Err("say who it is and the name, such as: hunter Bo Tarn 555-0177; else press Enter".into())
}

/// A day; `today` and `yesterday` too, and never one that is still to come. Without a year it is the
/// last such day; what could be two days is asked about.
fn day(words: &str, today: Option<Day>) -> Result<String, String> {
    let day = match (words, today) {
        ("", _) => return Ok(String::new()),
        ("today", Some(today)) => today,
        ("yesterday", Some(today)) => Day(today.0.yesterday().unwrap_or(today.0)),
        (words, today) => past_day(words, today)?,
    };
    match today {
        Some(today) if day > today => Err(format!("{day} is still to come")),
        _ => Ok(day.to_string()),
    }
}

fn past_day(words: &str, today: Option<Day>) -> Result<Day, String> {
    let wrong = |told: String| match told.split_once(": say --dates") {
        Some((which, _)) => format!("{which}; write it like 2026-11-24"),
        None if told.contains("is no day") => format!("{told} or Nov 24, or today, or yesterday"),
        None => told,
    };
    let bare = words.trim_end_matches(['.', '/', ',']);
    let with_year = |year: i16| {
        dates::read(&format!("{bare}{}{year}", if bare.contains('/') { "/" } else { " " }), None)
    };
    let Some(today) = today else { return dates::read(words, None).map_err(wrong) };
    let (this, before) = (today.0.year(), today.0.year().saturating_sub(1));
    let parts = bare.split(['/', '.', '-', ' ', ',']).filter(|part| !part.is_empty()).count();
    if parts != 2 {
        return dates::read(words, None).map_err(wrong);
    }
    match with_year(this).map_err(wrong)? {
        day if day > today => with_year(before).map_err(wrong),
        day => Ok(day),
    }
}

/// `180 cash`, or nothing; `cash` alone is what is asked for.
fn paid(words: &str, asked: &str) -> Result<String, String> {
    use burrline_terms::{Money, words::Means};
    if words.is_empty() || words == "none" {
        return Ok(String::new());
    }
    let whole = format!("{asked} {words}");
    let words = if !asked.is_empty() && Means::read(words).is_ok() { &whole } else { words };
    let wrong = || "say how much and how, such as: 100 cash; or none".to_owned();
    let (amount, means) = words.split_once(' ').ok_or_else(wrong)?;
    let amount = Money::read(amount).map_err(|bad| bad.to_string())?;
    let means = Means::read(means).map_err(|_| wrong())?;
    let till = matches!(means, Means::Cash | Means::Card | Means::Check | Means::Transfer);
    if amount > Money::ZERO && till { Ok(format!("{amount} {means}")) } else { Err(wrong()) }
}
