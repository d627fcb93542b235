//! How strong a bath is, in which classes, and which it crossed.

use burrline_domain::fold::{Bath, Key, Level};
use burrline_reckon::{
    peroxide::{
        hazard::{RULES, crossings},
        solution::Solution,
    },
    quantity::PercentWv,
};
use rust_decimal::{Decimal, prelude::ToPrimitive as _};

/// The classes of a peroxide bath in one line, such as "5.88 % w/w: Eye Irrit. 2".
pub fn class(level: &Level) -> Option<String> {
    let mix = solution(level)?;
    let classes: Vec<&str> = RULES
        .iter()
        .filter(|rule| matches!(rule.name, "transport" | "fire" | "eyes_and_skin"))
        .map(|rule| rule.class(mix.ww))
        .filter(|class| !class.contains("(under") && !class.contains("under the limits"))
        .collect();
    let ww = (mix.ww.0 * 100.0).round() / 100.0;
    let classes =
        if classes.is_empty() { "under every class".to_owned() } else { classes.join("; ") };
    Some(format!("{ww} % w/w: {classes}"))
}

/// The class of a bath after a line, and what that line crossed.
pub(super) fn lines(bath: &Bath, key: Key) -> Vec<String> {
    let after = bath.levels.iter().rev().find(|level| level.from <= key);
    let before = bath.levels.iter().rev().find(|level| level.from < key);
    let Some(class) = after.filter(|level| level.has_peroxide()).and_then(class) else {
        return Vec::new();
    };
    let mut lines = vec![class];
    if let (Some(was), Some(is)) = (before.and_then(solution), after.and_then(solution)) {
        let crossed = crossings(was.ww, is.ww);
        lines.extend(crossed.into_iter().map(|words| format!("crosses a class, {words}")));
    }
    lines
}

fn solution(level: &Level) -> Option<Solution> {
    let percent: Decimal = level.percent_wv()?;
    Solution::mixed_by_volume(PercentWv(percent.to_f64()?)).ok()
}
