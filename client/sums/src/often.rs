//! `reckon how-often`.

use burrline_reckon::{Working, told::how_often::how_often};

use super::{Topic, asked::Asked};
use crate::Error;

const EXAMPLE: &str = "how-often 3 of 40";

/// How often something goes wrong.
pub(super) static HOW_OFTEN: Topic = Topic {
    name: "how-often",
    about: "Say how often something goes wrong, with limits",
    more: "Takes a part and its whole: 3 of 40. With `against` a second count it says whether they \
           differ beyond chance, or that it cannot be told.",
    examples: &["how-often 3 of 40", "how-often 0 of 20", "how-often 6 of 40 against 1 of 60"],
    choices: &[],
    run,
};

fn run(asked: &Asked) -> Result<Working, Error> {
    let mut phrases = asked.phrases(&["against", "sure"], &[])?;
    let counts = count(&phrases.take(""))?;
    let other = if phrases.has("against") { Some(count(&phrases.take("against"))?) } else { None };
    let sure = phrases.sure()?;
    phrases.done(EXAMPLE)?;
    Ok(how_often(counts, other, sure)?)
}

/// `3 of 40`.
fn count(words: &[String]) -> Result<(u32, u32), Error> {
    let wrong = || {
        Error::usage(format!("how-often: say a part and its whole: `burrline reckon {EXAMPLE}`"))
    };
    match words {
        [hits, of, all] if of == "of" => {
            Ok((hits.parse().map_err(|_| wrong())?, all.parse().map_err(|_| wrong())?))
        }
        _ => Err(wrong()),
    }
}
