//! The trade's arithmetic at the bench: no shop, no bench folder. One file a topic.
//!
//! * [`asked`]: what a question says, sorted by key words
//! * [`answer`]: the working as a page
//! * [`batch`]: many questions, one object a line
//! * [`figures`]: typed values as figures
//! * one file a topic, each with a `TOPIC` that is listed here

mod answer;
mod asked;
mod assay;
mod batch;
mod dilute;
mod drying;
mod error;
mod figures;
mod gas;
mod identity;
mod law;
mod middle;
mod mixes;
mod often;
mod pot;
mod queues;
mod ready;
mod strength;
mod till;

pub use error::Error;

use std::io::{self, BufRead};

use burrline_line as line;
use burrline_reckon::Working;
use burrline_screen::Page;
use clap::{Arg, ArgAction, ArgMatches, Command, builder::PossibleValuesParser};

use self::asked::Asked;

const WORDS: &str = "reckon-words";

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
    &identity::CHECK_DIGIT,
    &identity::CHECK_NUMBER,
    &identity::SCORE,
    &identity::SKULL_SCORE,
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
Reckons without a shop: prints the answer, the working step by step, what to be careful about and \
where the figures come from. Numbers carry their units as typed, apart or joined: 20 L, 20L, 5 gal, \
12 %, 35 % w/w, 40 vol, 60 F. A bare % of peroxide is grams in 100 mL (w/v).";

const AFTER: &str = "\
Examples:
  burrline reckon dilute 12% to 3% make 20L
  burrline reckon strength 40vol --json
  burrline reckon --batch questions.txt

A file for --batch has one question a line, without `burrline reckon`; - is standard input. The
answers are JSON, one object a line, in the order of the questions.

Exit status:
  0   reckoned
  2   typed wrong, or it cannot be: the message says what to type instead";

/// The command.
pub fn command() -> Command {
    Command::new("reckon")
        .about(ABOUT)
        .long_about(format!("{ABOUT}\n\n{MORE}"))
        .after_help(AFTER)
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

/// The file of questions that is named, if one is.
pub fn batch_file(matches: &ArgMatches) -> Option<&str> {
    matches.get_one::<String>("batch").map(String::as_str)
}

/// Answers a question.
///
/// # Errors
/// [`Error::Usage`] if it is typed wrong or cannot be.
pub fn answer(matches: &ArgMatches) -> Result<Page, Error> {
    let (topic, asked) = matched(matches)?;
    let working = (topic.run)(&asked)?;
    Ok(answer::page(topic.name, &asked, &working))
}

/// Answers many questions, one a line, as objects. Whether all were answered.
///
/// # Errors
/// If the lines cannot be read.
pub fn answer_all(lines: impl BufRead, show: &mut dyn FnMut(&Page)) -> io::Result<bool> {
    batch::run(lines, show)
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
            .arg(words);
        for choice in self.choices {
            let arg = Arg::new(choice.name).long(choice.name).help(choice.help);
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
    let options = topic.choices.iter().filter_map(option).collect();
    Ok((topic, Asked::new(topic.name, &words, options)))
}

fn bug(name: &str) -> Error {
    Error::Line(line::Error::Bug(format!("{name} is a topic without a file")))
}
