//! Every verb: say it, and show what became of it.

use burrline_bench::{Bench, Ending, Error, clock::SystemClock};
use burrline_domain::VerbSpec;
use burrline_line as line;
use burrline_line::Utterance;
use burrline_screen as render;
use burrline_talk::saying;
use clap::{Arg, ArgMatches, Command};

use super::{clear, near, terminal::Terminal};

/// Says the verb that was matched.
///
/// # Errors
/// As [`Bench::utter`].
pub async fn run(
    spec: &'static VerbSpec,
    matches: &ArgMatches,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let mut bench = super::open(matches)?;
    bench.for_a_hand();
    let utterance = clear::utterance(&bench, spec, matches, terminal)
        .await
        .map_err(|error| day_from_trails(spec, near::explained(error, matches)))
        .map_err(|error| with_example(spec, error))?;
    // What waited for weeks may go out first.
    terminal.watch(&mut bench);
    utter(&bench, utterance, terminal).await
}

/// The command that a line without a verb at its front becomes: `422 ok, 417 nose cracked`.
pub fn lines_command() -> Command {
    Command::new(line::LINES)
        .hide(true)
        .about("Say what is so of each tag: 422 ok, 417 nose cracked, 426 clean")
        .arg(Arg::new("words").num_args(1..).trailing_var_arg(true).allow_hyphen_values(true))
}

/// Says lines that begin with a tag.
///
/// # Errors
/// As [`Bench::utter`].
pub async fn lines(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let words: Vec<String> =
        matches.get_many::<String>("words").into_iter().flatten().cloned().collect();
    let mut bench = super::open(matches)?;
    bench.for_a_hand();
    let utterance = bench.read_line(&words, &SystemClock, &mut terminal.hand()).await?;
    utter(&bench, utterance, terminal).await
}

/// A word that is missing: the line as it could be.
fn with_example(spec: &'static VerbSpec, error: Error) -> Error {
    match (&error, line::example::lines(spec).first()) {
        (Error::Word(bad), Some(example)) if bad.word.is_empty() => {
            Error::usage(format!("{}: {error}, as in `{example}`", spec.word))
        }
        (_, _) => error,
    }
}

/// A promise without a day: where one can be had.
fn day_from_trails(spec: &VerbSpec, error: Error) -> Error {
    if let Error::Word(bad) = &error
        && (spec.word, bad.what.as_str(), bad.word.as_str()) == ("promise", "by", "")
    {
        return Error::usage(format!(
            "{error}; `burrline ready-by TAG` names one by what the shop's own jobs took"
        ));
    }
    error
}

/// Says a line at this terminal.
///
/// # Errors
/// As [`Bench::utter`].
pub async fn utter(
    bench: &Bench,
    utterance: Utterance,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let Some(said) = saying::utter(bench, utterance, &mut terminal.hand()).await? else {
        return Ok(Ending::Refused);
    };
    terminal.shown(&render::said::said(&said, &terminal.look(bench.zone())));
    bench.shown()?;
    for line in saying::afterwards(bench, &said).await {
        terminal.tell(&line);
    }
    Ok(said.ending())
}
