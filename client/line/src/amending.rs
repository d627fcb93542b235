//! The line within an amendment: `amend 3:41 weigh 0417 1240 g`.

use burrline_domain::{Verb, verb};
use burrline_terms::{EntryName, Typed as _};

use crate::{Common, Error, Lexicon, one};

pub(crate) fn amend(words: &[String], lexicon: &Lexicon) -> Result<Verb, Error> {
    let [entry, line @ ..] = words else {
        return Err(Error::usage(
            "amend: which line? As in `burrline amend 3:41 weigh 0417 1240 g`",
        ));
    };
    let name = EntryName::read(entry)?;
    let inner = one(line, lexicon).map_err(|error| within_amendment(error, entry))?;
    if !inner.details.is_empty() {
        return Err(Error::usage("details are replaced with `burrline amend-customer`"));
    }
    if inner.common != Common::default() {
        return Err(Error::usage(
            "amend: --at, --hand and the like go before the entry; the moment stays as it was",
        ));
    }
    let [verb] = <[Verb; 1]>::try_from(inner.verbs)
        .map_err(|_| Error::usage("amend: a line replaces one line, so say one skull"))?;
    if matches!(verb, Verb::Amend(_)) {
        return Err(Error::usage("amend: amend the first line again instead"));
    }
    Ok(verb::Amend { entry: name, verb: Box::new(verb) }.into())
}

/// What is asked about the line within an amendment, with the whole amendment in each choice.
fn within_amendment(error: Error, entry: &str) -> Error {
    let Error::Unclear(mut unclear) = error else { return error };
    for choice in &mut unclear.choices {
        let words = std::mem::take(&mut choice.words);
        choice.words = ["amend".to_owned(), entry.to_owned()].into_iter().chain(words).collect();
    }
    Error::Unclear(unclear)
}
