//! Price and stage scripts, as an owner writes, tries and uses them: one file a command.
//!
//! * [`local`]: a script in a file, and failures with their line shown
//! * [`fresh`], [`check`], [`attempt`], [`compare`], [`history`](mod@history): before it is used
//! * [`keep`]: install, activate, retire
//! * [`listed`]: which there are
//! * [`explain`](mod@explain): why a price was what it was

mod attempt;
mod bar;
mod check;
mod compare;
mod explain;
mod fresh;
mod history;
mod keep;
mod listed;
mod local;
mod svg;

use burrline_bench::{Ending, Error};
use burrline_host::{definitions, reference};
use burrline_screen::Page;
use clap::{Arg, ArgAction, ArgMatches, Command};

use super::terminal::Terminal;

pub use explain::{explain, with_explain};

/// The command.
pub fn command() -> Command {
    Command::new("script")
        .about("Write, try and use price and stage scripts")
        .long_about(
            "Write, try and use price and stage scripts. Begin with `new`, look at it with `check` \
             and `try`, see what it would have changed with `backtest`, and put it to use with \
             `install --activate`. `reference` prints all that a script can read and call.",
        )
        .after_help(
            "Examples:\n  burrline script new house.rhai --kind pricing\n  \
             burrline script check house.rhai\n  burrline script try house.rhai --job 0417\n  \
             burrline script install house.rhai --activate",
        )
        .subcommand_required(true)
        .arg_required_else_help(true)
        .subcommands([fresh::command(), check::command(), attempt::command()])
        .subcommands([history::command(), compare::command()])
        .subcommands(keep::commands())
        .subcommands(listed::commands())
        .subcommand(
            Command::new("reference")
                .about("Print all that a script can read and call")
                .after_help(
                    "Examples:\n  burrline script reference\n  \
                     burrline script reference --definitions > burrline.d.rhai",
                )
                .arg(
                    Arg::new("definitions")
                        .long("definitions")
                        .action(ArgAction::SetTrue)
                        .help("As a definition file for an editor"),
                ),
        )
}

/// Runs a command about scripts.
///
/// # Errors
/// If a file cannot be read, or the shop is out of reach or does not take what is sent.
pub async fn run(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let Some((name, matches)) = matches.subcommand() else {
        return Err(Error::usage("script: say what, such as `burrline script check FILE`"));
    };
    match name {
        "new" => fresh::run(matches, terminal),
        "check" => check::run(matches, terminal),
        "try" => attempt::run(matches, terminal).await,
        "backtest" => history::run(matches, terminal).await,
        "diff" => compare::run(matches, terminal).await,
        "install" => keep::install(matches, terminal).await,
        "activate" => keep::activate(matches, terminal).await,
        "retire" => keep::retire(matches, terminal).await,
        "list" => listed::list(matches, terminal).await,
        "history" => listed::history(matches, terminal).await,
        "show" => listed::show(matches, terminal).await,
        "reference" => {
            let text = if matches.get_flag("definitions") { definitions() } else { reference() };
            let json = vec![serde_json::json!({ "reference": text })];
            terminal.page(&Page { text: text.lines().map(str::to_owned).collect(), json });
            Ok(Ending::Done)
        }
        other => Err(Error::Bug(format!("script {other} is in the command line and nowhere else"))),
    }
}

/// The file that a command is about.
fn file() -> Arg {
    Arg::new("file").value_name("FILE").required(true).help("The script")
}

/// What a script is for, where its functions do not say it.
fn kind() -> Arg {
    Arg::new("kind")
        .long("kind")
        .value_name("KIND")
        .value_parser(["pricing", "stages"])
        .help("What it is for [default: pricing if it has `fn price`, else stages]")
}

fn text(matches: &ArgMatches, id: &str) -> Option<String> {
    matches.try_get_one::<String>(id).ok().flatten().cloned()
}
