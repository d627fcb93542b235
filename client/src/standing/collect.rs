//! One token a line, as a scanner types it: a verb, then a place and tags, then what closes the line.

use burrline_domain::{Tag, verb::spec, words::Role};

use super::{
    Known, Standing, Step,
    words::{Begins, begins, could_be, folded},
};
use crate::{Error, line};

/// The words of a line that is not closed yet; the first is its verb.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Collected(Vec<String>);

impl Collected {
    /// Whether nothing was collected.
    pub const fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// As a line.
    pub fn line(&self) -> String {
        self.0.join(" ")
    }

    /// Takes the words out.
    pub fn take(&mut self) -> Option<Vec<String>> {
        (!self.0.is_empty()).then(|| std::mem::take(&mut self.0))
    }
}

impl Standing {
    /// A line of one word.
    pub(super) fn token(&mut self, token: &str, known: &Known) -> Result<Vec<Step>, Error> {
        if self.collected.is_empty() {
            return self.lone(token, known).map(|step| vec![step]);
        }
        match folded(token).as_str() {
            "go" => return self.close(known),
            "same" if self.is_make_up() => return Ok(self.add(&[token.to_lowercase()])),
            "strike" => {
                let dropped = self.drop_collected().unwrap_or_default();
                return Ok(vec![Step::Tell(vec![format!("dropped, nothing was said: {dropped}")])]);
            }
            "heard" => return Ok(vec![Step::Heard]),
            "status" => return Ok(vec![Step::Status]),
            "quit" => {
                return Err(Error::usage(format!(
                    "`{}` is not said yet: GO says it, STRIKE drops it",
                    self.collected()
                )));
            }
            _ => {}
        }
        self.more(&[token.to_owned()], known)
    }

    /// More words while a line is being collected: they belong to it, or open the next one.
    pub(super) fn more(&mut self, words: &[String], known: &Known) -> Result<Vec<Step>, Error> {
        let first = words.first().map_or("", String::as_str);
        let named = self.commands.iter().any(|command| folded(command) == folded(first));
        let is_more = Tag::looks_like(first) || known.place_named(first).is_some();
        let plain = |word| begins(word, self.commands.iter().map(String::as_str));
        let opens = match if words.len() > 1 { self.begun(first) } else { plain(first) } {
            Begins::One(_) => named || !(is_more || self.is_word_of_it(first)),
            Begins::Many(_) | Begins::Nothing => false,
        };
        if !opens {
            return Ok(self.add(words));
        }
        // The next line must be one before this one is said.
        let mut next = self.clone();
        next.collected = Collected::default();
        let after = match words {
            [token] => next.lone(token, known)?,
            words => next.line(words, known)?,
        };
        let mut steps = self.close(known)?;
        next.before = self.before.clone();
        *self = next;
        steps.push(after);
        Ok(steps)
    }

    /// Whether a word is one that the verb being collected takes, such as how it looks.
    fn is_word_of_it(&self, word: &str) -> bool {
        let verb = self.collected.0.first().and_then(|verb| spec(verb));
        verb.is_some_and(|verb| {
            verb.fields
                .iter()
                .any(|field| line::takes(verb, field, word, &line::Lexicon::default()))
        })
    }

    fn is_make_up(&self) -> bool {
        matches!(self.collected.0.first().map(String::as_str), Some("fill" | "top-up"))
    }

    fn add(&mut self, words: &[String]) -> Vec<Step> {
        self.collected.0.extend(words.iter().cloned());
        vec![Step::Tell(vec![format!("{} ... GO says it", self.collected())])]
    }

    /// Says what was collected; it stays collected if it cannot be said.
    fn close(&mut self, known: &Known) -> Result<Vec<Step>, Error> {
        let words = self.collected.0.clone();
        let step = self.line(&words, known)?;
        if let Step::Run(words) = &step {
            line::parse_words(words, &known.lexicon)?;
        }
        self.collected = Collected::default();
        Ok(vec![step])
    }

    /// A word alone, with nothing collected.
    fn lone(&mut self, token: &str, known: &Known) -> Result<Step, Error> {
        if Tag::looks_like(token) {
            return Ok(Step::Run(vec!["find".to_owned(), token.to_owned()]));
        }
        if let Some(place) = known.place_named(token) {
            return Ok(self.stand(place.to_owned()));
        }
        // A letter alone may be a late answer to a question; it begins no line.
        match begins(token, self.commands.iter().map(String::as_str)) {
            Begins::One(command) => self.lone_command(&command),
            Begins::Many(many) => Err(could_be(token, &many)),
            Begins::Nothing => match known.place(token) {
                Begins::One(place) => Ok(self.stand(place)),
                Begins::Many(many) => Err(could_be(token, &many)),
                Begins::Nothing => Err(self.no_word(token, known)),
            },
        }
    }

    fn stand(&mut self, place: String) -> Step {
        self.place = Some(place.clone());
        Step::Run(vec!["floor".to_owned(), place])
    }

    fn lone_command(&mut self, command: &str) -> Result<Step, Error> {
        let step = match command {
            "heard" => Step::Heard,
            "status" => Step::Status,
            "help" => Step::Help,
            "quit" => Step::Leave,
            "nowhere" => {
                let left = self.place.take();
                let words = left.map_or("you stand nowhere", |_| "no place is meant any more");
                Step::Tell(vec![words.to_owned()])
            }
            "same" => Step::Run(self.before.again(&[], &Known::default())?),
            "go" => return Err(Error::usage("nothing is collected; begin with what was done")),
            "at" => return Err(Error::usage("at what time? As in `at 10:40 out 0612`")),
            "hand" => return Err(Error::usage("which hand? As in `hand ines`")),
            other => self.lone_verb(other),
        };
        Ok(step)
    }

    /// A verb of the bench that needs more begins to be collected; all else is run as it is.
    fn lone_verb(&mut self, word: &str) -> Step {
        let words = vec![word.to_owned()];
        let of_bench = spec(word).is_some_and(|spec| spec.role == Role::Bench);
        let whole = matches!(word, "strike" | "amend" | "assign" | "photograph" | "change");
        if !of_bench
            || (whole && word != "change")
            || line::parse_words(&words, &line::Lexicon::default()).is_ok()
        {
            return Step::Run(words);
        }
        self.collected.0 = words;
        Step::Tell(vec![format!("{word} ... which? Then GO, or what was done next")])
    }
}
