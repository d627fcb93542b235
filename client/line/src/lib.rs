//! A line as a hand types it, read into verbs. Every word is accounted for, or nothing is recorded.
//!
//! * [`split()`]: a typed line into words
//! * [`lexicon`]: what the shop knows, to hold words against
//! * [`openings`]: lines that do not begin with their verb
//! * [`asking`]: questions, and the readings that answer them; `wishes`: what is still to be done;
//!   `not_so`: what is said not to be so
//! * [`two_times`]: a line for each time; [`shares`]: a payment of half, or of the rest
//! * [`several`]: several lines in one, and lines that begin with a tag
//! * [`read`](mod@read): words to fields; `fit`, `amount`, `figure`, `points`, `days`, `hours`, `makeup`,
//!   `text`: values
//! * `purpose`: what a customer was told for
//! * `remark`, `beside`: what a text may be meant for beside itself; `put_off`: words that take a deed back
//! * [`closed`]: lists of words; `pieces`: those of a skull
//! * [`unclear`]: what is asked, and `doubt`: when
//! * [`command`]: the options of each verb, from the table
//! * [`example`]: lines that show how
//! * [`near`]: what may have been meant by a wrong word
//! * [`when`]: said times, and `calendar`: months and days of the week
//! * [`typed`]: a verb as a hand would type it
//! * [`words`]: beginnings of words, and lists of them
//! * [`Error`]: why a line was not read
//! * [`details`]: what is sealed, and `familiar`: words that are no part of a name

mod amending;
mod amount;
pub mod asking;
mod at_first;
mod beside;
mod by_way;
pub mod calendar;
pub mod closed;
pub mod command;
mod damaged;
mod days;
pub mod details;
mod doubt;
mod error;
pub mod example;
mod familiar;
mod figure;
mod fit;
mod hours;
mod leftover;
pub mod lexicon;
mod likely;
mod makeup;
pub mod near;
mod new_animals;
mod no_verb;
mod not_so;
pub mod openings;
mod pieces;
mod points;
mod purpose;
mod put_off;
pub mod read;
mod remark;
pub mod setting;
pub mod several;
pub mod shares;
mod split;
mod stand_ins;
mod tag_or_figure;
#[cfg(test)]
mod tests;
mod text;
pub mod two_times;
pub mod typed;
pub mod unclear;
pub mod units;
mod ways;
pub mod when;
mod wishes;
pub mod words;

pub use amount::is_unit;
pub use at_first::{at_first, is_clock};
use burrline_domain::{
    Class, Verb, VerbSpec,
    verb::{self, AddCustomer, FieldSpec},
};
use burrline_terms::{Kind, Sealed, Typed};
use clap::ArgMatches;
pub use details::Details;
pub use error::Error;
pub use lexicon::Lexicon;
pub use openings::with_its_verb;
pub use split::split;
pub use unclear::{Choice as LineChoice, Unclear};

/// What can be said with every verb.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Common {
    /// When it happened, as typed.
    pub at: Option<String>,
    /// Who did it.
    pub hand: Option<String>,
    /// It is the hand of this line alone, as a name among its words is.
    pub once: bool,
    /// The reason for doing it against a rule.
    pub anyway: Option<String>,
    /// A missing step was done and not said.
    pub done: bool,
}

impl Common {
    /// These, with what others say that these do not.
    #[must_use]
    pub fn or(self, others: Self) -> Self {
        let once = if self.hand.is_some() { self.once } else { others.once };
        Self {
            once,
            at: self.at.or(others.at),
            hand: self.hand.or(others.hand),
            anyway: self.anyway.or(others.anyway),
            done: self.done || others.done,
        }
    }
}

/// A line, read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Utterance {
    /// The line of the first verb in the table.
    pub spec: &'static VerbSpec,
    /// What was said with it.
    pub common: Common,
    /// Details that are still to be sealed.
    pub details: Details,
    /// A verb for each skull, or the one verb.
    pub verbs: Vec<Verb>,
    /// What is to be said of how a word was taken.
    pub told: Vec<String>,
}

impl Utterance {
    /// A line that was put together by the program.
    pub fn of(spec: &'static VerbSpec, common: Common, verbs: Vec<Verb>) -> Self {
        Self { spec, common, details: Details::default(), verbs, told: Vec::new() }
    }
}

/// Reads a line such as `in pot-1 0612` or `at 10:40 out 0612`.
///
/// # Errors
/// [`Error::Unclear`] for what must be asked; [`Error::Usage`] or [`Error::Word`], which say what
/// would be right.
pub fn parse(line: &str, lexicon: &Lexicon) -> Result<Utterance, Error> {
    parse_words(&split(line)?, lexicon)
}

