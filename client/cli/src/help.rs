//! `burrline help`: the first screen, a group of words, or one word.

use burrline_bench::{Ending, Error};
use burrline_line::{closed, near};
use burrline_present::readings::READINGS;
use burrline_screen::help;
use clap::{Arg, ArgMatches, Command};

use super::terminal::Terminal;

/// What holds for every command.
const OPTIONS: &str = "\
Everywhere:
  --bench DIR    the bench folder [default: ~/.local/share/burrline]
  --json         print what is read as one JSON object; see `help json`
  --color WHEN   auto, always or never

With every line:
  --at TIME        when it happened; or in front: at 10:40 am out 0417
  --hand NAME      who did it; sticks until changed
  --anyway REASON  do it although something is said against it
  --yes-done       a missing step was done and not recorded: record it first

Exit status: 0 done, 1 refused or left off, 2 typed wrong or not clear,
  3 the shop is out of reach (a fact is kept), 70 a fault of the program
Environment: BURRLINE_BENCH, BURRLINE_LOG (such as debug), NO_COLOR";

/// What `--json` prints, for who reads it with a program.
fn json() -> String {
    let readings: Vec<String> = READINGS
        .iter()
        .filter(|spec| !spec.group.is_empty())
        .map(|spec| format!("  {:<10} {}", spec.word, spec.answer))
        .collect();
    format!("{JSON}\n{}", readings.join("\n"))
}

const JSON: &str = "\
--json prints what a reading answers as one JSON object on one line: its message in the schema
(proto/burrline/v1), written as ProtoJSON says, the standard JSON form of Protocol Buffers.

  Names     as in the schema, in lowerCamelCase: since_ms is sinceMs
  Numbers   of 64 bits are strings; so are amounts, which are decimals and never rounded
  Moments   end in Ms: milliseconds since 1970-01-01 00:00 UTC, such as \"1764423000000\"
  Entries   {\"life\":3,\"n\":\"41\"} is 3:41
  Words     of closed lists by their name in the schema: PLACE_KIND_POT
  Bytes     in Base64
  Unset     a message or an optional field that is not set is left out; all others are there

A field may be added; none is renamed and none changes its meaning. `follow --json` prints one TrailLine
a line. What a line of work became, and what was written to a file, is printed in a form of its own.

The readings, and the message that each answers:";

/// The command.
pub fn command() -> Command {
    Command::new("help").about("Tell of a group of words, or of one word").arg(
        Arg::new("word").value_name("WORD").help("A group such as pots, or a word such as wash"),
    )
}

/// Shows it.
///
/// # Errors
/// [`Error::Usage`] if there is no such word.
pub fn run(matches: &ArgMatches, terminal: &Terminal) -> Result<Ending, Error> {
    let before = if terminal.is_prompt() { "" } else { "burrline " };
    let word = matches.get_one::<String>("word").map_or("", String::as_str);
    let mut commands = super::command();
    let text = match (word, help::group(word)) {
        ("", _) => help::screen(before),
        ("options", _) => OPTIONS.to_owned(),
        ("json", _) => json(),
        (_, Some(group)) => help::of_group(group, &commands, before),
        (_, None) => match commands.find_subcommand_mut(word) {
            Some(command) => {
                let mut command = command.clone().bin_name(format!("burrline {word}"));
                command.render_long_help().to_string()
            }
            None => return Err(unknown(word, &commands)),
        },
    };
    terminal.lines(&text);
    Ok(Ending::Done)
}

fn unknown(word: &str, commands: &Command) -> Error {
    if let Some(verb) = closed::synonym(word) {
        return Error::usage(format!(
            "{word} is another word for {verb}; see `burrline help {verb}`"
        ));
    }
    let words = commands.get_subcommands().filter(|c| !c.is_hide_set()).map(Command::get_name);
    let groups = help::GROUPS.iter().map(|group| group.name);
    let meant = near::did_you_mean(word, words.chain(groups));
    let names: Vec<String> = help::GROUPS.iter().map(|group| group.name.to_owned()).collect();
    Error::usage(format!(
        "help: there is no word \u{201c}{word}\u{201d}{meant}; the groups are {}",
        burrline_line::words::and(&names)
    ))
}
