//! How a stray was told apart and who else saw it, asked where the line does not say it.

use burrline_bench::Error;
use burrline_domain::Verb;
use burrline_line::Utterance;
use burrline_terms::{Name, Phrase, Typed};

use crate::Person;

/// Asks for reason and witness where they were not said and somebody is there; else wants them typed.
///
/// # Errors
/// [`Error::Usage`] if one is missing and nobody can be asked; if the answer cannot be read.
pub(super) fn complete(utterance: &mut Utterance, person: &mut impl Person) -> Result<(), Error> {
    let anyway = utterance.common.anyway.is_some();
    for verb in &mut utterance.verbs {
        let Verb::Identify(identify) = verb else { continue };
        if identify.why.is_some() && (identify.witness.is_some() || anyway) {
            continue;
        }
        if !person.is_there() {
            return Err(Error::usage(WANTED));
        }
        if identify.why.is_none() {
            identify.why = Some(ask::<Phrase>("how was it told apart?", person)?);
        }
        if identify.witness.is_none() && !anyway {
            identify.witness = Some(ask::<Name>("who else saw it?", person)?);
        }
    }
    Ok(())
}

const WANTED: &str = "say how it was told apart and who else saw it: --why \"chip on left\" --witness \
                      tom; where nobody else was there: --anyway \"alone in the yard\"";

/// What was answered; nothing is said without it.
fn ask<T: Typed>(question: &str, person: &mut impl Person) -> Result<T, Error> {
    loop {
        let typed = person.words(question)?;
        match typed.as_deref().map(str::trim) {
            None | Some("") => return Err(Error::usage(WANTED)),
            Some(words) => match T::read(words) {
                Ok(value) => return Ok(value),
                Err(bad) => person.tell(&bad.to_string()),
            },
        }
    }
}