/// Reads the words of a line.
///
/// # Errors
/// As for [`parse`].
pub fn parse_words(words: &[String], lexicon: &Lexicon) -> Result<Utterance, Error> {
    asked_first(words, lexicon)?;
    two_figures(words)?;
    let words = openings::turned_behind_time(words, lexicon);
    told_to(&words, lexicon)?;
    let words = hand_first(at_first(&words), lexicon);
    several::read(&words, lexicon, one)
}

/// What a line says that is none: a question, a wish, two times, a sum that nobody knows yet.
fn asked_first(words: &[String], lexicon: &Lexicon) -> Result<(), Error> {
    asking::records_nothing(words, lexicon)?;
    wishes::not_done_yet(words, lexicon)?;
    two_times::one_each(words, lexicon)?;
    shares::sum_wanted(words)
}

/// Whether a line is asked about as it was typed, before its words are read.
pub fn is_asked_first(words: &[String], lexicon: &Lexicon) -> bool {
    asked_first(words, lexicon).is_err()
}

/// `at 10 40 out 0417`: a time without its colon, or a time and a tag.
fn two_figures(words: &[String]) -> Result<(), Error> {
    let [at, hour, minute, rest @ ..] = words else { return Ok(()) };
    let figure = |word: &str, most: u32| {
        word.len() <= 2 && word.parse::<u32>().is_ok_and(|figure| figure <= most)
    };
    let both = at.eq_ignore_ascii_case("at") && figure(hour, 23) && figure(minute, 59);
    if !both || minute.len() != 2 || rest.is_empty() {
        return Ok(());
    }
    let line = |time: String, tag: Option<String>| {
        let front = ["at".to_owned(), time].into_iter().chain(tag);
        let words: Vec<String> = front.chain(rest.iter().cloned()).collect();
        (unclear::line(&words), words)
    };
    Err(doubt::unclear(
        format!("at {hour} {minute}: is it the time {hour}:{minute}, or a tag behind the hour?"),
        [line(format!("{hour}:{minute}"), None), line(hour.clone(), Some(format!("0{minute}")))],
    ))
}

/// `tom, wash 0417`, `tom wash 0417`: as likely what tom is to do as what he did.
fn told_to(words: &[String], lexicon: &Lexicon) -> Result<(), Error> {
    let [first, verb, ..] = words else { return Ok(()) };
    let name = first.trim_end_matches([',', ':']);
    let Some(hand) = lexicon.hand(name).filter(|_| verb::spec(&verb.to_lowercase()).is_some())
    else {
        return Ok(());
    };
    let mut line: Vec<String> = words.iter().skip(1).cloned().collect();
    line.extend(["--done-by".to_owned(), hand.to_owned()]);
    Err(doubt::unclear(format!("did {hand} do it?"), [(format!("{hand} did it"), line)]))
}

/// Turns `tom washed 0417` into `wash 0417 --hand tom`.
pub fn hand_first(words: Vec<String>, lexicon: &Lexicon) -> Vec<String> {
    let [first, rest @ ..] = words.as_slice() else { return words };
    let hand = lexicon.hand(first.trim_end_matches([':', ',']));
    let verb = rest.first().is_some_and(|word| {
        let word = word.to_lowercase();
        verb::spec(closed::synonym(&word).unwrap_or(&word)).is_some()
    });
    match hand.filter(|_| verb) {
        Some(hand) => {
            let mut turned = rest.to_vec();
            turned.extend(["--done-by".to_owned(), hand.to_owned()]);
            turned
        }
        None => words,
    }
}

/// Reads the words of a line of one verb.
fn one(words: &[String], lexicon: &Lexicon) -> Result<Utterance, Error> {
    let words = at_first(words);
    let [word, rest @ ..] = words.as_slice() else {
        return Err(Error::usage("say something, such as `wash 0417`; see `burrline help`"));
    };
    let word = closed::synonym(word).unwrap_or(word);
    let spec = verb::spec(word).ok_or_else(|| no_verb::no_verb(word, rest, lexicon))?;
    let args =
        std::iter::once(word.to_owned()).chain(rest.iter().map(|word| command::shield(word)));
    let matches = command::command(spec)
        .try_get_matches_from(args)
        .map_err(|e| Error::usage(wrong_option(spec, &e)))?;
    of_matches(spec, &matches, lexicon)
}

/// So much is told of an option that is none.
const LONGEST_OPTION: usize = 120;

/// What is wrong with an option, in one sentence.
fn wrong_option(spec: &VerbSpec, error: &clap::Error) -> String {
    let text = error.to_string();
    let first = text.lines().next().unwrap_or_default().trim_start_matches("error: ");
    // The option is told as it was typed, and what was typed may be of any length.
    let first: String = first.chars().take(LONGEST_OPTION).collect();
    format!("{}: {first}; see `burrline {} --help`", spec.word, spec.word)
}

