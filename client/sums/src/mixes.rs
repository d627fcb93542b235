//! `reckon mix`: what must not come together.

use burrline_reckon::{Working, peroxide::mixes};

use super::{Topic, asked::Asked};
use crate::Error;

/// Things that come together.
pub(super) static MIX: Topic = Topic {
    name: "mix",
    about: "Tell whether things may come together in a bath",
    more: "Takes two or more things by their plain names: what goes in, and what the vessel is made of. \
           `hot` says that it is heated. What is not known is never called safe.",
    examples: &["mix peroxide vinegar", "mix bleach ammonia", "mix peroxide steel hot"],
    choices: &[],
    run: run_mix,
};

fn run_mix(asked: &Asked) -> Result<Working, Error> {
    let plain = |word: &&String| !matches!(word.as_str(), "and" | "with" | "in" | "hot");
    let things: Vec<String> = asked.words().iter().filter(plain).cloned().collect();
    let hot = asked.words().iter().any(|word| word == "hot");
    Ok(mixes::mix(&things, hot)?)
}
