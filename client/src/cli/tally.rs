//! `burrline tally`: March's questions.

use std::path::Path;

use burrline_present::tally::{self, Asked, By, What};
use burrline_proto::v1;
use burrline_terms::words::Role;
use clap::{Arg, ArgAction, ArgMatches, Command};

use super::terminal::Terminal;
use crate::{
    Bench, Ending, Error,
    bench::{
        alone::{Alone, Then},
        contact::Reading,
    },
    clock::SystemClock,
    render::{self, tally as page},
};

/// The command.
pub fn command() -> Command {
    let whats: Vec<String> =
        What::ALL.iter().map(|(_, word, about)| format!("  {word:<13}{about}")).collect();
    let bys: Vec<&str> = By::ALL.iter().map(|(_, word)| *word).collect();
    Command::new("tally")
        .about("Count the past by a word of the trail, with limits")
        .long_about(format!(
            "Count the past by a word of the trail, with limits.\n\nWHAT is one of\n{}\n\nWHICH is one \
             of {}; left out, all are taken together.\n\nA tally shows what went together, not what \
             came of what. It says how many it leaves out, how many say nothing, and \u{201c}cannot \
             tell\u{201d} where few were counted. Hands are compared for the owner alone, and only \
             when asked for with --by-hand.",
            whats.join("\n"),
            bys.join(", ")
        ))
        .after_help(
            "Examples:\n  burrline tally nose-damage by nose\n  burrline tally days by kind --season \
             2025\n  burrline tally earned by species --csv earned.csv\n  burrline tally skull-days\n  \
             burrline tally damage by hand --by-hand",
        )
        .arg(
            Arg::new("words")
                .value_name("WHAT [by WHICH]")
                .num_args(1..=3)
                .required(true)
                .help("What is counted, and by what"),
        )
        .arg(
            Arg::new("season")
                .long("season")
                .value_name("YEAR")
                .value_parser(clap::value_parser!(u16).range(1..=9_999))
                .help("Only heads of the season that began in this year [default: all]"),
        )
        .arg(
            Arg::new("csv")
                .long("csv")
                .value_name("FILE")
                .help("Write the table to a file, for a spreadsheet; - is standard output"),
        )
        .arg(
            Arg::new("by-hand")
                .long("by-hand")
                .action(ArgAction::SetTrue)
                .help("Yes, compare hands; at an owner's bench only"),
        )
}

/// Runs it.
///
/// # Errors
/// If a word is wrong, or the shop is out of reach and the bench has no copy.
pub async fn run(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let words: Vec<&str> =
        matches.get_many::<String>("words").into_iter().flatten().map(String::as_str).collect();
    let (what, by) = match words.as_slice() {
        [what] => (*what, ""),
        [what, "by", by] | [what, by] if *by != "by" => (*what, *by),
        _ => return Err(Error::usage("say it like `burrline tally nose-damage by nose`")),
    };
    let season = matches.get_one::<u16>("season").map_or(0, |year| i32::from(*year));
    let asked = Asked::read(what, by, season).map_err(Error::Usage)?;
    asked.goes_together().map_err(Error::Usage)?;
    let bench = super::open(matches)?;
    let Reading { answer, how_old } = if asked.by == By::Hand {
        by_hand(&bench, asked, matches.get_flag("by-hand"))?
    } else {
        answer(&bench, asked).await?
    };
    match matches.get_one::<String>("csv").map(String::as_str) {
        Some("-") => terminal.page(&page::csv(&answer)?),
        Some(out) => {
            let text = page::csv(&answer)?.text.join("\n") + "\n";
            let out = Path::new(out);
            std::fs::write(out, text).map_err(|error| Error::file(out, error))?;
            terminal.tell(&format!("written: {}", out.display()));
            answer.notes.iter().for_each(|note| terminal.tell(note));
        }
        None => terminal.page(&render::tally::tally(&answer, &terminal.look(bench.zone()))),
    }
    match how_old {
        Some(how_old) => terminal.tell(&how_old),
        None => bench.in_touch(&SystemClock).await.iter().for_each(|line| terminal.tell(line)),
    }
    Ok(Ending::Done)
}

async fn answer(bench: &Bench, asked: Asked) -> Result<Reading<v1::TallyResponse>, Error> {
    let request = v1::TallyRequest {
        what: asked.what.word().to_owned(),
        by: asked.by.word().to_owned(),
        season: asked.season.map_or(0, i32::from),
    };
    let by_copy = |alone: &Alone| counted(alone, asked);
    bench.read(bench.connection().tally(request), &SystemClock, Then::default(), by_copy).await
}

fn counted(alone: &Alone, asked: Asked) -> Result<v1::TallyResponse, Error> {
    tally::tally(alone.state(), asked, alone.now()).map_err(Error::Usage)
}

/// Hands are compared at an owner's bench alone, and only when asked for by name.
fn by_hand(bench: &Bench, asked: Asked, wanted: bool) -> Result<Reading<v1::TallyResponse>, Error> {
    if !wanted {
        return Err(Error::Refused(
            "a count by hand is soon read as a judgement on somebody, and who gets the hard heads has \
             more go wrong; if you are the owner and want it all the same, add --by-hand"
                .to_owned(),
        ));
    }
    let alone = bench.alone(&SystemClock, Then::default())?.ok_or_else(|| {
        Error::Refused("this bench has no copy of the shop's log yet; run `burrline sync`".into())
    })?;
    let own = alone.state().shop().benches.get(&bench.life());
    if own.is_none_or(|own| own.role != Role::Owner) {
        return Err(Error::Refused(
            "hands are compared at an owner's bench alone; ask the owner".to_owned(),
        ));
    }
    Ok(Reading { answer: counted(&alone, asked)?, how_old: Some(alone.how_old()) })
}
