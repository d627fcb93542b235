//! `reckon mix`: what must not come together.

use burrline_reckon::{Working, mixes};

use super::{Topic, asked::Asked};
use crate::Error;

/// Things that come together.
pub(super) static MIX: Topic = Topic {
    name: "mix",
    about: "Tell whether things may come together",
    more: "Takes two or more things by their plain names or by the kind of product, no brands: what goes in, what \
           the vessel is made of, and `hot`, `flame` or `closed` where that is so. Say a strength with peroxide: `35% peroxide`. The worst is said \
           first, then what to do. What is not known is treated as dangerous.",
    examples: &[
        "mix peroxide vinegar",
        "mix bleach and toilet cleaner",
        "mix washing soda in an aluminum pot hot",
    ],
    choices: &[],
    run: run_mix,
};

fn run_mix(asked: &Asked) -> Result<Working, Error> {
    Ok(mixes::mix(asked.words())?)
}
