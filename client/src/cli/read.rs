//! Readings: they change nothing.

use burrline_domain::{Skull, Span, Typed as _};
use burrline_proto::{Wire as _, v1};
use clap::{Arg, ArgAction, ArgMatches, Command};
use rust_decimal::prelude::ToPrimitive as _;
use tokio_stream::StreamExt as _;

use super::terminal::Terminal;
use crate::{
    Bench, Ending, Error,
    clock::{Clock as _, SystemClock},
    line::when,
    render::{self, Page},
};

/// The commands of the readings.
pub fn commands() -> [Command; 7] {
    let skull = || Arg::new("skull").value_name("TAG").required(true).help("A tag or a job number");
    [
        Command::new("find")
            .about("Find jobs and customers by words")
            .after_help("Examples:\n  burrline find 0417\n  burrline find whitetail tub-1")
            .arg(Arg::new("words").num_args(1..).required(true).help("All of them must be found")),
        then(Command::new("show"))
            .about("Show all that is known of a job")
            .after_help(
                "Examples:\n  burrline show 0417\n  burrline show 0417 --as-of 2026-11-24T17:00",
            )
            .arg(skull()),
        then(Command::new("trail"))
            .about("Show everything that was said of a job, in order of happening")
            .after_help("Examples:\n  burrline trail 0417\n  burrline trail 3-41-7 --as-known 1200")
            .arg(skull()),
        then(Command::new("floor"))
            .about("Show every place and what is in it")
            .after_help("Examples:\n  burrline floor\n  burrline floor tub-1 --as-of 10:40")
            .arg(Arg::new("place").value_name("PLACE").help("One place alone")),
        Command::new("due")
            .about("List what is due")
            .after_help("Examples:\n  burrline due\n  burrline due --within 7d")
            .arg(
                Arg::new("within")
                    .long("within")
                    .value_name("SPAN")
                    .default_value("1d")
                    .help("How far to look ahead: 90min, 8h, 2d"),
            ),
        Command::new("clashes")
            .about("List what does not fit")
            .after_help("Examples:\n  burrline clashes"),
        Command::new("follow")
            .about("Show records as they come")
            .after_help("Examples:\n  burrline follow\n  burrline follow --from 0 --once --json")
            .arg(
                Arg::new("from")
                    .long("from")
                    .value_name("POSITION")
                    .value_parser(clap::value_parser!(u64))
                    .help("First position to show [default: what this bench has not seen]"),
            )
            .arg(
                Arg::new("once")
                    .long("once")
                    .action(ArgAction::SetTrue)
                    .help("End when everything has been shown"),
            ),
    ]
}

/// Runs a reading.
///
/// # Errors
/// If the shop is out of reach, or a word is wrong.
pub async fn run(
    name: &str,
    matches: &ArgMatches,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let bench = super::open(matches)?;
    if name == "follow" {
        return follow(&bench, matches, terminal).await;
    }
    terminal.page(&page(name, &bench, matches, terminal).await?);
    Ok(Ending::Done)
}

async fn page(
    name: &str,
    bench: &Bench,
    matches: &ArgMatches,
    terminal: &Terminal,
) -> Result<Page, Error> {
    let (shop, look) = (bench.connection(), terminal.look(bench.zone()));
    match name {
        "find" => {
            let words = matches.get_many::<String>("words").into_iter().flatten();
            let words = words.map(String::as_str).collect::<Vec<_>>().join(" ");
            Ok(render::lines::found(&shop.find(v1::FindRequest { words }).await?, &look))
        }
        "show" => {
            let (as_of_ms, as_known) = as_of(bench, matches)?;
            let request = v1::ShowRequest { skull: Some(skull(matches)?), as_of_ms, as_known };
            let job = shop.show(request).await?.job;
            let job = job.ok_or_else(|| Error::Nonsense("no job was shown".into()))?;
            Ok(render::job::show(&job, &look))
        }
        "trail" => {
            let (as_of_ms, as_known) = as_of(bench, matches)?;
            let request = v1::TrailRequest { skull: Some(skull(matches)?), as_of_ms, as_known };
            Ok(render::job::trail(&shop.trail(request).await?.lines, &look))
        }
        "floor" => {
            let (as_of_ms, as_known) = as_of(bench, matches)?;
            let place = matches.get_one::<String>("place").cloned().unwrap_or_default();
            let request = v1::FloorRequest { as_of_ms, as_known, place };
            Ok(render::lines::floor(&shop.floor(request).await?, &look))
        }
        "due" => {
            let within = matches.get_one::<String>("within").map_or("1d", String::as_str);
            let minutes = Span::read(within)?.minutes().to_i64().unwrap_or(i64::MAX);
            let until_ms = look.now.plus(minutes.saturating_mul(60_000)).0;
            Ok(render::lines::due(&shop.due(v1::DueRequest { until_ms }).await?, &look))
        }
        "clashes" => {
            let lines = shop.clashes(v1::ClashesRequest {}).await?.lines;
            Ok(render::lines::clashes(&lines, &look))
        }
        other => Err(Error::Bug(format!("{other} is in the command line and nowhere else"))),
    }
}

/// Shows records as they come, until the shop or the hand ends it.
async fn follow(bench: &Bench, matches: &ArgMatches, terminal: &Terminal) -> Result<Ending, Error> {
    let from = match matches.get_one::<u64>("from") {
        Some(from) => *from,
        None => bench.folder().number("seen")?,
    };
    let stop_when_caught_up = matches.get_flag("once");
    let look = terminal.look(bench.zone());
    let request = v1::FollowRequest { from, stop_when_caught_up };
    let mut stream = std::pin::pin!(bench.connection().follow(request).await?);
    while let Some(next) = stream.next().await {
        let next = next?;
        if let Some(line) = &next.line {
            let text = render::job::trail_line(line, &look);
            terminal.page(&Page { text, json: vec![render::job::trail_json(line, &look)] });
        }
        if let Some(v1::follow_response::What::CaughtUp(mark)) = next.what {
            bench.folder().keep_text("seen", &mark.records.to_string())?;
        }
    }
    Ok(Ending::Done)
}

/// Adds the two questions: what was true then, and what did we know then.
fn then(command: Command) -> Command {
    command.args([
        Arg::new("as-of").long("as-of").value_name("TIME").help("What was true at this time"),
        Arg::new("as-known")
            .long("as-known")
            .value_name("RECORDS")
            .value_parser(clap::value_parser!(u64))
            .help("What was known by the first so many records"),
    ])
}

fn as_of(bench: &Bench, matches: &ArgMatches) -> Result<(Option<i64>, Option<u64>), Error> {
    let (now, zone) = (SystemClock.now().wall, bench.zone());
    let moment = matches.get_one::<String>("as-of").map(|word| when::said(word, now, &zone));
    Ok((moment.transpose()?.map(|moment| moment.0), matches.get_one::<u64>("as-known").copied()))
}

fn skull(matches: &ArgMatches) -> Result<v1::Skull, Error> {
    let word = matches.get_one::<String>("skull").map_or("", String::as_str);
    Ok(Skull::read(word)?.to_item())
}
