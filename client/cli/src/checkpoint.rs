//! `burrline checkpoint`: the newest signed head of the shop's log, to keep or to pin up.

use std::path::Path;

use burrline_bench::{Bench, Clock as _, Ending, Error, SystemClock};
use burrline_evidence::checkpoint::{Checkpoint, key_of};
use burrline_paper::{handout::head, slip::Word};
use burrline_present::view::Zone;
use burrline_screen::Page;
use clap::{Arg, ArgMatches, Command};
use serde_json::json;

use super::terminal::Terminal;

/// The columns of what is no terminal.
const COLUMNS: usize = 80;

/// The command.
pub fn command() -> Command {
    Command::new("checkpoint")
        .about("Print the newest signed checkpoint, as text and as a code")
        .long_about(
            "Print the newest signed checkpoint, as text and as a code.\n\n\
             A checkpoint says how many records the shop's log has and what is in them, and names no \
             customer. Whoever keeps one is a witness: no record before it can change unseen. With the \
             shop out of reach it is the last one that this bench has.",
        )
        .after_help(
            "Examples:\n  burrline checkpoint\n  burrline checkpoint --html checkpoint.html\n  \
             burrline checkpoint > head.txt; burrline verify 0417-packet --slip head.txt",
        )
        .arg(
            Arg::new("html")
                .long("html")
                .value_name("FILE")
                .help("Write a page to print and pin up"),
        )
}

/// Prints it.
///
/// # Errors
/// If the shop contradicts itself, this bench has no checkpoint yet, or the page cannot be written.
pub async fn run(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let bench = super::open(matches)?;
    let is_near = is_near(&bench).await?;
    let key = bench.shop_key().await?;
    let note = bench.kept_note()?.ok_or_else(|| {
        Error::Refused("this bench has no checkpoint yet; run `burrline sync`".to_owned())
    })?;
    let size = Checkpoint::check(&note, key)
        .map_err(|error| Error::Nonsense(format!("the checkpoint that is kept: {error}")))?
        .size;
    let word = Word::Shop { key: key_of(key).to_string(), head: note };
    let at = Zone(bench.zone()).time(SystemClock.now().wall, None);
    let about = if is_near {
        format!("checkpoint of {size} records, the newest on {at}")
    } else {
        format!("checkpoint of {size} records, the last that this bench has; printed {at}")
    };
    if !is_near {
        terminal.tell("the shop is out of reach: this is the last checkpoint that this bench has");
    }
    let columns = terminal.width();
    let mut page = Page {
        text: head::text(&about, &word, columns.unwrap_or(COLUMNS), columns.is_some()),
        json: vec![json!({ "records": size, "newest": is_near, "word": word.text() })],
    };
    if let Some(file) = matches.get_one::<String>("html") {
        let shop = &bench.settings().shop_name;
        std::fs::write(file, head::page(shop, &about, &word))
            .map_err(|e| Error::file(Path::new(file), e))?;
        page.text = vec![format!("the page to pin up is in {file}: {about}")];
    }
    terminal.page(&page);
    Ok(Ending::Done)
}

/// Asks the shop for the newest; whether it answered.
async fn is_near(bench: &Bench) -> Result<bool, Error> {
    match bench.witness().await {
        Ok(_) => Ok(true),
        Err(Error::Away { .. }) => Ok(false),
        Err(error) => Err(error),
    }
}
