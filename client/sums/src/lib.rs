//! The trade's arithmetic at the bench: no shop, no bench folder. One file a topic.
//!
//! * [`asked`]: what a question says, sorted by key words
//! * [`answer`](mod@answer): the working as a page
//! * [`batch`]: many questions, one object a line
//! * [`list`](mod@list): the topics by what they are for
//! * [`figures`]: typed values as figures
//! * [`here`]: where and when a question is put
//! * [`when`]: days as they are typed
//! * one file a topic, each with a `TOPIC` that is listed here

mod answer;
mod asked;
mod assay;
mod batch;
mod dilute;
mod drying;
mod error;
mod figures;
mod fuel;
mod gas;
mod here;
mod identity;
mod law;
mod list;
mod middle;
mod mixes;
mod often;
mod pot;
mod queues;
mod ready;
mod room;
mod strength;
mod till;
mod when;

pub use error::Error;
pub use here::Here;
pub use list::list;

use std::io::{self, BufRead};

use burrline_line as line;
use burrline_reckon::{
    Caution, Working,
    shown::{Shown, in_units},
};
use burrline_screen::Page;
use clap::{Arg, ArgAction, ArgMatches, Command, builder::PossibleValuesParser};

use self::asked::Asked;

const WORDS: &str = "reckon-words";
const UNITS: &str = "units";

/// A topic: its help and what answers it.
struct Topic {
    /// The word it is asked by.
    name: &'static str,
    /// One line of help, imperative, without a full stop.
    about: &'static str,
    /// What it takes and what it does with it, in sentences.
    more: &'static str,
    /// What follows `burrline reckon` in each example.
    examples: &'static [&'static str],
    /// Options with a fixed choice.
    choices: &'static [Choice],
    /// Answers it.
    run: fn(&Asked) -> Result<Working, Error>,
}

/// An option of a topic; the first value is the default.
struct Choice {
    name: &'static str,
    help: &'static str,
    values: &'static [&'static str],
}

/// Every topic, in the order of the help.
static TOPICS: &[&Topic] = &[
    &strength::STRENGTH,
    &strength::CLASS,
    &dilute::DILUTE,
    &dilute::TOP_UP,
    &dilute::BLEND,
    &assay::ASSAY,
    &assay::STRIP,
    &mixes::MIX,
    &gas::GAS,
    &gas::KEEP,
    &gas::AIR,
    &pot::BOILS,
    &pot::HEAT,
    &pot::BURNER,
    &pot::BOIL_OFF,
    &fuel::FUEL,
    &fuel::WARM,
    &room::ROOM,
    &room::THAW,
    &room::DEGREASE,
    &room::ADDITIVE,
    &identity::CHECK_DIGIT,
    &identity::CHECK_NUMBER,
    &identity::SCORE,
    &identity::SKULL_SCORE,
    &identity::HORN_SCORE,
    &identity::COMPARE,
    &till::TAX,
    &till::ROUND,
    &till::SPLIT,
    &till::CASH,
    &till::STORAGE,
    &law::LAW,
    &drying::DRY,
    &drying::RACK,
    &drying::MEASURING,
    &ready::READY,
    &often::HOW_OFTEN,
    &middle::MEDIAN,
    &queues::IN_HAND,
    &queues::PLACES,
];

const ABOUT: &str = "Reckon: the trade's arithmetic, with its working";

const MORE: &str = "\
Prints the answer and what to be careful about. --more adds the working, step by
step, and where the figures come from. Numbers carry their units as typed, apart
or joined: 20 L, 20L, 5 gal, 1 1/2 gal, 12 %, 12 percent, 35 % w/w, 40 vol,
60 F. The answer is in the shop's units (--units us or metric), with the other
in brackets. A bare % of peroxide is grams in 100 mL (w/v).";

const AFTER: &str = "\
Examples:
  burrline reckon dilute 12% to 3% make 20L
  burrline reckon strength 40vol --json
  burrline reckon --batch questions.txt

A file for --batch has one question a line, without `burrline reckon`; - is
standard input. The answers are JSON, one object a line, in the order of the
questions.

Exit status:
  0   reckoned
  2   typed wrong, or it cannot be: the message says what to type instead";

/// The command.
pub fn command() -> Command {
    Command::new("reckon")
        .about(ABOUT)
        .long_about(format!("{ABOUT}\n\n{MORE}"))
        .override_help(format!("{ABOUT}\n\n{MORE}\n\n{}\n\n{AFTER}", list(false)))
        .arg(
            Arg::new("all")
                .long("all")
                .action(ArgAction::SetTrue)
                .help("List every topic, those that a shop hardly uses too"),
        )
        .subcommand_required(false)
        .arg_required_else_help(true)
        .args_conflicts_with_subcommands(true)
        .arg(
            Arg::new("batch")
                .long("batch")
                .value_name("FILE")
                .help("Answer every line of a file, as JSON; - is standard input"),
        )
        .subcommands(TOPICS.iter().map(|topic| topic.command()))
}

/// Whether the list of every topic is asked for.
pub fn wants_all(matches: &ArgMatches) -> bool {
    matches.get_flag("all")
}

