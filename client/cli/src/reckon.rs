//! The trade's sums: a question, or a file of them.

use std::{
    fs::File,
    io::{self, BufRead, BufReader},
    path::Path,
};

use burrline_bench::{Bench, Clock as _, Ending, Error, SystemClock, alone::Then};
use burrline_paper::fit::wrap;
use burrline_present::readings::Degreased;
use burrline_screen::Page;
use clap::ArgMatches;

use crate::terminal::Terminal;

use burrline_sums::Here;

pub use burrline_sums::command;

/// Answers a question, or a file of them.
///
/// # Errors
/// [`Error::Usage`] if it is typed wrong or cannot be; [`Error::File`] for a file that cannot be read.
pub async fn run(matches: &ArgMatches, terminal: &Terminal) -> Result<Ending, Error> {
    if burrline_sums::wants_all(matches) {
        let text = burrline_sums::list(true).lines().map(str::to_owned).collect();
        terminal.page(&Page { text, json: Vec::new() });
        return Ok(Ending::Done);
    }
    let now = Some(SystemClock.now().wall);
    let Some(file) = burrline_sums::batch_file(matches) else {
        // A bench that never joined has no shop, and reckons all the same.
        let bench = crate::folder(matches).and_then(|folder| Bench::open(&folder)).ok();
        let here = Here {
            us: bench.as_ref().and_then(|bench| bench.lexicon().fahrenheit),
            now,
            zone: bench.as_ref().map_or(String::new(), |bench| bench.zone_name().to_owned()),
        };
        let own = match &bench {
            Some(bench) if burrline_sums::wants_own_batches(matches) => batches(bench).await?,
            Some(_) | None => Vec::new(),
        };
        let (mut page, rest) = burrline_sums::answer(matches, &here, &own).map_err(of_sums)?;
        // What is longer than the terminal is wide goes on under itself.
        let folded = |lines: &[String]| -> Vec<String> {
            lines.iter().flat_map(|line| wrap(line, terminal.width(), 4)).collect()
        };
        page.text = folded(&page.text);
        terminal.page(&page);
        terminal.behind(&folded(&rest));
        return Ok(Ending::Done);
    };
    let path = Path::new(file);
    let lines: Box<dyn BufRead> = if file == "-" {
        Box::new(io::stdin().lock())
    } else {
        Box::new(BufReader::new(File::open(path).map_err(|e| Error::file(path, e))?))
    };
    // Many questions are of no shop: the same file has the same answers everywhere.
    let here = Here { now, ..Here::default() };
    let all = burrline_sums::answer_all(lines, &here, &mut |page| terminal.page(page));
    let all = all.map_err(|e| Error::file(path, e))?;
    Ok(if all { Ending::Done } else { Ending::Usage })
}

/// How long the shop's own degreasing took, and how warm, as they would be typed.
async fn batches(bench: &Bench) -> Result<Vec<String>, Error> {
    let read = bench.read(Degreased { kind: None }, Then::default(), &SystemClock).await?;
    let typed = read.answer.lines.iter().filter_map(|line| {
        Some([format!("{}min", line.minutes), format!("{}C", line.celsius.as_ref()?)])
    });
    Ok(typed.flatten().collect())
}

fn of_sums(error: burrline_sums::Error) -> Error {
    match error {
        burrline_sums::Error::Usage(words) => Error::Usage(words),
        burrline_sums::Error::Line(error) => error.into(),
    }
}
