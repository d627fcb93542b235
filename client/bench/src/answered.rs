//! Lines of this bench that the shop has answered with a remark, a refusal or a clash.

use burrline_domain::Outcome;
use burrline_line::typed;
use burrline_present::misfits;
use burrline_terms::EntryName;

use super::{Bench, alone::Then, outbox::Kept, unshown};
use crate::{Error, clock::Clock};

/// One line of this bench, and what the shop said of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answered {
    /// Its name.
    pub entry: EntryName,
    /// When it was typed, by the shop's measure: milliseconds; unknown of a line that is lost.
    pub typed_ms: Option<i64>,
    /// The line.
    pub line: String,
    /// What was answered; empty while it waits.
    pub words: Vec<String>,
}

/// The highest number of which a hand has said that it was looked at.
const LOOKED: &str = "looked";

impl Bench {
    /// What was answered with words and not looked at yet, in order; as far as the copy goes.
    ///
    /// # Errors
    /// If copy or outbox cannot be read.
    pub fn answered(&self, clock: &dyn Clock) -> Result<Vec<Answered>, Error> {
        let Some(alone) = self.alone(clock, Then::default())? else { return Ok(Vec::new()) };
        let state = alone.state();
        let clashes = state.clashes();
        let mut answered = Vec::new();
        for n in self.folder.number(&self.of_life(LOOKED)).saturating_add(1)..=alone.recorded() {
            let entry = EntryName::new(self.life(), n);
            let Some(fact) = state.fact(entry) else { continue };
            let mut words: Vec<String> = match &fact.record.outcome {
                Outcome::Done(remarks) => {
                    remarks.iter().map(|r| format!("remark: {}", r.words)).collect()
                }
                Outcome::Refused(why) => vec![format!("refused: {why}")],
            };
            let own = clashes.iter().filter(|clash| clash.entry == entry);
            words
                .extend(own.map(|clash| format!("does not fit: {}", misfits::words(state, clash))));
            if !words.is_empty() {
                let line = typed::typed(&fact.record.entry.verb);
                let typed_ms = Some(fact.happened().typed.0);
                answered.push(Answered { entry, typed_ms, line, words });
            }
        }
        Ok(answered)
    }

    /// What waits for the shop, in order; typed by the bench's own wall clock.
    ///
    /// # Errors
    /// If the outbox cannot be read.
    pub fn waiting_lines(&self) -> Result<Vec<Answered>, Error> {
        let waits = |kept: &Kept| {
            if let Some(perhaps) = kept.lost() {
                let words = match perhaps {
                    "" => "lost: the disk was damaged".to_owned(),
                    _ => format!("lost: the disk was damaged; it may have been: {perhaps}"),
                };
                let entry = EntryName::new(self.life(), kept.n);
                return Ok(Answered { entry, typed_ms: None, line: words, words: Vec::new() });
            }
            let entry = unshown::read(kept)?;
            let line = typed::typed(&entry.verb);
            let typed_ms = Some(entry.clock.wall.0);
            Ok(Answered { entry: entry.name, typed_ms, line, words: Vec::new() })
        };
        self.waiting()?.iter().map(waits).collect()
    }

    /// All that was answered so far has been looked at.
    ///
    /// # Errors
    /// If that cannot be noted.
    pub fn looked(&self, clock: &dyn Clock) -> Result<(), Error> {
        let Some(alone) = self.alone(clock, Then::default())? else { return Ok(()) };
        self.folder.keep_number(&self.of_life(LOOKED), alone.recorded())
    }
}
