//! How strong a bath is, in which classes, and which it crossed.

use burrline_domain::{
    State,
    fold::{Bath, Key, Level, Rests},
};
use burrline_reckon::{
    peroxide::{
        hazard::{RULES, entered, left},
        solution::Solution,
    },
    quantity::PercentWv,
};
use burrline_terms::Moment;
use rust_decimal::{Decimal, prelude::ToPrimitive as _};

use crate::{brief::Brief, view::Zone};

/// What no mix knows of a bath that is in use.
const NOT_KNOWN: &str = "a mix does not know what evaporated, what wet skulls thinned and what decayed: a \
                         reading does";

/// How the strength of a bath is known, beside a moment: "mixed", "measured", or "mixed on a measured
/// bath" with the day of the measurement.
pub fn how(state: &State, bath: &Bath, level: &Level, beside: Option<Moment>) -> String {
    let read = |key: Key| Zone::of(state).time(key.at, beside);
    match bath.rests(level) {
        Rests::Mixed => "mixed".to_owned(),
        Rests::Measured(key) if Some(key.at) == beside => "measured".to_owned(),
        Rests::Measured(key) => format!("measured {}", read(key)),
        Rests::MixedOn(key) => format!("mixed on a measured bath, read {}", read(key)),
    }
}

/// The classes of a peroxide bath in one line, such as "5.88 % w/w: Eye Irrit. 2".
pub fn class(level: &Level) -> Option<String> {
    let mix = solution(level)?;
    let classes = classes(&mix);
    let ww = (mix.ww.0 * 100.0).round() / 100.0;
    let classes =
        if classes.is_empty() { "under every class".to_owned() } else { classes.join("; ") };
    Some(format!("{ww} % w/w: {classes}"))
}

/// The classes that a mix is in.
fn classes(mix: &Solution) -> Vec<String> {
    RULES
        .iter()
        .filter(|rule| matches!(rule.name, "transport" | "fire" | "eyes_and_skin"))
        .filter(|rule| rule.lists(mix.ww))
        .map(|rule| rule.words(mix.ww))
        .collect()
}

/// The class of a bath after a line, and what that line crossed.
pub(super) fn lines(bath: &Bath, key: Key) -> Brief {
    let after = bath.levels.iter().rev().find(|level| level.from <= key);
    let before = bath.levels.iter().rev().find(|level| level.from < key);
    let Some(class) = after.filter(|level| level.has_peroxide()).and_then(class) else {
        return Brief::default();
    };
    // In no class it is nothing to go by.
    let classed = after.and_then(solution).is_some_and(|mix| !classes(&mix).is_empty());
    let mut lines = if classed { Brief::needed([class]) } else { Brief::beside([class]) };
    if let (Some(was), Some(is)) = (before.and_then(solution), after.and_then(solution)) {
        let crossed = entered(was.ww, is.ww);
        let crossed = crossed.into_iter().map(|words| format!("crosses a class, {words}"));
        let left = left(was.ww, is.ww).map(|words| format!("milder now: {words}"));
        lines = lines.and(Brief::needed(crossed)).and(Brief::needed(left));
    }
    // The filling itself is mixed of what is known; what is added later goes on a bath in use.
    let added = bath.id != key.name && bath.went_in.iter().any(|went| went.key == key);
    if added {
        lines.add(NOT_KNOWN.to_owned());
    }
    lines
}

fn solution(level: &Level) -> Option<Solution> {
    let percent: Decimal = level.percent_wv()?;
    Solution::mixed_by_volume(PercentWv(percent.to_f64()?)).ok()
}
