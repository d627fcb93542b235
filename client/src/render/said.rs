//! What became of a line: the result for standard output, the talk for standard error.

use burrline_domain::{Verb, VerbSpec, verb::spec};
use burrline_proto::v1;
use burrline_terms::{Arity, EntryName, words::Piece};
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
        one(answer, said.answers.len() > 1, look, &mut shown);
    }
    shown.err.extend(said.talk.iter().cloned());
    shown
}

fn one(answer: &Answer, of_many: bool, look: &Look, shown: &mut Shown) {
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
                shown.err.push(look.ink(Ink::Alarm, &format!("refused: {}: {why}", typed(verb))));
                return;
            }
            shown.out.push(format!("{}  [{name}]", echo(verb, receipt, look)));
            shown.out.extend(receipt.figures.iter().map(|figure| format!("  {figure}")));
            let whose = if of_many { tag(verb) } else { String::new() };
            let remark = |words: &String| format!("{whose}remark: {words}");
            shown.err.extend(remarks(receipt).iter().map(remark));
            let clash = |words: &String| look.ink(Ink::Alarm, &format!("does not fit: {words}"));
            shown.err.extend(receipt.clashes.iter().map(clash));
        }
        Answer::Kept { entry, verb, skull, figures, waiting, why } => {
            let line = verb.line();
            shown.json.push(json!({
                "line": line, "entry": entry.to_string(), "done": false, "kept": true,
                "waiting": waiting, "figures": figures,
            }));
            let words = match skull.as_str() {
                "" => plain(verb),
                skull => format!("{skull}: {}", what(verb)),
            };
            shown.out.push(format!("{words}: kept, {waiting} waiting  [{entry}]"));
            shown.out.extend(figures.iter().map(|figure| format!("  {figure}")));
            if !why.is_empty() && !shown.err.contains(why) {
                shown.err.push(why.clone());
            }
        }
        Answer::NotKnown { entry, verb, why } => {
            let line = verb.line();
            shown.json.push(json!({
                "line": line, "entry": entry.to_string(), "done": false, "known": false, "why": why,
            }));
            let words = format!("not known whether it was done: {}  [{entry}]", typed(verb));
            shown.err.push(look.ink(Ink::Alarm, &words));
            shown.err.push(format!(
                "  {why}; the next contact with the shop says what became of it, and unless it was done \
                 by now it is withdrawn"
            ));
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
    if now.starts_with(&what) && matches!(verb, Verb::In(_)) {
        let since = receipt.happened.map(|happened| look.time(happened.at_ms)).unwrap_or_default();
        return format!("{skull}: {now} since {since}");
    }
    // The last thing done is of no use right after another was said.
    let same = spec(now).is_some() || what.starts_with(now);
    if same { format!("{skull}: {what}") } else { format!("{skull}: {what}; {now}") }
}

/// What was said, with its skull, where the shop has not said what that is.
fn plain(verb: &Verb) -> String {
    format!("{}{}", tag(verb), what(verb))
}

/// "0417: ", or nothing if no skull is meant.
fn tag(verb: &Verb) -> String {
    let tag = verb.skull().map(|skull| match (&skull.tag, skull.job) {
        (Some(tag), _) => format!("{}: ", tag.as_typed()),
        (None, Some(job)) => format!("{}: ", job.job_number()),
        (None, None) => String::new(),
    });
    tag.unwrap_or_default()
}

/// The line as it would be typed, without what only programs read.
pub fn typed(verb: &Verb) -> String {
    words(verb, true)
}

/// What was said of a skull, without the skull and what only programs read.
pub fn what(verb: &Verb) -> String {
    words(verb, false)
}

fn words(verb: &Verb, with_skull: bool) -> String {
    /// Seals, digests and what the shop filled in.
    const HIDDEN: &[&str] = &[
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
    for (field, said) in verb.said() {
        let switch = verb.spec().fields.iter().any(|f| f.name == field && f.arity == Arity::Switch);
        if let ("skull", Some(skull)) = (field, verb.skull()) {
            let tag = skull.tag.as_ref().map(|tag| tag.as_typed().to_owned());
            let tag = tag.or_else(|| skull.job.map(EntryName::job_number));
            words.extend(tag.filter(|_| with_skull));
            words.extend(Some(skull.piece).filter(|p| *p != Piece::Skull).map(|p| p.to_string()));
        } else if switch && !said.is_empty() {
            words.push(field.replace('_', " "));
        } else if !HIDDEN.contains(&field) {
            let named = !said.is_empty() && is_named(verb.spec(), field);
            words.extend(named.then(|| field.replace('_', " ")));
            words.extend(said);
        }
    }
    words.join(" ")
}

/// Whether a value alone would not say which field it is for: `nose whole jaw whole`, `teeth 26`.
fn is_named(spec: &VerbSpec, field: &str) -> bool {
    let Some(is_it) = spec.fields.iter().find(|f| f.name == field) else { return false };
    if is_it.arity != Arity::Maybe || field == "species" || is_it.hint == "WORDS" {
        return false;
    }
    let alike = spec.fields.iter().filter(|f| f.arity == Arity::Maybe && f.hint == is_it.hint);
    matches!(is_it.hint, "ANSWER" | "COUNT" | "NUMBER") || alike.count() > 1
}

/// What the rules remark on a fact that was done.
pub fn remarks(receipt: &v1::Receipt) -> Vec<String> {
    use v1::outcome::Result;
    match receipt.outcome.as_ref().and_then(|outcome| outcome.result.as_ref()) {
        Some(Result::Done(done)) => done.remarks.iter().map(|r| r.words.clone()).collect(),
        Some(Result::Refused(_)) | None => Vec::new(),
    }
}
