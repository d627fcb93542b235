//! Price and stage scripts, as an owner writes, tries and uses them: one file a command.
//!
//! Before it is used, and why a price was what it was: `burrline_scripts`.
//!
//! * [`keep`]: install, activate, retire; `set`: another value for a number
//! * [`listed`]: which there are
//! * [`folder`]: all of them, written and installed as a whole

mod folder;
mod keep;
mod listed;

use std::io::IsTerminal as _;

use burrline_bench::{Bench, Ending, Error};
use burrline_domain::VerbSpec;
use burrline_host::{definitions, reference};
use burrline_screen::{Look, Page, Shows};
use clap::{Arg, ArgAction, ArgMatches, Command};
use jiff::tz::TimeZone;

use super::terminal::Terminal;

pub use burrline_scripts::with_explain;

/// The command.
pub fn command() -> Command {
    Command::new("script")
        .about("Write, try and use price and stage scripts")
        .long_about(
            "Write, try and use price and stage scripts. Begin with `new`, look at it with `check` \
             and `try`, see what it would have changed with `backtest`, and put it to use with \
             `install --activate`. `numbers` lists the prices and limits that `set` changes. `reference` prints all that a script can read and call.",
        )
        .after_help(
            "Examples:\n  burrline script new house.rhai --kind pricing\n  \
             burrline script check house.rhai\n  burrline script try house.rhai --job 0417\n  \
             burrline script install house.rhai --activate",
        )
        .subcommand_required(true)
        .arg_required_else_help(true)
        .subcommands(burrline_scripts::commands())
        .subcommands(keep::commands())
        .subcommands(folder::commands())
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
    if let Some(ending) = burrline_scripts::run(name, matches, &Here { terminal, matches }).await? {
        return Ok(ending);
    }
    match name {
        "install" => keep::install(matches, terminal).await,
        "export" => folder::export(matches, terminal).await,
        "import" => folder::import(matches, terminal).await,
        "set" => keep::set(matches, terminal).await,
        "activate" => keep::activate(matches, terminal).await,
        "shadow" => keep::shadow(matches, terminal).await,
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

/// Explains the last price that the customer heard.
///
/// # Errors
/// If there is none, or the shop is out of reach.
pub async fn explain(
    spec: &'static VerbSpec,
    matches: &ArgMatches,
    terminal: &Terminal,
) -> Result<Ending, Error> {
    burrline_scripts::explain(spec, matches, &Here { terminal, matches }).await
}

/// The terminal, with the bench that the options name.
struct Here<'a> {
    terminal: &'a Terminal,
    matches: &'a ArgMatches,
}

impl Shows for Here<'_> {
    fn page(&self, page: &Page) {
        self.terminal.page(page);
    }

    fn tell(&self, words: &str) {
        self.terminal.tell(words);
    }

    fn look(&self, zone: TimeZone) -> Look {
        self.terminal.look(zone)
    }

    fn is_watched(&self) -> bool {
        !self.matches.get_flag("json") && std::io::stderr().is_terminal()
    }

    fn bench(&self) -> Result<Bench, Error> {
        super::open(self.matches)
    }
}

fn text(matches: &ArgMatches, id: &str) -> Option<String> {
    matches.try_get_one::<String>(id).ok().flatten().cloned()
}
