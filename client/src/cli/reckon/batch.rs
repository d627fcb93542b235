//! Many questions at once: one a line, one JSON object an answer.

use std::{
    fs::File,
    io::{self, BufRead, BufReader},
    path::Path,
};

use serde_json::json;

use super::{answer, command, matched};
use crate::{Ending, Error, cli::terminal::Terminal, line, render::Page};

/// Answers every line; one that cannot be answered gives an object with its error.
///
/// # Errors
/// If the file cannot be read.
pub(super) fn run(file: &str, terminal: &Terminal) -> Result<Ending, Error> {
    let lines: Box<dyn BufRead> = if file == "-" {
        Box::new(io::stdin().lock())
    } else {
        let path = Path::new(file);
        Box::new(BufReader::new(File::open(path).map_err(|e| Error::file(path, e))?))
    };
    let mut worst = Ending::Done;
    for typed in lines.lines() {
        let typed = typed.map_err(|e| Error::file(Path::new(file), e))?;
        if typed.trim().is_empty() {
            continue;
        }
        let object = one(&typed).unwrap_or_else(|error| {
            worst = worst.max(error.ending());
            json!({"asked": typed.trim(), "error": error.to_string()})
        });
        terminal.page(&Page { text: vec![object.to_string()], json: vec![object] });
    }
    Ok(worst)
}

fn one(typed: &str) -> Result<serde_json::Value, Error> {
    let words = line::split(typed)?;
    let words = words.iter().map(|word| line::command::shield(word));
    let matches = command()
        .try_get_matches_from(std::iter::once("reckon".to_owned()).chain(words))
        .map_err(|error| Error::usage(error.to_string().trim().to_owned()))?;
    let (topic, asked) = matched(&matches)?;
    Ok(answer::object(topic.name, &asked, &(topic.run)(&asked)?))
}
