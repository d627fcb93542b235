//! The one question that is put to a hand, and what becomes of a line.

use std::collections::VecDeque;

use burrline_domain::{Verb, verb::LeftOff};
use burrline_line::Unclear;
use burrline_present::brief::Brief;
use burrline_proto::v1;
use burrline_terms::EntryName;

use crate::{Ending, receipt};

/// May it be done all the same?
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// The line, as typed.
    pub line: String,
    /// What the skull is, such as "0417 whitetail 8 pt"; empty if no skull is meant.
    pub skull: String,
    /// What is said against it.
    pub against: Vec<String>,
    /// What would be said first if it was done and not said; empty if that would not help.
    pub missing: Vec<String>,
    /// How many skulls it is put for at once.
    pub skulls: usize,
    /// What is said against it goes if its text becomes a person's details, sealed.
    pub seal: bool,
    /// What the line says of other skulls, which can be recorded without this; empty if it says no more.
    pub rest: String,
}

/// What the hand answers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Choice {
    /// It was done, not said: say the missing step first.
    Done,
    /// Anyway, for this reason.
    Anyway(String),
    /// The text names a person: seal it.
    Seal,
    /// Leave this off and record what the line says of other skulls.
    Without,
    /// Record nothing of the line.
    LeaveOff,
    /// Put it for each skull by itself.
    Each,
    /// Nobody is there to answer.
    Nobody,
}

/// Answers the question.
pub trait Answerer {
    /// The answer of the hand.
    fn answer(&mut self, question: &Question) -> Choice;

    /// The line as it was meant, of those that it could be; nothing if it is left off, or nobody is
    /// there.
    fn choose(&mut self, _line: &[String], _unclear: &Unclear) -> Option<Vec<String>> {
        None
    }
}

/// Answers as it was told beforehand, and leaves off what it was not told about.
#[derive(Debug, Clone, Default)]
pub struct Scripted {
    /// The answers that are still to be given.
    pub answers: VecDeque<Choice>,
    /// The questions that were put.
    pub asked: Vec<Question>,
}

impl Answerer for Scripted {
    fn answer(&mut self, question: &Question) -> Choice {
        self.asked.push(question.clone());
        self.answers.pop_front().unwrap_or(Choice::LeaveOff)
    }
}

/// Nobody is there.
#[derive(Debug, Clone, Copy, Default)]
pub struct Nobody;

impl Answerer for Nobody {
    fn answer(&mut self, _: &Question) -> Choice {
        Choice::Nobody
    }
}

/// What became of one line.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// The shop has it.
    Receipt {
        /// What was said.
        verb: Box<Verb>,
        /// The shop's receipt.
        receipt: Box<v1::Receipt>,
    },
    /// It is on this bench's disk and goes to the shop later.
    Kept {
        /// Its name.
        entry: EntryName,
        /// What was said.
        verb: Box<Verb>,
        /// What the skull is, such as "0417 whitetail 8 pt"; empty if the bench does not know.
        skull: String,
        /// What the bench's own copy tells of it: when to look, how strong, what stands on the bag.
        figures: Brief,
        /// How many lines wait.
        waiting: usize,
        /// Why it was not sent; empty if a hand was told before and nothing has changed.
        why: String,
    },
    /// A decision was on its way to the shop as the line broke: nobody knows whether it was decided.
    /// The next contact tells; it is not decided after that.
    NotKnown {
        /// Its name.
        entry: EntryName,
        /// What was said.
        verb: Box<Verb>,
        /// Why there is no answer.
        why: String,
    },
    /// It was not said.
    LeftOff {
        /// The line.
        line: String,
        /// What is said against it, and what to type instead.
        why: Vec<String>,
    },
}

/// What became of a line: an answer a skull.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Said {
    /// The answers in the order of the skulls.
    pub answers: Vec<Answer>,
    /// What else is to be told: remarks, the price.
    pub talk: Vec<String>,
    /// What the hand left off, to be noted on the log.
    pub left_off: Vec<LeftOff>,
}

impl Said {
    /// Drops talk that a receipt says again.
    pub(super) fn drop_repeats(&mut self) {
        let mut heard: Vec<String> = Vec::new();
        for answer in &self.answers {
            if let Answer::Receipt { receipt, .. } = answer {
                heard.extend(receipt::remarks(receipt));
            }
        }
        self.talk.retain(|words| {
            let new = !heard.contains(words);
            heard.push(words.clone());
            new
        });
    }

    /// How it ended: the worst of the answers.
    pub fn ending(&self) -> Ending {
        self.answers.iter().map(Answer::ending).max().unwrap_or(Ending::Done)
    }
}

impl Answer {
    /// How it ended.
    pub fn ending(&self) -> Ending {
        match self {
            Self::Receipt { receipt, .. } if receipt::refusal(receipt).is_some() => Ending::Refused,
            Self::Receipt { .. } => Ending::Done,
            Self::Kept { .. } | Self::NotKnown { .. } => Ending::Away,
            Self::LeftOff { .. } => Ending::Refused,
        }
    }
}
