//! Readings of past trails: `ready-by`, `rates` and `load`.

use burrline_present::season;
use burrline_proto::{Wire as _, v1};
use burrline_terms::Skull;
use burrline_terms::Typed as _;
use clap::{Arg, ArgMatches, Command};

use super::terminal::Terminal;
use crate::{
    Bench, Ending, Error,
    bench::{
        alone::{Alone, Then},
        contact::Reading,
    },
    clock::SystemClock,
    render::{self, Page},
};

/// The commands.
pub fn commands() -> [Command; 3] {
    [
        Command::new("ready-by")
            .about("Say by when a job is ready, by what the shop's own jobs took")
            .long_about(
                "Say by when a job is ready, by what the shop's own jobs took.\n\nTakes the jobs \
                 that came to the same step and lasted as long as this one, of the same kind of \
                 animal; of all kinds where fewer than ten of the kind finished; and the owner's \
                 own table (`set-shop ready-days.KIND`) where that is still too few. Time on hold \
                 does not count, unless the hold's reason begins with \u{201c}ours\u{201d}. Nothing \
                 is said beyond the longest time that was seen.",
            )
            .after_help(
                "Examples:\n  burrline ready-by 0417\n  burrline ready-by 0417 --share 90\n  \
                 burrline promise 0417 2026-12-18",
            )
            .arg(Arg::new("skull").value_name("TAG").required(true).help("A tag or a job number"))
            .arg(
                Arg::new("share").long("share").value_name("PERCENT").help(
                    "For how many of 100 like it, 50 to 95 [default: the shop's, else 80]",
                ),
            ),
        Command::new("rates")
            .about("Say how often something goes wrong, by step and kind of animal")
            .long_about(
                "Say how often something goes wrong, by step and kind of animal.\n\nDamage counts \
                 once for each step that a skull went through, unless it came so; slower than \
                 planned when its stays in pots, tanks, tubs or racks took longer than the job's \
                 own plan; late by the first day that was promised, with time on hold put on top. \
                 Limits hold 19 times in 20, so of twenty lines one differs by chance alone. Few \
                 cases tell little, and the last column says so.",
            )
            .after_help("Examples:\n  burrline rates\n  burrline rates --json"),
        Command::new("load")
            .about("Say which place is full when, at next year's number of skulls")
            .long_about(
                "Say which place is full when, at next year's number of skulls.\n\nTakes the last \
                 52 weeks, times the number given. How many a place holds is a setting: \
                 `set-shop holds.pot-1 4`. For how many places to have, never for a customer's date.",
            )
            .after_help("Examples:\n  burrline load\n  burrline load --times 1.3")
            .arg(
                Arg::new("times")
                    .long("times")
                    .value_name("NUMBER")
                    .default_value("1")
                    .help("How many times last year's skulls are expected"),
            ),
    ]
}

/// Runs one of them.
///
/// # Errors
/// If the shop is out of reach and the bench has no copy, or a word is wrong.
pub async fn run(
    name: &str,
    matches: &ArgMatches,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let bench = super::open(matches)?;
    let Reading { answer, how_old } = page(name, &bench, matches, terminal).await?;
    terminal.page(&answer);
    match how_old {
        Some(how_old) => terminal.tell(&how_old),
        None => bench.in_touch(&SystemClock).await.iter().for_each(|line| terminal.tell(line)),
    }
    Ok(Ending::Done)
}

async fn page(
    name: &str,
    bench: &Bench,
    matches: &ArgMatches,
    terminal: &Terminal,
) -> Result<Reading<Page>, Error> {
    let (shop, look, now) = (bench.connection(), terminal.look(bench.zone()), Then::default());
    let text = |id: &str| matches.get_one::<String>(id).cloned().unwrap_or_default();
    match name {
        "ready-by" => {
            let (skull, share) = (Skull::read(&text("skull"))?.to_item(), text("share"));
            season::share(&share).map_err(Error::Usage)?;
            let asked = shop.ready_by(v1::ReadyByRequest {
                skull: Some(skull.clone()),
                share_percent: share.clone(),
            });
            let by_copy = |alone: &Alone| alone.ready_by(&skull, &share);
            let answer = bench.read(asked, &SystemClock, now, by_copy).await?;
            Ok(answer.map(|answer| render::season::ready_by(&answer, &look)))
        }
        "rates" => {
            let asked = shop.rates(v1::RatesRequest {});
            let by_copy = |alone: &Alone| Ok(alone.rates());
            let answer = bench.read(asked, &SystemClock, now, by_copy).await?;
            Ok(answer.map(|answer| render::season::rates(&answer, &look)))
        }
        "load" => {
            let times = text("times");
            season::times(&times).map_err(Error::Usage)?;
            let asked = shop.load(v1::LoadRequest { times: times.clone() });
            let by_copy = |alone: &Alone| alone.load(&times);
            let answer = bench.read(asked, &SystemClock, now, by_copy).await?;
            Ok(answer.map(|answer| render::season::load(&answer)))
        }
        other => Err(Error::Bug(format!("{other} is in the command line and nowhere else"))),
    }
}
