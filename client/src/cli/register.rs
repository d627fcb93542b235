//! `burrline register`: the inspector's page.

use std::path::Path;

use burrline_terms::counted_are;
use clap::{Arg, ArgMatches, Command, builder::PossibleValuesParser};

use super::{desk, read, terminal::Terminal};
use crate::{
    Ending, Error, SystemClock,
    render::{Page, register},
};

/// The command.
pub fn command() -> Command {
    let command = Command::new("register")
        .about("Print the register: every head in the order in which it came in")
        .long_about(
            "Print the register: every head in the order in which it came in, with hunter, address, \
             species, sex, licence and tag, county, day of the kill, and to whom it went. Blanks are \
             shown, no money is. `gaps` lists what is missing first, job by job, with the line to \
             type.\n\nNames are shown to a counter and to the owner while the shop is in reach; from \
             a bench's own copy they read \u{201c}(sealed)\u{201d}. Which columns a state asks for \
             differs: ask your agency.",
        )
        .after_help(
            "Examples:\n  burrline register\n  burrline register gaps\n  burrline register --from \
             2026-09-01 --to 2027-06-30 --out register.html\n  burrline register --out register.csv",
        )
        .arg(
            Arg::new("what")
                .value_name("gaps")
                .value_parser(PossibleValuesParser::new(["gaps"]))
                .help("Only what is missing, with the line to type"),
        )
        .arg(
            Arg::new("out")
                .long("out")
                .value_name("FILE")
                .help("Write a page that prints well (.html) or a table (.csv)"),
        );
    desk::days(command)
}

/// Prints the register, or what is missing in it.
///
/// # Errors
/// If neither the shop nor a copy is there, a day is wrong, or the file cannot be written.
pub async fn run(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let bench = super::open(matches)?;
    let days = desk::days_of(matches)?;
    let out = matches.get_one::<String>("out").map(Path::new);
    let form = out.map(form).transpose()?;
    let look = terminal.look(bench.zone());
    let reading = bench.register(days, &SystemClock).await?;
    let reading = match (out, form) {
        (Some(out), Some(form)) => {
            let how_old = reading.how_old.clone();
            let text = match form {
                Form::Html => register::html(&reading.answer, how_old.as_deref(), &look),
                Form::Csv => register::csv(&reading.answer)?,
            };
            std::fs::write(out, text).map_err(|e| Error::file(out, e))?;
            let blank = reading.answer.lines.iter().filter(|line| !line.blanks.is_empty()).count();
            let words = format!(
                "{} in {}, {blank} with blanks; it has names and addresses in clear: keep it as such",
                counted_are(reading.answer.lines.len(), "head", "is", "are"),
                out.display()
            );
            reading.map(|_| Page { text: vec![words], json: Vec::new() })
        }
        _ if matches.get_one::<String>("what").is_some() => {
            reading.map(|answer| register::gaps(&answer))
        }
        _ => reading.map(|answer| register::text(&answer, &look)),
    };
    read::tell(&bench, reading, terminal).await;
    Ok(Ending::Done)
}

/// The form of a file.
#[derive(Debug, Clone, Copy)]
enum Form {
    Html,
    Csv,
}

fn form(out: &Path) -> Result<Form, Error> {
    match out.extension().and_then(|end| end.to_str()) {
        Some("html" | "htm") => Ok(Form::Html),
        Some("csv") => Ok(Form::Csv),
        _ => Err(Error::usage(format!(
            "{}: in which form? Let the name end in .html for a page, or in .csv for a table",
            out.display()
        ))),
    }
}
