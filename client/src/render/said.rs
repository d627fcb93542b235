//! What became of a line: the result for standard output, the talk for standard error.

use burrline_domain::{Arity, Verb, words::Piece};
use burrline_proto::v1;
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
        Answer::Receipt { verb, receipt } => {
            let line = verb.line();
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
            shown.out.push(format!("{}  [{name}]", echo(verb, receipt, look)));
            shown.out.extend(receipt.figures.iter().map(|figure| format!("  {figure}")));
            shown.err.extend(remarks(receipt).iter().map(|words| format!("remark: {words}")));
            let clash = |words: &String| look.ink(Ink::Alarm, &format!("does not fit: {words}"));
            shown.err.extend(receipt.clashes.iter().map(clash));
        }
        Answer::Kept { entry, verb, waiting, why } => {
            let line = verb.line();
            shown.json.push(json!({
                "line": line, "entry": entry.to_string(), "done": false, "kept": true,
                "waiting": waiting,
            }));
            shown.out.push(format!("{}: kept, {waiting} waiting  [{entry}]", plain(verb)));
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

/// "0417 whitetail 8 pt: in pot-1 since 10:40": the skull, what was said, and how it is now.
fn echo(verb: &Verb, receipt: &v1::Receipt, look: &Look) -> String {
    let what = what(verb);
    if verb.skull().is_none() {
        return what;
    }
    // The shop puts the skull first and how it is now after the colon.
    let Some((skull, now)) = receipt.said_back.split_once(": ") else { return plain(verb) };
    if what == now && matches!(verb, Verb::In(_)) {
        let since = receipt.happened.map(|happened| look.time(happened.at_ms)).unwrap_or_default();
        return format!("{skull}: {now} since {since}");
    }
    let same = now == verb.spec().word || what.starts_with(now);
    if same { format!("{skull}: {what}") } else { format!("{skull}: {what}; {now}") }
}

/// What was said, with its skull, where the shop has not said what that is.
fn plain(verb: &Verb) -> String {
    let tag = verb.skull().map(|skull| match (&skull.tag, skull.job) {
        (Some(tag), _) => format!("{}: ", tag.as_typed()),
        (None, Some(job)) => format!("{}: ", job.job_number()),
        (None, None) => String::new(),
    });
    format!("{}{}", tag.unwrap_or_default(), what(verb))
}

/// What was said of a skull, without the skull and what only programs read.
pub fn what(verb: &Verb) -> String {
    const HIDDEN: &[&str] = &[
        "skull",
        "plan",
        "lines",
        "script",
        "details",
        "bringer",
        "collector",
        "ticket",
        "customer",
        "key",
        "digest",
        "original",
        "stripped",
    ];
    if let Verb::Amend(amend) = verb {
        return format!("amend {} to {}", amend.entry, plain(&amend.verb));
    }
    let mut words = vec![verb.spec().word.to_owned()];
    let piece = verb.skull().map(|skull| skull.piece).filter(|piece| *piece != Piece::Skull);
    words.extend(piece.map(|piece| piece.to_string()));
    for (field, said) in verb.said() {
        if HIDDEN.contains(&field) {
            continue;
        }
        let switch = verb.spec().fields.iter().any(|f| f.name == field && f.arity == Arity::Switch);
        if switch && !said.is_empty() {
            words.push(field.replace('_', " "));
        } else {
            words.extend(said);
        }
    }
    words.join(" ")
}

fn remarks(receipt: &v1::Receipt) -> Vec<String> {
    use v1::outcome::Result;
    match receipt.outcome.as_ref().and_then(|outcome| outcome.result.as_ref()) {
        Some(Result::Done(done)) => done.remarks.iter().map(|r| r.words.clone()).collect(),
        Some(Result::Refused(_)) | None => Vec::new(),
    }
}
