//! The person at the page, as the common talk sees them: each question becomes keys, and each answer a
//! key with perhaps a few words.

use std::{sync::mpsc::Receiver, time::Duration};

use burrline_bench::{
    Answerer, Choice, Error,
    answer::{Question, Said},
};
use burrline_line::{Unclear, unclear};
use burrline_talk::person::{Person, UnknownHand};
use burrline_terms::{Typed as _, words::WaterLook};
use jiff::tz::TimeZone;
use tokio::sync::mpsc::UnboundedSender;

use super::Outcome;
use crate::words::WORDS;

/// How long a question waits for its answer.
const PATIENCE: Duration = Duration::from_mins(15);

/// A question with its keys.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Ask {
    /// What is asked about.
    pub(crate) title: String,
    /// What is said against it, or told before.
    pub(crate) lines: Vec<String>,
    /// What can be answered.
    pub(crate) keys: Vec<Key>,
}

/// One answer that can be given.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Key {
    /// What comes back.
    pub(crate) name: String,
    /// What stands on it.
    pub(crate) label: String,
    /// What words it wants. Empty: none.
    pub(crate) words: String,
}

/// An answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Reply {
    /// The key.
    pub(crate) key: String,
    /// The words with it.
    pub(crate) words: String,
}

/// What comes out of a talk.
#[derive(Debug)]
pub(crate) enum Turn {
    /// A question.
    Asked(Ask),
    /// Its end.
    Ended(Box<Outcome>),
}

/// The person.
pub(crate) struct Asker {
    out: UnboundedSender<Turn>,
    replies: Receiver<Reply>,
    told: Vec<String>,
    /// What was said so far.
    pub(crate) said: Vec<Said>,
}

/// Records nothing, everywhere.
const NOTHING: &str = "n";

fn key(name: impl Into<String>, label: impl Into<String>) -> Key {
    Key { name: name.into(), label: label.into(), words: String::new() }
}

fn with_words(name: &str, label: &str, words: &str) -> Key {
    Key { words: words.to_owned(), ..key(name, label) }
}

impl Asker {
    pub(super) const fn new(out: UnboundedSender<Turn>, replies: Receiver<Reply>) -> Self {
        Self { out, replies, told: Vec::new(), said: Vec::new() }
    }

    pub(super) fn clone_out(&self) -> UnboundedSender<Turn> {
        self.out.clone()
    }

    /// What was told since the last question.
    pub(super) fn told(&mut self) -> Vec<String> {
        std::mem::take(&mut self.told)
    }

    /// Puts a question; no answer leaves the line off.
    pub(crate) fn put(&mut self, mut ask: Ask) -> Option<Reply> {
        let told = self.told();
        ask.lines.splice(0..0, told);
        ask.keys.push(key(NOTHING, WORDS.record_nothing));
        let keys: Vec<String> = ask.keys.iter().map(|key| key.name.clone()).collect();
        self.out.send(Turn::Asked(ask)).ok()?;
        let reply = self.replies.recv_timeout(PATIENCE).ok()?;
        (reply.key != NOTHING && keys.contains(&reply.key)).then_some(reply)
    }
}

impl Answerer for Asker {
    fn answer(&mut self, question: &Question) -> Choice {
        let mut ask =
            Ask { title: question.line.clone(), lines: question.against.clone(), keys: Vec::new() };
        if !question.skull.is_empty() {
            ask.title = format!("{}  ({})", question.line, question.skull);
        }
        if !question.missing.is_empty() {
            let missing = question.missing.join(", ");
            ask.keys.push(key("w", format!("{}: {missing}", WORDS.was_done)));
        }
        if question.seal {
            ask.keys.push(key("s", WORDS.seal_it));
        }
        ask.keys.push(with_words("a", WORDS.anyway, WORDS.reason));
        if !question.rest.is_empty() {
            ask.keys.push(key("r", format!("{}: {}", WORDS.record_the_rest, question.rest)));
        }
        if question.skulls > 1 {
            ask.keys.push(key("e", WORDS.each_by_itself));
        }
        loop {
            let Some(reply) = self.put(ask.clone()) else { return Choice::LeaveOff };
            match reply.key.as_str() {
                "w" => return Choice::Done,
                "s" => return Choice::Seal,
                "e" => return Choice::Each,
                "r" => return Choice::Without,
                // A letter is no reason.
                _ if reply.words.trim().chars().count() > 1 => {
                    return Choice::Anyway(reply.words.trim().to_owned());
                }
                _ => self.tell(WORDS.no_reason),
            }
        }
    }

