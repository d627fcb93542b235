//! Typed values as figures to reckon with, and solutions as they are said.

use burrline_reckon::{
    Working,
    peroxide::{
        solution::{Reading, Solution},
        strength::MolarVolume,
    },
    quantity::{Celsius, Days, Hours, Litres, MolesPerLitre},
};
use burrline_terms::{Span, Strength, Temperature, Typed as _, Volume, measure::Molarity};
use rust_decimal::{Decimal, prelude::ToPrimitive as _};

use super::{
    Choice,
    asked::{Asked, Phrases},
};
use crate::Error;

/// Words that say nothing to a sum.
pub(super) const FILLERS: &[&str] = &["of", "stock", "peroxide", "called", "the", "a", "is", "and"];

/// How a strength in volumes is meant, where strengths are mixed.
pub(super) const VOLUME_BY: Choice = Choice {
    name: "molar-volume",
    help: "What a volume strength means: its label (40 vol is 12 %), or by arithmetic with 22.414, \
           22.4 or 22.711 L",
    values: &["label", "stp", "school", "iupac"],
};

/// The molar volume alone.
pub(super) const MOLAR_VOLUME: Choice = Choice {
    name: "molar-volume",
    help: "How much room a mole of gas takes: 22.414, 22.4 or 22.711 L",
    values: &["stp", "school", "iupac"],
};

/// An exact number as a figure.
pub(super) fn number(exact: Decimal) -> f64 {
    exact.to_f64().unwrap_or(f64::INFINITY)
}

pub(super) fn litres(volume: Volume) -> Litres {
    Litres(number(volume.litres()))
}

pub(super) fn celsius(temperature: Temperature) -> Celsius {
    Celsius(number(temperature.celsius()))
}

pub(super) fn hours(span: Span) -> Hours {
    Hours(number(span.minutes()) / 60.0)
}

pub(super) fn days(span: Span) -> Days {
    Days(number(span.minutes()) / 1440.0)
}

pub(super) fn moles(molarity: Molarity) -> MolesPerLitre {
    MolesPerLitre(number(molarity.moles_per_litre()))
}

/// How volume strengths are meant here.
pub(super) fn reading(asked: &Asked) -> Result<Reading, Error> {
    match asked.option(VOLUME_BY.name) {
        "" | "label" => Ok(Reading::Label),
        word => Ok(Reading::Arithmetic(MolarVolume::read(word)?)),
    }
}

/// The solution after a key word: a strength, or water. Two strengths are one bottle said twice, and
/// have to agree.
///
/// # Errors
/// If there is none, or the two do not agree.
pub(super) fn solution(
    asked: &Asked,
    phrases: &mut Phrases,
    key: &str,
    example: &str,
) -> Result<Solution, Error> {
    if phrases.word(key, "water") {
        return Ok(Solution::WATER);
    }
    let typed: Strength = phrases.want(key, example)?;
    // A slip of a key word, such as `too`, is told before its bottle is taken for the one before it.
    if let Some(word) = phrases.words_after(key).iter().find(|word| is_plain(word)) {
        return Err(phrases.fits_nowhere(word, example));
    }
    let solution = Solution::of(typed, reading(asked)?)?;
    if let Some(called) = phrases.find::<Strength>(key) {
        solution.agrees(&Solution::of(called, reading(asked)?)?)?;
    }
    Ok(solution)
}

fn is_plain(word: &str) -> bool {
    word.chars().all(char::is_alphabetic)
}

/// Asks about `5G`, which may be grams or gallons where both can stand.
///
/// # Errors
/// [`Error::Usage`] with both.
pub(super) fn no_capital_g(asked: &Asked) -> Result<(), Error> {
    let mut before = "";
    let open = asked.raw().iter().find_map(|word| {
        let number = word.strip_suffix('G').map(|bare| if bare.is_empty() { before } else { bare });
        before = word;
        number.filter(|number| number.parse::<f64>().is_ok())
    });
    match open {
        Some(number) => Err(Error::usage(format!(
            "{number} G can be grams or gallons: say `{number}g` or `{number}gal`"
        ))),
        None => Ok(()),
    }
}

/// The working with a word on a strong bare per cent: drums are labelled by mass.
pub(super) fn bare_percent(asked: &Asked, working: Working) -> Working {
    let strong = |word: &&String| {
        let bare = word.strip_suffix('%').and_then(|bare| Decimal::read(bare).ok());
        bare.is_some_and(|percent| percent > Decimal::from(15))
    };
    match asked.words().iter().find(strong) {
        Some(word) => working.caution(format!(
            "{word} was taken as grams in 100 mL; a drum's label is mostly by mass: then say {word}w/w.",
        )),
        None => working,
    }
}
