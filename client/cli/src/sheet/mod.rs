//! `burrline sheet`: paper for the yard.
//!
//! * [`codes`]: words that a scanner types
//! * [`tags`]: labels for tags and bags
//! * [`place`]: what is at a place, with boxes to write in
//! * [`enter`]: what was written in them

pub mod codes;
pub mod enter;
pub mod place;
pub mod tags;

use burrline_bench::{Ending, Error};
use clap::{Arg, ArgMatches, Command};

use super::terminal::Terminal;

/// The command.
pub fn command() -> Command {
    Command::new("sheet")
        .about("Make a sheet of paper for the yard")
        .long_about(
            "Make a sheet of paper for the yard: of a place, with what is there and boxes for times, \
             looks and readings; of the words that a scanner reads; or of labels for tags. `sheet enter` asks for what was \
             written.",
        )
        .after_help(
            "Examples:\n  burrline sheet pot-2 --out pot-2.html\n  burrline sheet enter pot-2\n  \
             burrline sheet codes --out codes.html\n  burrline sheet tags 0417..0440 --out tags.html",
        )
        .args_conflicts_with_subcommands(true)
        .arg(Arg::new("place").value_name("PLACE").help("The place of the sheet"))
        .arg(Arg::new("out").long("out").value_name("FILE").help("Write the page to this file"))
        .arg_required_else_help(true)
        .subcommands([codes::command(), tags::command(), enter::command()])
}

/// Makes a sheet.
///
/// # Errors
/// If the bench has not joined, or the page cannot be written.
pub async fn run(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    match matches.subcommand() {
        Some(("codes", matches)) => codes::run(matches, terminal).await,
        Some(("tags", matches)) => tags::run(matches, terminal),
        Some(("enter", matches)) => enter::run(matches, terminal).await,
        Some((other, _)) => Err(Error::Bug(format!("{other} is in the command line alone"))),
        None => match matches.get_one::<String>("place").cloned() {
            Some(name) => place::run(&name, matches, terminal).await,
            None => Err(Error::usage("which sheet? As in `burrline sheet pot-2`")),
        },
    }
}
