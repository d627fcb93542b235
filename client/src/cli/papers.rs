//! `compare` and `dates`: a job's papers.

use burrline_proto::v1;
use clap::{Arg, ArgMatches, Command};

use super::{read, terminal::Terminal};
use crate::{
    Ending, Error,
    bench::alone::{Alone, Then},
    clock::SystemClock,
    render::papers,
};

/// The commands of a job's papers.
pub fn commands() -> [Command; 2] {
    let skull = || Arg::new("skull").value_name("TAG").required(true).help("A tag or a job number");
    [
        Command::new("compare")
            .about("Compare what was measured at intake with what was measured after work")
            .long_about(
                "Compare what was measured at intake with what was measured after work, pair by \
                 pair, and say whether it can be the same skull. Measure the same names twice: \
                 spread, beam-r, beam-l, g1-r, g1-l, h1-r, h1-l and so on, in inches and eighths \
                 (sixteenths for skulls without antlers). With enough of them the rack is scored.",
            )
            .after_help(
                "Examples:\n  burrline measure 0417 beam-r 21 7/8\n  burrline compare 0417\n  \
                 burrline compare 3-41-7 --json",
            )
            .arg(skull()),
        Command::new("dates")
            .about("List the dates and papers that the law sets for a job, or say to ask")
            .long_about(
                "List the dates and papers that the law sets for a job: how long records are kept, \
                 when unclaimed work may go, which papers a found head or one from a disease area \
                 needs. Rows are dated readings of texts; the shop writes its own over them, and \
                 where there is none the answer is to ask. Never legal advice.",
            )
            .after_help(
                "Examples:\n  burrline dates 0417\n  burrline set-shop state VA\n  burrline \
                 set-shop law.va.records '3 years after returned; 4VAC15-290-80, read 2026-11-01'",
            )
            .arg(skull()),
    ]
}

/// Runs one of them.
///
/// # Errors
/// If there is no such job, or neither the shop nor a copy of its log is there.
pub async fn run(
    name: &str,
    matches: &ArgMatches,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let bench = super::open(matches)?;
    let (shop, look) = (bench.connection(), terminal.look(bench.zone()));
    let skull = read::skull(matches)?;
    let (now, asked) = (Then::default(), Some(skull.clone()));
    let reading = if name == "compare" {
        let asked = shop.compare(v1::CompareRequest { skull: asked });
        let by_copy = |alone: &Alone| alone.compare(&skull);
        let answer = bench.read(asked, &SystemClock, now, by_copy).await?;
        answer.map(|answer| papers::compare(&answer, &look))
    } else {
        let asked = shop.dates(v1::DatesRequest { skull: asked });
        let by_copy = |alone: &Alone| alone.dates(&skull);
        let answer = bench.read(asked, &SystemClock, now, by_copy).await?;
        answer.map(|answer| papers::dates(&answer, &look))
    };
    read::tell(&bench, reading, terminal).await;
    Ok(Ending::Done)
}
