//! A line as a hand types it, read into verbs.
//!
//! * [`split()`]: a typed line into words
//! * [`sort`]: words to fields, by what they look like
//! * [`command`]: the options of each verb, from the table
//! * [`example`]: lines that show how
//! * [`near`]: what may have been meant by a wrong word
//! * [`when`]: said times
//! * [`details`]: what is sealed

pub mod command;
pub mod details;
pub mod example;
pub mod near;
pub mod reads;
pub mod sort;
mod split;
#[cfg(test)]
mod tests;
pub mod units;
pub mod when;

use burrline_domain::{EntryName, Sealed, Typed, Verb, VerbSpec, verb, verb::AddCustomer};
use clap::ArgMatches;
pub use details::Details;
pub use split::split;

use crate::Error;

/// What can be said with every verb.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Common {
    /// When it happened, as typed.
    pub at: Option<String>,
    /// Who did it.
    pub hand: Option<String>,
    /// The reason for doing it against a rule.
    pub anyway: Option<String>,
    /// A missing step was done and not said.
    pub done: bool,
}

/// A line, read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Utterance {
    /// The verb's line in the table.
    pub spec: &'static VerbSpec,
    /// What was said with it.
    pub common: Common,
    /// Details that are still to be sealed.
    pub details: Details,
    /// A verb for each skull, or the one verb.
    pub verbs: Vec<Verb>,
}

/// Reads a line such as `in pot-1 0612` or `at 10:40 out 0612`.
///
/// # Errors
/// [`Error::Usage`] or [`Error::Word`], which say what would be right.
pub fn parse(line: &str) -> Result<Utterance, Error> {
    parse_words(&split(line)?)
}

/// Reads the words of a line.
///
/// # Errors
/// As for [`parse`].
pub fn parse_words(words: &[String]) -> Result<Utterance, Error> {
    let words = at_first(words);
    let [word, rest @ ..] = words.as_slice() else {
        return Err(Error::usage("say something, such as `wash 0417`; see `burrline help`"));
    };
    let spec = verb::spec(word).ok_or_else(|| {
        Error::usage(format!("{word} is no verb; see `burrline help` for all of them"))
    })?;
    let args = std::iter::once(word.clone()).chain(rest.iter().map(|w| command::shield(w)));
    let matches = command::command(spec)
        .try_get_matches_from(args)
        .map_err(|e| Error::usage(e.to_string().trim_end().to_owned()))?;
    from_matches(spec, &matches)
}

/// Turns `at 10:40 out 0612` into `out --at 10:40 0612`.
pub fn at_first(words: &[String]) -> Vec<String> {
    match words {
        [at, time, verb, rest @ ..] if at == "at" => {
            let mut turned = vec![verb.clone(), "--at".to_owned(), time.clone()];
            turned.extend_from_slice(rest);
            turned
        }
        _ => words.to_vec(),
    }
}

/// Reads a verb's command that was matched.
///
/// # Errors
/// As for [`parse`].
pub fn from_matches(spec: &'static VerbSpec, matches: &ArgMatches) -> Result<Utterance, Error> {
    let (words, given, details) = command::taken(spec, matches);
    let common = command::common_of(matches);
    let verbs = match spec.word {
        "amend" => vec![amend(&words)?],
        _ => read(spec, &words, given, &details)?,
    };
    if !details.is_empty() && !details::taken_by(spec) {
        return Err(Error::usage(format!("{} takes no details of a person", spec.word)));
    }
    Ok(Utterance { spec, common, details, verbs })
}

fn read(
    spec: &'static VerbSpec,
    words: &[String],
    given: sort::Given,
    details: &Details,
) -> Result<Vec<Verb>, Error> {
    let sorted = sort::sort(spec, words, given)?;
    if spec.word == "add-customer" {
        return add_customer(&sorted.given, details);
    }
    let wants_skull = spec.fields.iter().any(|field| field.name == "skull");
    if !wants_skull {
        let given = |field: &str| sorted.given.get(field).cloned().unwrap_or_default();
        return Ok(vec![Verb::read(spec.word, &given)?]);
    }
    if sorted.skulls.is_empty() {
        return Err(Error::usage(format!(
            "{word}: which skull? Say its tag, as in `burrline {line}`",
            word = spec.word,
            line = example::lines(spec).first().map_or(spec.word, String::as_str),
        )));
    }
    let one = |skull: &String| {
        let given = |field: &str| match field {
            "skull" => vec![skull.clone()],
            _ => sorted.given.get(field).cloned().unwrap_or_default(),
        };
        Ok(Verb::read(spec.word, &given)?)
    };
    sorted.skulls.iter().map(one).collect()
}

/// The details are sealed later; until then there is an empty seal in their place.
fn add_customer(given: &sort::Given, details: &Details) -> Result<Vec<Verb>, Error> {
    if details.is_empty() {
        return Err(Error::usage(
            "add-customer: who? Say at least --name, as in `burrline add-customer --name \"Ada Fenn\"`",
        ));
    }
    let class = given.get("class").and_then(|words| words.first());
    let class = class.map(|word| Typed::read(word)).transpose()?;
    let details = Sealed { key_id: [0; 16], nonce: Vec::new(), ciphertext: Vec::new() };
    Ok(vec![AddCustomer { details, class }.into()])
}

fn amend(words: &[String]) -> Result<Verb, Error> {
    let [entry, line @ ..] = words else {
        return Err(Error::usage(
            "amend: which line? As in `burrline amend 3:41 weigh 0417 1240 g`",
        ));
    };
    let entry = EntryName::read(entry)?;
    let inner = parse_words(line)?;
    if !inner.details.is_empty() {
        return Err(Error::usage("details are replaced with `burrline amend-customer`"));
    }
    if inner.common != Common::default() {
        return Err(Error::usage(
            "amend: --at, --hand and the like go before the entry; the moment stays as it was",
        ));
    }
    let [verb] = <[Verb; 1]>::try_from(inner.verbs)
        .map_err(|_| Error::usage("amend: a line replaces one line, so say one skull"))?;
    if matches!(verb, Verb::Amend(_)) {
        return Err(Error::usage("amend: amend the first line again instead"));
    }
    Ok(verb::Amend { entry, verb: Box::new(verb) }.into())
}
