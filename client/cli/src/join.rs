//! Enrolment of this bench at a shop.

use burrline_bench::{Bench, Ending, Error, SystemClock};
use burrline_screen::Page;
use burrline_terms::{Typed as _, words::Role};
use clap::{Arg, ArgMatches, Command};
use serde_json::json;

use super::terminal::Terminal;

/// The command.
pub fn command() -> Command {
    Command::new("join")
        .about("Join a shop with its join code")
        .after_help(
            "Examples:\n  burrline join 192.168.1.20:7417 --code CODE --name yard-1\n  \
             burrline join shop.local --code CODE --name desk --role counter",
        )
        .args([
            Arg::new("url").value_name("ADDRESS").required(true).help("The shop's address"),
            Arg::new("code")
                .long("code")
                .value_name("CODE")
                .required(true)
                .help("The join code, as the shop or `burrline-shop invite` printed it"),
            Arg::new("name")
                .long("name")
                .value_name("NAME")
                .required(true)
                .help("What the bench is called"),
            Arg::new("role")
                .long("role")
                .value_name("ROLE")
                .default_value("bench")
                .help("What it may say: bench, counter, owner or viewer"),
        ])
}

/// Joins.
///
/// # Errors
/// If the folder is a bench already, the shop is out of reach, or it refuses the code.
pub async fn run(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let text = |id: &str| matches.get_one::<String>(id).cloned().unwrap_or_default();
    let role = Role::read(&text("role"))?;
    let dir = super::folder(matches)?;
    let mut bench = Bench::join(&dir, &text("url"), &text("code"), &text("name"), role).await?;
    terminal.watch(&mut bench);
    // Without a copy it has joined all the same, and the next command fetches it.
    if let Err(error) = bench.catch_up(&SystemClock, None).await {
        terminal.tell(&format!("no copy of the shop yet: {error}"));
    }
    let settings = bench.settings();
    terminal.page(&Page {
        text: vec![format!("{} joined {}", settings.name, settings.shop_name)],
        json: vec![json!({
            "bench": settings.name, "shop": settings.shop_name, "life": settings.life,
            "zone": settings.zone, "folder": dir.display().to_string(),
        })],
    });
    Ok(Ending::Done)
}
