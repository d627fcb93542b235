//! What became of a line: the result for standard output, the talk for standard error.

use burrline_bench::{
    answer::{Answer, Said},
    receipt::{refusal, remarks},
};
use burrline_domain::{Verb, verb::spec};
use burrline_line::typed::{skull_in_front, typed, what, with_skull};
use burrline_present::named::entry;
use burrline_proto::v1;
use serde_json::json;

use super::{
    look::{Ink, Look},
    more::parted,
};

/// What is shown of a line that was said.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Shown {
    /// Results, for standard output.
    pub out: Vec<String>,
    /// The rest of the results, which is not needed to go on.
    pub behind: Vec<String>,
    /// Talk, for standard error.
    pub err: Vec<String>,
    /// Results as objects.
    pub json: Vec<serde_json::Value>,
}

impl Shown {
    fn figures(&mut self, first: &[String], rest: &[String]) {
        let line = |figure: &String| format!("  {figure}");
        self.out.extend(first.iter().map(line));
        // What is the same of each skull of a potful is said once.
        for line in rest.iter().map(line) {
            if !self.behind.contains(&line) {
                self.behind.push(line);
            }
        }
    }
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
            let (first, rest) = parted(&receipt.figures, receipt.figures_first);
            shown.figures(first, rest);
            let whose = if of_many { skull_in_front(verb) } else { String::new() };
            let remark = |words: &String| format!("{whose}remark: {words}");
            shown.err.extend(remarks(receipt).iter().map(remark));
            let clash = |words: &String| look.ink(Ink::Alarm, &format!("does not fit: {words}"));
            shown.err.extend(receipt.clashes.iter().map(clash));
        }
        Answer::Kept { entry, verb, skull, figures, waiting, why } => {
            let line = verb.line();
            shown.json.push(json!({
                "line": line, "entry": entry.to_string(), "done": false, "kept": true,
                "waiting": waiting, "figures": figures.clone().all(),
            }));
            let words = match skull.as_str() {
                "" => with_skull(verb),
                skull => format!("{skull}: {}", what(verb)),
            };
            shown.out.push(format!("{words}: kept, {waiting} waiting  [{entry}]"));
            shown.figures(&figures.first(), &figures.rest());
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
    let Some((skull, now)) = receipt.said_back.split_once(": ") else { return with_skull(verb) };
    if now.starts_with(&what) && matches!(verb, Verb::In(_)) {
        let since = receipt.happened.map(|happened| look.time(happened.at_ms)).unwrap_or_default();
        return format!("{skull}: {now} since {since}");
    }
    // The last thing done is of no use right after another was said.
    let same = spec(now).is_some() || what.starts_with(now);
    if same { format!("{skull}: {what}") } else { format!("{skull}: {what}; {now}") }
}
