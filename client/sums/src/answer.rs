//! The working as a page: for a person, and as one JSON object.

use burrline_reckon::{Value, Working};
use burrline_screen::{Page, working};
use serde_json::json;

use super::asked::Asked;

/// The page of an answer: what a hand needs, and as JSON all of it.
pub(super) fn page(topic: &str, asked: &Asked, working: &Working) -> Page {
    let cautions = working.cautions.iter().map(|caution| caution.0.clone()).collect();
    let text = working::lines(&working.answer, &[], cautions, Vec::new());
    Page { text, json: vec![object(topic, asked, working)] }
}

/// The rest of it: the way to it, and where it is from.
pub(super) fn behind(working: &Working) -> Vec<String> {
    let steps: Vec<(String, String)> =
        working.steps.iter().map(|step| (step.what.clone(), step.sum.clone())).collect();
    let sources = working.sources.iter().map(ToString::to_string).collect();
    working::lines("", &steps, Vec::new(), sources).into_iter().skip(1).collect()
}

/// The answer as an object: figures as numbers, or as text where they are exact or words.
pub(super) fn object(topic: &str, asked: &Asked, working: &Working) -> serde_json::Value {
    let figures: Vec<_> = working
        .figures
        .iter()
        .map(|figure| {
            let value = match &figure.value {
                Value::Number(number) => json!(number),
                Value::Exact(exact) => json!(exact.to_string()),
                Value::Count(count) => json!(count),
                Value::Flag(flag) => json!(flag),
                Value::Words(words) => json!(words),
            };
            json!({"name": figure.name, "value": value, "unit": figure.unit})
        })
        .collect();
    let steps: Vec<_> =
        working.steps.iter().map(|step| json!({"what": step.what, "sum": step.sum})).collect();
    json!({
        "topic": topic,
        "asked": asked.typed(),
        "answer": working.answer,
        "figures": figures,
        "working": steps,
        "cautions": working.cautions.iter().map(|caution| &caution.0).collect::<Vec<_>>(),
        "sources": working.sources.iter().map(ToString::to_string).collect::<Vec<_>>(),
    })
}
