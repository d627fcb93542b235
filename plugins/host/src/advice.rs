//! What else a stage script may answer: what to remember, when to look first, by when a head is ready,
//! how many fit, and what a customer is told.
//!
//! Nothing of it stops anybody. The first script with an answer gives it, as with a plan; what to
//! remember is asked of all of them. A script that fails, or goes by what nobody said, has no answer.

use rhai::Dynamic;

use crate::facts::{JobFacts, VerbFacts};
use crate::failure::ScriptFailure;
use crate::plain::kind_in_words;
use crate::script::Script;
use crate::shown::{Share, Shown};
use crate::stages::{Rules, Stages};
use crate::unknown;
use crate::value::{ScriptValue, map_from, nothing_left, take_text};

/// The functions, each with the number of what it is handed.
pub(crate) const ADVICE: [(&str, usize); 5] =
    [(REMIND, 1), (FIRST_LOOK, 2), (READY_BY, 1), (FITS, 2), (MESSAGE, 2)];

/// Whether a function of this name is one that stage scripts answer, and price lists do not.
pub fn is_of_a_rule(name: &str) -> bool {
    matches!(name, "check" | "plan") || ADVICE.iter().any(|(advice, _)| *advice == name)
}

/// How a function is written, by its name.
pub(crate) fn written(name: &str) -> Option<String> {
    let (name, count) = ADVICE.iter().find(|(advice, _)| *advice == name)?;
    Some(match (*name, *count) {
        (MESSAGE, _) => format!("fn {name}(job, about)"),
        (_, 2) => format!("fn {name}(job, act)"),
        _ => format!("fn {name}(job)"),
    })
}

const REMIND: &str = "remind";
const FIRST_LOOK: &str = "first_look";
const READY_BY: &str = "ready_by";
const FITS: &str = "fits";
const MESSAGE: &str = "message";

/// What a message to a customer can be about.
pub const ABOUT: [&str; 5] = ["ready", "storage", "delay", "question", "balance"];

/// The blanks of a message, which the shop fills in.
pub const BLANKS: [&str; 6] = ["{name}", "{shop}", "{phone}", "{heads}", "{owed}", "{day}"];

/// More characters than this do not fit a phone.
const LONGEST_WORDS: usize = 160;
/// A message of more characters is not read to its end.
const LONGEST_MESSAGE: usize = 480;
/// More to remember of one head than this is a mistake in the script.
const MOST_REMINDERS: usize = 12;
/// The longest that a head waits for its first look: two weeks, as in a colony.
const LONGEST_LOOK: i64 = 14 * 24 * 60;
/// A head that is ready later than this is a mistake in the script.
const MOST_DAYS: i64 = 1_500;
/// No place of a small shop holds more heads.
const MOST_HEADS: i64 = 1_000;

/// An answer, and which script gave it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Advice<T> {
    /// The script's name.
    pub rule: String,
    /// SHA-256 of its source.
    pub digest: String,
    /// What it answered.
    pub says: T,
}

/// Something to remember.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reminder {
    /// What.
    pub words: String,
    /// In how many days; 0 for today.
    pub in_days: i64,
}

/// By when a head is ready.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReadyBy {
    /// In how many days.
    pub days: i64,
    /// What may be said to the customer, if the script has a sentence of its own.
    pub says: Option<String>,
}

type Answer<T> = Result<Option<Advice<T>>, ScriptFailure>;

impl Stages {
    /// What is to be remembered of a job.
    ///
    /// # Errors
    /// The script fails, answers in another shape, or goes by what nobody said.
    pub fn remind(
        &self,
        job: &impl Share<JobFacts>,
    ) -> Result<Vec<Advice<Reminder>>, ScriptFailure> {
        let Some(answer) = self.advise(REMIND, 1, job, &[])? else { return Ok(Vec::new()) };
        let list =
            if answer.is_array() { answer.into_array().unwrap_or_default() } else { vec![answer] };
        let read = || {
            if list.len() > MOST_REMINDERS {
                let count = list.len();
                return Err(format!("{count} reminders; at most {MOST_REMINDERS} are taken"));
            }
            list.into_iter().map(reminder).collect::<Result<Vec<_>, _>>()
        };
        let read = read().map_err(|why| self.wrong(REMIND, &why))?;
        Ok(read.into_iter().map(|says| self.advice(says)).collect())
    }

    /// After how many minutes a head is first looked at that an act puts into a place.
    ///
    /// # Errors
    /// As for [`Stages::remind`].
    pub fn first_look(
        &self,
        job: &impl Share<JobFacts>,
        act: &impl Share<VerbFacts>,
    ) -> Answer<i64> {
        self.whole(FIRST_LOOK, job, act, "minutes", 1, LONGEST_LOOK)
    }

    /// How many heads like this one fit where an act puts it, this one counted.
    ///
    /// # Errors
    /// As for [`Stages::remind`].
    pub fn fits(&self, job: &impl Share<JobFacts>, act: &impl Share<VerbFacts>) -> Answer<i64> {
        self.whole(FITS, job, act, "heads", 0, MOST_HEADS)
    }

