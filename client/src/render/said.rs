//! What became of a line: the result for standard output, the talk for standard error.

use serde_json::json;

use super::{
    entry,
    look::{Ink, Look},
    refusal,
};
use crate::bench::answer::{Answer, Said};

/// What is shown of a line that was said.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Shown {
    /// Results, for standard output.
    pub out: Vec<String>,
    /// Talk, for standard error.
    pub err: Vec<String>,
    /// Results as objects.
    pub json: Vec<serde_json::Value>,
}

/// Shows what became of a line.
pub fn said(said: &Said, look: &Look) -> Shown {
    let mut shown = Shown::default();
    for answer in &said.answers {
        one(answer, look, &mut shown);
    }
    shown.err.extend(said.talk.iter().cloned());
    shown
}

fn one(answer: &Answer, look: &Look, shown: &mut Shown) {
    match answer {
        Answer::Receipt { line, receipt } => {
            let refused = refusal(receipt);
            let name = entry(receipt.entry.as_ref());
            shown.json.push(json!({
                "line": line, "entry": name, "position": receipt.position,
                "done": refused.is_none(), "refused": refused, "said_back": receipt.said_back,
                "remarks": remarks(receipt), "clashes": receipt.clashes, "figures": receipt.figures,
            }));
            if let Some(why) = refused {
                shown.err.push(look.ink(Ink::Alarm, &format!("refused: {line}: {why}")));
                return;
            }
            let back = if receipt.said_back.is_empty() { line } else { &receipt.said_back };
            shown.out.push(format!("{back}  [{name}]"));
            shown.out.extend(receipt.figures.iter().map(|figure| format!("  {figure}")));
            shown.err.extend(remarks(receipt).iter().map(|words| format!("remark: {words}")));
            let clash = |words: &String| look.ink(Ink::Alarm, &format!("does not fit: {words}"));
            shown.err.extend(receipt.clashes.iter().map(clash));
        }
        Answer::Kept { entry, line, waiting, why } => {
            shown.json.push(json!({
                "line": line, "entry": entry.to_string(), "done": false, "kept": true,
                "waiting": waiting,
            }));
            shown.out.push(format!("{line}: kept, {waiting} waiting  [{entry}]"));
            if !why.is_empty() && !shown.err.contains(why) {
                shown.err.push(why.clone());
            }
        }
        Answer::LeftOff { line, why } => {
            shown.json.push(json!({"line": line, "done": false, "left_off": true, "why": why}));
            shown.err.push(look.ink(Ink::Alarm, &format!("left off: {line}")));
            shown.err.extend(why.iter().map(|words| format!("  {words}")));
        }
    }
}

fn remarks(receipt: &burrline_proto::v1::Receipt) -> Vec<String> {
    use burrline_proto::v1::outcome::Result;
    match receipt.outcome.as_ref().and_then(|outcome| outcome.result.as_ref()) {
        Some(Result::Done(done)) => done.remarks.iter().map(|r| r.words.clone()).collect(),
        Some(Result::Refused(_)) | None => Vec::new(),
    }
}
