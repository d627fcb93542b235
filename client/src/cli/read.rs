//! Readings: they change nothing.

use burrline_proto::{
    Wire as _,
    v1::{self, follow_response::What},
};
use burrline_terms::Typed as _;
use burrline_terms::{Name, Skull, Span};
use clap::{Arg, ArgAction, ArgMatches, Command};
use rust_decimal::prelude::ToPrimitive as _;
use tokio_stream::StreamExt as _;

use super::{near, terminal::Terminal};
use crate::{
    Bench, Ending, Error,
    bench::{
        alone::{Alone, Then},
        contact::Reading,
    },
    clock::{Clock as _, SystemClock},
    line::when,
    render::{self, Page},
};

/// While `follow` catches up, it notes where it stands this often.
const NOTED_EVERY: u64 = 64;

/// The commands of the readings.
pub fn commands() -> [Command; 8] {
    let skull = || Arg::new("skull").value_name("TAG").required(true).help("A tag or a job number");
    [
        Command::new("find")
            .about("Find jobs and customers by words")
            .long_about(
                "Find jobs and customers by words: by the tag that it wears or wore, its job number or \
                 ticket, kill tag, permit or seal, species, place, why it is held, how it left, and words \
                 of notes, damage, condition and disputes. Each result says what it was found by. Jobs \
                 that have left come last. Customers are found by name, by the last digits of their \
                 telephone, and at a counter by licence.",
            )
            .after_help(
                "Examples:\n  burrline find 0417\n  burrline find whitetail tub-1\n  burrline find \
                 88-1203\n  burrline find \"brass plate\"",
            )
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
        Command::new("stock")
            .about("List what is in stock, and what the waters cost")
            .long_about(
                "List what is in stock by stuff and strength, the oldest lot first, and what each \
                 water cost.\n\nThe oldest lot is used first. What was booked in less what went \
                 into water since is what is there; a count ends the sum before it.",
            )
            .after_help(
                "Examples:\n  burrline receive-stock peroxide=20L@12% --cost 80.00 --lot A7\n  \
                 burrline count-stock peroxide=14L@12%\n  burrline stock",
            ),
        Command::new("follow")
            .about("Show records as they come")
            .long_about(
                "Show records as they come. Where it stands is noted in the bench folder, so that the \
                 next one goes on from there: after a line that was cut too, and after a kill, when \
                 the last few may be shown once more and none is left out. As it ends it says the \
                 position to go on from.",
            )
            .after_help(
                "Examples:\n  burrline follow\n  burrline follow --from 0 --once --json\n  \
                 burrline follow --mark board --json | board",
            )
            .arg(
                Arg::new("mark")
                    .long("mark")
                    .value_name("NAME")
                    .conflicts_with("from")
                    .help("Note where it stands under this name, apart from others [default: none]"),
            )
            .arg(
                Arg::new("from")
                    .long("from")
                    .value_name("POSITION")
                    .value_parser(clap::value_parser!(u64))
                    .help("First position to show [default: what was not shown here yet]"),
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
    let reading = page(name, &bench, matches, terminal).await?;
    tell(&bench, reading, terminal).await;
    Ok(Ending::Done)
}

/// Shows what was read: how old it is if the copy answered, and what happened meanwhile if not.
pub(super) async fn tell(bench: &Bench, reading: Reading<Page>, terminal: &mut Terminal) {
    let Reading { answer, how_old } = reading;
    terminal.page(&answer);
    match how_old {
        Some(how_old) => terminal.tell(&how_old),
        None => bench.in_touch(&SystemClock).await.iter().for_each(|line| terminal.tell(line)),
    }
}

async fn page(
    name: &str,
    bench: &Bench,
    matches: &ArgMatches,
    terminal: &Terminal,
) -> Result<Reading<Page>, Error> {
    let (shop, look) = (bench.connection(), terminal.look(bench.zone()));
    let now = Then::default();
    match name {
        "find" => {
            let words = matches.get_many::<String>("words").into_iter().flatten();
            let words = words.map(String::as_str).collect::<Vec<_>>().join(" ");
            let life = bench.life();
            let asked = shop.find(v1::FindRequest { words: words.clone(), life });
            let by_copy = |alone: &Alone| Ok(alone.find(&words, life));
            let found = bench.read(asked, &SystemClock, now, by_copy).await?;
            Ok(found.map(|found| render::lines::found(&found, &look)))
        }
        "show" => {
            let (then, skull) = (as_of(bench, matches)?, skull(matches)?);
            let (as_of_ms, as_known) = then.on_wire();
            let request = v1::ShowRequest { skull: Some(skull.clone()), as_of_ms, as_known };
            let asked = async {
                let job = shop.show(request).await?.job;
                job.ok_or_else(|| Error::Nonsense("no job was shown".into()))
            };
            let by_copy = |alone: &Alone| alone.show(&skull);
            let job = bench.read(asked, &SystemClock, then, by_copy).await?;
            Ok(job.map(|job| render::job::show(&job, &look)))
        }
        "trail" => {
            let (then, skull) = (as_of(bench, matches)?, skull(matches)?);
            let (as_of_ms, as_known) = then.on_wire();
            let request = v1::TrailRequest { skull: Some(skull.clone()), as_of_ms, as_known };
            let by_copy = |alone: &Alone| alone.trail_of(&skull);
            let trail = bench.read(shop.trail(request), &SystemClock, then, by_copy).await?;
            Ok(trail.map(|trail| render::job::trail(&trail, &look)))
        }
        "floor" => {
            let then = as_of(bench, matches)?;
            let (as_of_ms, as_known) = then.on_wire();
            let place = matches.get_one::<String>("place").cloned().unwrap_or_default();
            let asked = shop.floor(v1::FloorRequest { as_of_ms, as_known, place: place.clone() });
            let by_copy = |alone: &Alone| Ok(alone.floor(&place));
            let floor = bench.read(asked, &SystemClock, then, by_copy).await?;
            Ok(floor.map(|floor| render::lines::floor(&floor, &look)))
        }
        "due" => {
            let within = matches.get_one::<String>("within").map_or("1d", String::as_str);
            let minutes = Span::read(within)?.minutes().to_i64().unwrap_or(i64::MAX);
            let until = look.now.plus(minutes.saturating_mul(60_000));
            let asked = async { Ok(shop.due(v1::DueRequest { until_ms: until.0 }).await?.lines) };
            let by_copy = |alone: &Alone| Ok(alone.due(until));
            let lines = bench.read(asked, &SystemClock, now, by_copy).await?;
            Ok(lines.map(|lines| render::lines::due(&v1::DueResponse { lines }, &look)))
        }
        "clashes" => {
            let asked = async { Ok(shop.clashes(v1::ClashesRequest {}).await?.lines) };
            let by_copy = |alone: &Alone| Ok(alone.clashes());
            let lines = bench.read(asked, &SystemClock, now, by_copy).await?;
            Ok(lines.map(|lines| render::lines::clashes(&lines, &look)))
        }
        "stock" => {
            let asked = shop.stock(v1::StockRequest {});
            let by_copy = |alone: &Alone| Ok(alone.stock());
            let stock = bench.read(asked, &SystemClock, now, by_copy).await?;
            Ok(stock.map(|stock| render::stock::stock(&stock, &look)))
        }
        other => Err(Error::Bug(format!("{other} is in the command line and nowhere else"))),
    }
}

/// Shows records as they come, until the shop or the hand ends it; the next one goes on from there.
async fn follow(bench: &Bench, matches: &ArgMatches, terminal: &Terminal) -> Result<Ending, Error> {
    let mark = matches.get_one::<String>("mark");
    let mark =
        mark.map(|mark| Name::read(mark).map(|mark| format!("followed-{mark}"))).transpose()?;
    let mark = mark.unwrap_or_else(|| "followed".to_owned());
    let mut position = match matches.get_one::<u64>("from") {
        Some(from) => *from,
        None => bench.folder().number(&mark),
    };
    let ended = follow_from(&mut position, bench, matches, terminal, &mark).await;
    bench.folder().keep_number(&mark, position)?;
    if !matches.get_flag("once") {
        terminal.tell(&format!("shown up to here; `burrline follow --from {position}` goes on"));
    }
    ended
}

/// Shows records from a position on, which moves along.
async fn follow_from(
    position: &mut u64,
    bench: &Bench,
    matches: &ArgMatches,
    terminal: &Terminal,
    mark: &str,
) -> Result<Ending, Error> {
    let stop_when_caught_up = matches.get_flag("once");
    let look = terminal.look(bench.zone());
    let request = v1::FollowRequest { from: *position, stop_when_caught_up, for_copy: false };
    let mut caught_up = false;
    let mut stream = std::pin::pin!(bench.connection().follow(request).await?);
    while let Some(next) = stream.next().await {
        let next = next?;
        if let Some(line) = &next.line {
            let text = render::job::trail_line(line, &look);
            if !terminal
                .page_is_read(&Page { text, json: vec![render::job::trail_json(line, &look)] })
            {
                // Whoever read this has gone, and has not seen it.
                return Ok(Ending::Done);
            }
        }
        match next.what {
            // Many come at once while it catches up; then each is noted as it is shown.
            Some(What::Record(record)) => {
                *position = record.position.saturating_add(1);
                if caught_up || position.checked_rem(NOTED_EVERY) == Some(0) {
                    bench.folder().keep_text(mark, &position.to_string())?;
                }
            }
            Some(What::CaughtUp(_)) => {
                caught_up = true;
                bench.folder().keep_text(mark, &position.to_string())?;
            }
            Some(What::RecordBytes(_) | What::LeafHash(_)) | None => {}
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

pub(super) fn as_of(bench: &Bench, matches: &ArgMatches) -> Result<Then, Error> {
    let (now, zone) = (SystemClock.now().wall, bench.zone());
    let moment = matches.get_one::<String>("as-of").map(|word| when::said(word, now, &zone));
    Ok(Then { of: moment.transpose()?, known: matches.get_one::<u64>("as-known").copied() })
}

pub(super) fn skull(matches: &ArgMatches) -> Result<v1::Skull, Error> {
    let word = matches.get_one::<String>("skull").map_or("", String::as_str);
    let skull = Skull::read(word).map_err(|bad| near::explained(bad.into(), matches))?;
    Ok(skull.to_item())
}
