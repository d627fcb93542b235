//! One token a line, as a scanner types it: a verb, then a place and tags, then what closes the line.

use burrline_bench::Error;
use burrline_domain::verb::{FieldSpec, spec};
use burrline_line as line;
use burrline_line::words::{Begins, begins, could_be, folded};
use burrline_terms::{
    Arity, Phrase, Tag, Typed as _,
    words::{Piece, Role},
};

use super::{Known, Standing, Step};

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
            // Where nothing is collected it is no state of a skull.
            if folded(token) == "more" {
                return Ok(vec![Step::More]);
            }
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

    /// More words while a line is being collected: they belong to it, or open the next one. A line that
    /// lacks something is let go of at once when something else is typed; a whole one is said first.
    pub(super) fn more(&mut self, words: &[String], known: &Known) -> Result<Vec<Step>, Error> {
        let first = words.first().map_or("", String::as_str);
        let named = self.commands.iter().any(|command| folded(command) == folded(first));
        let figure = first.starts_with(|c: char| c.is_ascii_digit());
        let is_more = figure || Tag::looks_like(first) || known.place_named(first).is_some();
        let is_more = is_more || Piece::read(&first.to_lowercase()).is_ok();
        let plain = |word| begins(word, self.commands.iter().map(String::as_str));
        let opens = match if words.len() > 1 { self.begun(first) } else { plain(first) } {
            Begins::One(_) => named || !(is_more || self.is_word_of_it(first)),
            Begins::Many(_) | Begins::Nothing => false,
        };
        let belongs = is_more || self.is_word_of_it(first) || self.takes_text();
        if !opens && (belongs || self.reads_with(words, known)) {
            let told = self.add(words);
            // A scanner types one word a line, so several are a hand's, which has said all it wanted.
            let done = words.len() > 1 && self.clone().whole(known).is_ok();
            return if done { self.close(known) } else { Ok(told) };
        }
        // The next line must be one before this one is said, or let go of.
        let mut next = self.clone();
        next.collected = Collected::default();
        let after = match words {
            [token] => next.lone(token, known),
            words => next.line(words, known),
        };
        let mut steps = if self.clone().whole(known).is_ok() {
            // What was collected stays if the other cannot be read.
            after.as_ref().map_or(Ok(Vec::new()), |_| self.close(known))?
        } else {
            let dropped = self.drop_collected().unwrap_or_default();
            vec![Step::Tell(vec![format!("let go, nothing was said: {dropped}")])]
        };
        let after = match (after, steps.as_slice()) {
            (Ok(after), _) => after,
            (Err(error), [Step::Tell(let_go)]) => {
                return Err(Error::usage(format!("{error}; {}", let_go.join(" "))));
            }
            (Err(error), _) => return Err(error),
        };
        next.before = self.before.clone();
        *self = next;
        steps.push(after);
        Ok(steps)
    }

    /// Whether the words make a whole line with what was collected.
    fn reads_with(&self, words: &[String], known: &Known) -> bool {
        let mut with = self.clone();
        with.collected.0.extend(words.iter().cloned());
        with.whole(known).is_ok()
    }

    /// Whether any words can belong to the verb being collected: it has its skull, or needs none, and
    /// takes a text.
    fn takes_text(&self) -> bool {
        let [verb, rest @ ..] = self.collected.0.as_slice() else { return false };
        let Some(spec) = spec(verb) else { return false };
        let text = spec.fields.iter().any(|field| field.hint == Phrase::HINT);
        let skull = spec.fields.iter().any(|field| field.name == "skull");
        text && (!skull || rest.iter().any(|word| Tag::looks_like(word)))
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
        let lacks = lacks(&self.collected.0);
        let then = if lacks.is_empty() { "GO says it".to_owned() } else { lacks };
        vec![Step::Tell(vec![format!("{} ... {then}", self.collected())])]
    }

    /// Says what was collected; it stays collected if it cannot be said.
    fn close(&mut self, known: &Known) -> Result<Vec<Step>, Error> {
        let step = self.whole(known)?;
        self.collected = Collected::default();
        Ok(vec![step])
    }

    /// What was collected as a line to be run.
    fn whole(&mut self, known: &Known) -> Result<Step, Error> {
        let words = self.collected.0.clone();
        let step = self.line(&words, known)?;
        if let Step::Run(words) = &step {
            line::parse_words(words, &known.lexicon)?;
        }
        Ok(step)
    }

    /// A word alone, with nothing collected.
    fn lone(&mut self, token: &str, known: &Known) -> Result<Step, Error> {
        if Tag::looks_like(token) {
            return Ok(Step::Run(vec!["find".to_owned(), token.to_owned()]));
        }
        if let Some(place) = known.place_named(token) {
            return Ok(self.stand(place.to_owned()));
        }
        if let Some(verb) = line::closed::synonym(token) {
            return self.lone_command(verb);
        }
        // A letter alone may be a late answer to a question; it begins no line.
        // A short word for what is read all day stands alone.
        let read = super::brief::brief(token).filter(|word| spec(word).is_none());
        if let Some(reading) = read {
            return self.lone_command(reading);
        }
        match begins(token, self.commands.iter().map(String::as_str)) {
            Begins::One(command) => self.lone_command(&command),
            Begins::Many(many) => Err(could_be(token, &many).into()),
            Begins::Nothing => match known.place(token) {
                Begins::One(place) => Ok(self.stand(place)),
                Begins::Many(many) => Err(could_be(token, &many).into()),
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

    /// A verb that needs more asks for it and begins to be collected; all else is run as it is.
    fn lone_verb(&mut self, word: &str) -> Step {
        let words = vec![word.to_owned()];
        let of_hands = spec(word).is_some_and(|spec| spec.role != Role::Owner);
        // These have a way of their own to be said alone.
        let whole = matches!(word, "strike" | "amend" | "assign" | "photograph" | "take-in");
        if !of_hands || whole || line::parse_words(&words, &line::Lexicon::default()).is_ok() {
            return Step::Run(words);
        }
        let lacks = lacks(&words);
        self.collected.0 = words;
        let lacks = if lacks.is_empty() { "which?".to_owned() } else { lacks };
        Step::Tell(vec![format!("{word} ... {lacks} Then GO, or what was done next")])
    }
}

/// What a line still lacks, in words with an example; empty if nothing.
fn lacks(words: &[String]) -> String {
    let [verb, rest @ ..] = words else { return String::new() };
    let Some(spec) = spec(verb) else { return String::new() };
    let wanted = |field: &&FieldSpec| field.arity == Arity::One;
    let has = |field: &FieldSpec| match field.name {
        "skull" => rest.iter().any(|word| Tag::looks_like(word)),
        // Where the hand stands may be meant.
        "place" => rest.iter().any(|word| !Tag::looks_like(word)),
        _ => rest.iter().any(|word| {
            !Tag::looks_like(word) && line::takes(spec, field, word, &line::Lexicon::default())
        }),
    };
    let lacking = spec.fields.iter().filter(wanted).filter(|field| !has(field));
    let names: Vec<&str> = lacking.map(asked).collect();
    if names.is_empty() {
        return String::new();
    }
    let example = line::example::lines(spec);
    let example = example.first().map(|line| format!(" As in `{line}`.")).unwrap_or_default();
    format!("{}?{example}", names.join(", "))
}

fn asked(field: &FieldSpec) -> &'static str {
    match field.name {
        "skull" => "which skull",
        "place" => "which place",
        "mass" => "how heavy",
        "amount" => "how much",
        "by" => "by which day",
        "length" => "how long",
        "tag" => "which tag goes on",
        _ => field.help,
    }
}
