//! A comparison with its working.

use burrline_domain::compare::{Comparison, Says, Tolerance, Twice, compare};
use rust_decimal::Decimal;

use crate::{Absurd, Known, Value, Working};

/// Intake against hand-back, pair by pair, with the bounds stated.
///
/// # Errors
/// [`Absurd`] if nothing was measured twice.
pub fn compared(pairs: Vec<Twice>, tolerance: Tolerance) -> Result<Working, Absurd> {
    if pairs.is_empty() {
        return Err(Absurd::new(
            "nothing was measured twice",
            "say each name with both figures, intake first: `beam-r 21 7/8 21 6/8`",
        ));
    }
    let comparison = compare(pairs, tolerance);
    let Comparison { agree, verdict, ref why, .. } = comparison;
    let mut working = Working::new()
        .answer(format!("{verdict}: {why}"))
        .words("verdict", verdict.to_string())
        .value("agree", count(agree), "")
        .value("pairs", count(comparison.pairs.len()), "");
    for judged in &comparison.pairs {
        let says = match judged.says {
            Says::Agrees => "agrees",
            Says::Grew => "too large: nothing grows",
            Says::Shrank => "too small",
        };
        working = working.step(
            judged.pair.name.clone(),
            format!(
                "{} then {} ({}): {says}",
                judged.pair.before,
                judged.pair.after,
                judged.change()
            ),
        );
    }
    Ok(bounds(working, tolerance))
}

/// The bounds, and where they come from.
fn bounds(working: Working, tolerance: Tolerance) -> Working {
    let eighth = Decimal::from_parts(3175, 0, 0, false, 3);
    let tape = tolerance.tape_mm.checked_div(eighth).map(|eighths| eighths.normalize());
    let tape = match tape {
        Some(eighths) if eighths.scale() == 0 => format!("{eighths}/8 in"),
        Some(_) | None => format!("{} mm", tolerance.tape_mm),
    };
    working
        .step(
            "bounds",
            format!(
                "{tape} either way for the tape, and {} % less by drying",
                tolerance.loss_percent
            ),
        )
        .caution(
            "One number proves nothing and twenty nearly do. Tags without a gap, photos from four \
             sides, broken tines and tooth wear say more.",
        )
        .source("bounds and the count of pairs", Known::Practice)
        .source(
            "Boone and Crockett Club, Do antlers and horns really shrink?: a ram's horn lost at \
             least 1.5 % on the score",
            Known::Read,
        )
}

fn count(number: usize) -> Value {
    Value::Count(u64::try_from(number).unwrap_or(u64::MAX))
}
