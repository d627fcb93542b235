//! Which word of a reading's command is for which field, by the kinds of values that lines are read by.
//!
//! A word stands behind its field's option or its name, or is a value by its kind; the one free text takes
//! what is left. A word that is none of these is told, and nothing is read.

use std::collections::BTreeMap;

use burrline_bench::Error;
use burrline_line::{Lexicon, command::unshield, when};
use burrline_present::readings::{Asked, FieldSpec, ReadingSpec};
use burrline_terms::{Arity, Day, EntryName, Kind, Moment, Skull, Span, Typed as _};
use clap::{Arg, ArgAction, ArgMatches};
use jiff::{ToSpan as _, tz::TimeZone};

/// The words that were given for each field.
type Given = BTreeMap<&'static str, Vec<String>>;

const WORDS: &str = "reading-words";

/// What words are held against: now, the shop's zone and its lists.
#[derive(Debug, Clone)]
pub struct Known {
    /// Now, by the shop's clock as far as it is known.
    pub now: Moment,
    /// The shop's zone.
    pub zone: TimeZone,
    /// The shop's lists.
    pub lexicon: Lexicon,
}

/// The arguments of a reading: its words, and an option a field.
pub fn args(spec: &'static ReadingSpec) -> Vec<Arg> {
    let bare: Vec<&FieldSpec> = spec.fields.iter().filter(|field| stands_bare(field)).collect();
    let mut args = Vec::new();
    if !bare.is_empty() {
        let shown: Vec<String> = bare.iter().map(|field| shown(field)).collect();
        let help: Vec<&str> = bare.iter().map(|field| field.help).collect();
        // What clap puts around it stands for all of them.
        let name = shown.join(" ").trim_matches(['[', ']']).to_owned();
        args.push(Arg::new(WORDS).num_args(0..).value_name(name).help(help.join("; ")));
    }
    args.extend(spec.fields.iter().filter(|field| field.kind() != Kind::Text).map(option));
    args
}

/// How a field is shown among the words: `PLACE`, or `[PLACE]` if it need not be said.
fn shown(field: &FieldSpec) -> String {
    let name = match (field.kind(), field.arity) {
        // A name of what? The field says it.
        (
            Kind::Place
            | Kind::Recipe
            | Kind::Way
            | Kind::Species
            | Kind::Open
            | Kind::Text
            | Kind::Switch,
            _,
        ) => field.typed_name(),
        (Kind::Listed(words), _) => words.join("|"),
        (_, Arity::Many) => format!("{}...", field.hint),
        _ => field.hint.to_owned(),
    };
    let as_it_is = matches!(field.kind(), Kind::Listed(_) | Kind::Switch);
    let name = if as_it_is { name } else { name.to_uppercase() };
    if field.arity == Arity::One { name } else { format!("[{name}]") }
}

fn option(field: &FieldSpec) -> Arg {
    let arg = Arg::new(field.name).long(field.typed_name()).help(field.help);
    match field.arity {
        Arity::Switch => arg.action(ArgAction::SetTrue),
        Arity::Many => arg.action(ArgAction::Append).value_name(field.hint),
        Arity::One | Arity::Maybe => arg.action(ArgAction::Set).value_name(field.hint),
    }
}

/// Whether a value of the field can stand by itself.
#[allow(clippy::wildcard_enum_match_arm, reason = "all other kinds stand behind their option")]
fn stands_bare(field: &FieldSpec) -> bool {
    match field.kind() {
        // A switch by its own name.
        Kind::Skull
        | Kind::Tag
        | Kind::Entry
        | Kind::Place
        | Kind::Recipe
        | Kind::Way
        | Kind::Species
        | Kind::Text
        | Kind::Listed(_)
        | Kind::Day
        | Kind::Span
        | Kind::Switch => true,
        Kind::Open => field.arity == Arity::One,
        _ => false,
    }
}

/// What the words and options of a command ask.
///
/// # Errors
/// [`Error::Usage`] for a word that is for no field; [`Error::Word`] for a wrong or a missing value.
pub fn asked(
    spec: &'static ReadingSpec,
    matches: &ArgMatches,
    known: &Known,
) -> Result<Asked, Error> {
    let given = given(spec, matches, known)?;
    let given = |field: &str| given.get(field).cloned().unwrap_or_default();
    Ok(Asked::read(spec.word, &given)?)
}

/// The words that stand without an option.
pub fn bare_words(matches: &ArgMatches) -> Vec<String> {
    let found = matches.try_get_many::<String>(WORDS).ok().flatten();
    found.into_iter().flatten().map(|word| unshield(word)).collect()
}

/// Which words are for which field.
fn given(spec: &'static ReadingSpec, matches: &ArgMatches, known: &Known) -> Result<Given, Error> {
    let many = |id: &str| -> Vec<String> {
        let found = matches.try_get_many::<String>(id).ok().flatten();
        found.into_iter().flatten().map(|word| unshield(word)).collect()
    };
    let mut given = Given::new();
    for field in spec.fields {
        if field.arity == Arity::Switch {
            let on = matches.try_get_one::<bool>(field.name).ok().flatten().copied();
            if on == Some(true) {
                given.insert(field.name, vec!["yes".to_owned()]);
            }
            continue;
        }
        let said = many(field.name);
        let said: Vec<String> =
            said.iter().map(|word| value(spec, field, word, known)).collect::<Result<_, _>>()?;
        if !said.is_empty() {
            given.insert(field.name, said);
        }
    }
    sort(spec, &bare_words(matches), given, known)
}

