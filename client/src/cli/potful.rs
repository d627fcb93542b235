//! `next`: what goes into a place next, and what to take out of the freezer.

use burrline_proto::v1;
use clap::{Arg, ArgMatches, Command};

use super::{read, terminal::Terminal};
use crate::{
    Ending, Error,
    bench::alone::{Alone, Then},
    clock::SystemClock,
    render,
};

/// In place of a place: what to take out of the freezer.
const TOMORROW: &str = "tomorrow";

/// The command.
pub fn command() -> Command {
    Command::new("next")
        .about("Put the next potful of a place together, or say what to thaw for tomorrow")
        .long_about(
            "Put the next potful of a pot, tub, tank or rack together, as if it were empty, with \
             the reason for each head, and say who is left out and why. Nothing is recorded.\n\n\
             Second goes come first, then by the day on which a job has to go on to keep its \
             promise, then by how long it has been thawed. Young goes with young, bear and hog \
             apart, rotten last and alone. How many fit goes by `set-shop holds.pot-1 6` and by the \
             place's volume. What is on hold, in dispute or waits for papers or a disease test is \
             left out; the shop's own rules are asked about the rest.\n\n\
             `next tomorrow` says what to take out of the freezer now; how long a kind thaws is \
             set by `set-shop thaw-hours.deer 24`.",
        )
        .after_help(
            "Examples:\n  burrline next pot-1\n  burrline next tomorrow\n  burrline next tomorrow \
             --potfuls 2",
        )
        .args([
            Arg::new("place")
                .value_name("PLACE")
                .required(true)
                .help("A pot, tub, tank or rack; or the word tomorrow"),
            Arg::new("potfuls")
                .long("potfuls")
                .value_name("COUNT")
                .default_value("1")
                .value_parser(clap::value_parser!(u32).range(1..=6))
                .help("For tomorrow: how many potfuls each pot makes in the day"),
        ])
}

/// Runs it.
///
/// # Errors
/// If the shop is out of reach and the bench has no copy, or there is no such place.
pub async fn run(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let bench = super::open(matches)?;
    let (shop, look, now) = (bench.connection(), terminal.look(bench.zone()), Then::default());
    let place = matches.get_one::<String>("place").cloned().unwrap_or_default();
    let page = if place == TOMORROW {
        let potfuls = matches.get_one::<u32>("potfuls").copied().unwrap_or(1);
        let asked = shop.take_out(v1::TakeOutRequest { potfuls });
        let by_copy = |alone: &Alone| alone.take_out(potfuls);
        let answer = bench.read(asked, &SystemClock, now, by_copy).await?;
        answer.map(|answer| render::potful::take_out(&answer, &look))
    } else {
        let asked = shop.next(v1::NextRequest { place: place.clone() });
        let by_copy = |alone: &Alone| alone.next(&place);
        let answer = bench.read(asked, &SystemClock, now, by_copy).await?;
        answer.map(|answer| render::potful::next(&answer, &look))
    };
    read::tell(&bench, page, terminal).await;
    Ok(Ending::Done)
}
