//! The middle of values, with limits.

use crate::{
    chance::Confidence,
    median::Median,
    working::{Absurd, Known, Value, Working, digits},
};

/// The middle of some values, in the unit in which they were said.
///
/// # Errors
/// If there are none.
pub fn middle(values: &[f64], unit: &str, sure: Confidence) -> Result<Working, Absurd> {
    let median = Median::of(values, sure).ok_or_else(|| {
        Absurd::new(
            "there are no values",
            "say some, as in `burrline reckon median 12 15 9 20 11 14`",
        )
    })?;
    let mut working = Working::new()
        .step("middle", format!("of {} values in order: {}", median.of, digits(median.value, 6)))
        .value("median", Value::Number(median.value), unit)
        .source("H. A. David and H. N. Nagaraja, Order Statistics, section 7.1", Known::Memory);
    let told = |value: f64| format!("{} {unit}", digits(value, 6)).trim_end().to_owned();
    let answer = if let Some((low, high)) = median.limits {
        working = working
            .step(
                "limits",
                format!(
                    "value {} from either end; below the middle lie fewer, or above it, {:.4} of \
                         the time",
                    median.rank,
                    1.0 - median.sure
                ),
            )
            .value("low", Value::Number(low), unit)
            .value("high", Value::Number(high), unit)
            .value("sure", Value::Number(median.sure), "");
        let sure = digits(100.0 * median.sure, 3);
        format!("{}, {sure} % limits {} to {}", told(median.value), told(low), told(high))
    } else {
        working = working.words("limits", "too few");
        format!("{}; {} are too few for limits", told(median.value), median.of)
    };
    Ok(working.answer(answer))
}
