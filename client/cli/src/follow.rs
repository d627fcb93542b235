//! `burrline follow`: records as they come.

use burrline_bench::{Bench, Ending, Error};
use burrline_proto::v1::{self, follow_response::What};
use burrline_screen as render;
use burrline_screen::Page;
use burrline_terms::{Name, Typed as _};
use clap::{Arg, ArgAction, ArgMatches, Command};
use tokio_stream::StreamExt as _;

use super::terminal::Terminal;

/// While `follow` catches up, it notes where it stands this often.
const NOTED_EVERY: u64 = 64;

/// The command.
pub fn command() -> Command {
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
            )
}

/// Shows records as they come, until the shop or the hand ends it; the next one goes on from there.
///
/// # Errors
/// If the shop is out of reach, or where it stands cannot be noted.
pub async fn run(matches: &ArgMatches, terminal: &Terminal) -> Result<Ending, Error> {
    let bench = super::open(matches)?;
    let mark = matches.get_one::<String>("mark");
    let mark =
        mark.map(|mark| Name::read(mark).map(|mark| format!("followed-{mark}"))).transpose()?;
    let mark = mark.unwrap_or_else(|| "followed".to_owned());
    let mut position = match matches.get_one::<u64>("from") {
        Some(from) => *from,
        None => bench.folder().number(&mark),
    };
    let ended = follow_from(&mut position, &bench, matches, terminal, &mark).await;
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
            let json = vec![render::json::object(line)];
            if !terminal.page_is_read(&Page { text, json }) {
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
