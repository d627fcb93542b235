//! A working as it goes over the wire.

use burrline_proto::v1;
use burrline_reckon::{Value, Working};

/// A working with its figures, steps, cautions and sources.
pub fn reckoned(working: &Working) -> v1::Reckoned {
    let value = |value: &Value| match value {
        Value::Number(number) => number.to_string(),
        Value::Exact(exact) => exact.to_string(),
        Value::Count(count) => count.to_string(),
        Value::Flag(flag) => flag.to_string(),
        Value::Words(words) => words.clone(),
    };
    v1::Reckoned {
        answer: working.answer.clone(),
        figures: working
            .figures
            .iter()
            .map(|figure| v1::ReckonedFigure {
                name: figure.name.clone(),
                value: value(&figure.value),
                unit: figure.unit.clone(),
            })
            .collect(),
        working: working
            .steps
            .iter()
            .map(|step| v1::ReckonedStep { what: step.what.clone(), sum: step.sum.clone() })
            .collect(),
        cautions: working.cautions.iter().map(|caution| caution.0.clone()).collect(),
        sources: working.sources.iter().map(ToString::to_string).collect(),
    }
}