    fn choose(&mut self, line: &[String], unclear: &Unclear) -> Option<Vec<String>> {
        if unclear.choices.is_empty() {
            return None;
        }
        let keys = unclear.keys().map(|(name, choice)| key(name, choice.label.clone())).collect();
        let ask = Ask { title: unclear::line(line), lines: vec![unclear.about.clone()], keys };
        let reply = self.put(ask)?;
        let chosen = reply.key.chars().next().and_then(|key| unclear.chosen(key))?;
        Some(chosen.words.clone())
    }
}

impl Person for Asker {
    fn tell(&mut self, words: &str) {
        self.told.push(words.to_owned());
    }

    fn said(&mut self, said: &Said, _: &TimeZone) {
        self.said.push(said.clone());
    }

    fn is_there(&self) -> bool {
        true
    }

    fn old_water(&mut self, place: &str) -> Result<Option<Option<WaterLook>>, Error> {
        let looks = WaterLook::ALL.iter().map(|look| key(look.word(), look.word()));
        let keys = looks.chain([key("not-seen", WORDS.not_seen)]).collect();
        let title = format!("{place}: {}", WORDS.old_water);
        let reply = self.put(Ask { title, lines: Vec::new(), keys });
        Ok(reply.map(|reply| WaterLook::read(&reply.key).ok()))
    }

    fn words(&mut self, question: &str) -> Result<Option<String>, Error> {
        let keys = vec![with_words("t", WORDS.say_it, question)];
        let reply = self.put(Ask { title: question.to_owned(), lines: Vec::new(), keys });
        Ok(reply.map(|reply| reply.words))
    }

    fn which(&mut self, question: &str, choices: &[String]) -> Option<usize> {
        let keys = choices.iter().enumerate().map(|(n, choice)| key(n.to_string(), choice.clone()));
        let ask = Ask { title: question.to_owned(), lines: Vec::new(), keys: not_n(keys) };
        self.put(ask)?.key.parse().ok()
    }

    fn hand(&mut self, unknown: &UnknownHand) -> Result<Option<String>, Error> {
        let title = format!("{} {}", WORDS.unknown_hand, unknown.typed);
        let known = unknown.known.iter().map(|hand| key(format!("h-{hand}"), hand.clone()));
        let new = key("k", format!("{} {}", WORDS.keep_new_hand, unknown.typed));
        let keys = known.chain([new]).collect();
        let reply = self.put(Ask { title, lines: Vec::new(), keys });
        Ok(reply.map(|reply| match reply.key.strip_prefix("h-") {
            Some(hand) => hand.to_owned(),
            None => unknown.typed.clone(),
        }))
    }
}

fn not_n(keys: impl Iterator<Item = Key>) -> Vec<Key> {
    keys.filter(|key| key.name != NOTHING).collect()
}

#[cfg(test)]
mod tests {
    use std::sync::mpsc::channel;

    use super::*;

    /// What is asked, and what comes of these answers.
    fn answered(answers: &[(&str, &str)], missing: &[&str]) -> (Choice, Vec<Ask>) {
        let (out, mut turns) = tokio::sync::mpsc::unbounded_channel();
        let (reply, replies) = channel();
        for (key, words) in answers {
            reply.send(Reply { key: (*key).into(), words: (*words).into() }).unwrap();
        }
        drop(reply);
        let question = Question {
            line: "in pot-1 0616".into(),
            skull: "0616 whitetail".into(),
            against: vec!["the antlers are not wrapped".into()],
            missing: missing.iter().map(|line| (*line).to_owned()).collect(),
            skulls: 1,
            seal: false,
            rest: String::new(),
        };
        let choice = Asker::new(out, replies).answer(&question);
        let mut asked = Vec::new();
        while let Ok(Turn::Asked(ask)) = turns.try_recv() {
            asked.push(ask);
        }
        (choice, asked)
    }

    #[test]
    fn the_keys_are_those_of_the_terminal() {
        let (choice, asked) = answered(&[("w", "")], &["wrap 0616"]);
        assert_eq!(choice, Choice::Done);
        let keys: Vec<&str> = asked[0].keys.iter().map(|key| key.name.as_str()).collect();
        assert_eq!(keys, ["w", "a", "n"]);
        assert_eq!(answered(&[("w", "")], &[]).0, Choice::LeaveOff, "it was not offered");
        assert_eq!(answered(&[], &[]).0, Choice::LeaveOff, "nobody answered");
    }

    #[test]
    fn anyway_wants_a_reason_and_is_asked_again() {
        let (choice, asked) = answered(&[("a", " "), ("a", "shed stumps")], &[]);
        assert_eq!(choice, Choice::Anyway("shed stumps".into()));
        assert_eq!(asked.len(), 2);
        assert_eq!(asked[1].lines[0], WORDS.no_reason);
    }
}
