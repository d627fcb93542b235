//! `burrline page`: the bench as a page in the browser.

use std::process::{Command as Program, Stdio};

use burrline_bench::{Ending, Error};
use burrline_page::{Page, open};
use clap::{Arg, ArgAction, ArgMatches, Command, value_parser};

use super::terminal::Terminal;

/// The command.
pub fn command() -> Command {
    Command::new("page")
        .about("Open this bench as a page in the browser")
        .long_about(
            "Open this bench as a page in the browser: the yard, the counter, the desk and the wall, with \
             large keys. It says the same lines and asks the same questions as here, and goes on by this \
             bench's own copy with the shop out of reach.\n\nThe page is served on this machine alone. Its \
             address opens once, for ten minutes; whoever opened it stays until they leave, or for twelve \
             hours after the last thing they did. The port is kept in the bench folder and found again. \
             Where a page of this bench runs already, another address for it is made. Ctrl-C ends it.",
        )
        .after_help("Examples:\n  burrline page\n  burrline page --wall\n  burrline page --no-open --port 7480")
        .args([
            Arg::new("no-open")
                .long("no-open")
                .action(ArgAction::SetTrue)
                .help("Only print the address"),
            Arg::new("wall").long("wall").action(ArgAction::SetTrue).help("Open the wall"),
            Arg::new("port")
                .long("port")
                .value_name("PORT")
                .value_parser(value_parser!(u16).range(1..))
                .help("The port [default: the one of before, else one that is free]"),
        ])
}

/// Serves the page until Ctrl-C.
///
/// # Errors
/// If the bench's folder is damaged, or the port is taken.
pub async fn run(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let folder = super::folder(matches)?;
    let to = if matches.get_flag("wall") { "?to=/wall" } else { "" };
    let page = open(&folder, matches.get_one::<u16>("port").copied()).await?;
    let here = match page {
        Page::Here(here) => here,
        Page::Runs(address) => {
            show(&format!("{address}{to}"), matches, terminal);
            return Ok(Ending::Done);
        }
    };
    show(&format!("{}{to}", here.address()?), matches, terminal);
    let stop = async {
        // Without signals it goes on until it is ended otherwise.
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
    };
    here.serve(stop).await?;
    Ok(Ending::Done)
}

/// Prints the address, and opens it where that is wanted.
fn show(address: &str, matches: &ArgMatches, terminal: &Terminal) {
    terminal.say(address);
    if matches.get_flag("no-open") {
        return;
    }
    let opened = Program::new("xdg-open")
        .arg(address)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn();
    if opened.is_err() {
        terminal
            .tell("no browser could be opened from here; open the address in one on this machine");
    }
}