/// Whether a word is a value that a field of a verb takes by itself.
pub fn takes(spec: &VerbSpec, field: &FieldSpec, word: &str, lexicon: &Lexicon) -> bool {
    fit::fit(spec, field, &[word], lexicon) != fit::Fit::No
}

/// Words as the one value of a field, in its typed form: `dec 21` as 2026-12-21. None if they are no
/// value of it, or could be several.
pub fn value(
    spec: &VerbSpec,
    field: &FieldSpec,
    words: &[String],
    lexicon: &Lexicon,
) -> Option<String> {
    let typed: Vec<&str> = words.iter().map(String::as_str).collect();
    match fit::fit_named(spec, field, &typed, lexicon) {
        fit::Fit::Is { value, used } if used == typed.len() => Some(value),
        fit::Fit::Is { .. } | fit::Fit::Unclear { .. } | fit::Fit::No => None,
    }
}

/// The command of lines that begin with a tag.
pub const LINES: &str = "lines";

/// Reads a verb's command that was matched, which may be several lines in one.
///
/// # Errors
/// As for [`parse`].
pub fn from_matches(
    spec: &'static VerbSpec,
    matches: &ArgMatches,
    lexicon: &Lexicon,
) -> Result<Utterance, Error> {
    let (words, given, details) = command::taken(spec, matches);
    stand_ins::refused(&given, &words, &details)?;
    if spec.word == "amend" || !several::is_several(spec, &words, lexicon) {
        return of_matches(spec, matches, lexicon);
    }
    let line = doubt::whole_line(spec, &[], &given, &words);
    let common = command::common_of(matches);
    let kept = command::common_words(&common, &details);
    let read = several::read(&line, lexicon, one).map_err(|error| with_words(error, &kept))?;
    let common = common.or(read.common);
    Ok(Utterance { common, details: details.or(read.details), ..read })
}

/// Reads a verb's command that was matched.
fn of_matches(
    spec: &'static VerbSpec,
    matches: &ArgMatches,
    lexicon: &Lexicon,
) -> Result<Utterance, Error> {
    let (mut words, mut given, details) = command::taken(spec, matches);
    if let Some(instead) = command::by_itself(spec.word) {
        return Err(Error::usage(instead));
    }
    let mut common = command::common_of(matches);
    if spec.word == "amend" {
        let verbs = vec![amending::amend(&words, lexicon)?];
        return Ok(Utterance { spec, common, details, verbs, told: Vec::new() });
    }
    let purpose = purpose::said(spec, &mut words, &mut given)?;
    let way = by_way::said(spec, &mut words, &mut given, lexicon)?;
    let line = doubt::whole_line(spec, &[], &given, &words);
    if common.at.is_none() {
        common.at = time_said(spec, &mut words);
    }
    if common.hand.is_none() {
        common.hand = hand_said(spec, &mut words, lexicon);
        common.once = common.hand.is_some();
    }
    // `undo last`: the last line is meant without a word.
    if spec.word == "strike" && words.len() == 1 && words.iter().all(|word| word == "last") {
        words.clear();
    }
    let kept = command::common_words(&common, &details);
    let mut sorted =
        read::read(spec, &words, given, lexicon).map_err(|error| with_words(error, &kept))?;
    let details = details.or(std::mem::take(&mut sorted.details));
    if !details.is_empty() && !details::taken_by(spec) {
        return Err(Error::usage(format!("{} takes no details of a person", spec.word)));
    }
    if spec.word == "amend-customer" && details.is_empty() && !sorted.given.contains_key("class") {
        return Err(Error::usage(
            "amend-customer: what is new? As in `burrline amend-customer 3:41 phone 555-0143`",
        ));
    }
    let told = std::mem::take(&mut sorted.told);
    let verbs =
        verbs(spec, &words, sorted, &details, lexicon).map_err(|error| with_words(error, &kept))?;
    let verbs =
        purpose::with_each(verbs, purpose, &line).map_err(|error| with_words(error, &kept))?;
    for verb in &verbs {
        by_way::steps_known(verb, &line, lexicon).map_err(|error| with_words(error, &kept))?;
    }
    let verbs = by_way::with_each(verbs, way.as_ref(), lexicon);
    Ok(Utterance { spec, common, details, verbs, told })
}

/// What is asked, with these words in each choice, so that nothing that was said falls away with it.
fn with_words(error: Error, kept: &[String]) -> Error {
    let Error::Unclear(mut unclear) = error else { return error };
    for choice in &mut unclear.choices {
        let timed = choice.words.first().is_some_and(|word| word == "at");
        let said = |word: &String| choice.words.contains(word) || (timed && word == "--at");
        let further: Vec<String> = match kept.split_first() {
            // An option that a choice says itself, such as who did it, is said once.
            Some(_) => kept
                .chunks(2)
                .filter(|pair| !pair.first().is_some_and(said))
                .flatten()
                .cloned()
                .collect(),
            None => continue,
        };
        choice.words.extend(further);
    }
    Error::Unclear(unclear)
}

