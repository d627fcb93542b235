//! The trade's sums: a question, or a file of them.

use std::{
    fs::File,
    io::{self, BufRead, BufReader},
    path::Path,
};

use burrline_bench::{Ending, Error};
use clap::ArgMatches;

use crate::terminal::Terminal;

pub use burrline_sums::command;

/// Answers a question, or a file of them.
///
/// # Errors
/// [`Error::Usage`] if it is typed wrong or cannot be; [`Error::File`] for a file that cannot be read.
pub fn run(matches: &ArgMatches, terminal: &Terminal) -> Result<Ending, Error> {
    let Some(file) = burrline_sums::batch_file(matches) else {
        terminal.page(&burrline_sums::answer(matches).map_err(of_sums)?);
        return Ok(Ending::Done);
    };
    let path = Path::new(file);
    let lines: Box<dyn BufRead> = if file == "-" {
        Box::new(io::stdin().lock())
    } else {
        Box::new(BufReader::new(File::open(path).map_err(|e| Error::file(path, e))?))
    };
    let all = burrline_sums::answer_all(lines, &mut |page| terminal.page(page));
    let all = all.map_err(|e| Error::file(path, e))?;
    Ok(if all { Ending::Done } else { Ending::Usage })
}

fn of_sums(error: burrline_sums::Error) -> Error {
    match error {
        burrline_sums::Error::Usage(words) => Error::Usage(words),
        burrline_sums::Error::Line(error) => error.into(),
    }
}
