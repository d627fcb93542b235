//! `compare` and `dates`: a job's papers.

use burrline_present::view;
use burrline_proto::{Wire as _, v1};
use burrline_terms::Skull;
use burrline_terms::Typed as _;
use clap::{Arg, ArgMatches, Command};

use super::{read, terminal::Terminal};
use crate::{
    Bench, Ending, Error,
    bench::alone::{Alone, Then},
    clock::{Clock as _, SystemClock},
    line::when,
    render::papers,
};

/// The commands of a job's papers.
pub fn commands() -> [Command; 2] {
    let skull = || Arg::new("skull").value_name("TAG").required(true).help("A tag or a job number");
    [
        Command::new("compare")
            .about("Compare a skull at intake and after work, or two jobs, or two moments")
            .long_about(
                "With a tag alone: Compare what was measured at intake with what was measured after work, pair by \
                 pair, and say whether it can be the same skull. Measure the same names twice: \
                 spread, beam-r, beam-l, g1-r, g1-l, h1-r, h1-l and so on, in inches and eighths \
                 (sixteenths for skulls without antlers). With enough of them the rack is scored.\n\nWith two \
                 tags: the two jobs side by side, step, times, waters, heat, money and what their \
                 records answer; only what differs. With --as-of: two moments of one job, or of \
                 `floor`; --and names the second, which is now if it is not said.",
            )
            .after_help(
                "Examples:\n  burrline measure 0417 beam-r 21 7/8\n  burrline compare 0417\n  \
                 burrline compare 3-41-7 --json\n  burrline compare 0417 0418\n  \
                 burrline compare 0417 --as-of 2026-11-24T08:00 --and 2026-11-25T08:00\n  \
                 burrline compare floor --as-of 08:00",
            )
            .arg(skull())
            .arg(Arg::new("other").value_name("TAG").help("The job to lay beside it"))
            .args([
                Arg::new("as-of")
                    .long("as-of")
                    .value_name("TIME")
                    .help("The first moment: what was true at this time"),
                Arg::new("and").long("and").value_name("TIME").help("The second moment [default: now]"),
                Arg::new("as-known")
                    .long("as-known")
                    .value_name("RECORDS")
                    .value_parser(clap::value_parser!(u64))
                    .help("The first side by the first so many records alone"),
            ]),
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
    if name == "compare" && beside(matches) {
        return sides(&bench, matches, terminal).await;
    }
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

/// Whether two things are to be laid beside each other, rather than a skull held against itself.
fn beside(matches: &ArgMatches) -> bool {
    let floor = matches.get_one::<String>("skull").is_some_and(|word| word == FLOOR);
    floor || ["other", "as-of", "and", "as-known"].iter().any(|arg| matches.contains_id(arg))
}

/// The word for all places, where a tag could stand.
const FLOOR: &str = "floor";

/// Two jobs, or two moments.
async fn sides(
    bench: &Bench,
    matches: &ArgMatches,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let word = |arg: &str| matches.get_one::<String>(arg).map(String::as_str);
    let first = read::as_of(bench, matches)?;
    let second = match word("and") {
        Some(and) => {
            let (now, zone) = (SystemClock.now().wall, bench.zone());
            Then { of: Some(when::said(and, now, &zone)?), known: None }
        }
        // Two jobs are laid beside each other at one moment.
        None if matches.contains_id("other") => first,
        None => Then::default(),
    };
    let one = match word("skull") {
        Some(FLOOR) => None,
        Some(_) | None => Some(read::skull(matches)?),
    };
    let other = match word("other") {
        Some(other) => Some(Skull::read(other)?.to_item()),
        None => one.clone(),
    };
    if one == other && first == second {
        return Err(Error::usage(
            "compare: with what? Say a second tag, or a moment with --as-of, as in `burrline compare \
             0417 0418` or `burrline compare floor --as-of 08:00`",
        ));
    }
    if one.is_none() != other.is_none() {
        return Err(Error::usage("compare: the floor can be compared with itself at another time"));
    }
    let side = |skull: &Option<v1::Skull>, then: Then| {
        let (as_of_ms, as_known) = then.on_wire();
        Some(v1::Side { skull: skull.clone(), as_of_ms, as_known })
    };
    let request = v1::SidesRequest { one: side(&one, first), other: side(&other, second) };
    let by_copy = |alone: &Alone| {
        let then = bench.alone(&SystemClock, second)?;
        let then = then.ok_or_else(|| Error::Refused("this bench has no copy yet".into()))?;
        Ok(view::sides::sides(alone.side(one.as_ref())?, then.side(other.as_ref())?))
    };
    let look = terminal.look(bench.zone());
    let asked = bench.connection().sides(request);
    let answer = bench.read(asked, &SystemClock, first, by_copy).await?;
    let moments =
        [word("as-of"), word("and").or(word("as-of").filter(|_| word("other").is_some()))];
    let reading = answer.map(|answer| papers::sides(&answer, moments, &look));
    read::tell(bench, reading, terminal).await;
    Ok(Ending::Done)
}
