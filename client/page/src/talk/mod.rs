//! A line said by a person at the page.
//!
//! Each line has a thread of its own, which says it as a command does and waits where something is asked.
//! The question goes out with an answer's name; the answer comes with a later request. A question that
//! nobody answers leaves the line off, as a terminal does that is closed.
//!
//! * [`asker`]: the person, as the common talk sees them
//! * [`line`](mod@line): what is typed, read as at the standing prompt

pub(crate) mod asker;
pub(crate) mod line;

use std::{
    collections::BTreeMap,
    sync::{
        Arc, Mutex, MutexGuard, PoisonError,
        mpsc::{Sender, channel},
    },
};

use burrline_bench::{
    Bench, Ending, Error,
    answer::{Answer, Said},
};
use burrline_domain::Verb;
use burrline_line::{Common, Utterance};
use burrline_proto::v1::EntryName;
use burrline_screen::{Look, said};
use burrline_talk::saying;
use tokio::runtime::Handle;

use self::asker::{Ask, Asker, Reply};
use crate::{app::Shared, session};

/// So many lines wait for an answer at most; the oldest is left off.
const MOST: usize = 16;

/// What becomes of a line, as far as a page shows it.
#[derive(Debug, Clone)]
pub(crate) enum Turn {
    /// Something is asked first; the answer names the talk.
    Asked(String, Ask),
    /// It has ended.
    Ended(Outcome),
}

/// How a line ended.
#[derive(Debug, Clone, Default)]
pub(crate) struct Outcome {
    /// What was recorded.
    pub(crate) done: Vec<String>,
    /// Remarks, cautions, refusals.
    pub(crate) told: Vec<String>,
    /// Why nothing was recorded. Empty: it was.
    pub(crate) wrong: String,
    /// Lines that can be taken back.
    pub(crate) undo: Vec<String>,
    /// It is kept here and goes out later.
    pub(crate) away: bool,
    /// Something was only looked at.
    pub(crate) looked: bool,
    /// Where it goes on. Empty: where it was said.
    pub(crate) to: String,
    /// When it ended, by the bench's clock.
    pub(crate) at_ms: i64,
}

/// Does the work of one talk: says lines, with the person to ask.
pub(crate) type Work = Box<dyn FnOnce(&mut At) -> Result<(), Error> + Send>;

/// Where a talk works.
pub(crate) struct At {
    /// Its own bench.
    pub(crate) bench: Bench,
    /// The person.
    pub(crate) person: Asker,
    /// Where it goes on.
    pub(crate) to: String,
    /// Nothing is to be recorded.
    pub(crate) looked: bool,
    handle: Handle,
}

impl At {
    /// What waits for what the bench does.
    pub(crate) fn handle(&self) -> Handle {
        self.handle.clone()
    }

    /// Waits for what the bench does.
    pub(crate) fn wait<T>(&self, future: impl Future<Output = T>) -> T {
        self.handle.block_on(future)
    }

    /// Says what needs no reading.
    pub(crate) fn utter(&mut self, verbs: Vec<Verb>) -> Result<(), Error> {
        self.utter_with(Common::default(), verbs)
    }

    /// The same, with what else was said.
    pub(crate) fn utter_with(&mut self, common: Common, verbs: Vec<Verb>) -> Result<(), Error> {
        let Some(spec) = verbs.first().map(Verb::spec) else { return Ok(()) };
        let utterance = Utterance::of(spec, common, verbs);
        let Self { bench, person, handle, .. } = self;
        let said = handle.block_on(saying::utter(bench, utterance, person))?;
        self.bench.shown()?;
        self.person.said.extend(said);
        Ok(())
    }

    /// Says a line that is clear as typed, or asks until it is.
    pub(crate) fn say(&mut self, words: &[String]) -> Result<(), Error> {
        let Self { bench, person, handle, .. } = self;
        let said = handle.block_on(async {
            let clock = &burrline_bench::SystemClock;
            let utterance = bench.read_line(words, clock, person).await?;
            saying::utter(bench, utterance, person).await
        })?;
        self.bench.shown()?;
        self.person.said.extend(said);
        Ok(())
    }
}

/// The talks that wait for an answer.
#[derive(Debug, Default)]
pub(crate) struct Talks {
    waiting: Mutex<BTreeMap<String, Waiting>>,
}

#[derive(Debug)]
struct Waiting {
    reply: Sender<Reply>,
    turns: tokio::sync::mpsc::UnboundedReceiver<asker::Turn>,
    n: u64,
}

