//! A new life for this bench.

use burrline_bench::{Bench, Ending, Error, SystemClock};
use burrline_screen::Page;
use clap::{Arg, ArgMatches, Command};
use serde_json::json;

use super::terminal::Terminal;

/// The command.
pub fn command() -> Command {
    Command::new("rejoin")
        .about("Join the shop anew with this bench's folder, and lose nothing")
        .long_about(
            "Join the shop anew with this bench's folder, and lose nothing. For a bench that was put \
             back from an old copy or copied to two machines, so that the shop takes nothing more \
             under its old enrollment, one that was retired, or one whose key is gone. What the shop does \
             not have is said again, marked with the name that it had; what another bench may have \
             said already is listed.",
        )
        .after_help(
            "Examples:\n  burrline rejoin --code CODE\n  burrline rejoin --code CODE --name yard-3",
        )
        .args([
            Arg::new("code")
                .long("code")
                .value_name("CODE")
                .required(true)
                .help("The join code of the shop"),
            Arg::new("name")
                .long("name")
                .value_name("NAME")
                .help("What the bench is called from now on [default: its name and -life2]"),
        ])
}

/// Rejoins.
///
/// # Errors
/// If the shop is out of reach, or it refuses the code.
pub async fn run(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let text = |id: &str| matches.get_one::<String>(id).map(String::as_str);
    let dir = super::folder(matches)?;
    let code = text("code").unwrap_or_default();
    let (_, new) = Bench::rejoin(&dir, code, text("name"), &SystemClock).await?;
    let mut page = Page {
        text: vec![format!(
            "{} has a new enrollment, {}: {} said again",
            new.name, new.life, new.again
        )],
        json: vec![json!({ "bench": new.name, "life": new.life, "again": new.again })],
    };
    for double in &new.doubles {
        page.text.push(format!(
            "said twice? {}  [{}], as [{}] before; if it was done once: burrline strike {}",
            double.line, double.again, double.first, double.again
        ));
        page.json.push(json!({
            "line": double.line, "again": double.again.to_string(),
            "first": double.first.to_string(),
        }));
    }
    terminal.page(&page);
    Ok(Ending::Done)
}