/// `at 10:40` or `this morning` at the end of a line without a text: when it happened.
fn time_said(spec: &VerbSpec, words: &mut Vec<String>) -> Option<String> {
    let own = |field: &FieldSpec| matches!(field.kind(), Kind::Text | Kind::Day | Kind::Moment);
    if spec.class != Class::Fact || spec.fields.iter().any(own) {
        return None;
    }
    let (from, time) = remark::ending_time(words).filter(|(from, _)| *from > 0)?;
    // `at 180` on a pot is its heat.
    let figure = time.bytes().all(|byte| byte.is_ascii_digit());
    let warm = spec.fields.iter().any(|field| field.kind() == Kind::Temperature);
    // `lit pot-1 at 7`: no water is that cold where something was done to its heat.
    let done = words.iter().any(|word| matches!(word.as_str(), "lit" | "boil" | "down" | "off"));
    let hour = time.parse::<u32>().is_ok_and(|hour| hour <= 12);
    if figure && warm && !(spec.word == "heat" && done && hour) {
        return None;
    }
    words.truncate(from);
    Some(time)
}

/// `by tom`, or `tom` alone, at the end of a line without a text: who did it.
fn hand_said(spec: &VerbSpec, words: &mut Vec<String>, lexicon: &Lexicon) -> Option<String> {
    // `hours tom 4 hours`: who worked stands before how long.
    if let [first, _, ..] = words.as_slice()
        && spec.word == "hours"
        && let Some(hand) = lexicon.hand(first).map(str::to_owned)
    {
        words.remove(0);
        return Some(hand);
    }
    let (name, before) = words.split_last().filter(|(_, before)| !before.is_empty())?;
    let by = before.last().filter(|_| before.len() > 1).map_or("", String::as_str);
    let is = |kinds: &dyn Fn(&FieldSpec) -> bool| spec.fields.iter().any(kinds);
    let texts = is(&|field| matches!(field.kind(), Kind::Text | Kind::Hand));
    // A name that the line still wants may be the hand's.
    let names = is(&|field| {
        field.kind() == Kind::Sealed
            || (field.kind() == Kind::Open && closed::list(spec, field).is_none())
    });
    let hand = lexicon.hand(name)?.to_owned();
    let by = matches!(by.to_lowercase().as_str(), "by" | "hand");
    let persons = details::taken_by(spec);
    if texts || persons || (!by && names) {
        return None;
    }
    words.truncate(words.len().saturating_sub(if by { 2 } else { 1 }));
    Some(hand)
}

fn verbs(
    spec: &'static VerbSpec,
    words: &[String],
    sorted: read::Sorted,
    details: &Details,
    lexicon: &Lexicon,
) -> Result<Vec<Verb>, Error> {
    if spec.word == "add-customer" {
        return add_customer(&sorted.given, details);
    }
    let wants_skull = spec.fields.iter().any(|field| field.kind() == Kind::Skull);
    if !wants_skull {
        let given = |field: &str| sorted.given.get(field).cloned().unwrap_or_default();
        let verb = Verb::read(spec.word, &given)?;
        if let Verb::SetShop(set) = &verb {
            setting::known(set)?;
        }
        return Ok(vec![verb]);
    }
    let skulls = several::skulls(spec, words, &sorted, lexicon)?;
    if skulls.is_empty() {
        return Err(Error::usage(format!(
            "{word}: which skull? Say its tag, as in `burrline {line}`",
            word = spec.word,
            line = example::lines(spec).first().map_or(spec.word, String::as_str),
        )));
    }
    let mut verbs = Vec::with_capacity(skulls.len());
    for skull in &skulls {
        verbs.push(of_skull(spec.word, skull, &sorted.given)?);
        if !sorted.looked.is_empty() {
            verbs.push(of_skull("look", skull, &sorted.looked)?);
        }
        if let Some(noted) = &sorted.noted {
            let words = read::Given::from([("words", vec![noted.clone()])]);
            let tag = skull.split('/').next().unwrap_or(skull);
            verbs.push(of_skull("note", tag, &words)?);
        }
    }
    Ok(verbs)
}

fn of_skull(word: &str, skull: &str, given: &read::Given) -> Result<Verb, Error> {
    let given = |field: &str| match field {
        "skull" => vec![skull.to_owned()],
        _ => given.get(field).cloned().unwrap_or_default(),
    };
    Ok(Verb::read(word, &given)?)
}

/// The details are sealed later; until then there is an empty seal in their place.
fn add_customer(given: &read::Given, details: &Details) -> Result<Vec<Verb>, Error> {
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
