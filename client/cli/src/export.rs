//! `burrline export`: the shop's story in open forms.

use std::path::Path;

use burrline_bench::{Clock as _, Ending, Error, SystemClock, alone::Then};
use burrline_paper::export::{calendar, jobs, journal, lines, ocel};
use burrline_proto::v1;
use burrline_screen::Page;
use clap::{Arg, ArgMatches, Command, builder::PossibleValuesParser};

use super::terminal::Terminal;
use crate::of_paper;

/// The command.
pub fn command() -> Command {
    Command::new("export")
        .about("Write the shop's story in an open form, for other tools")
        .long_about(
            "Write the shop's story in an open form, for other tools, from this bench's own copy.\n\n  \
             ocel      OCEL 2.0 JSON: an object-centric event log, for process mining\n  \
             lines     JSON lines: a record each, as `trail --json` has them\n  \
             calendar  iCalendar: promised days, and what is due within 60 days\n  \
             jobs      CSV: a row a job\n  \
             journal   the books: a plain-text accounting journal, in hledger's syntax\n  \
             postings  the books: CSV, a row a posting\n\nDetails of people are sealed and are in none of them.",
        )
        .after_help("Examples:\n  burrline export ocel --out season.json\n  burrline export calendar --out shop.ics\n  burrline export jobs > jobs.csv\n  burrline export journal --out books.journal")
        .arg(
            Arg::new("what")
                .value_name("WHAT")
                .required(true)
                .value_parser(PossibleValuesParser::new(["ocel", "lines", "calendar", "jobs", "journal", "postings"]))
                .help("The form"),
        )
        .arg(Arg::new("out").long("out").value_name("FILE").help("Where to [default: standard output]"))
}

/// Writes an export.
///
/// # Errors
/// If the bench has no copy, or the file cannot be written.
pub async fn run(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let bench = super::open(matches)?;
    match bench.catch_up(&SystemClock, None).await {
        Ok(_) | Err(Error::Away { .. }) => {}
        Err(error) => return Err(error),
    }
    let alone = bench.alone(&SystemClock, Then::default())?.ok_or_else(|| {
        Error::Refused("this bench has no copy of the shop's log yet; run `burrline sync`".into())
    })?;
    let state = alone.state();
    let what = matches.get_one::<String>("what").map_or("", String::as_str);
    let text = match what {
        "ocel" => format!("{:#}\n", ocel::ocel(state)),
        "calendar" => calendar::calendar(state, SystemClock.now().wall),
        "jobs" => jobs::jobs(state).map_err(of_paper)?,
        "journal" => journal::journal(state),
        "postings" => journal::postings(state).map_err(of_paper)?,
        _ => {
            let look = terminal.look(bench.zone());
            let lines = lines::lines(state, &look.zone);
            let lines: Vec<String> = lines.iter().map(ToString::to_string).collect();
            lines.join("\n") + "\n"
        }
    };
    // Who exported is on the shop's log as far as the shop is in reach; nothing waits for that.
    let said = v1::ExportedRequest { life: bench.life() };
    match bench.connection().exported(said).await {
        Ok(_) | Err(Error::Away { .. } | Error::Refused(_)) => {}
        Err(error) => return Err(error),
    }
    terminal.tell(&alone.how_old());
    if let Some(out) = matches.get_one::<String>("out") {
        let out = Path::new(out);
        std::fs::write(out, &text).map_err(|e| Error::file(out, e))?;
        terminal.tell(&format!("written: {}", out.display()));
    } else {
        let text = text.lines().map(str::to_owned).collect();
        terminal.page(&Page { text, json: Vec::new() });
    }
    Ok(Ending::Done)
}
