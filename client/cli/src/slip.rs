//! `burrline slip`: the paper of a visit.

use std::path::Path;

use burrline_bench::{Bench, Ending, Error, SystemClock};
use burrline_domain::fold::Job;
use burrline_evidence::{checkpoint::key_of, note};
use burrline_paper::slip::{self, Word};
use burrline_present::view;
use burrline_proto::Wire as _;
use burrline_screen::Page;
use burrline_terms::{Skull, Typed as _};
use clap::{Arg, ArgMatches, Command};
use serde_json::json;

use super::terminal::Terminal;

/// The columns of a usual slip printer.
pub const COLUMNS: usize = 42;

/// The command.
pub fn command() -> Command {
    Command::new("slip")
        .about("Print the slip of a visit")
        .long_about(
            "Print the slip of a visit: the jobs of its ticket, their condition, what was agreed, \
             cautions, and a checkpoint (the shop's signed head of its log) that covers them, as \
             text and as a code. Where the shop is out of reach the bench signs it; print it anew later.",
        )
        .after_help("Examples:\n  burrline slip 0417\n  burrline slip 0417 --width 32\n  burrline slip 3-41-7 --html slip.html")
        .arg(Arg::new("skull").value_name("TAG").required(true).help("A tag or a job number of the visit"))
        .arg(
            Arg::new("width")
                .long("width")
                .value_name("COLUMNS")
                .value_parser(clap::value_parser!(u16).range(24..=200))
                .default_value("42")
                .help("Columns of the slip printer, 24 to 200"),
        )
        .arg(Arg::new("html").long("html").value_name("FILE").help("Write a page for a sheet of paper"))
}

/// Prints a slip.
///
/// # Errors
/// If no job is meant, the bench has no copy yet, or the page cannot be written.
pub async fn run(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let bench = super::open(matches)?;
    let skull = matches.get_one::<String>("skull").map_or("", String::as_str);
    let width = matches.get_one::<u16>("width").map(|width| usize::from(*width));
    let html = matches.get_one::<String>("html").map(Path::new);
    made(&bench, &Skull::read(skull)?, width, html, terminal).await
}

/// Prints the slip of a visit for a slip printer of so many columns.
///
/// # Errors
/// If no job is meant, or the bench has no copy yet.
pub async fn print(
    bench: &Bench,
    skull: &Skull,
    columns: usize,
    terminal: &mut Terminal,
) -> Result<(), Error> {
    made(bench, skull, Some(columns), None, terminal).await.map(drop)
}

async fn made(
    bench: &Bench,
    skull: &Skull,
    width: Option<usize>,
    html: Option<&Path>,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let named = skull;
    let skull = skull.to_item();
    let near = match bench.catch_up(&SystemClock, None).await {
        Ok(_) => true,
        Err(Error::Away { .. }) => false,
        Err(error) => return Err(error),
    };
    let alone = bench.alone(&SystemClock, burrline_bench::alone::Then::default())?;
    let alone = alone.ok_or_else(|| {
        Error::Refused("this bench has no copy of the shop's log yet; run `burrline sync`".into())
    })?;
    let made = alone.slip(&skull)?;
    let word = word(bench, near, &slip::body(&made)).await?;
    let mut page = Page {
        text: slip::text(&made, &word, width),
        json: vec![json!({ "lines": slip::body(&made), "word": word.text() })],
    };
    if let Some(file) = html {
        std::fs::write(file, slip::page(&made, &word)).map_err(|e| Error::file(file, e))?;
        page.text = vec![format!("the slip is in {}", file.display())];
    }
    terminal.page(&page);
    let ticket = view::which(alone.state(), named).ok().and_then(Job::ticket);
    ticket.map_or(Ok(()), |ticket| bench.slipped(ticket))?;
    Ok(Ending::Done)
}

/// The shop's word if it is near, else the bench's own.
async fn word(bench: &Bench, near: bool, body: &[String]) -> Result<Word, Error> {
    if near {
        bench.witness().await?;
        let head = bench.kept_note()?.unwrap_or_default();
        return Ok(Word::Shop { key: key_of(bench.shop_key().await?).to_string(), head });
    }
    let text: Vec<&str> = body.iter().map(String::as_str).filter(|line| !line.is_empty()).collect();
    let text = format!("burrline.v1/slip\n{}\n", text.join("\n"));
    let name = format!("burrline.v1/bench/{}", bench.life());
    let signed = note::sign(&text, &name, bench.key()?);
    signed.map(Word::Bench).map_err(|error| Error::Bug(error.to_string()))
}
