//! The two questions of a stray that is said to be somebody's: how it was told, and who else saw it.

use std::io::{self, IsTerminal as _};

use burrline_bench::Error;
use burrline_domain::Verb;
use burrline_line::Utterance;
use burrline_terms::{Name, Phrase, Typed};

use super::terminal::Terminal;

/// Asks for reason and witness where they were not said and somebody is there; else wants them typed.
///
/// # Errors
/// [`Error::Usage`] if one is missing and nobody can be asked, or the terminal cannot be read.
pub fn complete(utterance: &mut Utterance, terminal: &Terminal) -> Result<(), Error> {
    let asked = io::stdin().is_terminal() && io::stderr().is_terminal();
    let anyway = utterance.common.anyway.is_some();
    for verb in &mut utterance.verbs {
        let Verb::Identify(identify) = verb else { continue };
        if identify.why.is_some() && (identify.witness.is_some() || anyway) {
            continue;
        }
        if !asked {
            return Err(Error::usage(WANTED));
        }
        let hand = terminal.hand();
        let line = |prompt: &str| hand.line(prompt);
        if identify.why.is_none() {
            identify.why = Some(ask::<Phrase>("how was it told apart? > ", line, terminal)?);
        }
        if identify.witness.is_none() && !anyway {
            identify.witness = Some(ask::<Name>("who else saw it? > ", line, terminal)?);
        }
    }
    Ok(())
}

const WANTED: &str = "say how it was told apart and who else saw it: --why \"chip on left\" --witness \
                      tom; where nobody else was there: --anyway \"alone in the yard\"";

/// What was answered; nothing is said without it.
fn ask<T: Typed>(
    prompt: &str,
    line: impl Fn(&str) -> io::Result<Option<String>>,
    terminal: &Terminal,
) -> Result<T, Error> {
    loop {
        let typed =
            line(prompt).map_err(|e| Error::file(std::path::Path::new("standard input"), e))?;
        match typed.as_deref().map(str::trim) {
            None | Some("") => return Err(Error::usage(WANTED)),
            Some(words) => match T::read(words) {
                Ok(value) => return Ok(value),
                Err(bad) => terminal.tell(&bad.to_string()),
            },
        }
    }
}
