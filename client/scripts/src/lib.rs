//! Scripts as an owner tries them before they are used, and explains a price afterwards: one file a
//! command. What it finds goes to whatever shows it.
//!
//! * [`local`]: a script in a file, and failures with their line shown
//! * `fresh`, `check`, `attempt`, `compare`, `history`: before a script is used; `svg`: a drawing
//! * [`numbers`]: those that an owner sets
//! * [`explain`](mod@explain): why a price was what it was
//! * `bar`: how far something has come

#![cfg_attr(
    test,
    allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")
)]

mod advice;
mod attempt;
mod bar;
mod check;
mod compare;
mod explain;
mod fresh;
mod history;
pub mod local;
pub mod numbers;
mod svg;

use burrline_bench::{Ending, Error};
use burrline_screen::Shows;
use clap::{Arg, ArgMatches, Command};

pub use check::{before_install, replaced};
pub use explain::{explain, with_explain};

/// The commands.
pub fn commands() -> [Command; 6] {
    [
        fresh::command(),
        check::command(),
        attempt::command(),
        history::command(),
        compare::command(),
        numbers::command(),
    ]
}

/// Runs one of the commands; none if it is not one of them.
///
/// # Errors
/// If a file cannot be read, or the shop is out of reach.
pub async fn run(
    name: &str,
    matches: &ArgMatches,
    shows: &impl Shows,
) -> Result<Option<Ending>, Error> {
    match name {
        "new" => fresh::run(matches, shows),
        "check" => check::run(matches, shows),
        "try" => attempt::run(matches, shows).await,
        "backtest" => history::run(matches, shows).await,
        "diff" => compare::run(matches, shows).await,
        "numbers" => numbers::run(matches, shows).await,
        _ => return Ok(None),
    }
    .map(Some)
}

/// The file that a command is about.
pub fn file() -> Arg {
    Arg::new("file").value_name("FILE").required(true).help("The script")
}

/// What a script is for, where its functions do not say it.
pub fn kind() -> Arg {
    Arg::new("kind")
        .long("kind")
        .value_name("KIND")
        .value_parser(["pricing", "stages"])
        .help("What it is for [default: pricing if it has `fn price`, else stages]")
}

fn text(matches: &ArgMatches, id: &str) -> Option<String> {
    matches.try_get_one::<String>(id).ok().flatten().cloned()
}
