//! Readings: their commands, made from the one table.
//!
//! * [`words`]: which word of a command is for which field

pub mod words;

use burrline_bench::{
    Bench, Ending, Error,
    clock::{Clock as _, SystemClock},
    contact::Reading,
};
use burrline_line::when;
use burrline_present::readings::{Asked, READINGS, ReadingSpec, Then, When, spec};
use burrline_screen::{Look, told};
use burrline_terms::{Moment, Skull, Typed as _};
use clap::{Arg, ArgMatches, Command};
use jiff::tz::TimeZone;

use self::words::Known;
use super::{near, terminal::Terminal};

/// The commands of all readings that have one.
pub fn commands() -> impl Iterator<Item = Command> {
    READINGS.iter().filter(|spec| !spec.group.is_empty()).map(|spec| command(spec))
}

/// Whether this is the name of a reading.
pub fn is_one(name: &str) -> bool {
    spec(name).is_some()
}

/// The command of a reading.
pub fn command(spec: &'static ReadingSpec) -> Command {
    let (more, examples) = told::help(spec.word);
    let mut command = Command::new(spec.word).about(spec.help);
    if !more.is_empty() {
        command = command.long_about(format!("{}.\n\n{more}", spec.help));
    }
    let examples: Vec<String> = examples.iter().map(|line| format!("  burrline {line}")).collect();
    command = command.after_help(format!("Examples:\n{}", examples.join("\n")));
    command = command.args(words::args(spec));
    if spec.when == When::AnyMoment { then(command) } else { command }
}

/// Adds the two questions: what was true then, and what did we know then.
pub fn then(command: Command) -> Command {
    command.args([
        Arg::new("as-of")
            .long("as-of")
            .value_name("TIME")
            .help("What was true at this time, counted to it; today's tag names the job"),
        Arg::new("as-known")
            .long("as-known")
            .value_name("RECORDS")
            .value_parser(clap::value_parser!(u64))
            .help("What was known by the first so many records, counted to when the last of them came"),
    ])
}

/// The moment that is asked about.
///
/// # Errors
/// [`Error::Usage`] if it is none.
pub fn as_of(bench: &Bench, matches: &ArgMatches) -> Result<Then, Error> {
    // By the shop's time, as a line is: a bench's own clock may stand anywhere.
    then_of(matches, bench.shop_now(&SystemClock.now())?, &bench.zone())
}

fn then_of(matches: &ArgMatches, now: Moment, zone: &TimeZone) -> Result<Then, Error> {
    let moment = matches.try_get_one::<String>("as-of").ok().flatten();
    let moment = moment.map(|word| when::said(word, now, zone)).transpose()?;
    let known = matches.try_get_one::<u64>("as-known").ok().flatten().copied();
    Ok(Then { of: moment, known })
}

/// What the words and options of a reading's command ask.
///
/// # Errors
/// [`Error::Usage`] or [`Error::Word`], which say what would be right.
pub fn asked(bench: &Bench, name: &str, matches: &ArgMatches) -> Result<(Asked, Then), Error> {
    let spec = spec(name)
        .ok_or_else(|| Error::Bug(format!("{name} is in the command line and nowhere else")))?;
    let now = bench.shop_now(&SystemClock.now())?;
    let known = Known { now, zone: bench.zone(), lexicon: bench.lexicon() };
    let asked =
        words::asked(spec, matches, &known).map_err(|error| near::explained(error, matches))?;
    Ok((asked, as_of(bench, matches)?))
}

/// A skull as it is typed.
///
/// # Errors
/// [`Error::Word`], which says what would be right.
pub fn skull(word: &str, matches: &ArgMatches) -> Result<Skull, Error> {
    Skull::read(word).map_err(|bad| near::explained(bad.into(), matches))
}

/// Runs the command of a reading.
///
/// # Errors
/// If a word is wrong, or neither the shop nor a copy of its log is there.
pub async fn run(
    name: &str,
    matches: &ArgMatches,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let bench = super::open(matches)?;
    let (asked, then) = asked(&bench, name, matches)?;
    show(&bench, asked, then, terminal).await
}

/// Reads, and shows what was read.
///
/// # Errors
/// If neither the shop nor a copy of its log is there.
pub async fn show(
    bench: &Bench,
    asked: Asked,
    then: Then,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let Reading { answer, how_old } = bench.ask_for(asked, then, &SystemClock).await?;
    let look = terminal.look(bench.zone());
    terminal.page(&told::page(&answer, &look)?);
    terminal.behind(&told::behind(&answer, &look));
    told(bench, how_old, terminal).await;
    Ok(Ending::Done)
}

/// Tells how old a reading is if the copy answered, and what happened meanwhile if not.
pub async fn told(bench: &Bench, how_old: Option<String>, terminal: &Terminal) {
    match how_old {
        Some(how_old) => terminal.tell(&how_old),
        None => bench.in_touch(&SystemClock).await.iter().for_each(|line| terminal.tell(line)),
    }
}

/// The lines that a person reads of a reading that is typed as one line, by the shop alone.
///
/// # Errors
/// If a word is wrong, or the shop does not answer.
pub async fn lines(bench: &Bench, words: &[String], look: &Look) -> Result<Vec<String>, Error> {
    let spec = words.first().and_then(|word| spec(word));
    let spec =
        spec.ok_or_else(|| Error::usage("that is no reading; see `burrline help look-up`"))?;
    let matches = command(spec)
        .try_get_matches_from(words)
        .map_err(|error| Error::usage(error.to_string().trim_end().to_owned()))?;
    let known = Known { now: look.now, zone: look.zone.clone(), lexicon: bench.lexicon() };
    let asked = words::asked(spec, &matches, &known)?;
    let then = then_of(&matches, look.now, &look.zone)?;
    let Reading { answer, .. } = bench.ask_for(asked, then, &SystemClock).await?;
    Ok(told::page(&answer, look)?.text)
}
