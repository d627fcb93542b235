//! Many questions at once: one a line, one JSON object an answer.

use std::io::{self, BufRead};

use burrline_line as line;
use burrline_screen::Page;
use serde_json::json;

use super::{Here, answer, command, matched};
use crate::Error;

/// Answers every line; one that cannot be answered gives an object with its error. Whether all were
/// answered.
///
/// # Errors
/// If the lines cannot be read.
pub(super) fn run(
    lines: impl BufRead,
    here: &Here,
    show: &mut dyn FnMut(&Page),
) -> io::Result<bool> {
    let mut all = true;
    for typed in lines.lines() {
        let typed = typed?;
        if typed.trim().is_empty() {
            continue;
        }
        let object = one(&typed, here).unwrap_or_else(|error| {
            all = false;
            json!({"asked": typed.trim(), "error": error.to_string()})
        });
        show(&Page { text: vec![object.to_string()], json: vec![object] });
    }
    Ok(all)
}

fn one(typed: &str, here: &Here) -> Result<serde_json::Value, Error> {
    let words = line::split(typed)?;
    let words = words.iter().map(|word| line::command::shield(word));
    let matches = command()
        .try_get_matches_from(std::iter::once("reckon".to_owned()).chain(words))
        .map_err(|error| Error::usage(error.to_string().trim().to_owned()))?;
    let (topic, mut asked) = matched(&matches)?;
    let working = super::worked(topic, &mut asked, here)?;
    Ok(answer::object(topic.name, &asked, &working))
}