    /// In how many days a head is ready.
    ///
    /// # Errors
    /// As for [`Stages::remind`].
    pub fn ready_by(&self, job: &impl Share<JobFacts>) -> Answer<ReadyBy> {
        let Some(answer) = self.advise(READY_BY, 1, job, &[])? else { return Ok(None) };
        let says = ready(answer).map_err(|why| self.wrong(READY_BY, &why))?;
        Ok(Some(self.advice(says)))
    }

    /// What a customer is told about a head, with blanks that the shop fills in.
    ///
    /// # Errors
    /// As for [`Stages::remind`].
    pub fn message(&self, job: &impl Share<JobFacts>, about: &str) -> Answer<String> {
        let Some(answer) = self.advise(MESSAGE, 2, job, &[about.into()])? else { return Ok(None) };
        let text = message(answer).map_err(|why| self.wrong(MESSAGE, &why))?;
        Ok(Some(self.advice(text)))
    }

    fn whole(
        &self,
        function: &str,
        job: &impl Share<JobFacts>,
        act: &impl Share<VerbFacts>,
        of: &str,
        least: i64,
        most: i64,
    ) -> Answer<i64> {
        let act = Shown::whole(act.share());
        let Some(answer) = self.advise(function, 2, job, &[act])? else { return Ok(None) };
        let whole = i64::from_script(answer).and_then(|whole| {
            let right = (least..=most).contains(&whole);
            right
                .then_some(whole)
                .ok_or_else(|| format!("{whole} {of}; {least} to {most} are taken"))
        });
        let says = whole.map_err(|why| self.wrong(function, &why))?;
        Ok(Some(self.advice(says)))
    }

    /// The answer of a function; nothing if the script has it not, or it has no word.
    fn advise(
        &self,
        function: &str,
        count: usize,
        job: &impl Share<JobFacts>,
        beside: &[Dynamic],
    ) -> Result<Option<Dynamic>, ScriptFailure> {
        let script = self.script();
        if !script.has(function, count) {
            return Ok(None);
        }
        let job = job.share();
        let priced = job.price_said;
        let values = || {
            let mut values = vec![Shown::whole(std::sync::Arc::clone(&job))];
            values.extend(beside.iter().cloned());
            values
        };
        let (answer, noted) = unknown::noted(|| script.call(function, values));
        let answer = answer?;
        match script.not_known(function, &noted, priced, values).into_iter().next() {
            Some(not_known) => Err(not_known),
            None => Ok(Some(answer).filter(|answer| !answer.is_unit())),
        }
    }

    fn advice<T>(&self, says: T) -> Advice<T> {
        let script = self.script();
        Advice { rule: script.name().to_owned(), digest: script.digest().to_owned(), says }
    }

    fn wrong(&self, function: &str, why: &str) -> ScriptFailure {
        self.script().failure_in(function, &format!("{function}: {why}"))
    }
}

impl Rules {
    /// Whether any script answers a function, so that facts need to be put together for it.
    fn any(&self, function: &str) -> impl Iterator<Item = &Stages> {
        let count =
            ADVICE.iter().find(|(name, _)| *name == function).map_or(0, |(_, count)| *count);
        self.scripts().iter().filter(move |stages| stages.script().has(function, count))
    }

    /// The scripts that say what to remember.
    pub fn that_remind(&self) -> Vec<&Script> {
        self.any(REMIND).map(Stages::script).collect()
    }

    /// The scripts that say when to look first.
    pub fn that_look(&self) -> Vec<&Script> {
        self.any(FIRST_LOOK).map(Stages::script).collect()
    }

    /// The scripts that say by when a head is ready.
    pub fn that_know_the_day(&self) -> Vec<&Script> {
        self.any(READY_BY).map(Stages::script).collect()
    }

    /// The scripts that say how many fit.
    pub fn that_count(&self) -> Vec<&Script> {
        self.any(FITS).map(Stages::script).collect()
    }

    /// The scripts that word messages.
    pub fn that_write(&self) -> Vec<&Script> {
        self.any(MESSAGE).map(Stages::script).collect()
    }

    /// What is to be remembered of a job, and which scripts could not say.
    pub fn remind(
        &self,
        job: &impl Share<JobFacts>,
    ) -> (Vec<Advice<Reminder>>, Vec<ScriptFailure>) {
        let (mut reminders, mut failures) = (Vec::new(), Vec::new());
        let job = job.share();
        for stages in self.any(REMIND) {
            match stages.remind(&job) {
                Ok(some) => reminders.extend(some),
                Err(failure) => failures.push(failure),
            }
        }
        (reminders, failures)
    }

