//! Compare and dates: whether it is the skull that came in, and what the law sets for it.

use burrline_proto::v1;
use serde_json::json;

use super::{Look, Page, lines::skull_json, skull, working};

/// Intake against hand-back, with the score.
pub fn compare(answer: &v1::CompareResponse, look: &Look) -> Page {
    let mut text: Vec<String> = answer.line.iter().map(skull).collect();
    text.extend(answer.comparison.iter().flat_map(working::sent));
    if let Some(score) = &answer.score {
        text.push(String::new());
        text.push("score by the latest measures".to_owned());
        text.extend(working::sent(score));
    }
    let line = answer.line.as_ref().map(|line| skull_json(line, look));
    let fits: Vec<_> = answer.fits_too.iter().map(|line| skull_json(line, look)).collect();
    let json = json!({
        "skull": line,
        "comparison": answer.comparison.as_ref().map(working::sent_json),
        "score": answer.score.as_ref().map(working::sent_json),
        "fits_too": fits,
        "others": answer.others,
    });
    Page { text, json: vec![json] }
}

/// The dates and papers that the law sets.
pub fn dates(answer: &v1::DatesResponse, look: &Look) -> Page {
    let mut text: Vec<String> = answer.line.iter().map(skull).collect();
    text.extend(answer.law.iter().flat_map(working::sent));
    let line = answer.line.as_ref().map(|line| skull_json(line, look));
    let json = json!({"skull": line, "law": answer.law.as_ref().map(working::sent_json)});
    Page { text, json: vec![json] }
}