impl Talks {
    /// Begins a talk, and goes on to its first question or its end.
    pub(crate) async fn begin(&self, app: &Shared, work: Work) -> Turn {
        let (reply, replies) = channel();
        let (turn, turns) = tokio::sync::mpsc::unbounded_channel();
        let (app, handle) = (Arc::clone(app), Handle::current());
        tokio::task::spawn_blocking(move || talk(&app, work, Asker::new(turn, replies), handle));
        self.go_on(Waiting { reply, turns, n: 0 }).await
    }

    /// Gives an answer, and goes on; nothing if no such talk waits.
    pub(crate) async fn answer(&self, name: &str, reply: Reply) -> Option<Turn> {
        let waiting = self.locked().remove(name)?;
        // Who is no more there has left it off already, which the next turn says.
        let _ = waiting.reply.send(reply);
        Some(self.go_on(waiting).await)
    }

    async fn go_on(&self, mut waiting: Waiting) -> Turn {
        match waiting.turns.recv().await {
            Some(asker::Turn::Asked(ask)) => {
                let Ok(name) = session::secret() else { return Turn::Ended(Outcome::lost()) };
                let mut all = self.locked();
                waiting.n = all.values().map(|other| other.n).max().unwrap_or(0).saturating_add(1);
                all.insert(name.clone(), waiting);
                while all.len() > MOST {
                    let oldest = all.iter().min_by_key(|(_, other)| other.n);
                    let Some(oldest) = oldest.map(|(name, _)| name.clone()) else { break };
                    all.remove(&oldest);
                }
                Turn::Asked(name, ask)
            }
            Some(asker::Turn::Ended(outcome)) => Turn::Ended(*outcome),
            None => Turn::Ended(Outcome::lost()),
        }
    }

    fn locked(&self) -> MutexGuard<'_, BTreeMap<String, Waiting>> {
        self.waiting.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// One talk, from its line to its end.
fn talk(app: &Shared, work: Work, person: Asker, handle: Handle) {
    let ended = person.clone_out();
    let mut outcome = match app.engine.bench() {
        Ok(mut bench) => {
            bench.for_a_hand();
            let mut at = At { bench, person, to: String::new(), looked: false, handle };
            let worked = work(&mut at);
            let look = app.engine.locked().look();
            let mut outcome = Outcome::of(&at.person.said, &look);
            outcome.told.splice(0..0, at.person.told());
            if let Err(error) = worked {
                outcome.wrong = error.to_string();
                outcome.away |= error.ending() == Ending::Away;
            }
            outcome.to = std::mem::take(&mut at.to);
            outcome.looked = at.looked;
            app.engine.said();
            afterwards(app, at);
            outcome
        }
        Err(error) => Outcome { wrong: error.to_string(), ..Outcome::default() },
    };
    outcome.at_ms = burrline_bench::Clock::now(&burrline_bench::SystemClock).wall.0;
    // Whoever asked may have gone; what was said is said all the same.
    let _ = ended.send(asker::Turn::Ended(Box::new(outcome)));
}

/// Sends what waits and catches up, once the answer is on its way.
fn afterwards(app: &Shared, at: At) {
    let app = Arc::clone(app);
    at.handle.clone().spawn(async move {
        if let Some(said) = at.person.said.last() {
            let told = saying::afterwards(&at.bench, said).await;
            if !told.is_empty() {
                app.engine.tell(crate::engine::News::Told(told));
            }
            app.engine.said();
        }
    });
}

impl Outcome {
    fn of(all: &[Said], look: &Look) -> Self {
        let mut outcome = Self::default();
        for one in all {
            let shown = said::said(one, look);
            outcome.done.extend(shown.out);
            outcome.done.extend(shown.behind);
            outcome.told.extend(shown.err);
            outcome.away |= one.ending() == Ending::Away;
            outcome.undo.extend(one.answers.iter().filter_map(entry));
        }
        outcome
    }

    fn lost() -> Self {
        Self { wrong: crate::words::WORDS.talk_lost.to_owned(), ..Self::default() }
    }
}

/// The name of a line that was recorded, as it is struck.
fn entry(answer: &Answer) -> Option<String> {
    let name = |entry: &EntryName| format!("{}:{}", entry.life, entry.n);
    match answer {
        Answer::Receipt { receipt, .. } if burrline_bench::receipt::refusal(receipt).is_none() => {
            receipt.entry.as_ref().map(name)
        }
        Answer::Kept { entry, .. } => Some(entry.to_string()),
        Answer::Receipt { .. } | Answer::NotKnown { .. } | Answer::LeftOff { .. } => None,
    }
}
