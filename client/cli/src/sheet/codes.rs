//! `burrline sheet codes`: verbs, places and look words for a scanner.

use std::path::Path;

use burrline_bench::{Ending, Error, SystemClock, alone::Then};
use burrline_paper::codes;
use burrline_present::readings::Floor;
use burrline_screen::Page;
use clap::{Arg, ArgMatches, Command};
use serde_json::json;

use super::super::terminal::Terminal;
use crate::of_paper;

/// The command.
pub fn command() -> Command {
    Command::new("codes")
        .about("Make the sheet of words that a scanner reads")
        .long_about(
            "Make the sheet of words that a scanner reads: verbs, the shop's places, look words, and \
             what closes a line. Each is a bar code (Code 128) and a QR code of the plain word, so \
             that any scanner that types what it reads will do.\n\nPrint at full size and laminate. \
             In `burrline bench` scan what was done, the place, each tag, then GO.",
        )
        .after_help("Examples:\n  burrline sheet codes\n  burrline sheet codes --out codes.html")
        .arg(Arg::new("out").long("out").value_name("FILE").help("Write the page to this file"))
}

/// Makes the sheet; without a file it lists what would be on it.
///
/// # Errors
/// If there is neither shop nor copy to tell the places, or the page cannot be written.
pub async fn run(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let bench = super::super::open(matches)?;
    let floor = bench.read(Floor { place: None }, Then::default(), &SystemClock).await?.answer;
    let places: Vec<String> = floor.places.into_iter().map(|place| place.name).collect();
    let groups = codes::groups(&places);
    let words =
        |group: &codes::Group| group.codes.iter().map(|code| code.word.clone()).collect::<Vec<_>>();
    let json = groups.iter().map(|g| json!({"heading": g.heading, "words": words(g)})).collect();
    let text = match matches.get_one::<String>("out") {
        Some(file) => {
            let file = Path::new(file);
            let page = codes::page(&bench.settings().shop_name, &groups).map_err(of_paper)?;
            std::fs::write(file, page).map_err(|e| Error::file(file, e))?;
            vec![format!("the sheet is in {}; print it at full size", file.display())]
        }
        None => groups
            .iter()
            .map(|group| format!("{}: {}", group.heading, words(group).join(" ")))
            .chain(["with --out codes.html it is a page to print".to_owned()])
            .collect(),
    };
    terminal.page(&Page { text, json });
    Ok(Ending::Done)
}
