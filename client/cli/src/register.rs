//! `burrline register --out`: the inspector's page as a file.

use std::path::Path;

use burrline_bench::{Ending, Error, SystemClock, contact::Reading};
use burrline_proto::v1::read_response::Answer;
use burrline_screen::register;
use burrline_terms::counted_are;
use clap::{Arg, ArgMatches, Command};

use super::{reading, terminal::Terminal};
use crate::of_paper;

/// Adds the file.
pub fn with_out(command: Command) -> Command {
    command.arg(
        Arg::new("out")
            .long("out")
            .value_name("FILE")
            .help("Write a page that prints well (.html) or a table (.csv)"),
    )
}

/// Prints the register, or writes it.
///
/// # Errors
/// If neither the shop nor a copy is there, a day is wrong, or the file cannot be written.
pub async fn run(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let Some(out) = matches.get_one::<String>("out").map(Path::new) else {
        return reading::run("register", matches, terminal).await;
    };
    let form = form(out)?;
    let bench = super::open(matches)?;
    let (asked, then) = reading::asked(&bench, "register", matches)?;
    let Reading { answer, how_old } = bench.ask_for(asked, then, &SystemClock).await?;
    let Some(Answer::Register(answer)) = answer.answer else {
        return Err(Error::Nonsense("no register was told".into()));
    };
    let text = match form {
        Form::Html => register::html(&answer, how_old.as_deref(), &terminal.look(bench.zone())),
        Form::Csv => register::csv(&answer).map_err(of_paper)?,
    };
    std::fs::write(out, text).map_err(|e| Error::file(out, e))?;
    let blank = answer.lines.iter().filter(|line| !line.blanks.is_empty()).count();
    terminal.say(&format!(
        "{} in {}, {blank} with blanks; it has names and addresses in clear: keep it as such",
        counted_are(answer.lines.len(), "head", "is", "are"),
        out.display()
    ));
    reading::told(&bench, how_old, terminal).await;
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
