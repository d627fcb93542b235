//! `reckon median`.

use burrline_reckon::{Working, told::middle::middle};
use burrline_terms::Typed as _;
use rust_decimal::{Decimal, prelude::ToPrimitive as _};

use super::{Topic, asked::Asked};
use crate::Error;

const EXAMPLE: &str = "median 12 15 9 20 11 14";

/// The middle of values.
pub(super) static MEDIAN: Topic = Topic {
    name: "median",
    about: "Say the middle of some values, with limits",
    more: "Takes numbers. The limits are two of the values themselves: the middle of all lies \
           between them at least as often as asked, 19 times in 20 where nothing is said.",
    examples: &[EXAMPLE, "median 12 15 9 20 11 14 sure 90%"],
    choices: &[],
    run,
};

fn run(asked: &Asked) -> Result<Working, Error> {
    let mut phrases = asked.phrases(&["sure"], &["of"])?;
    let words = phrases.take("");
    let sure = phrases.sure()?;
    phrases.done(EXAMPLE)?;
    let number = |word: &String| {
        let value = Decimal::read(word).ok().and_then(|value| value.to_f64());
        value.ok_or_else(|| {
            Error::usage(format!(
                "median: \u{201c}{word}\u{201d} is no number; say it like `burrline reckon {EXAMPLE}`"
            ))
        })
    };
    let values = words.iter().map(number).collect::<Result<Vec<f64>, Error>>()?;
    Ok(middle(&values, "", sure)?)
}