/// Sorts words that stand bare to the fields that are still open.
fn sort(
    spec: &'static ReadingSpec,
    words: &[String],
    mut given: Given,
    known: &Known,
) -> Result<Given, Error> {
    let mut rest = words;
    while let Some(word) = rest.first() {
        let open: Vec<&'static FieldSpec> = spec
            .fields
            .iter()
            .filter(|field| field.arity == Arity::Many || !given.contains_key(field.name))
            .collect();
        let taken = named(spec, &open, rest, known)
            .or_else(|| open.iter().find_map(|field| bare(spec, field, rest, known)));
        let Some((field, value, used)) = taken else {
            return Err(Error::usage(format!(
                "{}: what is \u{201c}{word}\u{201d}? See `burrline help {}`",
                spec.word, spec.word
            )));
        };
        given.entry(field).or_default().push(value);
        rest = rest.get(used..).unwrap_or_default();
    }
    Ok(given)
}

type Taken = (&'static str, String, usize);

/// A field's own name, with its value behind it: `by nose`.
fn named(
    spec: &ReadingSpec,
    open: &[&'static FieldSpec],
    words: &[String],
    known: &Known,
) -> Option<Taken> {
    let name = words.first()?.to_lowercase();
    let field = open.iter().find(|field| field.typed_name() == name)?;
    if field.arity == Arity::Switch {
        return Some((field.name, "yes".to_owned(), 1));
    }
    let behind = words.get(1)?;
    (field.kind() != Kind::Text)
        .then(|| value(spec, field, behind, known).ok().map(|value| (field.name, value, 2)))
        .flatten()
}

/// The words at the front as a value of a field, if they are one by their kind.
#[allow(clippy::wildcard_enum_match_arm, reason = "all other kinds stand behind their option")]
fn bare(
    spec: &ReadingSpec,
    field: &'static FieldSpec,
    words: &[String],
    known: &Known,
) -> Option<Taken> {
    let first = words.first()?;
    let one = |value: String| Some((field.name, value, 1));
    let required = field.arity == Arity::One;
    match field.kind() {
        // A way or an animal may have a name of several words.
        Kind::Text | Kind::Way | Kind::Species => Some((field.name, words.join(" "), words.len())),
        Kind::Skull => {
            (required || Skull::read(first).is_ok()).then(|| first.clone()).and_then(one)
        }
        Kind::Tag => one(first.clone()),
        Kind::Entry => EntryName::read(first).is_ok().then(|| first.clone()).and_then(one),
        Kind::Place | Kind::Recipe | Kind::Open if stands_bare(field) => {
            value(spec, field, first, known).ok().and_then(one)
        }
        Kind::Span => Span::read(first).is_ok().then(|| first.clone()).and_then(one),
        Kind::Listed(list) => {
            let word = first.to_lowercase();
            list.contains(&word.as_str()).then_some(word).and_then(one)
        }
        Kind::Day => (1..=words.len().min(3)).rev().find_map(|used| {
            let said = words.get(..used)?.join(" ");
            Some((field.name, value(spec, field, &said, known).ok()?, used))
        }),
        _ => None,
    }
}

/// A word in the form that its field takes.
#[allow(clippy::wildcard_enum_match_arm, reason = "a word of all other kinds is taken as typed")]
fn value(
    spec: &ReadingSpec,
    field: &FieldSpec,
    word: &str,
    known: &Known,
) -> Result<String, Error> {
    Ok(match field.kind() {
        Kind::Place => known.lexicon.place(word).map_or(word, |here| &here.place).to_owned(),
        Kind::Recipe => known.lexicon.recipe(word).unwrap_or(word).to_owned(),
        Kind::Moment => when::said(word, known.now, &known.zone)?.show(),
        Kind::Day => {
            let (from, to) = days(spec.word, word, known)?;
            match (field.hint == Day::HINT, from == to) {
                (_, true) => from.show(),
                (false, false) => format!("{from}..{to}"),
                (true, false) => {
                    return Err(Error::usage(format!(
                        "{}: \u{201c}{word}\u{201d} is more than one day",
                        field.typed_name()
                    )));
                }
            }
        }
        _ => word.to_owned(),
    })
}

/// The first and the last day that are meant: `yesterday`, `fri`, `week`, 2026-11-24, 2026-11, or from one
/// to another.
fn days(what: &str, words: &str, known: &Known) -> Result<(Day, Day), Error> {
    if let Some((from, to)) = words.split_once("..") {
        let ((from, _), (_, to)) = (day(what, from, known)?, day(what, to, known)?);
        if to < from {
            return Err(Error::usage(format!(
                "{what}: {to} comes before {from}; say the earlier day first"
            )));
        }
        return Ok((from, to));
    }
    if words == "week" {
        let today = when::day(known.now, &known.zone);
        let first = today.0.checked_sub(6.days()).map_err(|e| Error::Bug(e.to_string()))?;
        return Ok((Day(first), today));
    }
    day(what, words, known)
}

/// A day or a month.
fn day(what: &str, word: &str, known: &Known) -> Result<(Day, Day), Error> {
    let word = word.trim();
    if word.len() == 7
        && let Ok(Day(first)) = Day::read(&format!("{word}-01"))
    {
        return Ok((Day(first), Day(first.last_of_month())));
    }
    if let Ok(day) = Day::read(word) {
        return Ok((day, day));
    }
    let wrong = || {
        Error::usage(format!(
            "{what}: \u{201c}{word}\u{201d} is no day; say it like yesterday, fri, 2026-11-24, 2026-11, \
             or 2026-11-01..2026-11-30"
        ))
    };
    let said = when::said_time(word, known.now, &known.zone).map_err(|_| wrong())?;
    // An hour is no day.
    let whole = when::local(said.from, &known.zone).time() == jiff::civil::Time::midnight();
    if !whole || said.is_point() {
        return Err(wrong());
    }
    Ok((when::day(said.from, &known.zone), when::day(said.until, &known.zone)))
}
