//! `burrline sheet`: paper for the yard.
//!
//! * [`codes`]: words that a scanner types

pub mod codes;

use clap::{ArgMatches, Command};

use super::terminal::Terminal;
use crate::{Ending, Error};

/// The command.
pub fn command() -> Command {
    Command::new("sheet")
        .about("Make a sheet of paper for the yard")
        .after_help("Examples:\n  burrline sheet codes --out codes.html")
        .subcommand_required(true)
        .arg_required_else_help(true)
        .subcommand(codes::command())
}

/// Makes a sheet.
///
/// # Errors
/// If the bench has not joined, or the page cannot be written.
pub async fn run(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    match matches.subcommand() {
        Some(("codes", matches)) => codes::run(matches, terminal).await,
        Some((other, _)) => Err(Error::Bug(format!("{other} is in the command line alone"))),
        None => Err(Error::usage("which sheet? As in `burrline sheet codes`")),
    }
}