    /// The first answer to when a head is first looked at.
    ///
    /// # Errors
    /// A script before it fails: a later one would mean something else.
    pub fn first_look(
        &self,
        job: &impl Share<JobFacts>,
        act: &impl Share<VerbFacts>,
    ) -> Answer<i64> {
        let (job, act) = (job.share(), act.share());
        first(self.any(FIRST_LOOK).map(|stages| stages.first_look(&job, &act)))
    }

    /// The least of all answers to how many fit.
    ///
    /// # Errors
    /// A script fails.
    pub fn fits(&self, job: &impl Share<JobFacts>, act: &impl Share<VerbFacts>) -> Answer<i64> {
        let (job, act) = (job.share(), act.share());
        let mut least: Option<Advice<i64>> = None;
        for stages in self.any(FITS) {
            if let Some(fits) = stages.fits(&job, &act)?
                && least.as_ref().is_none_or(|least| fits.says < least.says)
            {
                least = Some(fits);
            }
        }
        Ok(least)
    }

    /// The first answer to when a head is ready.
    ///
    /// # Errors
    /// As for [`Rules::first_look`].
    pub fn ready_by(&self, job: &impl Share<JobFacts>) -> Answer<ReadyBy> {
        let job = job.share();
        first(self.any(READY_BY).map(|stages| stages.ready_by(&job)))
    }

    /// The first answer to what a customer is told.
    ///
    /// # Errors
    /// As for [`Rules::first_look`].
    pub fn message(&self, job: &impl Share<JobFacts>, about: &str) -> Answer<String> {
        let job = job.share();
        first(self.any(MESSAGE).map(|stages| stages.message(&job, about)))
    }
}

/// The first that answers; a failure before it is the answer.
fn first<T>(mut answers: impl Iterator<Item = Answer<T>>) -> Answer<T> {
    answers.find(|answer| !matches!(answer, Ok(None))).unwrap_or(Ok(None))
}

/// `"call about the jaw"`, or `#{ remind: "call about the jaw", in_days: 3 }`.
fn reminder(answer: Dynamic) -> Result<Reminder, String> {
    if answer.is_string() {
        let words = plain_line(&String::from_script(answer)?, "a reminder")?;
        return Ok(Reminder { words, in_days: 0 });
    }
    let mut map = map_from(answer, "(), a text, #{remind: ..., in_days: ...} or a list of these")?;
    let words = plain_line(&take_text(&mut map, "remind")?, "`remind`")?;
    let in_days = match map.remove("in_days") {
        Some(days) => days_from(days, "in_days")?,
        None => 0,
    };
    nothing_left(&map)?;
    Ok(Reminder { words, in_days })
}

/// `60`, or `#{ days: 60, says: "before the first snow" }`.
fn ready(answer: Dynamic) -> Result<ReadyBy, String> {
    if answer.is_int() {
        return Ok(ReadyBy { days: days_from(answer, "days")?, says: None });
    }
    let mut map = map_from(answer, "(), whole days or #{days: ..., says: ...} as the answer")?;
    let days = days_from(map.remove("days").ok_or("`days` is missing")?, "days")?;
    let says = match map.remove("says") {
        Some(says) => Some(plain_line(&String::from_script(says)?, "`says`")?),
        None => None,
    };
    nothing_left(&map)?;
    Ok(ReadyBy { days, says })
}

fn days_from(value: Dynamic, name: &str) -> Result<i64, String> {
    let days = i64::from_script(value).map_err(|why| format!("`{name}` {why}"))?;
    let right = (0..=MOST_DAYS).contains(&days);
    right.then_some(days).ok_or_else(|| format!("`{name}` wants 0 to {MOST_DAYS}, not {days}"))
}

fn message(answer: Dynamic) -> Result<String, String> {
    let text = answer.into_string().map_err(|found| {
        format!("wants () or a text as the answer, not {}", kind_in_words(found))
    })?;
    if text.trim().is_empty() || text.chars().count() > LONGEST_MESSAGE {
        return Err(format!("a message wants 1 to {LONGEST_MESSAGE} characters"));
    }
    if text.chars().any(|c| c.is_control() && c != '\n') {
        return Err("a message wants plain text".to_owned());
    }
    let mut bare = text.clone();
    for blank in BLANKS {
        bare = bare.replace(blank, "");
    }
    if let Some((_, rest)) = bare.split_once('{') {
        let name: String = rest.chars().take_while(|c| *c != '}').take(20).collect();
        return Err(format!("there is no blank {{{name}}}; there are {}", BLANKS.join(", ")));
    }
    if bare.contains('}') || bare.matches('[').count() != bare.matches(']').count() {
        return Err("a message wants whole `{ }` and `[ ]`".to_owned());
    }
    Ok(text)
}

fn plain_line(words: &str, what: &str) -> Result<String, String> {
    if words.trim().is_empty() || words.chars().count() > LONGEST_WORDS {
        return Err(format!("{what} wants 1 to {LONGEST_WORDS} characters"));
    }
    if words.chars().any(char::is_control) {
        return Err(format!("{what} wants a single plain line"));
    }
    Ok(words.to_owned())
}
