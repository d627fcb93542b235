//! The trade's sums: a question, or a file of them.

use std::{
    fs::File,
    io::{self, BufRead, BufReader},
    path::Path,
};

use burrline_bench::{Bench, Ending, Error};
use burrline_paper::fit::wrap;
use burrline_screen::Page;
use clap::ArgMatches;

use crate::terminal::Terminal;

pub use burrline_sums::command;

/// Answers a question, or a file of them.
///
/// # Errors
/// [`Error::Usage`] if it is typed wrong or cannot be; [`Error::File`] for a file that cannot be read.
pub fn run(matches: &ArgMatches, terminal: &Terminal) -> Result<Ending, Error> {
    if burrline_sums::wants_all(matches) {
        let text = burrline_sums::list(true).lines().map(str::to_owned).collect();
        terminal.page(&Page { text, json: Vec::new() });
        return Ok(Ending::Done);
    }
    let Some(file) = burrline_sums::batch_file(matches) else {
        // A bench that never joined has no shop, and reckons all the same.
        let bench = crate::folder(matches).and_then(|folder| Bench::open(&folder));
        let us = bench.ok().and_then(|bench| bench.lexicon().fahrenheit);
        let mut page = burrline_sums::answer(matches, us).map_err(of_sums)?;
        // What is longer than the terminal is wide goes on under itself.
        page.text = page.text.iter().flat_map(|line| wrap(line, terminal.width(), 4)).collect();
        terminal.page(&page);
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
