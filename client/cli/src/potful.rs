//! `next tomorrow`: what to take out of the freezer; with a place it is a reading like any other.

use burrline_bench::{Ending, Error, alone::Then};
use burrline_present::readings::TakeOut;
use clap::{Arg, ArgMatches, Command};

use super::{reading, terminal::Terminal};

/// In place of a place: what to take out of the freezer.
const TOMORROW: &str = "tomorrow";

/// Adds how many potfuls.
pub fn with_tomorrow(command: Command) -> Command {
    command.arg(
        Arg::new("potfuls")
            .long("potfuls")
            .value_name("COUNT")
            .value_parser(clap::value_parser!(u32).range(1..=6))
            .help("For tomorrow: how many potfuls each pot makes in the day [default: 1]"),
    )
}

/// Runs it.
///
/// # Errors
/// If the shop is out of reach and the bench has no copy, or there is no such place.
pub async fn run(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    if reading::words::bare_words(matches) != [TOMORROW] {
        return reading::run("next", matches, terminal).await;
    }
    let bench = super::open(matches)?;
    let potfuls = matches.get_one::<u32>("potfuls").copied();
    reading::show(&bench, TakeOut { potfuls }.into(), Then::default(), terminal).await
}
