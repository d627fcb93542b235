//! Compare and dates: whether it is the skull that came in, and what the law sets for it.

use burrline_proto::v1;
use serde_json::json;

use super::{Look, Page, lines::skull_json, look::Ink, skull, working};

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

/// Two sides, and only what differs; each with the moment that was said for it.
pub fn sides(answer: &v1::SidesResponse, moments: [Option<&str>; 2], look: &Look) -> Page {
    let [first, second] =
        moments.map(|moment| moment.map(|m| format!(", {m}")).unwrap_or_default());
    let (one, other) = (format!("{}{first}", answer.one), format!("{}{second}", answer.other));
    let mut text = vec![format!("one:   {one}"), format!("other: {other}")];
    let missing = |words: &str| if words.is_empty() { "-".to_owned() } else { words.to_owned() };
    for row in &answer.rows {
        text.push(String::new());
        text.push(look.ink(Ink::Heading, &row.what));
        text.push(format!("  one:   {}", missing(&row.one)));
        text.push(format!("  other: {}", missing(&row.other)));
    }
    text.push(String::new());
    text.push(match (answer.rows.len(), answer.same) {
        (0, _) => "nothing differs".to_owned(),
        (_, same) => format!("{same} more are the same"),
    });
    let row = |row: &v1::Differing| json!({"what": row.what, "one": row.one, "other": row.other});
    let rows: Vec<_> = answer.rows.iter().map(row).collect();
    let json = json!({"one": one, "other": other, "differs": rows, "same": answer.same});
    Page { text, json: vec![json] }
}
