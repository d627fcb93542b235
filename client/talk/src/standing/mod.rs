//! The standing prompt's core: a typed or scanned line in, steps out.
//!
//! It has no terminal, clock or socket. What it knows of the shop (places, tags, hands) comes
//! in with each line, from the bench's copy, so that a test types what a hand types. It makes
//! short words whole and hands the line to the same code as a command. A beginning that several
//! words have is asked about, except for the short words of one table ([`brief`]), which the
//! help screen shows whole. A word that is a typing mistake away from a known one is offered
//! (`line/near.rs`), and never taken.
//!
//! * [`brief`]: short words for what is typed all day
//! * [`known`]: places, tags and hands to read short words by
//! * [`whose`]: a customer's name where a tag belongs
//! * [`short`]: two digits where the line is about a place
//! * [`collect`]: one token a line, as a scanner types
//! * [`same`]: the last line or make-up again
//! * [`rings`]: what is due and not heard yet; the bench keeps in its file `heard` what was
//!   heard
//! * [`help`]: the one screen

pub mod brief;
pub mod collect;
pub mod help;
pub mod known;
mod line;
pub mod rings;
pub mod same;
pub mod short;
#[cfg(test)]
mod tests;
pub mod whose;

pub use known::Known;

use burrline_bench::Error;
use burrline_line::{
    near,
    words::{Begins, and, begins},
};

use self::{collect::Collected, same::Before};

/// Words of the prompt itself.
pub const OWN: &[&str] =
    &["at", "hand", "same", "heard", "go", "nowhere", "status", "help", "quit"];

/// What is to be done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Step {
    /// Run these words, as after `burrline`.
    Run(Vec<String>),
    /// Show these lines; nothing was said.
    Tell(Vec<String>),
    /// This hand works here from now on.
    Hand(String),
    /// What rings has been heard.
    Heard,
    /// Show how things stand.
    Status,
    /// Show the rest of the last answer.
    More,
    /// Show the one screen of help.
    Help,
    /// Leave the prompt.
    Leave,
}

/// The prompt between two lines.
#[derive(Debug, Clone, Default)]
pub struct Standing {
    /// Every first word: verbs, readings, and the prompt's own.
    commands: Vec<String>,
    /// Words of the program that have no place at the prompt.
    elsewhere: Vec<String>,
    /// Where the hand stands, if it said so.
    place: Option<String>,
    /// Tokens of a line that is not closed yet.
    collected: Collected,
    /// What was said before.
    before: Before,
}

impl Standing {
    /// A prompt that knows these commands.
    pub fn new(commands: impl IntoIterator<Item = String>) -> Self {
        let own = OWN.iter().map(|word| (*word).to_owned());
        let typed = commands.into_iter().filter(|word| burrline_line::command::is_typed(word));
        let mut commands: Vec<String> = own.chain(typed).collect();
        commands.sort();
        commands.dedup();
        Self { commands, ..Self::default() }
    }

    /// Knows what is to be run in a terminal of its own.
    #[must_use]
    pub fn without(mut self, elsewhere: &[&str]) -> Self {
        self.elsewhere = elsewhere.iter().map(|word| (*word).to_owned()).collect();
        self
    }

    /// The first word that a typed one is, or begins, or is short for.
    fn command_of(&self, word: &str, known: &Known) -> Result<String, Error> {
        match self.begun(word) {
            Begins::One(command) => Ok(command),
            Begins::Many(many) => Err(burrline_line::words::could_be(word, &many).into()),
            Begins::Nothing => Err(self.no_word(word, known)),
        }
    }

    /// What a first word is the beginning of; a short word of the table is that verb.
    fn begun(&self, word: &str) -> Begins {
        match brief::brief(word).filter(|verb| self.commands.iter().any(|other| other == verb)) {
            Some(verb) => Begins::One(verb.to_owned()),
            None => begins(word, self.commands.iter().map(String::as_str)),
        }
    }

    /// Where a word begins nothing: what may have been meant.
    fn no_word(&self, word: &str, known: &Known) -> Error {
        if let Some(elsewhere) = self.elsewhere.iter().find(|other| *other == word) {
            return Error::usage(format!(
                "{elsewhere} is not for this prompt: run `burrline {elsewhere}` in a terminal of its own"
            ));
        }
        let places: Vec<String> = known.places().map(str::to_owned).collect();
        if word.contains('-') && word.ends_with(|c: char| c.is_ascii_digit()) && !places.is_empty()
        {
            return Error::usage(match known.place_named(word) {
                Some(place) => {
                    format!(
                        "{place}: what was done there? As in `look {place} softening` or `{place} off`"
                    )
                }
                None => format!("there is no place {word}; there is {}", and(&places)),
            });
        }
        let all = self.commands.iter().map(String::as_str).chain(known.places());
        Error::usage(format!(
            "\u{201c}{word}\u{201d} begins no word that is known here{}",
            match near::did_you_mean(word, all).as_str() {
                "" => "; see `help`",
                meant => meant,
            }
        ))
    }

    /// Every first word, in order.
    pub fn commands(&self) -> &[String] {
        &self.commands
    }

    /// Where the hand stands.
    pub fn place(&self) -> Option<&str> {
        self.place.as_deref()
    }

    /// The same prompt with nothing collected: where a question is put, a line begins anew.
    #[must_use]
    pub fn with_nothing_collected(mut self) -> Self {
        self.collected = Collected::default();
        self
    }

    /// What was collected and is not said yet, as a line; empty if nothing was.
    pub fn collected(&self) -> String {
        self.collected.line()
    }

    /// Drops what was collected; says what that was.
    pub fn drop_collected(&mut self) -> Option<String> {
        self.collected.take().map(|words| words.join(" "))
    }

    /// Takes a line that was typed or scanned.
    ///
    /// # Errors
    /// [`Error::Usage`], which says what to type instead; nothing is said then.
    pub fn take(&mut self, typed: &str, known: &Known) -> Result<Vec<Step>, Error> {
        let words = burrline_line::split(typed)?;
        // `pot 1` alone is the place, as `pot-1` is.
        let read = burrline_line::openings::as_said(&words, &known.lexicon);
        let words = if read.len() == 1 { read } else { words };
        match words.as_slice() {
            [] => Ok(Vec::new()),
            [token] => self.token(token, known),
            words if self.collected.is_empty() => self.lines(words, known),
            words => self.more(words, known),
        }
    }

    /// The steps of a typed line: one, or one for each time that it says.
    fn lines(&mut self, words: &[String], known: &Known) -> Result<Vec<Step>, Error> {
        match burrline_line::two_times::apart(words, &known.lexicon) {
            Some(lines) => lines.iter().map(|line| self.line(line, known)).collect(),
            None => self.line(words, known).map(|step| vec![step]),
        }
    }

    /// Remembers a line that was said, for `same`.
    pub fn remember(&mut self, words: &[String], known: &Known) {
        self.before.remember(words, &known.lexicon);
    }
}
