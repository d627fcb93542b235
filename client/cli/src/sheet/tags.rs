//! `burrline sheet tags`: labels for tags and bags.

use std::path::Path;

use burrline_bench::{Ending, Error};
use burrline_paper::labels;
use burrline_screen::Page;
use burrline_terms::{Typed as _, counted, words::Piece};
use clap::{Arg, ArgMatches, Command};
use serde_json::json;

use super::super::terminal::Terminal;
use crate::of_paper;

/// The command.
pub fn command() -> Command {
    let pieces: Vec<&str> = parts().map(Piece::word).collect();
    Command::new("tags")
        .about("Make labels for tags and bags")
        .long_about(format!(
            "Make labels for tags and bags: the number as it is shown, as a bar code (Code 128) and as a \
             QR code of the plain number, so that a scanner types it. With --pieces each tag has one \
             more for each piece's bag, such as 0417-N; there are {}.\n\nWithout --out they are text for \
             a label or slip printer, a line to cut along below each.",
            pieces.join(", ")
        ))
        .after_help(
            "Examples:\n  burrline sheet tags 0417..0440 --out tags.html\n  burrline sheet tags 0417 0423 \
             --pieces nose,jaw --out tags.html\n  burrline sheet tags 0417-N --width 32",
        )
        .arg(
            Arg::new("tags")
                .value_name("TAG")
                .num_args(1..)
                .required(true)
                .help("Tags, stretches such as 0417..0440, or pieces such as 0417-N"),
        )
        .arg(
            Arg::new("pieces")
                .long("pieces")
                .value_name("PIECE")
                .value_delimiter(',')
                .help("Labels for the bags of these pieces as well, with commas between; or all"),
        )
        .arg(
            Arg::new("width")
                .long("width")
                .value_name("COLUMNS")
                .value_parser(clap::value_parser!(u16).range(29..=200))
                .default_value("32")
                .help("Columns of the label printer, 29 to 200"),
        )
        .arg(Arg::new("out").long("out").value_name("FILE").help("Write the page to this file"))
}

/// The pieces that go into bags.
fn parts() -> impl Iterator<Item = Piece> {
    Piece::ALL.iter().copied().filter(|piece| *piece != Piece::Skull)
}

/// Makes the labels.
///
/// # Errors
/// If a word is no tag, or the page cannot be written.
pub fn run(matches: &ArgMatches, terminal: &Terminal) -> Result<Ending, Error> {
    let bench = super::super::open(matches)?;
    let shop = &bench.settings().shop_name;
    let words = |name: &str| -> Vec<String> {
        matches.get_many::<String>(name).into_iter().flatten().cloned().collect()
    };
    let pieces = pieces(&words("pieces"))?;
    let labels = labels::labels(&words("tags"), &pieces).map_err(of_paper)?;
    let columns = matches.get_one::<u16>("width").map_or(32, |width| usize::from(*width));
    let json = labels.iter().map(|l| json!({"number": l.number, "piece": l.words()})).collect();
    let text = match matches.get_one::<String>("out") {
        Some(file) => {
            let file = Path::new(file);
            let page = labels::page(shop, &labels).map_err(of_paper)?;
            std::fs::write(file, page).map_err(|e| Error::file(file, e))?;
            let many = counted(labels.len(), "label");
            vec![format!("{many} in {}; print at full size", file.display())]
        }
        None => labels::text(shop, &labels, columns).map_err(of_paper)?,
    };
    terminal.page(&Page { text, json });
    Ok(Ending::Done)
}

/// The pieces that were named; `all` is each that goes into a bag.
fn pieces(words: &[String]) -> Result<Vec<Piece>, Error> {
    let mut pieces = Vec::new();
    for word in words {
        if word == "all" {
            pieces.extend(parts());
        } else {
            pieces.push(Piece::read(word)?);
        }
    }
    if pieces.contains(&Piece::Skull) {
        return Err(Error::usage("the skull has the tag itself; name pieces such as nose,jaw"));
    }
    Ok(pieces)
}
