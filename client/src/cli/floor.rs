//! Readings of the floor: `lock-up`, `strays` and `recipes`.

use burrline_proto::v1;
use clap::{Arg, ArgAction, ArgMatches, Command};

use super::{read, terminal::Terminal};
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
        Command::new("lock-up")
            .about("Say what is still lit, in hot water, in peroxide or loose before you go")
            .long_about(
                "Say what is still lit and since when, what lies in hot water and in peroxide, how \
                 long now and up to when the shop's own rules let it, which waters are to be changed \
                 before morning, what to take out of the freezer, and which strays nobody knows.\n\n\
                 Morning is the hour of `set-shop opens-at 8`. Nothing is recorded: it is a list to \
                 walk the yard with, not a proof that a flame is out.",
            )
            .after_help("Examples:\n  burrline lock-up\n  burrline lock-up --json"),
        Command::new("strays")
            .about("List the things without a tag, with whose they can be")
            .after_help(
                "Examples:\n  burrline stray \"small buck, 6 pt, chip on left\" --place rack-2\n  \
                 burrline strays\n  burrline identify 0417 --stray 2:7 --why \"chip on left\" \
                 --witness tom",
            )
            .arg(
                Arg::new("all")
                    .long("all")
                    .action(ArgAction::SetTrue)
                    .help("Those whose owner was told as well"),
            ),
        Command::new("recipes")
            .about("List the recipes, version by version, and the waters by each")
            .after_help(
                "Examples:\n  burrline recipe bear-soak --water 30L --add soap=1L --soak 3d\n  \
                 burrline recipes\n  burrline recipes bear-soak",
            )
            .arg(Arg::new("name").value_name("RECIPE").help("One recipe alone")),
    ]
}

/// Runs one of them.
///
/// # Errors
/// If the shop is out of reach and the bench has no copy, or there is no such recipe.
pub async fn run(
    name: &str,
    matches: &ArgMatches,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let bench = super::open(matches)?;
    let reading = page(name, &bench, matches, terminal).await?;
    read::tell(&bench, reading, terminal).await;
    Ok(Ending::Done)
}

async fn page(
    name: &str,
    bench: &Bench,
    matches: &ArgMatches,
    terminal: &Terminal,
) -> Result<Reading<Page>, Error> {
    let (shop, look, now) = (bench.connection(), terminal.look(bench.zone()), Then::default());
    match name {
        "lock-up" => {
            let asked = shop.lock_up(v1::LockUpRequest {});
            let by_copy = |alone: &Alone| Ok(alone.lock_up());
            let answer = bench.read(asked, &SystemClock, now, by_copy).await?;
            Ok(answer.map(|answer| render::floor::lock_up(&answer, &look)))
        }
        "strays" => {
            let all = matches.get_flag("all");
            let asked = shop.strays(v1::StraysRequest { all });
            let by_copy = |alone: &Alone| Ok(alone.strays(all));
            let answer = bench.read(asked, &SystemClock, now, by_copy).await?;
            Ok(answer.map(|answer| render::floor::strays(&answer, &look)))
        }
        "recipes" => {
            let name = matches.get_one::<String>("name").cloned().unwrap_or_default();
            let asked = shop.recipes(v1::RecipesRequest { name: name.clone() });
            let by_copy = |alone: &Alone| alone.recipes(&name);
            let answer = bench.read(asked, &SystemClock, now, by_copy).await?;
            Ok(answer.map(|answer| render::floor::recipes(&answer, &look)))
        }
        other => Err(Error::Bug(format!("{other} is in the command line and nowhere else"))),
    }
}
