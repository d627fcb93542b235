//! Readiness, rates and load.

use burrline_proto::v1;
use serde_json::json;

use super::{Look, Page, Table, lines::skull_json, skull};

/// By when a job is ready.
pub fn ready_by(answer: &v1::ReadyByResponse, look: &Look) -> Page {
    let whose = answer.skull.as_ref().map(skull).unwrap_or_default();
    let mut text = vec![format!("{whose}: {}", answer.sentence)];
    text.extend(answer.why.iter().map(|line| format!("  {line}")));
    let day = |day: &String| (!day.is_empty()).then(|| day.clone());
    let object = json!({
        "skull": answer.skull.as_ref().map(|skull| skull_json(skull, look)),
        "sentence": answer.sentence, "why": answer.why, "day": day(&answer.day),
        "low_day": day(&answer.low_day), "high_day": day(&answer.high_day),
        "basis": answer.basis, "watched": answer.watched, "finished": answer.finished,
        "step": answer.step,
    });
    Page { text, json: vec![object] }
}

/// How often something goes wrong.
pub fn rates(answer: &v1::RatesResponse, look: &Look) -> Page {
    let mut table = Table::new(&["WHAT", "STEP", "KIND", "HOW OFTEN", "AGAINST THE REST"]);
    let mut page = Page::default();
    for line in &answer.lines {
        table.row([
            line.what.clone(),
            line.step.clone(),
            line.kind.clone(),
            line.words.clone(),
            line.verdict.clone(),
        ]);
        page.json.push(json!({
            "what": line.what, "step": line.step, "kind": line.kind, "hits": line.hits,
            "of": line.of, "low_percent": line.low_percent, "high_percent": line.high_percent,
            "words": line.words, "verdict": line.verdict,
        }));
    }
    page.text = table.lines(look);
    if page.text.is_empty() {
        page.text.push("nothing has been worked on yet, so nothing can be told".to_owned());
    }
    page
}

/// Which place is full when.
pub fn load(answer: &v1::LoadResponse) -> Page {
    let mut page = Page::default();
    for line in &answer.lines {
        page.text.push(format!("{} {}, week of {}", line.place, line.kind, line.week));
        page.text.extend(line.words.split("; ").map(|words| format!("  {words}")));
        page.json.push(json!({
            "place": line.place, "kind": line.kind, "holds": line.holds, "week": line.week,
            "mean": line.mean, "too_few_percent": line.too_few_percent,
            "full_weeks": line.full_weeks, "enough": line.enough, "words": line.words,
        }));
    }
    if page.text.is_empty() {
        page.text.push("nothing was in any place in the last 52 weeks".to_owned());
    }
    page
}