/// Whether it asks for what the shop's own degreasing took: no batch is typed.
pub fn wants_own_batches(matches: &ArgMatches) -> bool {
    matched(matches).is_ok_and(|(topic, asked)| room::lacks_batches(topic.name, &asked))
}

/// The file of questions that is named, if one is.
pub fn batch_file(matches: &ArgMatches) -> Option<&str> {
    matches.get_one::<String>("batch").map(String::as_str)
}

/// Answers a question where and when it is put; with batches of the shop's own, as they would be typed,
/// where [`wants_own_batches`]. Beside the page stands the rest: the working and its sources.
///
/// # Errors
/// [`Error::Usage`] if it is typed wrong or cannot be.
pub fn answer(
    matches: &ArgMatches,
    here: &Here,
    own_batches: &[String],
) -> Result<(Page, Vec<String>), Error> {
    let (topic, asked) = matched(matches)?;
    let mut asked = asked.led_by(own_batches);
    let working = worked(topic, &mut asked, here)?;
    Ok((answer::page(topic.name, &asked, &working), answer::behind(&working)))
}

/// The answer to a question, or why there is none, in the units in force.
fn worked(topic: &Topic, asked: &mut Asked, here: &Here) -> Result<Working, Error> {
    let shown = in_force(asked, here.us);
    asked.put(here.clone(), shown == Shown::Us);
    let asked = &*asked;
    let mut working = (topic.run)(asked).map_err(|error| error.in_units(shown))?;
    working.answer = in_units(&working.answer, shown);
    for Caution(words) in &mut working.cautions {
        *words = in_units(words, shown);
    }
    // A step is keyed into a calculator, so its own figures go first.
    let beside = if shown == Shown::Metric { Shown::Metric } else { Shown::MetricThenUs };
    for step in &mut working.steps {
        step.sum = in_units(&step.sum, beside);
    }
    Ok(working)
}

/// The units in force: those that `--units` says, else the shop's, else those that were typed.
fn in_force(asked: &Asked, shop_is_us: Option<bool>) -> Shown {
    let typed = asked.typed_in_us();
    let us = match asked.option(UNITS) {
        "us" => true,
        "metric" => false,
        _ => shop_is_us.unwrap_or(typed),
    };
    match (us, typed) {
        (true, _) => Shown::Us,
        (false, true) => Shown::MetricThenUs,
        (false, false) => Shown::Metric,
    }
}

/// Answers many questions, one a line, as objects. Whether all were answered.
///
/// # Errors
/// If the lines cannot be read.
pub fn answer_all(
    lines: impl BufRead,
    here: &Here,
    show: &mut dyn FnMut(&Page),
) -> io::Result<bool> {
    batch::run(lines, here, show)
}

impl Topic {
    fn command(&self) -> Command {
        let examples: Vec<String> =
            self.examples.iter().map(|line| format!("  burrline reckon {line}")).collect();
        let words = Arg::new(WORDS).num_args(0..).value_name("WORD").help("Plain words and units");
        let mut command = Command::new(self.name)
            .about(self.about)
            .long_about(format!("{}\n\n{}", self.about, self.more))
            .after_help(format!("Examples:\n{}", examples.join("\n")))
            .arg(words)
            .arg(
                Arg::new(UNITS)
                    .long(UNITS)
                    .value_name("UNITS")
                    .value_parser(["us", "metric"])
                    .help("Answer in these units; else in the shop's, else as typed"),
            );
        for choice in self.choices {
            let arg = Arg::new(choice.name).long(choice.name).help(choice.help);
            // By which convention a chemist or a surveyor reckons is no choice of a shop.
            let arg = arg.hide(matches!(choice.name, "height" | "molar-volume"));
            let arg = arg.action(ArgAction::Set).default_value(choice.values.first().copied());
            let values = PossibleValuesParser::new(choice.values.iter().copied());
            command = command.arg(arg.value_parser(values));
        }
        command
    }
}

/// The topic and the question of a matched command.
fn matched(matches: &ArgMatches) -> Result<(&'static Topic, Asked), Error> {
    let Some((name, matches)) = matches.subcommand() else {
        return Err(Error::usage("reckon what? `burrline reckon --help` lists the topics"));
    };
    let topic = TOPICS.iter().find(|topic| topic.name == name).copied();
    let topic = topic.ok_or_else(|| bug(name))?;
    let words = matches.get_many::<String>(WORDS).into_iter().flatten();
    let words: Vec<String> = words.map(|word| line::command::unshield(word)).collect();
    let option = |choice: &Choice| {
        matches.get_one::<String>(choice.name).map(|value| (choice.name, value.clone()))
    };
    let units = matches.get_one::<String>(UNITS).map(|units| (UNITS, units.clone()));
    let options = topic.choices.iter().filter_map(option).chain(units).collect();
    Ok((topic, Asked::new(topic.name, &words, options)))
}

fn bug(name: &str) -> Error {
    Error::Line(line::Error::Bug(format!("{name} is a topic without a file")))
}
