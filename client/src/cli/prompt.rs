//! The standing prompt: a line at a time, as on the command line but without `burrline` before it.

use std::io::{self, IsTerminal as _, Write as _};

use clap::{ArgMatches, Command};

use super::terminal::Terminal;
use crate::{Ending, Error, line};

/// The command.
pub fn command() -> Command {
    Command::new("prompt")
        .about("Take lines from standard input, one after the other")
        .long_about(
            "Take lines from standard input, one after the other. A line is what would follow \
             `burrline`; an empty one is passed over, and `quit` ends. The exit status is that of \
             the worst line.",
        )
        .after_help("Examples:\n  burrline prompt\n  burrline prompt < morning.txt")
}

/// Takes lines until there are no more.
///
/// # Errors
/// If standard input cannot be read; a line that goes wrong is told, and the next one is taken.
pub async fn run(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let mut worst = Ending::Done;
    loop {
        if io::stdin().is_terminal() {
            let mut out = io::stderr();
            let _ = write!(out, "burrline> ").and_then(|()| out.flush());
        }
        let mut typed = String::new();
        let read = io::stdin().read_line(&mut typed);
        let read = read.map_err(|e| Error::file(std::path::Path::new("standard input"), e))?;
        if read == 0 || typed.trim() == "quit" {
            return Ok(worst);
        }
        if typed.trim().is_empty() {
            continue;
        }
        let ending = match one(&typed, matches, terminal).await {
            Ok(ending) => ending,
            Err(error) => {
                terminal.tell(&format!("{}: {error}", typed.trim()));
                error.ending()
            }
        };
        worst = worst.max(ending);
    }
}

async fn one(typed: &str, outer: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let words = line::split(typed)?;
    if words.first().is_some_and(|word| word == "prompt") {
        return Err(Error::usage("this is the prompt"));
    }
    let bench = super::folder(outer)?.display().to_string();
    let program = ["burrline".to_owned(), "--bench".to_owned(), bench];
    let args = program.into_iter().chain(super::arranged_words(&words));
    match super::command().try_get_matches_from(args) {
        // The future of a line holds the prompt's own, as far as its type goes.
        Ok(matches) => Box::pin(super::dispatch(&matches, terminal)).await,
        Err(error) if error.use_stderr() => Err(Error::usage(error.to_string().trim().to_owned())),
        Err(help) => {
            let _ = help.print();
            Ok(Ending::Done)
        }
    }
}
